#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# What a desktop reads about the program, by the validators of freedesktop.org's own
# specifications; and that these files agree on names and version.
#
# usage: desktop.py ENTRY.desktop METAINFO.xml UI-FOLDER VERSION
import configparser
import subprocess
import sys
import xml.etree.ElementTree as xml
from pathlib import Path

ID = "org.tarn.Tarn"


def run(*command):
    """What a validator complains of.  One that is missing is a complaint."""
    try:
        done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                              text=True, check=False)
    except FileNotFoundError:
        return [f"{command[0]} is missing: .ci/packages test installs it"]
    return [] if done.returncode == 0 else done.stdout.strip().split("\n")


def check_agreement(entry, metainfo, ui, version):
    desktop = configparser.ConfigParser(interpolation=None)
    desktop.optionxform = str
    desktop.read(entry, encoding="utf-8")
    root = xml.parse(metainfo).getroot()
    mime = xml.parse(ui / f"{ID}.mime.xml").getroot()
    kind = mime[0].get("type")
    facts = {
        "the entry's file name": (Path(entry).name, f"{ID}.desktop"),
        "its icon": (desktop["Desktop Entry"]["Icon"], ID),
        "its file type": (desktop["Desktop Entry"]["MimeType"], f"{kind};"),
        "metainfo's id": (root.findtext("id"), ID),
        "its launchable": (root.findtext("launchable"), f"{ID}.desktop"),
        "its file type": (root.findtext("provides/mediatype"), kind),
        "its newest release": (root.find("releases/release").get("version"), version),
        "its content rating": (root.find("content_rating").get("type"), "oars-1.1"),
    }
    return [f"{what} is {found}, not {wanted}"
            for what, (found, wanted) in facts.items() if found != wanted]


def check_icons(ui):
    """Both icons are square, plain SVG, without text, pictures or anything from elsewhere."""
    for name, side in ((f"{ID}.svg", "128"), (f"{ID}-symbolic.svg", "16")):
        root = xml.parse(ui / "icons" / name).getroot()
        if (root.get("width"), root.get("height")) != (side, side):
            yield f"{name} is not {side} by {side}"
        for node in root.iter():
            kind = node.tag.split("}")[-1]
            if kind in ("text", "image", "script", "foreignObject", "filter"):
                yield f"{name} has <{kind}>"


def main():
    entry, metainfo, ui, version = sys.argv[1], sys.argv[2], Path(sys.argv[3]), sys.argv[4]
    checks = {
        "desktop-entry": run("desktop-file-validate", entry),
        "metainfo": run("appstreamcli", "validate", "--no-net", metainfo),
        "they-agree": check_agreement(entry, metainfo, ui, version),
        "icons": list(check_icons(ui)),
    }
    print(f"1..{len(checks)}")
    for index, (name, faults) in enumerate(checks.items(), 1):
        for fault in faults:
            print(f"# {fault}")
        print(f"{'not ok' if faults else 'ok'} {index} {name}")


main()
