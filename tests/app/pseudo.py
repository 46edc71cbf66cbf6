#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
#
# A language nobody speaks, to see whether pages bear long words: every text of the program with
# accents, half as long again, between ⟦ and ⟧.  Writes FOLDER/qq/LC_MESSAGES/tarn.mo, which
# LANGUAGE=qq shows.
#
# usage: pseudo.py SOURCE-ROOT FOLDER
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ACCENTS = str.maketrans("aceinouyACEINOUY", "áçéîñöûýÁÇÉÎÑÖÛÝ")
# What must stay as it is: directives of printf, markup, entities, escapes in a .po file.
KEPT = re.compile(r'%%|%[-+ 0#]*\d*(?:\.\d+)?(?:l|ll|h|z)?[a-zA-Z]|<[^>]+>|&\w+;|\\.')


def stretch(text):
    parts, last = [], 0
    for match in KEPT.finditer(text):
        parts += [text[last:match.start()].translate(ACCENTS), match.group(0)]
        last = match.end()
    parts.append(text[last:].translate(ACCENTS))
    length = len(KEPT.sub("", text))
    padding, word = "", " lôngér"
    while len(padding) < length * 0.4:
        padding += word if length > 12 else "ö"
    body, end = "".join(parts), ""
    while body.endswith("\\n"):
        body, end = body[:-2], end + "\\n"
    return f"⟦{body}{padding}⟧{end}"


def unquote(block):
    return "".join(re.findall(r'"((?:\\.|[^"\\])*)"', block))


def translate(entry):
    """One entry of a .pot file with its translation."""
    text = re.search(r'^msgid ((?:"(?:\\.|[^"\\])*"\n?)+)', entry, re.M)
    if not text:
        return entry
    singular = unquote(text.group(1))
    if singular == "":
        return ('msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n'
                '"Plural-Forms: nplurals=2; plural=n != 1;\\n"\n')
    plural = re.search(r'^msgid_plural ((?:"(?:\\.|[^"\\])*"\n?)+)', entry, re.M)
    head = entry[:entry.index("msgstr")]
    if plural:
        return (f'{head}msgstr[0] "{stretch(singular)}"\n'
                f'msgstr[1] "{stretch(unquote(plural.group(1)))}"\n')
    if singular == "translator-credits":
        return f'{head}msgstr "nobody"\n'
    return f'{head}msgstr "{stretch(singular)}"\n'


def main():
    root, target = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    target = target / "qq/LC_MESSAGES"
    target.mkdir(parents=True, exist_ok=True)
    template = subprocess.run(
        ["xgettext", "--from-code=UTF-8", "--files-from=po/POTFILES.in", "--output=-",
         "--keyword=_", "--keyword=N_", "--keyword=C_:1c,2", "--flag=N_:1:pass-c-format"],
        cwd=root, stdout=subprocess.PIPE, text=True, encoding="utf-8", check=True).stdout
    entries = [translate(entry) for entry in template.split("\n\n")]
    with tempfile.NamedTemporaryFile("w", suffix=".po", encoding="utf-8") as po:
        po.write("\n\n".join(entries) + "\n")
        po.flush()
        subprocess.run(["msgfmt", "--check-format", f"--output-file={target / 'tarn.mo'}",
                        po.name], check=True)
    print(f"{len(entries) - 1} texts")


main()
