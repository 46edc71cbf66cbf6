#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The window of shortcuts names every key that the bedside listens to, and each only once in a
# section.
#
# usage: keys.py SHORTCUTS.UI BEDSIDE-KEYS.C
import re
import sys
import xml.etree.ElementTree as xml
from pathlib import Path

# Said with another: the keypad's keys, = for +, what Shift makes of comma and period.
SAID_WITH_ANOTHER = re.compile(r"KP_\w+|equal|less|greater")


def listed_keys(path):
    """Section by section, each key as (name, modifiers)."""
    for section in xml.parse(path).getroot().iter("object"):
        if section.get("class") != "GtkShortcutsSection":
            continue
        keys = []
        for shown in section.iter("property"):
            if shown.get("name") == "accelerator":
                for word in shown.text.split():
                    keys.append((word.rsplit(">", 1)[-1],
                                 tuple(sorted(re.findall(r"<(\w+)>", word)))))
        yield keys


def main():
    sections = list(listed_keys(sys.argv[1]))
    names = {name.lower() for section in sections for name, _ in section}
    code = Path(sys.argv[2]).read_text(encoding="utf-8")
    heard = {key for key in re.findall(r"GDK_KEY_(\w+)", code)
             if not SAID_WITH_ANOTHER.fullmatch(key)}
    twice = sorted({key for section in sections for key in section if section.count(key) > 1})
    faults = {
        "every-key-is-named": [f"{key} is not named" for key in sorted(heard)
                               if key.lower() not in names],
        "none-is-named-twice": [f"{key} is named twice" for key in twice],
        "something-was-read": [] if len(heard) > 15 and len(names) > 20 else ["too few keys"],
    }
    print(f"1..{len(faults)}")
    for index, (name, lines) in enumerate(faults.items(), 1):
        for line in lines:
            print(f"# {line}")
        print(f"{'not ok' if lines else 'ok'} {index} {name}")


main()
