# SPDX-License-Identifier: Apache-2.0
"""Runs every example of docs/formats.md: what stands there must be what the program does."""
import gzip
import json
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent
PROGRAM = ""
FACTS = ""
EXAMPLE = re.compile(r"^```log (\S+)\n(.*?)^```\n```reads\n(.*?)^```$", re.DOTALL | re.MULTILINE)
# Every layout and every way to write a log that the program knows by name must have an example.
COVERED = {
    "format": {"csv", "json array", "json lines", "json columns", "json rows"},
    "shape": {"wide", "one signal a row", "long", "SAE J1979 frames", "SAE J1939 frames"},
}


def run(*command):
    return subprocess.run(list(map(str, command)), capture_output=True, text=True, timeout=60,
                          encoding="utf-8", check=False)


class Reading:
    """What the program says of one example."""

    def __init__(self, path, options):
        self.run = run(PROGRAM, "inspect", path, "--format", "json", *options)
        self.document = json.loads(self.run.stdout) if self.run.returncode == 0 else None
        facts = run(FACTS, *options, path)
        self.values = json.loads(facts.stdout)["first"] if facts.returncode == 0 else None

    def words(self, key):
        return [item if isinstance(item, str) else item["reason"]
                for item in self.document["import"][key]]

    def column(self, role):
        for column in self.document["import"]["columns"]:
            if column["role"] == role:
                return f"{column['heading']} [{column['unit']}]"
        return None


class Formats(unittest.TestCase):
    def setUp(self):
        text = (SOURCE / "docs" / "formats.md").read_text(encoding="utf-8")
        self.examples = EXAMPLE.findall(text)
        self.assertEqual(len(self.examples), text.count("```log "), "a log has no expectation")
        self.assertGreater(len(self.examples), 25)

    def check(self, reading, key, wanted):
        lists = {"set aside": "set_aside", "missing": "missing_cells", "event": "clock_events",
                 "note": "notes", "ignored": "ignored"}
        if key == "refused":
            self.assertEqual(reading.run.returncode, 3, reading.run.stdout)
            self.assertIn(wanted, reading.run.stderr)
            return
        self.assertEqual(reading.run.returncode, 0, reading.run.stderr)
        how = reading.document["import"]
        if key in ("format", "shape", "clock", "encoding", "compression"):
            self.assertEqual(how[key], wanted)
        elif key == "coolant values":
            self.assertEqual(" ".join(f"{value:g}" for value in reading.values), wanted)
        elif key == "kept":
            kept = sum(trip["rows"] for trip in reading.document["trips"])
            self.assertEqual(f"{kept} of {how['rows']}", wanted)
        elif key == "trips":
            self.assertEqual(str(len(reading.document["trips"])), wanted)
        elif key in lists:
            words = reading.words(lists[key])
            self.assertTrue(any(wanted in word for word in words), f"{wanted!r} not in {words}")
        else:
            self.assertEqual(reading.column(key), wanted)

    def test_every_example_reads_as_it_says(self):
        seen = {key: set() for key in COVERED}
        with tempfile.TemporaryDirectory() as folder:
            for name, log, reads in self.examples:
                path = pathlib.Path(folder) / name
                path.write_text(log, encoding="utf-8")
                lines = [line.split(": ", 1) for line in reads.splitlines()]
                self.assertTrue(lines, name)
                options = [word for key, value in lines if key == "options"
                           for word in shlex.split(value)]
                reading = Reading(path, options)
                for key, value in lines:
                    with self.subTest(example=name, line=f"{key}: {value}"):
                        if key != "options":
                            self.check(reading, key, value)
                for key in seen:
                    if reading.document:
                        seen[key].add(reading.document["import"][key])
        self.assertEqual(seen, COVERED)

    def test_the_same_bytes_in_gzip_and_in_utf_16_read_the_same(self):
        with tempfile.TemporaryDirectory() as folder:
            for name, log, reads in self.examples:
                if "options: " in reads or "refused: " in reads:
                    continue
                plain, packed, wide = (pathlib.Path(folder) / (kind + name) for kind in "pgw")
                plain.write_text(log, encoding="utf-8")
                packed.write_bytes(gzip.compress(log.encode()))
                wide.write_text(log, encoding="utf-16")
                expected = Reading(plain, [])
                for path, key, value in ((packed, "compression", "gzip"), (wide, "encoding", "UTF-16")):
                    with self.subTest(example=name, written=value):
                        reading = Reading(path, [])
                        self.assertEqual(reading.values, expected.values)
                        self.assertEqual(reading.document["import"][key], value)


if __name__ == "__main__":
    PROGRAM, FACTS = map(pathlib.Path, sys.argv[1:3])
    unittest.main(argv=sys.argv[:1])
