# SPDX-License-Identifier: Apache-2.0
"""What a log looks like does not change what is said of the trip: verdicts_test.py PROGRAM

Each property is tried on the demo's trips and on simulated drives, sound and faulty. Where only the form
changes, all of the report but what names the form must be the same; where numbers are rounded anew or
rows are left out, condition and action. What is drawn by lot is drawn from a seed.
"""
import functools
import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

import logs

PROGRAM = ""
SEED = 20311
CLOCK = 1935300000  # a second of 2031, for clocks that are moved
FORM = {"import", "vehicle", "tool"}
TRIP_FORM = {"source", "start", "end"}


@functools.cache
def tables():
    drawn = logs.another(SEED)
    return logs.demo_tables() | {name: logs.simulated(PROGRAM, name, drawn.randrange(10**6)) for name in logs.DRIVES}


def some():
    """For changes that only the reader of the log can tell."""
    names = ("cold-morning", "sensor-fault", "sticking", "sim-open")
    return {name: tables()[name] for name in names}


def run(*arguments, cwd, **more):
    result = subprocess.run([PROGRAM, *arguments], cwd=cwd, capture_output=True, timeout=logs.SECONDS, check=False,
                            **more)
    if result.returncode != 0:
        raise AssertionError(result.stderr.decode())
    return result.stdout


def essence(report):
    """The report without the words for its form."""
    kept = {key: value for key, value in report.items() if key not in FORM}
    kept["trip"] = {key: value for key, value in report["trip"].items() if key not in TRIP_FORM}
    kept["episodes"] = [{key: value for key, value in episode.items() if key not in TRIP_FORM}
                        for episode in report["episodes"]]
    return kept


def verdict(report):
    return report["verdict"]["condition"], report["verdict"]["action"]


def stem(report):
    return report["trip"]["source"].split(".")[0]


