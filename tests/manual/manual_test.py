# SPDX-License-Identifier: Apache-2.0
"""Man pages and completions against the --help of every command, read here a second time and more simply.

    manual_test.py PROGRAM MANUAL_FOLDER

Where mandoc, man, zsh or fish is not installed, what needs it is left out, and said.
"""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = ""
MANUAL = pathlib.Path()
OPTION = re.compile(r"(?<![\w-])--?[a-z][a-z0-9-]*")
HELP_LINE = re.compile(r"^  (-\S+)(.*)$", re.MULTILINE)


def run(*command, **more):
    more = {"encoding": "utf-8", "capture_output": True, "timeout": 120, "check": False} | more
    return subprocess.run(list(map(str, command)), **more)


def help_of(*words):
    return run(PROGRAM, *words, "--help").stdout


def options_of(text):
    return {name for names, _ in HELP_LINE.findall(text) for name in names.split(",")}


def choices_of(text):
    """The choices of every option that has some."""
    found = {}
    for names, rest in HELP_LINE.findall(text):
        if choices := re.search(r":\{([^}]*)\}", rest):
            found |= {name: set(choices[1].split(",")) for name in names.split(",")}
    return found


def commands():
    block = help_of().split("Subcommands:\n")[1].split("\n\n")[0]
    return re.findall(r"^  (\S+)", block, re.MULTILINE)


HELP = {}  # by command; "" is the program itself


def page_of(name):
    return MANUAL / "man1" / (f"coolband-{name}.1" if name else "coolband.1")


def shown(text):
    """The page as it is read, without fonts."""
    return re.sub(r"\\f[BIR]", "", text).replace(r"\-", "-").replace(r"\(aq", "'").replace(r"\&", "")


def section(name, heading):
    part = page_of(name).read_text(encoding="utf-8").split(f"\n.SH {heading}\n")
    return part[1].split("\n.SH ")[0] if len(part) > 1 else ""


def spelt_in(name):
    """The options that have an entry of their own in OPTIONS."""
    terms = re.findall(r"^\.TP\n(.*)$", section(name, "OPTIONS"), re.MULTILINE)
    return {option for term in terms if term.startswith(r"\fB\-") for option in OPTION.findall(shown(term))}


class ManPages(unittest.TestCase):
    def test_a_page_for_every_command_and_for_nothing_else(self):
        wanted = {page_of(name).name for name in HELP}
        self.assertEqual({path.name for path in (MANUAL / "man1").iterdir()}, wanted)
        self.assertGreater(len(wanted), 8)

    def test_prose_only_for_what_exists(self):
        prose = {path.stem for path in (SOURCE / "docs/man").glob("*.md")}
        self.assertEqual(prose - {"shared", "coolband"} - set(HELP), set())
        for name in sorted(set(HELP) - prose - {""}):
            print(f"docs/man/{name}.md is missing: its page says no more than --help", file=sys.stderr)

    def test_every_option_has_its_entry_and_no_other(self):
        for name, text in HELP.items():
            with self.subTest(command=name):
                self.assertEqual(spelt_in(name), options_of(text))

    def test_every_choice_is_told(self):
        for name, text in HELP.items():
            told = shown(section(name, "OPTIONS"))
            for option, choices in choices_of(text).items():
                with self.subTest(command=name, option=option):
                    self.assertTrue(all(choice in told for choice in choices))

    def test_prose_names_no_option_that_is_gone(self):
        known = {option for text in HELP.values() for option in options_of(text)}
        for path in (SOURCE / "docs/man").glob("*.md"):
            named = set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", path.read_text(encoding="utf-8")))
            own = known if path.stem in ("shared", "coolband") else options_of(HELP[path.stem])
            with self.subTest(prose=path.name):
                # A page may speak of what another command has only beside that command's name.
                for option in sorted(named - own):
                    text = path.read_text(encoding="utf-8")
                    others = [name for name in HELP if name and option in options_of(HELP[name])]
                    self.assertTrue(any(f"coolband {name}" in text for name in others), option)

    def test_the_sections_that_a_reader_expects(self):
        for name in HELP:
            text = page_of(name).read_text(encoding="utf-8")
            headings = re.findall(r"^\.SH (.*)$", text, re.MULTILINE)
            wanted = ["NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS", "EXIT STATUS", "EXAMPLES", "SEE ALSO"]
            with self.subTest(command=name):
                self.assertEqual([heading for heading in headings if heading in wanted], wanted)
                self.assertEqual(len(headings), len(set(headings)))
                others = set(re.findall(r"coolband-(\w+)\(1\)", shown(section(name, "SEE ALSO"))))
                self.assertEqual(others, set(HELP) - {"", name})

    def test_exit_codes_as_the_program_tells_them(self):
        told = set(re.findall(r"(?:^|; |\n)(?:Exit codes: )?(\d+) ", HELP[""].split("Exit codes")[1]))
        for name in HELP:
            codes = set(re.findall(r"^\\fB(\d+)\\fR$", section(name, "EXIT STATUS"), re.MULTILINE))
            fails = not name or "--fail-on" in options_of(HELP[name])
            with self.subTest(command=name):
                self.assertEqual(codes, {"0"} | (told if fails else told - {"1"}))

    def test_examples_of_the_help_are_shown(self):
        for name, text in HELP.items():
            examples = re.findall(r"^  (.*\S)$", re.split(r"\nExamples?:\n", text)[1], re.MULTILINE)
            self.assertGreater(len(examples), 0)
            for example in examples:
                with self.subTest(example=example):
                    self.assertIn(example, shown(section(name, "EXAMPLES")).replace(r"\e", "\\"))

    @unittest.skipUnless(shutil.which("mandoc"), "mandoc is not installed")
    def test_mandoc_finds_nothing_wrong(self):
        for name in HELP:
            result = run("mandoc", "-T", "lint", "-W", "warning", page_of(name))
            self.assertEqual((result.returncode, result.stdout + result.stderr), (0, ""))

    @unittest.skipUnless(shutil.which("man"), "man is not installed")
    def test_man_warns_of_nothing(self):
        for name in HELP:
            result = run("man", "--warnings", "-E", "UTF-8", "-l", "-Tutf8", "-Z", page_of(name),
                         env=os.environ | {"LC_ALL": "C.UTF-8"})
            self.assertEqual((result.returncode, result.stderr), (0, ""))


