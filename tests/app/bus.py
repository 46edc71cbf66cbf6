#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# bus.py keyboard|names PROGRAM PATIENTS: a whole attempt in the running program, from the first
# start to the truth.
#
# keyboard: with real key presses alone.  The accessibility bus only tells what has the focus and
# what has been said, as a screen reader would.
# names: without keys or pointer: each control by its name and role on the accessibility bus,
# each with a name.
import os
import subprocess
import sys
import time

import gi
gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402
import pyatspi  # noqa: E402

PATIENCE_S = 200
FOCUS_S = 0.5  # for the focus to move, where it does
CONTROLS = {pyatspi.ROLE_PUSH_BUTTON, pyatspi.ROLE_TOGGLE_BUTTON, pyatspi.ROLE_CHECK_BOX,
            pyatspi.ROLE_RADIO_BUTTON, pyatspi.ROLE_SLIDER, pyatspi.ROLE_SPIN_BUTTON,
            pyatspi.ROLE_COMBO_BOX}


def spin():
    """Lets news of the bus arrive; without it the tree that is seen stays as it was."""
    context = GLib.MainContext.default()
    for _ in range(200):
        if not context.iteration(False):
            break


def children(node):
    for index in range(node.childCount):
        child = node.getChildAtIndex(index)
        if child is not None:
            yield child


def walk(node):
    """Every node from outside in.  GTK 4.8 says of none whether its page of a stack is the one
    that is shown, so all pages are there at any time."""
    try:
        yield node
        for child in children(node):
            yield from walk(child)
    except GLib.Error:
        return


