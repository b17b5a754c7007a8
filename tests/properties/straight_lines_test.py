# SPDX-License-Identifier: Apache-2.0
"""Sound vehicles of plain statistics are accused of nothing: straight_lines_test.py PROGRAM

No thermostat, no heat balance: the level follows load and outside temperature as a straight line, the warm-up is a
first-order lag, and what is left is an autoregressive noise. Nothing of it is known to the program. Load drives the
reading about within minutes, weather from drive to drive, more so than in most real vehicles: where neither is logged,
the band has to hold that. All of it is invented, and drawn from a seed.
"""
import json
import pathlib
import random
import subprocess
import sys
import tempfile
import unittest

PROGRAM = ""
SECONDS = 300
VEHICLES = 12
LEARNED = 12
JUDGED = 10
PERIOD_S = 5
ROWS = 600
HEADINGS = ("time_s", "coolant_c", "ambient_c", "load_pct", "speed_kmh")


def clipped(value, low, high):
    return min(max(value, low), high)


def drive(drawn, vehicle):
    """Rows of one drive from cold: 50 minutes."""
    air_c = drawn.uniform(0, 30)
    load, speed, warm, noise = 35.0, 0.0, 0.0, 0.0
    for row in range(ROWS):
        load = clipped(load + 0.15 * (40 - load) + 10 * drawn.gauss(0, 1), 3, 100)
        speed = clipped(speed + 0.1 * (65 - speed) + 0.2 * (load - 40) + 4.5 * drawn.gauss(0, 1), 0, 180)
        air_c += 0.03 * drawn.gauss(0, 1)
        warm += (1 - warm) * PERIOD_S / vehicle["warm_s"]
        noise = 0.77 * noise + 0.5 * drawn.gauss(0, 1)
        level_c = vehicle["base_c"] + vehicle["by_load"] * load + vehicle["by_air"] * air_c
        yield row * PERIOD_S, air_c + (level_c - air_c) * warm + noise, air_c, load, speed


def vehicles():
    drawn = random.Random(20311)
    for number in range(VEHICLES):
        vehicle = {"base_c": drawn.uniform(77, 84), "by_load": drawn.uniform(0.08, 0.16),
                   "by_air": drawn.uniform(0.12, 0.28), "warm_s": drawn.uniform(180, 300)}
        yield f"v{number:02}", [list(drive(drawn, vehicle)) for _ in range(LEARNED + JUDGED)]


def write(folder, drives, columns):
    folder.mkdir(parents=True)
    for number, rows in enumerate(drives):
        lines = [",".join(HEADINGS[:columns])]
        lines += [",".join(f"{value:.1f}" for value in row[:columns]) for row in rows]
        (folder / f"{number:02}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


class StraightLines(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        temporary = tempfile.TemporaryDirectory()
        cls.addClassCleanup(temporary.cleanup)
        cls.here = pathlib.Path(temporary.name)
        for name, drives in vehicles():
            for kind, columns in (("full", len(HEADINGS)), ("coolant", 2)):
                write(cls.here / kind / "learned" / name, drives[:LEARNED], columns)
                write(cls.here / kind / "judged" / name, drives[LEARNED:], columns)

    def run_fleet(self, *arguments):
        result = subprocess.run([PROGRAM, "fleet", *arguments, "--bands", "bands", "--quiet"], cwd=self.here,
                                capture_output=True, timeout=SECONDS, check=False)
        self.assertIn(result.returncode, (0, 1), result.stderr.decode())
        return result.stdout.decode()

    def named(self, learned, judged):
        """Trips that got a part's name or `overheating`, with the headline."""
        for band in self.here.glob("bands/*"):
            band.unlink()
        self.run_fleet(f"{learned}/learned")
        self.assertEqual(len(list(self.here.glob("bands/*.band.json"))), VEHICLES, "a vehicle without a band")
        reports = [json.loads(line) for line in
                   self.run_fleet(f"{judged}/judged", "--no-learn", "--format", "jsonl").splitlines()]
        self.assertEqual(len(reports), VEHICLES * JUDGED)
        return [report["trip"]["source"] + ": " + report["verdict"]["headline"] for report in reports
                if report["verdict"]["condition"] not in ("normal", "undetermined")]

    def test_with_load_and_weather_no_part_is_named(self):
        self.assertEqual(self.named("full", "full"), [])

    def test_with_coolant_alone_hardly_one_is(self):
        """At most 1 %: chance may have one of 120."""
        named = self.named("coolant", "coolant")
        self.assertLessEqual(len(named), 1, named)

    def test_nor_where_only_the_learned_drives_had_load_and_weather(self):
        named = self.named("full", "coolant")
        self.assertLessEqual(len(named), 1, named)


if __name__ == "__main__":
    PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
