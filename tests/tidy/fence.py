#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# A wrong include does not compile.  For every folder, a file that includes one header of every
# other folder is given to the compiler with the include root that the folder is built with:
# the header is found when the folder may use it, and only then.
#
# usage: fence.py SOURCE STAGE-ROOT "CC …" FOLDER=MAY,INCLUDE,… …
import re
import subprocess
import sys
from pathlib import Path


def compiles_to_missing(compiler, include_root, include):
    """The name of the file that the compiler could not find, or None."""
    done = subprocess.run(compiler + ["-std=c17", "-fsyntax-only", f"-I{include_root}", "-x", "c", "-"],
                          input=f"#include {include}\nint unused;\n", text=True,
                          stderr=subprocess.PIPE, check=False)
    match = re.search(r"fatal error: (\S+): No such file|fatal error: '([^']+)' file not found", done.stderr)
    return (match.group(1) or match.group(2)) if match else None


def main():
    source, stage_root, compiler = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3].split()
    allowed = {}
    for argument in sys.argv[4:]:
        folder, names = argument.split("=")
        allowed[folder] = names.split(",")
    headers = {folder: sorted((source / folder).glob("*.h")) for folder in allowed}

    print(f"1..{len(allowed)}")
    for index, (folder, names) in enumerate(allowed.items(), 1):
        include_root = stage_root / folder.replace("/", "_")
        faults = []
        for other in allowed:
            if not headers[other]:
                continue
            header = f"{other}/{headers[other][0].name}"
            found = compiles_to_missing(compiler, include_root, f'"{header}"') != header
            if found != (other in names):
                faults.append(f"{header} is {'found' if found else 'not found'}")
        # Up to the engine, GLib is out of reach as well.
        if folder == "base" or folder.startswith("engine/"):
            if compiles_to_missing(compiler, include_root, "<glib.h>") != "glib.h":
                faults.append("glib.h is found")
        for fault in faults:
            print(f"# from {folder}: {fault}")
        print(f"{'not ok' if faults else 'ok'} {index} {folder}-sees-what-it-may")


main()