def wait(what, found):
    """The first thing that found() returns; fails with @what after PATIENCE_S."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        spin()
        result = found()
        if result:
            return result
        time.sleep(0.1)
    raise AssertionError(what)


class Program:
    def __init__(self, program, patients, *arguments):
        # Warnings are fatal for the program alone: the bus warns its own clients of nothing much.
        environment = dict(os.environ, TARN_ANATOMIES=patients, G_DEBUG="fatal-warnings")
        self.process = subprocess.Popen([program, "--seed", "11", *arguments], env=environment,
                                        stdout=subprocess.DEVNULL)
        self.root = wait("the program on the bus", self.application)
        wait("a window", lambda: list(children(self.root)))

    def application(self):
        for node in children(pyatspi.Registry.getDesktop(0)):
            try:
                if node.get_process_id() == self.process.pid:
                    return node
            except GLib.Error:
                continue
        return None

    def named(self, name, roles=None):
        for node in walk(self.root):
            if name in (node.name or "") and (roles is None or node.getRole() in roles):
                return node
        return None

    def said(self, text):
        return wait(f"“{text}”", lambda: self.named(text))

    def end(self):
        assert self.process.poll() is None, f"the program ended by itself: {self.process.poll()}"
        self.process.terminate()
        self.process.wait()


# ---- By keys ----

def press_keys(*names):
    subprocess.run(["xdotool", "key", *names], check=True)


def key(*names):
    press_keys(*names)
    time.sleep(0.15)


def focus_window():
    window = subprocess.run(["xdotool", "search", "--sync", "--onlyvisible", "--name", ".*"],
                            capture_output=True, text=True, timeout=PATIENCE_S,
                            check=True).stdout.split()[0]
    subprocess.run(["xdotool", "windowfocus", "--sync", window], check=True)


class Focus:
    """Where it is, from the news of the bus: to look for it takes a second, at every key."""

    def __init__(self):
        self.node, self.moves = None, 0
        self.listener = Atspi.EventListener.new(self.on_event)
        self.listener.register("object:state-changed:focused")

    def on_event(self, event):
        if event.detail1:
            self.node, self.moves = event.source, self.moves + 1

    def wait(self, moves):
        """Until it has moved more often, or does not."""
        end = time.monotonic() + FOCUS_S
        while self.moves == moves and time.monotonic() < end:
            spin()
            time.sleep(0.01)


focus = Focus()


def is_focused(node):
    try:
        return node is not None and node.getState().contains(pyatspi.STATE_FOCUSED)
    except GLib.Error:
        return False


def focused(program):
    spin()
    if not is_focused(focus.node):
        focus.node = next((node for node in walk(program.root) if is_focused(node)), None)
    return focus.node


def tab_to(program, name, step="Tab"):
    """Goes through the page with one key until what has the focus has that name."""
    seen = []
    for _ in range(60):
        spin()
        node = focused(program)
        if node is not None:
            seen.append(node.name or "")
            if name in (node.name or ""):
                return
        moves = focus.moves
        press_keys(step)
        focus.wait(moves)
    raise AssertionError(f"{step} never comes to “{name}”, but to {seen}")


def by_keyboard(program):
    focus_window()
    program.said("Training only, synthetic anatomy. Not for clinical use.")
    tab_to(program, "I understand")
    key("space")
    tab_to(program, "Woman of 34")
    key("Return")
    tab_to(program, "Go to the patient")
    key("space")
    program.said("off the skin")
    key("g")
    key("g")
    key("0")
    program.said("pressure")
    key("Up")
    key("Up")
    key("ctrl+Down")
    key("s")
    program.said("Readings and judgement (1)")
    key("j")
    tab_to(program, "Use it")
    key("space")
    tab_to(program, "Nothing")
    key("Down")
    tab_to(program, "Add to the note")
    key("space")
    tab_to(program, "Show the truth")
    key("space")
    program.said("the bladder held")


# ---- By names ----

def actions_of(node):
    """What the node can do now.  GTK 4.8 counts what cannot be done now, but does not name it."""
    actions = node.queryAction()
    names = []
    for index in range(actions.nActions):
        try:
            names.append(actions.getName(index))
        except GLib.Error:
            names.append(None)
    return names


def press(program, name, roles=CONTROLS, what="click"):
    node = wait(f"a control “{name}”", lambda: program.named(name, roles))
    wait(f"“{name}” can be pressed", lambda: what in actions_of(node))
    node.queryAction().doAction(actions_of(node).index(what))
    spin()


def unnamed(program):
    """Visible controls without a name, but for parts of another control.  GTK gives who has
    none the name of its type."""
    bad = []
    for node in walk(program.root):
        parts = node.parent is not None and node.parent.getRole() in CONTROLS
        visible = node.getState().contains(pyatspi.STATE_VISIBLE)
        if (node.getRole() in CONTROLS and visible and not parts
                and (not node.name or node.name.startswith(("Gtk", "Tarn")))):
            bad.append(node.getRoleName() + " in " + str(node.parent))
    return bad


def all_named(program):
    bad = unnamed(program)
    assert not bad, f"without a name: {bad}"


def by_names(program):
    press(program, "I understand")
    press(program, "Woman of 34", {pyatspi.ROLE_TABLE_CELL}, "card.open")
    wait("the briefing", lambda: program.named("Woman of 34", {pyatspi.ROLE_HEADING}))
    press(program, "Go to the patient")
    program.said("off the skin")
    press(program, "Gel 10 g")
    press(program, "Gel 10 g")
    press(program, "Probe down")
    program.said("pressure")
    press(program, "Sweep")
    program.said("Readings and judgement (1)")
    press(program, "Readings and judgement")
    wait("the judgement", lambda: program.named("Use it", CONTROLS))
    press(program, "Use it", what="choice.press")
    press(program, "Show the truth")
    program.said("the bladder held")
    all_named(program)


def main():
    way, path, patients = sys.argv[1:4]
    print("1..1", flush=True)
    program = None
    try:
        program = Program(path, patients)
        {"keyboard": by_keyboard, "names": by_names}[way](program)
        program.end()
        print(f"ok 1 - a whole attempt by {way}")
    except (AssertionError, subprocess.SubprocessError) as problem:
        print(f"not ok 1 - a whole attempt by {way}: {problem}")
        if program is not None:
            program.process.kill()
        sys.exit(1)


if __name__ == "__main__":
    main()
