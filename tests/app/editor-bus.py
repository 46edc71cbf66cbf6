#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# editor-bus.py keyboard|names PROGRAM PATIENTS CLI: a patient written in the running program: its
# file opened in the editor, title and volume changed, a structure added, one too many taken back,
# saved; then the file is read.
#
# keyboard: with real key presses alone.  names: without keys or pointer, each control by its
# name and role on the accessibility bus.  As in bus.py.
import configparser
import os
import subprocess
import sys
import tempfile

import pyatspi

import bus

TITLE = "Woman of 51, a cyst"


def write(text):
    """Into what has the focus, in place of what stands there."""
    bus.key("ctrl+a")
    subprocess.run(["xdotool", "type", "--delay", "30", text], check=True)


def gone(program, text):
    bus.wait(f"no “{text}”", lambda: not program.named(text))


def part(program, name, way):
    """With the arrows among the patient's parts, of which Tab takes one alone."""
    bus.tab_to(program, name, way)
    bus.key("space")


def by_keyboard(program):
    bus.focus_window()
    program.said("Training only, synthetic anatomy. Not for clinical use.")
    bus.tab_to(program, "I understand")
    bus.key("space")
    program.said("Go to the patient")
    bus.key("F4")
    program.said("mine.anatomy, saved")
    part(program, "Title and story", "Up")
    bus.tab_to(program, "Title")
    while bus.focused(program).name != "Title":
        bus.key("Tab")
        bus.spin()
    write(TITLE)
    program.said("mine.anatomy, not saved")
    bus.tab_to(program, "Title and story", "shift+Tab")
    part(program, "Bladder", "Down")
    bus.tab_to(program, "Volume")
    write("412")
    bus.key("Return")
    program.said("True volume 412")
    bus.tab_to(program, "Bladder", "shift+Tab")
    part(program, "Structures", "Down")
    bus.tab_to(program, "Cyst")
    bus.key("space")
    program.said("1. Cyst")
    bus.tab_to(program, "Duplicate")
    bus.key("space")
    program.said("2. Cyst")
    bus.key("ctrl+z")
    gone(program, "2. Cyst")
    bus.key("ctrl+s")
    program.said("mine.anatomy, saved")


def set_text(program, name, text):
    node = bus.wait(f"a text “{name}”", lambda: next(
        (each for each in bus.walk(program.root) if name == each.name
         and "EditableText" in pyatspi.listInterfaces(each)), None))
    node.queryEditableText().setTextContents(text)
    bus.spin()


def set_value(program, name, value):
    node = bus.wait(f"a number “{name}”", lambda: next(
        (each for each in bus.walk(program.root) if name == each.name
         and each.getRole() == pyatspi.ROLE_SPIN_BUTTON), None))
    node.queryValue().currentValue = value
    bus.spin()


def press(program, name):
    """Exactly of that name: other pages have buttons too."""
    def found():
        for node in bus.walk(program.root):
            if node.name == name and node.getRole() in bus.CONTROLS \
                    and "click" in bus.actions_of(node):
                return node
        return None
    node = bus.wait(f"“{name}” can be pressed", found)
    node.queryAction().doAction(bus.actions_of(node).index("click"))
    bus.spin()


def by_names(program):
    press(program, "I understand")
    bus.wait("the briefing", lambda: program.named("Woman of 34", {pyatspi.ROLE_HEADING}))
    frame = program.named("", {pyatspi.ROLE_FRAME})
    frame.queryAction().doAction(bus.actions_of(frame).index("window.edit-patient"))
    program.said("mine.anatomy, saved")
    press(program, "Title and story")
    set_text(program, "Title", TITLE)
    press(program, "Bladder")
    set_value(program, "Volume", 412)
    program.said("True volume 412")
    press(program, "Structures")
    press(program, "Cyst")
    press(program, "Duplicate")
    program.said("2. Cyst")
    press(program, "Undo")
    gone(program, "2. Cyst")
    press(program, "Save")
    program.said("mine.anatomy, saved")
    bus.all_named(program)


def check(path, cli):
    subprocess.run([cli, "check", path], check=True, stdout=subprocess.DEVNULL)
    file = configparser.ConfigParser(interpolation=None, strict=False)
    file.optionxform = str
    file.read(path, encoding="utf-8")
    text = {key: value for section in file.values() for key, value in section.items()}
    structures = [name for name in file.sections() if name.startswith("Structure")]
    assert text["title"] == TITLE, text["title"]
    assert float(text["volume-ml"]) == 412, text["volume-ml"]
    assert len(structures) == 1, structures


def main():
    way, path, patients, cli = sys.argv[1:5]
    print("1..1", flush=True)
    program = None
    with tempfile.TemporaryDirectory() as folder:
        mine = os.path.join(folder, "mine.anatomy")
        with open(os.path.join(patients, "01-plain-adult.anatomy"), encoding="utf-8") as file:
            text = file.read()
        with open(mine, "w", encoding="utf-8") as file:
            file.write(text)
        try:
            program = bus.Program(path, patients, mine)
            {"keyboard": by_keyboard, "names": by_names}[way](program)
            check(mine, cli)
            program.end()
            print(f"ok 1 - a patient written by {way}")
        except (AssertionError, KeyError, subprocess.SubprocessError) as problem:
            print(f"not ok 1 - a patient written by {way}: {problem!r}")
            if program is not None:
                program.process.kill()
            sys.exit(1)


main()
