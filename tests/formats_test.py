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
SCENARIO = re.compile(r"^```scenario (\S+)\n(.*?)^```\n```simulates\n(.*?)^```$", re.DOTALL | re.MULTILINE)
# | `key` | unit | default | allowed | ... of a scenario
SCENARIO_KEY = re.compile(r"^\| `([\w.\[\]]+)` \|[^|]*\| ([^|]+) \| ([^|]+) \|", re.MULTILINE)
BOUNDS = re.compile(r"^(above )?(-?[\d.]+) to (-?[\d.]+)$")
NUMBER = re.compile(r"^-?[\d.]+$")
TRUE_COLUMN = re.compile(r"^\| `(true_\w+)` \|", re.MULTILINE)
# What an item of each list must have besides.
ITEM = {"route": {"kind": "road", "minutes": 1}, "faults": {"kind": "fan-dead"}, "gaps": {"to_s": 9}}
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


def with_key(path, value):
    """A short scenario in which the key at `path` ("route[].minutes") has `value`."""
    scenario = {"schema": "coolband.scenario/1", "route": [dict(ITEM["route"])]}
    place = scenario
    *groups, key = path.split(".")
    for group in groups:
        name = group.removesuffix("[]")
        if name == group:
            place = place.setdefault(name, {})
        else:
            place = place.setdefault(name, [dict(ITEM[name])])[0]
    if value is not None:
        place[key] = value
    return scenario


class Scenarios(unittest.TestCase):
    def setUp(self):
        text = (SOURCE / "docs" / "formats.md").read_text(encoding="utf-8")
        self.text = text[text.index("## `coolband.scenario/1`"):text.index("## `coolband.band/1`")]
        self.keys = SCENARIO_KEY.findall(self.text)

    def simulate(self, scenario, *options):
        return subprocess.run([str(PROGRAM), "simulate", "-", *options], input=json.dumps(scenario),
                              capture_output=True, text=True, timeout=60, check=False)

    def test_the_complete_example_drives_as_it_says(self):
        (_, scenario, wanted), = SCENARIO.findall(self.text)
        result = self.simulate(json.loads(scenario))
        self.assertEqual((result.returncode, result.stderr), (0, ""))
        heading, *rows = result.stdout.splitlines()
        told = {"heading": heading, "rows": str(len(rows)), "first time": rows[0].split(",")[0],
                "last time": rows[-1].split(",")[0]}
        self.assertEqual(dict(line.split(": ", 1) for line in wanted.splitlines()), told)

    def test_every_key_of_the_reader_is_told(self):
        source = (SOURCE / "src/cli/scenario_file.cpp").read_text(encoding="utf-8")
        read = set(re.findall(r'(?:number|flag|one_of|text)\("(\w+)"|^    \{"(\w+)", \{', source, re.MULTILINE))
        told = {key.split(".")[-1] for key, _, _ in self.keys}
        self.assertGreater(len(told), 50)
        self.assertEqual({a or b for a, b in read} | {"seed"}, told)

    def test_a_default_changes_nothing(self):
        tried = 0
        for key, default, _ in self.keys:
            value = (float(default) if NUMBER.match(default) else
                     default.strip("`") if re.fullmatch(r"`\w+`", default) else None)
            if key == "seed" or value is None:
                continue
            tried += 1
            with self.subTest(key=key):
                plain = self.simulate(with_key(key, None), "--truth")
                given = self.simulate(with_key(key, value), "--truth")
                self.assertEqual((given.returncode, given.stderr), (0, ""))
                self.assertEqual(given.stdout, plain.stdout)
        self.assertGreater(tried, 40)

    def test_just_outside_a_bound_is_refused_and_named(self):
        tried = 0
        for key, _, allowed in self.keys:
            bounds = BOUNDS.match(allowed)
            if not bounds:
                continue
            above, low, high = bounds[1], float(bounds[2]), float(bounds[3])
            for value in (low if above else low - 1e-4, high + 1e-4):
                tried += 1
                with self.subTest(key=key, value=value):
                    result = self.simulate(with_key(key, value))
                    self.assertEqual((result.returncode, result.stdout), (2, ""))
                    self.assertIn(key.split(".")[-1], result.stderr)
        self.assertGreater(tried, 80)

    def test_a_bound_is_allowed(self):
        # A drive of a million minutes, and what another key must make room for, are left out.
        bound_elsewhere = {"vehicle.thermostat.opens_c", "vehicle.thermostat.full_open_c",
                           "vehicle.cooling.radiator_l", "vehicle.cooling.fan_on_c",
                           "vehicle.cooling.fan_off_c", "route[].minutes"}
        for key, _, allowed in self.keys:
            bounds = BOUNDS.match(allowed)
            if not bounds or key in bound_elsewhere:
                continue
            for value in (float(bounds[2]), float(bounds[3])):
                with self.subTest(key=key, value=value):
                    scenario = with_key(key, value)
                    if key in ("faults[].from_s", "logging.gaps[].from_s"):
                        (scenario.get("faults") or scenario["logging"]["gaps"])[0]["to_s"] = 1e9
                    self.assertEqual(self.simulate(scenario).returncode, 0)

    def test_the_columns_of_the_truth(self):
        heading = self.simulate(with_key("seed", 1), "--truth").stdout.splitlines()[0]
        true = [name for name in heading.split(",") if name.startswith("true_")]
        self.assertEqual(TRUE_COLUMN.findall(self.text), true)


if __name__ == "__main__":
    PROGRAM, FACTS = map(pathlib.Path, sys.argv[1:3])
    unittest.main(argv=sys.argv[:1])
