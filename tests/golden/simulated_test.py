# SPDX-License-Identifier: Apache-2.0
"""What `simulate` writes, `inspect` reads: simulated_test.py PROGRAM [unittest options]."""
import csv
import io
import itertools
import json
import math
import pathlib
import subprocess
import sys
import unittest

PROGRAM = ""
FORMATS = ("csv", "jsonl", "json")
UNITS = {"metric": {"coolant": "°C", "ambient": "°C", "load": "%", "rpm": "rpm", "speed": "km/h",
                    "altitude": "m"},
         "us": {"coolant": "°F", "ambient": "°F", "load": "%", "rpm": "rpm", "speed": "mph",
                "altitude": "ft"}}
SCENARIO = {"schema": "coolband.scenario/1", "name": "INVENTED", "seed": 5,
            "weather": {"ambient_c": -8}, "start": {"engine_c": 60},
            "vehicle": {"cooling": {"fan": "electric"}},
            "route": [{"kind": "road", "minutes": 12}, {"kind": "climb", "minutes": 8, "trailer_kg": 900},
                      {"kind": "town", "minutes": 6}, {"kind": "stop", "minutes": 3}],
            "faults": [{"kind": "sensor-dropouts", "severity": 1, "from_s": 600}],
            "logging": {"period_s": 2, "gaps": [{"from_s": 300, "to_s": 330}]}}


def run(command, *options, text):
    result = subprocess.run([PROGRAM, command, "-", *options], input=text, capture_output=True,
                            timeout=60)
    assert result.returncode == 0, result.stderr.decode()
    return result.stdout


def simulate(*options, **changes):
    return run("simulate", *options, text=json.dumps(SCENARIO | changes).encode())


def inspect(log):
    return json.loads(run("inspect", "--format", "json", "--quiet", text=log))


def rows_of(log, form):
    """Read by Python's own readers; a missing number is None."""
    text = log.decode()
    if form == "csv":
        return [{key: float(cell) if cell else None for key, cell in row.items()}
                for row in csv.DictReader(io.StringIO(text))]
    return json.loads(text) if form == "json" else [json.loads(line) for line in text.splitlines()]


class RoundTrip(unittest.TestCase):
    def test_every_column_is_read_with_its_role_and_unit(self):
        for form, units in itertools.product(FORMATS, UNITS):
            with self.subTest(form=form, units=units):
                log = inspect(simulate("--format", form, "--units", units))["import"]
                read = {column["role"]: column for column in log["columns"]}
                self.assertEqual(set(read), {"time", "fan", *UNITS[units]})
                for role, unit in UNITS[units].items():
                    self.assertEqual((read[role]["unit"], read[role]["unit_from"]), (unit, "heading"))
                self.assertEqual(read["time"]["unit"], "s")
                self.assertEqual((log["ignored"], log["set_aside"]), ([], []))

    def test_columns_of_the_truth_are_never_taken_for_roles(self):
        for form, units in itertools.product(FORMATS, UNITS):
            with self.subTest(form=form, units=units):
                options = ("--format", form, "--units", units)
                plain = inspect(simulate(*options))["import"]
                true = inspect(simulate(*options, "--truth"))["import"]
                self.assertEqual(true["columns"], plain["columns"])
                heads = rows_of(simulate(*options, "--truth"), form)[0]
                names = [name for name in heads if name.startswith("true_")]
                self.assertEqual(len(names), 13)
                self.assertEqual(sorted(true["ignored"]), sorted(names))

    def test_truth_is_added_behind_and_changes_nothing_before(self):
        plain = simulate().decode().splitlines()
        true = simulate("--truth").decode().splitlines()
        self.assertEqual(len(plain), len(true))
        for short, long in zip(plain, true):
            self.assertTrue(long.startswith(short + ","))

    def test_rows_gap_and_period_are_read_as_they_were_driven(self):
        for form in FORMATS:
            log = simulate("--format", form)
            trips = inspect(log)["trips"]
            self.assertEqual(sum(trip["rows"] for trip in trips), 29 * 30 - 15)
            self.assertEqual(len(rows_of(log, form)), 29 * 30 - 15)
            self.assertTrue(all(trip["sample_period_s"] == 2 for trip in trips))
            self.assertEqual(trips[0]["longest_gap_s"], 32)

    def test_a_clock_is_read_as_one(self):
        for form in FORMATS:
            logging = SCENARIO["logging"] | {"clock": "2031-05-06 07:10:00"}
            read = inspect(simulate("--format", form, logging=logging))
            self.assertEqual(read["trips"][0]["start"][:19], "2031-05-06T07:10:00")

    def test_the_three_layouts_say_the_same(self):
        for units in UNITS:
            first, *others = (rows_of(simulate("--format", form, "--units", units, "--truth"), form)
                              for form in FORMATS)
            for other in others:
                self.assertEqual(other, first)

    def test_us_units_are_the_metric_ones_converted(self):
        metric, us = (rows_of(simulate("--units", units, "--truth"), "csv") for units in UNITS)
        self.assertEqual(len(metric), len(us))
        known = 0
        for m, u in zip(metric, us):
            self.assertEqual(m["coolant_c"] is None, u["coolant_f"] is None)
            if m["coolant_c"] is not None:
                known += 1
                self.assertAlmostEqual(u["coolant_f"], m["coolant_c"] * 1.8 + 32, delta=0.051)
            self.assertAlmostEqual(u["true_block_f"], m["true_block_c"] * 1.8 + 32, delta=0.015)
            # Whole numbers of either unit: half of one and half of the other.
            self.assertLessEqual(abs(u["speed_mph"] - m["speed_kmh"] / 1.609344), 0.5 + 0.5 / 1.6)
            self.assertLessEqual(abs(u["altitude_ft"] - m["altitude_m"] / 0.3048), 0.5 + 0.5 / 0.3)
        self.assertGreater(known, 700)
        self.assertLess(known, len(metric))  # the sensor failed now and then

    def test_the_reading_follows_the_truth(self):
        worst = max(abs(row["coolant_c"] - row["true_coolant_c"])
                    for row in rows_of(simulate("--truth", faults=[]), "csv") if row["time_s"] > 120)
        self.assertLess(worst, 10)  # a sensor 12 s late, in steps of 1 K

    def test_the_same_bytes_twice_and_others_by_another_seed(self):
        for form in FORMATS:
            options = ("--format", form, "--truth")
            log = simulate(*options)
            self.assertEqual(simulate(*options), log)
            self.assertEqual(simulate(*options, "--seed", "5"), log)
            self.assertNotEqual(simulate(*options, "--seed", "6"), log)

    def test_no_fault_is_the_fault_at_severity_0(self):
        sound = simulate("--truth", faults=[])
        self.assertEqual(simulate("--truth", "--severity", "0"), sound)
        self.assertNotEqual(simulate("--truth"), sound)

    def test_columns_come_in_the_order_asked_for(self):
        for form in FORMATS:
            row = rows_of(simulate("--columns", "rpm,coolant", "--format", form), form)[0]
            self.assertEqual(list(row), ["time_s", "rpm", "coolant_c"])

    def test_every_number_is_finite(self):
        for row in rows_of(simulate("--truth", "--units", "us"), "csv"):
            for value in row.values():
                self.assertTrue(value is None or math.isfinite(value))


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("usage: simulated_test.py PROGRAM [unittest options]")
    PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
