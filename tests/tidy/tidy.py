#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# What the compiler cannot see of the house's rules, one TAP line for each rule.  An offence is
# printed as FILE:LINE: what, so that an editor can jump there.
#
# usage: tidy.py SOURCE-ROOT
import re
import shutil
import subprocess
import sys
from pathlib import Path

LINES_PER_FILE = 600
LINES_PER_FUNCTION = 60

ENGINE_ORDER = ["patient", "body", "contact", "deform", "acoustic", "outline", "measure", "verdict",
                "coach", "attempt", "scene"]

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "meson.build",
             "src", "ui", "anatomies", "tests", "po"}

# Split so that this file does not offend against itself.
FORBIDDEN_WORDS = [
    r"(?<!dbus-run-)\bses" r"sions?\b", r"\bhel" r"pers?\b", r"\bage" r"nts?\b", r"/wo" r"rk/", r"/tm" r"p/",
    r"trans" r"cript", r"seed " r"document", r"py" r"pi\.org", r"npm" r"js", r"crates" r"\.io",
    r"facts-" r"(acoustics|clinical)", r"design" r"\.md", r"craft" r"\.md", r"the is" r"sue\b",
]

ENGINE_BANNED_CALLS = (
    "printf|fprintf|vprintf|vfprintf|puts|fputs|putchar|fopen|freopen|fread|fwrite|fclose|"
    "time|clock|clock_gettime|gettimeofday|localtime|gmtime|rand|srand|random|srandom|drand48|"
    "setlocale|localeconv|getenv|setenv|system|exit|_Exit|abort|signal|open|read|write|atof|"
    "strtod|strtof|scanf|sscanf|qsort_r|alloca")
BANNED_EVERYWHERE = "strcpy|strcat|sprintf|vsprintf|gets|strtok|tmpnam|mktemp|atoi|atol"
ENGINE_BANNED_HEADERS = r"glib|gio/|gtk/|time\.h|locale\.h|unistd\.h|pthread|threads\.h|signal\.h|" \
                        r"sys/|fcntl|errno\.h"

INCLUDE = re.compile(r'^\s*#\s*include\s+(?:"([^"]+)"|<([^>]+)>)')


class Source:
    """One text file: its path, lines, and its C code with comments and strings blanked."""

    def __init__(self, root, path):
        self.path = path
        self.name = path.relative_to(root).as_posix()
        self.text = path.read_text(encoding="utf-8")
        self.lines = self.text.split("\n")
        self.is_c = path.suffix in (".c", ".h")
        self.code = blank_comments(self.text).split("\n") if self.is_c else self.lines


def blank_comments(text):
    """The same text, comments and literals replaced by blanks of the same shape."""
    pattern = re.compile(r'//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', re.S)

    def blank(match):
        piece = match.group(0)
        if piece[0] == '"' and text[: match.start()].rsplit("\n", 1)[-1].lstrip().startswith("#"):
            return piece
        return re.sub(r"[^\n]", " ", piece)

    return pattern.sub(blank, text)


def project_files(root):
    """What belongs to the project: what git knows or would add; without git, what is there."""
    try:
        done = subprocess.run(["git", "ls-files", "-z", "-co", "--exclude-standard"], cwd=root,
                              stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=True)
        names = {Path(name.decode()) for name in done.stdout.split(b"\0") if name}
    except (OSError, subprocess.CalledProcessError):
        names = {path.relative_to(root) for path in root.rglob("*")}
    return sorted(root / name for name in names if (root / name).is_file() and is_ours(name))


def is_ours(name):
    first = name.parts[0]
    return (first != ".git" and not first.startswith("build") and "__pycache__" not in name.parts
            and not (len(name.parts) == 1 and name.suffix == ".png"))


def read_sources(root):
    kept = []
    for path in project_files(root):
        if path.is_symlink() or "corpus" in path.parts or path.suffix in (".png", ".swp"):
            continue
        try:
            kept.append(Source(root, path))
        except UnicodeDecodeError:
            continue
    return kept


def folder_of(name):
    """'engine/body' for src/engine/body/body.c, 'store' for src/store/…"""
    parts = name.split("/")
    return "/".join(parts[1:3]) if parts[1] == "engine" else parts[1]


def may_include(folder):
    if folder == "base":
        return {"base"}
    if folder == "engine/outline":
        return {"base", folder}
    if folder.startswith("engine/"):
        earlier = ENGINE_ORDER[: ENGINE_ORDER.index(folder.split("/")[1]) + 1]
        return {"base"} | {"engine/" + name for name in earlier}
    below = {"base"} | {"engine/" + name for name in ENGINE_ORDER}
    return below | {"store": {"store"}, "report": {"report"}, "cli": {"cli", "store", "report"},
                    "app": {"app", "store", "report"}}[folder]