BASH = r"""
source "$1/bash/coolband"
shift
COMP_WORDS=("$@")
COMP_CWORD=$(($# - 1))
_coolband
printf '%s\n' "${COMPREPLY[@]}"
"""


class Completions(unittest.TestCase):
    def bash(self, *words, folder=None):
        result = run("bash", "--norc", "-c", BASH, "bash", MANUAL, *words, cwd=folder)
        self.assertEqual(result.stderr, "")
        return set(result.stdout.split())

    def fish(self, line, folder=None):
        result = run("fish", "--no-config", "-c", 'source "$argv[1]"; complete -C "$argv[2]"',
                     MANUAL / "fish" / "coolband.fish", line, cwd=folder)
        self.assertEqual((result.returncode, result.stderr), (0, ""))
        return {row.split("\t")[0] for row in result.stdout.splitlines()}

    def test_bash_offers_commands_options_and_choices(self):
        self.assertEqual(self.bash("coolband", ""), set(HELP) - {""} | options_of(HELP[""]))
        for name, text in HELP.items():
            words = ["coolband", name] if name else ["coolband"]
            with self.subTest(command=name):
                self.assertEqual(self.bash(*words, "-"), options_of(text))
                for option, choices in choices_of(text).items():
                    self.assertEqual(self.bash(*words, option, ""), choices)
                    self.assertEqual(self.bash(*words, option, "="), choices)
                    first = sorted(choices)[0]
                    self.assertIn(first, self.bash(*words, option, "=", first[:2]))

    def test_bash_offers_files_where_files_are_meant(self):
        with tempfile.TemporaryDirectory() as folder:
            (pathlib.Path(folder) / "trip.csv").touch()
            for words in (("check", ""), ("check", "--band", ""), ("check", "-o", "tr"), ("plan", "t"),
                          ("verify", "--after", "a.csv", "t"), ("learn", "--profile", "=", "tr")):
                with self.subTest(words=words):
                    self.assertEqual(self.bash("coolband", *words, folder=folder), {"trip.csv"})
            for words in (("coolant", ""), ("check", "--ambient", ""), ("learn", "--vehicle", "")):
                with self.subTest(words=words):
                    self.assertEqual(self.bash("coolband", *words, folder=folder), set())

    def test_zsh_knows_every_option_and_choice(self):
        text = (MANUAL / "zsh" / "_coolband").read_text(encoding="utf-8")
        parts = dict(re.findall(r"^        (\w+)\)\n(.*?);;", text, re.DOTALL | re.MULTILINE))
        self.assertEqual(set(parts), set(HELP) - {""})
        parts[""] = text.split("_arguments -C")[1].split("case $state")[0]
        for name, part in parts.items():
            specs = re.findall(r"^ +'(?:\([^)]*\)|\*)?(-[\w-]+)[=+]?\[(.*)$", part, re.MULTILINE)
            with self.subTest(command=name):
                self.assertEqual({option for option, _ in specs}, options_of(HELP[name]))
                told = {option: set(re.search(r":\(([^()]*)\)'", rest)[1].split())
                        for option, rest in specs if re.search(r":\(([^()]*)\)'", rest)}
                self.assertEqual(told, choices_of(HELP[name]))

    @unittest.skipUnless(shutil.which("zsh"), "zsh is not installed")
    def test_zsh_can_read_it(self):
        result = run("zsh", "-n", MANUAL / "zsh" / "_coolband")
        self.assertEqual((result.returncode, result.stderr), (0, ""))

    def test_fish_knows_every_option(self):
        text = (MANUAL / "fish" / "coolband.fish").read_text(encoding="utf-8")
        for name in set(HELP) - {""}:
            own = "\n".join(row for row in text.splitlines() if f"_from {name}'" in row)
            told = ({"--" + word for word in re.findall(r" -l (\S+)", own)} |
                    {"-" + word for word in re.findall(r" -s (\S+)", own)})
            with self.subTest(command=name):
                self.assertEqual(told, options_of(HELP[name]))

    @unittest.skipUnless(shutil.which("fish"), "fish is not installed")
    def test_fish_offers_commands_options_and_choices(self):
        with tempfile.TemporaryDirectory() as folder:
            (pathlib.Path(folder) / "trip.csv").touch()
            self.assertEqual(self.fish("coolband ", folder), set(HELP) - {""})
            self.assertEqual(self.fish("coolband check tr", folder), {"trip.csv"})
            self.assertEqual(self.fish("coolband coolant ", folder), set())
            for name in set(HELP) - {""}:
                with self.subTest(command=name):
                    self.assertEqual(self.fish(f"coolband {name} --", folder),
                                     {option for option in options_of(HELP[name]) if option.startswith("--")})
                    for option, choices in choices_of(HELP[name]).items():
                        self.assertEqual(self.fish(f"coolband {name} {option} ", folder), choices)


def main():
    global PROGRAM, MANUAL
    PROGRAM, MANUAL = (pathlib.Path(word).resolve() for word in sys.argv[1:3])
    HELP[""] = help_of()
    HELP.update({name: help_of(name) for name in commands()})
    unittest.main(argv=sys.argv[:1])


if __name__ == "__main__":
    main()
