#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# po/POTFILES.in names each file that has texts to translate, and no other; every language in
# po/LINGUAS is complete, without guesses, and fits what the program prints.
#
# usage: potfiles.py SOURCE-ROOT
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

IN_CODE = re.compile(r'(?<![\w.])(_|N_|C_|NC_|ngettext|g_dngettext)\s*\(\s*"')
IN_UI = re.compile(r'translatable="yes"')


def lines_of(path):
    for line in path.read_text(encoding="utf-8").split("\n"):
        if line.strip() and not line.startswith("#"):
            yield line.strip()


def has_texts(path):
    if path.suffix in (".c", ".h"):
        text = path.read_text(encoding="utf-8")
        return bool(IN_CODE.search(re.sub(r"/\*.*?\*/", "", text, flags=re.S)))
    if path.suffix == ".ui":
        return bool(IN_UI.search(path.read_text(encoding="utf-8")))
    return path.name.endswith((".desktop.in", ".metainfo.xml.in", ".gschema.xml"))


def check_listed(root):
    listed = set(lines_of(root / "po/POTFILES.in"))
    there = {path.relative_to(root).as_posix()
             for folder in ("src/app", "ui") for path in (root / folder).rglob("*")
             if path.is_file() and has_texts(path)}
    for name in sorted(there - listed):
        yield f"po/POTFILES.in does not name {name}"
    for name in sorted(listed - there):
        yield f"po/POTFILES.in names {name}, which has no texts"


def template_of(root, folder):
    """All texts, as the build extracts them (Meson's preset for GLib programs)."""
    template = Path(folder) / "tarn.pot"
    keywords = ["--keyword=_", "--keyword=N_", "--keyword=C_:1c,2", "--keyword=NC_:1c,2",
                "--keyword=g_dngettext:2,3", "--flag=N_:1:pass-c-format",
                "--flag=C_:2:pass-c-format", "--flag=g_dngettext:2:pass-c-format"]
    subprocess.run(["xgettext", "--from-code=UTF-8", "--files-from=po/POTFILES.in",
                    f"--output={template}", "--package-name=tarn", "--add-comments=Translators",
                    *keywords], cwd=root, check=True)
    return template


def check_language(root, language):
    translation = root / "po" / f"{language}.po"
    if not translation.is_file():
        yield f"po/{language}.po is missing"
        return
    with tempfile.TemporaryDirectory() as folder:
        merged = Path(folder) / "merged.po"
        subprocess.run(["msgmerge", "--quiet", f"--output-file={merged}", translation,
                        template_of(root, folder)], check=True)
        done = subprocess.run(["msgfmt", "--check", "--statistics", "--output-file=/dev/null",
                               merged], stderr=subprocess.PIPE, text=True, check=False,
                              env={"LC_ALL": "C.UTF-8", "PATH": "/usr/bin:/bin"})
        if done.returncode != 0 or "fuzzy" in done.stderr or "untranslated" in done.stderr:
            yield from (f"{language}: {line}" for line in done.stderr.strip().split("\n"))
        for option in ("--untranslated", "--only-fuzzy"):
            left = subprocess.run(["msgattrib", option, "--no-obsolete", "--no-wrap", merged],
                                  stdout=subprocess.PIPE, text=True, check=True).stdout
            for text in re.findall(r'^msgid (".+")$', left, re.M)[:40]:
                if text != '""':
                    yield f"{language}: {option[2:]}: {text}"


def main():
    root = Path(sys.argv[1]).resolve()
    languages = list(lines_of(root / "po/LINGUAS"))
    missing = [tool for tool in ("xgettext", "msgmerge", "msgfmt") if shutil.which(tool) is None]
    checks = [("every-file-is-listed", check_listed(root))]
    checks += [(f"{language}-is-complete", check_language(root, language))
               for language in languages]
    print(f"1..{len(checks)}")
    for index, (name, check) in enumerate(checks, 1):
        faults = [f"{', '.join(missing)} missing: .ci/packages test"] if missing else list(check)
        for fault in faults:
            print(f"# {fault}")
        print(f"{'not ok' if faults else 'ok'} {index} {name}")


main()