def each_code_line(sources, prefix):
    for source in sources:
        if source.is_c and source.name.startswith(prefix):
            for number, line in enumerate(source.code, 1):
                yield source, number, line


def check_includes(sources, root):
    for source, number, line in each_code_line(sources, "src/"):
        match = INCLUDE.match(line)
        if not match or match.group(1) is None:
            continue
        target = match.group(1)
        if not (root / "src" / target).is_file():
            yield source, number, f'"{target}" is not a file under src/'
        elif folder_of("src/" + target) not in may_include(folder_of(source.name)):
            yield source, number, f"{folder_of(source.name)} may not include {target}"


def check_engine_headers(sources, _root):
    for prefix in ("src/engine/", "src/base/"):
        for source, number, line in each_code_line(sources, prefix):
            match = INCLUDE.match(line)
            if source.name == "src/base/thread_pool.c" or not match or not match.group(2):
                continue
            if re.match(ENGINE_BANNED_HEADERS, match.group(2)):
                yield source, number, f"<{match.group(2)}> has no place in the engine"


def check_engine_calls(sources, _root):
    call = re.compile(r"(?<![\w.>])(" + ENGINE_BANNED_CALLS + r")\s*\(")
    for source, number, line in each_code_line(sources, "src/engine/"):
        match = call.search(line)
        if match:
            yield source, number, f"{match.group(1)} () has no place in the engine"


def check_engine_state(sources, _root):
    mutable = re.compile(r"^(static|_Thread_local|extern)\s+(?!const\b|inline\b)[^()]*?\w+\s*(\[[^]]*\]\s*)*(=|;)")
    for source, number, line in each_code_line(sources, "src/engine/"):
        if mutable.match(line) and " const " not in line.split("=")[0]:
            yield source, number, "a mutable global"


def check_calls(sources, _root):
    call = re.compile(r"(?<![\w.>])(" + BANNED_EVERYWHERE + r")\s*\(")
    for source, number, line in each_code_line(sources, ""):
        match = call.search(line)
        if match:
            yield source, number, f"{match.group(1)} () is banned"


def check_file_length(sources, _root):
    for source in sources:
        if source.is_c or source.path.suffix in (".py", ".sh"):
            if len(source.lines) - 1 > LINES_PER_FILE:
                yield source, 1, f"{len(source.lines) - 1} lines, more than {LINES_PER_FILE}"


def check_function_length(sources, _root):
    for source in sources:
        start = None
        for number, line in enumerate(source.code if source.is_c else [], 1):
            if line.startswith("{"):
                start = number
            elif line.startswith("}") and start is not None:
                if number - start - 1 > LINES_PER_FUNCTION:
                    yield source, start, f"a function of {number - start - 1} lines"
                start = None


def names_source(build, name):
    """Whether a meson.build says 'x-test.c', '…/x-test.c', or 'x' in a loop that adds '-test.c'."""
    if re.search(r"['/]" + re.escape(name) + "'", build.text):
        return True
    endings = re.findall(r"\+ '([^']+\.c)'", build.text)
    return any(name.endswith(end) and f"'{name[:-len(end)]}'" in build.text for end in endings)


def check_built(sources, _root):
    """A source is named by a meson.build in its folder or above; support, by anyone's."""
    builds = [source for source in sources if source.path.name == "meson.build"]
    for source in sources:
        shared = source.name.startswith("tests/support/")
        if source.path.suffix == ".c" and not any(
                names_source(build, source.path.name) for build in builds
                if shared or build.path.parent in source.path.parents):
            yield source, 1, "no meson.build builds it"


def check_headers_used(sources, _root):
    included = set()
    for source in sources:
        for line in source.code if source.is_c else []:
            match = INCLUDE.match(line)
            if match and match.group(1):
                included.add(match.group(1).split("/")[-1])
    for source in sources:
        if source.path.suffix == ".h" and source.path.name not in included:
            yield source, 1, "nothing includes it"


def check_spdx(sources, _root):
    for source in sources:
        if source.is_c or source.path.suffix in (".py", ".sh", ".build") or source.name == ".ci/run":
            first = [line for line in source.lines[:2] if not line.startswith("#!")][0]
            if "SPDX-License-Identifier: GPL-3.0-or-later" not in first:
                yield source, 1, "the first line is no SPDX line"