class Properties(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.maxDiff = 2000
        temporary = tempfile.TemporaryDirectory()
        cls.addClassCleanup(temporary.cleanup)
        cls.here = pathlib.Path(temporary.name)
        run("learn", *sorted(map(str, (logs.DEMO / "warden-2/normal").iterdir())), "--vehicle", "warden-2", "--profile",
            str(logs.DEMO / "warden-2.json"), "--band", "band.json", "--quiet", cwd=cls.here)
        cls.usual = cls.reports({name: logs.as_csv(table) for name, table in tables().items()})

    @classmethod
    def reports(cls, texts, *options, ending=".log"):
        """Of logs by name; by name, too. A log of several trips has the reports of all in a list."""
        for name, text in texts.items():
            (cls.here / (name + ending)).write_bytes(text)
        out = run("check", *(name + ending for name in texts), "--band", "band.json", "--format", "jsonl", "--quiet",
                  *options, cwd=cls.here)
        found = {}
        for report in map(json.loads, out.decode().splitlines()):
            found.setdefault(stem(report), []).append(report)
        return {name: all_of[0] if len(all_of) == 1 else all_of for name, all_of in found.items()}

    def same(self, texts, *options):
        for name, report in self.reports(texts, *options).items():
            with self.subTest(name):
                self.assertEqual(essence(report), essence(self.usual[name]))

    def alike(self, texts, *options, tolerance=0.01):
        for name, report in self.reports(texts, *options).items():
            with self.subTest(name):
                usual = self.usual[name]
                self.assertEqual(verdict(report), verdict(usual))
                self.assertEqual(report["causes"][0]["condition"], usual["causes"][0]["condition"])
                self.assertAlmostEqual(report["verdict"]["confidence"], usual["verdict"]["confidence"],
                                       delta=tolerance)

    def test_the_logs_are_of_many_kinds(self):
        found = {verdict(report)[0] for report in self.usual.values()}
        self.assertGreaterEqual(found, {"normal", "undetermined", "sensor-fault", "thermostat-stuck-open",
                                        "thermostat-stuck-closed", "thermostat-sticking"})

    def test_columns_in_any_order(self):
        drawn = logs.another(SEED + 1)
        self.same({name: logs.as_csv(table, order=drawn.sample(list(table), len(table)))
                   for name, table in tables().items()})

    def test_any_known_heading(self):
        drawn = logs.another(SEED + 2)
        words = logs.phrases()
        for turn in range(2):
            texts = {}
            for name, table in tables().items():
                headings = {role: f"{drawn.choice(words[role])} [{logs.UNITS[role]}]" for role in table}
                if turn == 1:
                    headings = {role: heading.upper().replace(" ", "_") for role, heading in headings.items()}
                texts[name] = logs.as_csv(table, headings)
            with self.subTest(turn=turn):
                self.same(texts)

    def test_other_columns_beside(self):
        drawn = logs.another(SEED + 3)
        others = {"gear": "Gear", "note": "Cabin light", "fuel": "Fuel level [%]", "oil_level": "Coolant level [%]"}
        texts = {}
        for name, table in tables().items():
            rows = len(table["time"])
            more = table | {key: [str(drawn.randrange(100)) for _ in range(rows)] for key in others}
            texts[name] = logs.as_csv(more, others, drawn.sample(list(more), len(more)))
        self.same(texts)

    def test_other_units(self):
        fahrenheit = (1.8, 32.0)
        units = {"coolant": fahrenheit, "ambient": fahrenheit, "speed": (1 / 1.609344, 0), "altitude": (1 / 0.3048, 0)}
        heads = {"coolant": "Coolant temperature (°F)", "ambient": "ambient_f", "speed": "Road speed (mph)",
                 "altitude": "Altitude (ft)"}
        self.alike({name: logs.as_csv(logs.converted(table, units), heads) for name, table in tables().items()})
        units = {"coolant": (1.0, 273.15), "ambient": (1.0, 273.15), "load": (0.01, 0), "rpm": (1 / 60, 0),
                 "speed": (1 / 3.6, 0), "time": (1000, 0)}
        heads = {"coolant": "Coolant temperature (K)", "ambient": "Outside air temperature (K)",
                 "load": "Engine load (ratio)", "rpm": "Engine speed (1/s)", "speed": "Road speed (m/s)",
                 "time": "Time (ms)"}
        self.alike({name: logs.as_csv(logs.converted(table, units), heads) for name, table in tables().items()})

    def test_a_unit_that_is_not_said(self):
        """Told from the values where a warm engine was logged; else the report says what was assumed."""
        def is_warm(table):
            readings = sorted(map(float, filter(None, table["coolant"])))
            return readings[len(readings) * 9 // 10] > 70
        warm = {name: table for name, table in tables().items() if is_warm(table)}
        self.assertGreater(len(warm), 8)
        texts = {name: logs.as_csv(logs.converted(table, {"coolant": (1.8, 32.0)}), {"coolant": "Coolant"})
                 for name, table in tables().items()}
        self.alike({name: text for name, text in texts.items() if name in warm})
        for name, report in self.reports({n: text for n, text in texts.items() if n not in warm}).items():
            with self.subTest(name):
                self.assertIn("coolant has no unit", " ".join(report["import"]["notes"]))

    def test_semicolons_tabs_decimal_commas_and_line_ends(self):
        self.same({name: logs.as_csv(table, comma=";", decimal=",", end="\r\n") for name, table in some().items()})
        self.same({name: logs.as_csv(table, comma="\t", end="\r") for name, table in some().items()})

    def test_json(self):
        self.same({name: logs.as_json(table, lines=True) for name, table in some().items()})
        self.same({name: logs.as_json(table, lines=False) for name, table in some().items()})

    def test_long_tables(self):
        self.alike({name: logs.as_long(table) for name, table in some().items()}, tolerance=0.02)

    def test_gzip_and_encodings(self):
        self.same({name: logs.as_gzip(logs.as_csv(table)) for name, table in some().items()})
        self.same({name: logs.as_csv(table).decode().encode("utf-16") for name, table in some().items()})
        self.same({name: logs.as_csv(table).decode().encode("latin-1") for name, table in some().items()})

    def test_a_pipe_is_as_good_as_a_file(self):
        for name, table in some().items():
            for text in (logs.as_csv(table), logs.as_gzip(logs.as_json(table, lines=True))):
                out = run("check", "-", "--band", "band.json", "--format", "json", "--quiet", cwd=self.here, input=text)
                with self.subTest(name):
                    self.assertEqual(essence(json.loads(out)), essence(self.usual[name]))

    def test_the_clock_is_shifted(self):
        drawn = logs.another(SEED + 4)
        for shift in (drawn.randrange(1, 10**6), CLOCK):
            self.same({name: logs.as_csv(logs.shifted(table, shift)) for name, table in tables().items()})
        for zone in ("", "+05:30"):
            self.same({name: logs.as_csv(logs.dated(table, CLOCK + drawn.randrange(10**7), zone),
                                         {"time": "Timestamp"})
                       for name, table in some().items()})
        # Midnight comes somewhere in the drive.
        self.same({name: logs.as_csv(logs.clocked(table, 86400 - drawn.randrange(60, 200)), {"time": "Clock"})
                   for name, table in some().items()})

    def test_fewer_rows_a_minute(self):
        drives = {name: tables()[name] for name in logs.DRIVES}
        for step in (2, 5):
            self.alike({name: logs.as_csv(logs.every(table, step)) for name, table in drives.items()}, tolerance=0.1)
        demo = {name: table for name, table in tables().items() if name not in drives}
        self.alike({name: logs.as_csv(logs.every(table, 2)) for name, table in demo.items()}, tolerance=0.1)

    def test_one_file_or_two(self):
        """Two drives in one file, an hour apart, are two trips that get what they get alone."""
        drawn = logs.another(SEED + 5)
        names = [name for name in tables() if not name.startswith("sim")]
        drawn.shuffle(names)
        texts, parts = {}, {}
        for first, second in zip(names[::2], names[1::2]):
            one, two = tables()[first], tables()[second]
            later = logs.shifted(two, int(one["time"][-1]) + 3600)
            joint = {role: one[role] + later[role] for role in one}
            parts[f"{first}+{second}"] = (first, second)
            texts[f"{first}+{second}"] = logs.as_csv(joint)
        for name, both in self.reports(texts).items():
            for single, report in zip(parts[name], both, strict=True):
                with self.subTest(single):
                    self.assertEqual(verdict(report), verdict(self.usual[single]))
                    self.assertEqual(report["verdict"]["confidence"], self.usual[single]["verdict"]["confidence"])
                    self.assertEqual(report["causes"][0]["condition"], self.usual[single]["causes"][0]["condition"])

    def test_half_a_drive_accuses_nothing_else(self):
        """Split within the drive: each half sees less, and may say less (too hot, but not why), but names no other
        part: of a valve that sticks one half may show only how it hangs open."""
        halves = {}
        for name, table in tables().items():
            middle = len(table["time"]) // 2
            halves[name + ",1"] = logs.as_csv(logs.rows(table, 0, middle))
            halves[name + ",2"] = logs.as_csv(logs.rows(table, middle, None))
        for half, report in self.reports(halves).items():
            with self.subTest(half):
                whole = verdict(self.usual[half.split(",")[0]])[0]
                named = verdict(report)[0]
                if whole != "thermostat-sticking" or not named.startswith("thermostat-"):
                    self.assertIn(named, {whole, "normal", "undetermined", "overheating"})


if __name__ == "__main__":
    PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
