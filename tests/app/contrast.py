#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The style sheet's colours by WCAG 2.2 (criteria 1.4.3 and 1.4.11): text 4.5 : 1 on its ground,
# marks and edges of what can be pressed 3 : 1.  Pairs are read from the rules themselves, and a
# list adds what stands on another rule's ground.
#
# usage: contrast.py STYLE.CSS
import re
import sys
from pathlib import Path

TEXT, MARK = 4.5, 3.0

# What is drawn on which ground, beyond rules that set both.
PAIRS = [(f"{theme}_{front}", f"{theme}_{ground}", least)
         for theme in ("light", "dark")
         for ground in ("ground", "card")
         for front, least in (("text", TEXT), ("quiet", TEXT), ("accent", TEXT))]
PAIRS += [("light_text", "light_raised", TEXT), ("dark_text", "dark_raised", TEXT),
          ("dark_accent", "view_ground", MARK),
          ("view_text", "view_ground", TEXT), ("view_quiet", "view_ground", TEXT)]
# Marks of meaning lie on the views' dark ground, or have a dark halo on an image.
PAIRS += [(f"meaning_{name}", "view_ground", MARK)
          for name in ("truth", "measured", "clipped", "shadowed", "contact", "other_fluid")]
PAIRS += [("meaning_measured_on_light", "light_card", TEXT)]

# Okabe and Ito's colours as published (Color Universal Design, 2008), by our names.
OKABE_ITO = {"meaning_truth": "#E69F00", "meaning_measured": "#56B4E9",
             "meaning_measured_on_light": "#0072B2", "meaning_clipped": "#D55E00",
             "meaning_shadowed": "#CC79A7", "meaning_contact": "#0072B2",
             "light_accent": "#0072B2", "dark_accent": "#56B4E9"}


def luminance(colour):
    """Relative luminance as WCAG defines it."""
    parts = [int(colour[k:k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def hue_is_green_or_yellow(colour):
    red, green, blue = (int(colour[k:k + 2], 16) for k in (1, 3, 5))
    most, least = max(red, green, blue), min(red, green, blue)
    if most - least < 40:
        return False
    if most == red:
        hue = 60 * (green - blue) / (most - least)
    elif most == green:
        hue = 120 + 60 * (blue - red) / (most - least)
    else:
        hue = 240 + 60 * (red - green) / (most - least)
    return 48 <= hue <= 170


def rules_of(sheet):
    plain = re.sub(r"/\*.*?\*/", "", sheet, flags=re.S)
    for match in re.finditer(r"([^{}]+)\{([^}]*)\}", plain):
        yield match.group(1).strip(), match.group(2)


def value_in(body, names):
    for name in names:
        match = re.search(rf"(?:^|;)\s*{name}\s*:\s*@(\w+)\s*(?=;|$)", body)
        if match:
            return match.group(1)
    return None


def known_values():
    """The formula against published ratios: the two ends of the scale, the grey that WebAIM's
    checker gives 4.48, and the blue that it gives 5.19, each on white."""
    cases = [("#000000", 21.0), ("#FFFFFF", 1.0), ("#777777", 4.48), ("#0072B2", 5.19)]
    return [f"{colour} on white is {contrast(colour, '#FFFFFF'):.3f}, not {wanted}"
            for colour, wanted in cases if abs(contrast(colour, "#FFFFFF") - wanted) > 0.005]


def main():
    sheet = Path(sys.argv[1]).read_text(encoding="utf-8")
    colours = dict(re.findall(r"@define-color (\w+) (#[0-9A-Fa-f]{6});", sheet))
    faults = {"formula": known_values(), "rules": [], "pairs": [], "okabe-ito": [],
              "neither-green-nor-yellow": [], "every-colour-is-named": []}
    rules = 0
    for selector, body in rules_of(sheet):
        front = value_in(body, ["color"])
        ground = value_in(body, ["background-color", "background"])
        if front and ground:
            rules += 1
            ratio = contrast(colours[front], colours[ground])
            if ratio < TEXT:
                faults["rules"].append(f"{selector}: {front} on {ground} is {ratio:.2f}")
        if re.search(r"#[0-9A-Fa-f]{3,8}|rgba?\(", body):
            faults["every-colour-is-named"].append(selector)
    if rules < 8:
        faults["rules"].append(f"only {rules} rules were understood")
    for front, ground, least in PAIRS:
        ratio = contrast(colours[front], colours[ground])
        if ratio < least:
            faults["pairs"].append(f"{front} on {ground} is {ratio:.2f}, less than {least}")
    for name, published in OKABE_ITO.items():
        if colours[name].upper() != published:
            faults["okabe-ito"].append(f"{name} is {colours[name]}, not {published}")
    for name, colour in colours.items():
        if hue_is_green_or_yellow(colour):
            faults["neither-green-nor-yellow"].append(f"{name} {colour}")

    print(f"1..{len(faults)}")
    for index, (name, lines) in enumerate(faults.items(), 1):
        for line in lines:
            print(f"# {line}")
        print(f"{'not ok' if lines else 'ok'} {index} {name}")


main()