def check_blanks(sources, _root):
    for source in sources:
        if source.name == "LICENSE":
            continue
        for number, line in enumerate(source.lines, 1):
            if line != line.rstrip():
                yield source, number, "blanks at the end of the line"
            if "\t" in line:
                yield source, number, "a tab"
        if source.text and not source.text.endswith("\n"):
            yield source, len(source.lines), "no newline at the end"


def check_left_marks(sources, _root):
    mark = re.compile(r"\b(TO" r"DO|FIX" r"ME|XX" r"X)\b|g_test_" r"(skip|incomplete)|#\s*if\s+0\b")
    for source in sources:
        if source.name.startswith("tests/tidy/") or source.name == "LICENSE":
            continue
        for number, line in enumerate(source.lines, 1):
            if mark.search(line):
                yield source, number, "a mark left behind"


def check_asserts(sources, _root):
    for source, number, line in each_code_line(sources, "tests/"):
        if re.search(r"\bg_assert\s*\(|(?<!_)\bassert\s*\(", line):
            yield source, number, "a bare assertion; use one that tells the values"


DECLARATION = re.compile(r"^[A-Za-z_][\w \*]*?\*?\s*\b(tarn_\w+) \(", re.M)


def check_documented(sources, _root):
    """A declaration stands in the same paragraph as the comment that documents it."""
    for source in sources:
        if source.path.suffix != ".h" or not source.name.startswith("src/engine/"):
            continue
        paragraph_has_comment = in_comment = False
        for number, (line, code) in enumerate(zip(source.lines, source.code), 1):
            if line.strip() == "" and not in_comment:
                paragraph_has_comment = False
            paragraph_has_comment |= "/*" in line
            in_comment = in_comment and "*/" not in line or ("/*" in line and "*/" not in line)
            match = DECLARATION.match(code)
            if match and not paragraph_has_comment and "typedef" not in code:
                yield source, number, f"{match.group(1)} () is not documented"


def check_top_level(_sources, root):
    there = {path.relative_to(root).parts[0] for path in project_files(root)}
    for name in sorted(there):
        if not name.startswith(".") and name not in TOP_LEVEL:
            yield None, 0, f"{name} does not belong at the top level"
    for name in sorted(TOP_LEVEL - there):
        yield None, 0, f"{name} is missing at the top level"


def check_words(sources, _root):
    word = re.compile("|".join(FORBIDDEN_WORDS), re.I)
    for source in sources:
        if source.name == "LICENSE":
            continue
        for number, line in enumerate(source.lines, 1):
            match = word.search(line)
            if match:
                yield source, number, f'"{match.group(0)}" has no place here'


def check_format(sources, root):
    tool = shutil.which("clang-format-14")
    if tool is None:
        print("# clang-format-14 is not installed: the layout was not looked at")
        return
    names = [source.name for source in sources if source.is_c]
    done = subprocess.run([tool, "--dry-run", "-Werror"] + names, cwd=root,
                          stderr=subprocess.PIPE, text=True, check=False)
    seen = set()
    for line in done.stderr.split("\n"):
        match = re.match(r"(\S+?):(\d+):\d+: error:", line)
        if match and match.group(1) not in seen:
            seen.add(match.group(1))
            source = next(s for s in sources if s.name == match.group(1))
            yield source, int(match.group(2)), "clang-format would lay it out otherwise"


RULES = [
    ("includes-go-down", check_includes),
    ("engine-sees-no-system", check_engine_headers),
    ("engine-makes-no-banned-call", check_engine_calls),
    ("engine-has-no-mutable-global", check_engine_state),
    ("no-banned-call", check_calls),
    ("files-are-short", check_file_length),
    ("functions-fit-a-screen", check_function_length),
    ("every-source-is-built", check_built),
    ("every-header-is-used", check_headers_used),
    ("spdx-first", check_spdx),
    ("no-stray-blanks", check_blanks),
    ("no-marks-left", check_left_marks),
    ("tests-tell-values", check_asserts),
    ("engine-headers-are-documented", check_documented),
    ("top-level", check_top_level),
    ("words", check_words),
    ("clang-format", check_format),
]


def main():
    root = Path(sys.argv[1]).resolve()
    sources = read_sources(root)
    print(f"1..{len(RULES)}")
    for index, (name, rule) in enumerate(RULES, 1):
        offences = list(rule(sources, root))
        for source, number, what in offences:
            print(f"# {source.name}:{number}: {what}" if source else f"# {what}")
        print(f"{'not ok' if offences else 'ok'} {index} {name}")


main()
