#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every rule of tidy.py can fail: a small tree that keeps all rules, then one offence at a time,
# which its own rule must find.
#
# usage: self.py TIDY
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

SPDX = "/* SPDX-License-Identifier: GPL-3.0-or-later */\n"

GOOD_TREE = {
    "README.md": "Good\n", "DEVELOPERS.md": "Good\n", "LICENSE": "Good\n", "po/LINGUAS": "# none\n",
    "ui/style.css": "window {}\n", "anatomies/a.anatomy": "[Anatomy]\n",
    "meson.build": "# SPDX-License-Identifier: GPL-3.0-or-later\nsubdir('src')\n",
    "src/meson.build": "# SPDX-License-Identifier: GPL-3.0-or-later\n"
                       "files('base/a.c', 'engine/body/b.c', 'engine/outline/o.c')\n"
                       "foreach x : ['t']\n  x + '-test.c'\nendforeach\n",
    "src/base/a.h": SPDX + "\n/* A. */\nint tarn_a (void);\n",
    "src/base/a.c": SPDX + '#include "base/a.h"\n',
    "src/engine/body/b.h": SPDX + "\n/* B. */\nint tarn_b (void);\n",
    "src/engine/body/b.c": SPDX + '#include "engine/body/b.h"\n\n#include "base/a.h"\n',
    "src/engine/outline/o.c": SPDX + '#include "base/a.h"\n',
    "tests/meson.build": "# SPDX-License-Identifier: GPL-3.0-or-later\nfiles('t-test.c')\n",
    "tests/t-test.c": SPDX,
}

BODY = "src/engine/body/b.c"
# Rule, file, text added to it.
OFFENCES = [
    ("includes-go-down", "src/engine/outline/o.c", '#include "engine/body/b.h"\n'),
    ("includes-go-down", "src/base/a.c", '#include "engine/body/b.h"\n'),
    ("includes-go-down", BODY, '#include "engine/body/nothing.h"\n'),
    ("engine-sees-no-system", BODY, "#include <time.h>\n"),
    ("engine-sees-no-system", "src/base/a.c", "#include <glib.h>\n"),
    ("engine-makes-no-banned-call", BODY, 'int\nf (void)\n{\n  return printf ("");\n}\n'),
    ("engine-has-no-mutable-global", BODY, "static int count;\n"),
    ("no-banned-call", "tests/t-test.c", "int\nf (char *a)\n{\n  strcpy (a, a);\n}\n"),
    ("files-are-short", BODY, "int a;\n" * 601),
    ("functions-fit-a-screen", BODY, "int\nf (void)\n{\n" + "  g ();\n" * 61 + "}\n"),
    ("every-source-is-built", "src/base/stray.c", SPDX),
    ("every-header-is-used", "src/base/stray.h", SPDX),
    ("spdx-first", "src/base/a.h", None),
    ("no-stray-blanks", "README.md", "blank \n"),
    ("no-stray-blanks", "README.md", "\ttab\n"),
    ("no-marks-left", BODY, "/* TO" "DO */\n"),
    ("no-marks-left", "tests/t-test.c", "#if 0\n#endif\n"),
    ("tests-tell-values", "tests/t-test.c", "int\nf (void)\n{\n  g_assert (1);\n}\n"),
    ("engine-headers-are-documented", "src/engine/body/b.h", "\nint tarn_c (void);\n"),
    ("top-level", "notes.txt", "notes\n"),
    ("words", "README.md", "as said in the last ses" "sion\n"),
    ("clang-format", BODY, "int  a ;\n"),
]


def write_tree(root):
    for name, text in GOOD_TREE.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    shutil.copy(Path(sys.argv[1]).parents[2] / ".clang-format", root / ".clang-format")


def offend(root, name, addition):
    path = root / name
    if addition is None:
        path.write_text("/* nothing */\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    else:
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        path.write_text(before + addition, encoding="utf-8")


def failed_rules(root):
    done = subprocess.run([sys.executable, sys.argv[1], str(root)], stdout=subprocess.PIPE,
                          text=True, check=True)
    return [line.split()[-1] for line in done.stdout.split("\n") if line.startswith("not ok")]


def main():
    has_formatter = shutil.which("clang-format-14") is not None
    cases = [case for case in OFFENCES if has_formatter or case[0] != "clang-format"]
    print(f"1..{len(cases) + 1}")
    with tempfile.TemporaryDirectory() as folder:
        write_tree(Path(folder))
        faults = failed_rules(Path(folder))
        print(f"{'not ok' if faults else 'ok'} 1 a-clean-tree-passes {' '.join(faults)}")
    for index, (rule, name, addition) in enumerate(cases, 2):
        with tempfile.TemporaryDirectory() as folder:
            write_tree(Path(folder))
            offend(Path(folder), name, addition)
            print(f"{'ok' if rule in failed_rules(Path(folder)) else 'not ok'} {index} {rule}-finds-{name}")


main()
