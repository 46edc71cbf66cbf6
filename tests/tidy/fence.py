#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# A wrong include does not compile.  For every folder, the compiler is called just as the build
# calls it for that folder's files, but on a file that includes one header of another folder:
# the header is found when the folder may use it, and only then.
#
# usage: fence.py SOURCE BUILD FOLDER=MAY,INCLUDE,… …
import json
import re
import shlex
import subprocess
import sys
from pathlib import Path


def command_of(build, source, folder):
    """The compiler and its options for some file of the folder, without file names."""
    commands = json.loads((build / "compile_commands.json").read_text(encoding="utf-8"))
    for entry in commands:
        path = Path(entry["directory"], entry["file"]).resolve()
        if path.parent == source / folder and path.name != "main.c":
            words = shlex.split(entry["command"])
            return [word for k, word in enumerate(words)
                    if word not in ("-MD", "-c", "-o", "-MQ", "-MF")
                    and words[k - 1] not in ("-o", "-MQ", "-MF", "-c")]
    return None


def missing_header(command, build, include):
    """The name of the file that the compiler could not find, or None."""
    quiet = ["-fdiagnostics-color=never", "-fsyntax-only", "-x", "c", "-"]
    done = subprocess.run(command + quiet, cwd=build, input=f"#include {include}\n", text=True,
                          stderr=subprocess.PIPE, env={"LC_ALL": "C", "PATH": "/usr/bin:/bin"},
                          check=False)
    match = re.search(r"fatal error: '?([^':]+)'?(: No such file| file not found)", done.stderr)
    return match.group(1) if match else None


def faults_of(folder, allowed, headers, command, build):
    for other, header in headers.items():
        found = missing_header(command, build, f'"{header}"') != header
        if found != (other in allowed[folder]):
            yield f"{header} is {'found' if found else 'not found'}"
    # Up to the engine, GLib is out of reach as well.
    if folder == "base" or folder.startswith("engine/"):
        if missing_header(command, build, "<glib.h>") != "glib.h":
            yield "glib.h is found"


def main():
    source, build = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    allowed = {}
    for argument in sys.argv[3:]:
        folder, names = argument.split("=")
        allowed[folder] = names.split(",")
    headers = {}
    for folder in allowed:
        for path in sorted((source / folder).glob("*.h"))[:1]:
            headers[folder] = f"{folder}/{path.name}"

    print(f"1..{len(allowed)}")
    for index, folder in enumerate(allowed, 1):
        command = command_of(build, source, folder)
        faults = list(faults_of(folder, allowed, headers, command, build)) if command else ["not built"]
        for fault in faults:
            print(f"# from {folder}: {fault}")
        print(f"{'not ok' if faults else 'ok'} {index} {folder}-sees-what-it-may")


main()
