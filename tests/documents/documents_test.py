# SPDX-License-Identifier: Apache-2.0
"""Runs the commands of the documents for users and compares what they show, finds their quotations in the source, and
compares the verdicts that data/demo/README.md promises.

    documents_test.py PROGRAM

In a document a block `sh` is run as it stands, all of one page in one folder that has `data` in it; a block `text` right
behind it shows lines of what was printed, in their order, with `...` for what was left out (and any rest at the end). A
line that begins with `>` quotes the program; … stands for what differs.
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = pathlib.Path()
PAGES = ("tutorial", "what-to-log", "limits", "troubleshooting")
BLOCK = re.compile(r"^```sh\n(.*?)^```\n(?:```text\n(.*?)^```$)?", re.DOTALL | re.MULTILINE)
QUOTE = re.compile(r"^ *(?:- )?> (.*)$", re.MULTILINE)
LITERALS = re.compile(r'(?<!\w)"(?:[^"\\\n]|\\.)*"(?:\s*"(?:[^"\\\n]|\\.)*")*')
LINK = re.compile(r"\]\((?!https?:)([^)#]+)\)")


def page(name):
    return (SOURCE / "docs" / f"{name}.md").read_text(encoding="utf-8")


def run(commands, folder):
    # -e: a command that fails ends the block; what is meant to fail says so with ||.
    return subprocess.run(["sh", "-e", "-c", commands], cwd=folder, encoding="utf-8", timeout=300, check=False,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          env={"PATH": f"{folder}/bin:{os.environ['PATH']}", "LC_ALL": "C", "TZ": "UTC",
                               "TERM": "dumb", "HOME": folder})


def furnished(folder):
    (pathlib.Path(folder) / "data").symlink_to(SOURCE / "data")
    (pathlib.Path(folder) / "bin").mkdir()
    (pathlib.Path(folder) / "bin" / "coolband").symlink_to(PROGRAM)
    return folder


def first_missing(shown, printed):
    """The first shown line that does not come in its turn; lines without `...` between them follow each other."""
    at, gap = 0, True
    for line in shown.splitlines():
        if line == "...":
            gap = True
            continue
        # The last word of a line may be cut short: a line that is shown begins the printed one.
        places = [i for i in range(at, len(printed)) if printed[i].startswith(line)]
        if not places or (not gap and places[0] != at):
            return line
        at, gap = places[0] + 1, False
    return None


def unescaped(literals):
    text = "".join(re.findall(r'"((?:[^"\\\n]|\\.)*)"', literals))
    return re.sub(r"\s+", " ", text.replace('\\"', '"').replace("\\n", " ").replace("\\\\", "\\"))


def literals_of_source():
    return [unescaped(found) for path in sorted((SOURCE / "src").rglob("*.cpp"))
            for found in LITERALS.findall(path.read_text(encoding="utf-8"))]


class Commands(unittest.TestCase):
    def check(self, name, least):
        blocks = BLOCK.findall(page(name))
        self.assertGreaterEqual(len(blocks), least)
        self.assertEqual(page(name).count("```text"), sum(1 for _, shown in blocks if shown), "a text without commands")
        with tempfile.TemporaryDirectory() as folder:
            furnished(folder)
            for commands, shown in blocks:
                result = run(commands, folder)
                with self.subTest(page=name, commands=commands):
                    self.assertEqual(result.returncode, 0, result.stdout)
                    self.assertIsNone(first_missing(shown, result.stdout.splitlines()), result.stdout)

    def test_tutorial(self):
        self.check("tutorial", 12)

    def test_what_to_log(self):
        self.check("what-to-log", 3)

    def test_limits(self):
        self.check("limits", 1)

    def test_troubleshooting(self):
        self.check("troubleshooting", 2)

    def test_journey_of_a_row(self):
        self.check("journey-of-a-row", 2)

    def test_a_line_that_was_not_printed_is_noticed(self):
        printed = ["one", "two", "three", "four"]
        self.assertIsNone(first_missing("one\n...\nfour\n", printed))
        self.assertIsNone(first_missing("two\nthr\n", printed))
        self.assertEqual(first_missing("one\nthree\n", printed), "three")
        self.assertEqual(first_missing("four\n...\none\n", printed), "one")
        self.assertEqual(first_missing("five\n", printed), "five")


class Quotations(unittest.TestCase):
    def test_every_quotation_is_the_program_s_own(self):
        source = literals_of_source()
        self.assertGreater(len(source), 3000)
        found = 0
        for name in PAGES[1:]:
            for quotation in QUOTE.findall(page(name)):
                parts = [re.escape(part) for part in quotation.split("…")]
                wanted = re.compile(r".*".join(parts))
                found += 1
                with self.subTest(page=name, quotation=quotation):
                    self.assertTrue(any(wanted.search(literal) for literal in source))
        self.assertGreater(found, 40)

    def test_the_check_can_fail(self):
        self.assertFalse(any("no such sentence in it" in literal for literal in literals_of_source()))


class Journey(unittest.TestCase):
    """What the journey names is there: files below src/, and functions or classes in them."""

    NAMED = re.compile(r"\(`([a-z_]+)/([a-z_0-9]+)`((?:[^()]|\([^)]*\))*)\)")

    def check_names(self, folder, first, words):
        """A word that is no file of the folder stands in the file named last."""
        texts = []
        for word in [first] + words:
            files = list((SOURCE / "src" / folder).glob(f"{word}.[ch]pp"))
            if files:
                texts = [path.read_text(encoding="utf-8") for path in files]
            else:
                name = word.rsplit("::", maxsplit=1)[-1]
                self.assertTrue(any(re.search(rf"\b{name}\b", text) for text in texts), f"{folder}: {word}")

    def test_files_and_functions_exist(self):
        steps = self.NAMED.findall(page("journey-of-a-row"))
        self.assertGreaterEqual(len(steps), 12)
        for folder, first, rest in steps:
            with self.subTest(folder=folder, file=first):
                self.check_names(folder, first, re.findall(r"`([A-Za-z_0-9:]+)`", rest))

    def test_a_name_that_is_not_there_is_noticed(self):
        with self.assertRaises(AssertionError):
            self.check_names("import", "format_sniff", ["sniff_nothing"])
        with self.assertRaises(AssertionError):
            self.check_names("import", "no_such_file", [])


class Links(unittest.TestCase):
    def test_pages_that_are_linked_exist(self):
        for name in PAGES + ("journey-of-a-row",):
            for target in LINK.findall(page(name)):
                with self.subTest(page=name, target=target):
                    self.assertTrue((SOURCE / "docs" / target).exists())


class DemoVerdicts(unittest.TestCase):
    """The table of verdicts in data/demo/README.md: what is said with the band, and with the profile alone."""
    ROW = re.compile(r"^\| (?:`(warden-\d)` )?`([\w.-]+)` \| (.*?) \| (.*?) \|$", re.MULTILINE)
    VERDICT = re.compile(r"^`([a-z-]+)`(?:, (\d+) %)?")

    @classmethod
    def setUpClass(cls):
        cls.demo = SOURCE / "data" / "demo"
        temporary = tempfile.TemporaryDirectory()
        cls.addClassCleanup(temporary.cleanup)
        cls.bands = pathlib.Path(temporary.name)
        for vehicle in ("warden-1", "warden-2", "warden-3"):
            subprocess.run([PROGRAM, "learn", *sorted((cls.demo / vehicle / "normal").iterdir()), "--vehicle", vehicle,
                            "--profile", cls.demo / f"{vehicle}.json", "--band", cls.bands / vehicle],
                           capture_output=True, check=True)

    def verdict(self, log, *known):
        result = subprocess.run([PROGRAM, "check", log, *known, "--format", "json", "-q"], capture_output=True, check=True)
        verdict = json.loads(result.stdout)["verdict"]
        return verdict["condition"], round(100.0 * verdict["confidence"])

    def test_the_table_is_true(self):
        table = (self.demo / "README.md").read_text(encoding="utf-8").split("## What coolband says")[1]
        rows = self.ROW.findall(table)
        self.assertGreater(len(rows), 10)
        vehicle = "warden-2"
        for named, log, by_band, by_profile in rows:
            # A vehicle is named where it changes.
            vehicle = named or vehicle
            path = self.demo / log if log == "tour.csv" else self.demo / vehicle / "trips" / log
            by_profile = by_band if by_profile == "the same" else by_profile
            for cell, known in ((by_band, ("--band", self.bands / vehicle)),
                                (by_profile, ("--profile", self.demo / f"{vehicle}.json"))):
                with self.subTest(log=log, known=known[0]):
                    condition, percent = self.VERDICT.match(cell).groups()
                    told = self.verdict(path, *known)
                    self.assertEqual(told[0], condition)
                    if percent:
                        self.assertEqual(told[1], int(percent))


if __name__ == "__main__":
    PROGRAM = pathlib.Path(sys.argv[1]).resolve()
    unittest.main(argv=sys.argv[:1])
