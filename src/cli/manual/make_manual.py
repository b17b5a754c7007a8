# SPDX-License-Identifier: Apache-2.0
"""Writes man pages and shell completions from the program's own --help and from docs/man.

    make_manual.py PROGRAM PROSE_FOLDER CHANGELOG OUTPUT_FOLDER

A command that the help names gets its page and completions by itself; prose/NAME.md adds to them. The date on
the pages is that of the newest entry in the package's changelog, so that the same source gives the same bytes.
"""
import email.utils
import pathlib
import re
import shutil
import sys

import completions
from help_text import ask, read_help
from man_page import man_page


def release_date(changelog):
    stamp = re.search(r"^ -- .*?>  (.*)$", changelog.read_text(encoding="utf-8"), re.MULTILINE)
    return email.utils.parsedate_to_datetime(stamp[1]).strftime("%Y-%m-%d")


def write(path, text):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def main():
    if len(sys.argv) != 5:
        sys.exit("usage: make_manual.py PROGRAM PROSE_FOLDER CHANGELOG OUTPUT_FOLDER")
    program, prose, changelog, output = sys.argv[1], *map(pathlib.Path, sys.argv[2:])
    commands = read_help(program)
    names = list(commands[0].commands)
    texts = {path.stem: path.read_text(encoding="utf-8") for path in prose.glob("*.md")}
    stamp = (release_date(changelog), ask(program, "--version").split()[1])
    # Nothing of a command that is gone stays behind.
    shutil.rmtree(output, ignore_errors=True)
    for command in commands:
        title = f"coolband-{command.name}" if command.name else "coolband"
        write(output / "man1" / f"{title}.1", man_page(command, names, texts, stamp))
    write(output / "bash" / "coolband", completions.bash(commands))
    write(output / "zsh" / "_coolband", completions.zsh(commands))
    write(output / "fish" / "coolband.fish", completions.fish(commands))


if __name__ == "__main__":
    main()
