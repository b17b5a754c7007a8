# SPDX-License-Identifier: Apache-2.0
"""Runs every script of examples/ as a reader would, from another folder, twice in a row."""
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent
PROGRAM = ""


def example(name, *arguments):
    environment = os.environ | {"COOLBAND": PROGRAM, "LC_ALL": "C"}
    return subprocess.run(["sh", SOURCE / "examples" / name, *map(str, arguments)], cwd="/",
                          env=environment, capture_output=True, text=True, timeout=120, check=False)


class Examples(unittest.TestCase):
    def twice(self, name, *arguments):
        runs = [example(name, *arguments) for _ in range(2)]
        for run in runs:
            self.assertEqual((run.returncode, run.stderr), (0, ""), run.stdout)
        self.assertEqual(runs[0].stdout, runs[1].stdout)
        return runs[0].stdout

    def test_first_run_ends_with_the_report_of_the_tour(self):
        text = self.twice("first-run.sh")
        self.assertIn("LEFT OUT   -  2031-01-18.csv: ran at", text)
        self.assertIn("VERDICT    the thermostat sticks", text)

    def test_a_piped_trip_is_judged_by_the_profile(self):
        text = self.twice("pipe-a-trip.sh")
        self.assertIn("TRIP       standard input", text)
        self.assertIn("from the profile (not learned)", text)

    def test_a_log_is_watched_while_it_is_written(self):
        lines = self.twice("watch-live.sh").splitlines()
        self.assertIn("watching  standard input: csv;", lines[0])
        self.assertIn("service   ", "".join(lines[1:-1]))
        self.assertIn("ended     trip 1, 50 min: service", lines[-1])

    def test_the_nightly_batch_lists_the_trips_for_the_workshop(self):
        with tempfile.TemporaryDirectory() as out:
            lines = self.twice("nightly-batch.sh", "data/demo", out).splitlines()
            listed = {line.split()[1].removeprefix("data/demo/") for line in lines}
            self.assertEqual(listed, {
                "warden-1/trips/stuck-open.jsonl", "warden-2/trips/sensor-fault.csv",
                "warden-2/trips/sticking.csv", "warden-2/trips/stuck-closed.csv",
                "warden-2/trips/stuck-open.csv"})

    def test_one_bad_log_harms_no_other_in_the_batch(self):
        with tempfile.TemporaryDirectory() as folder:
            fleet = pathlib.Path(folder) / "fleet"
            for part in ("normal", "trips"):
                (fleet / "van" / part).mkdir(parents=True)
            for log in (SOURCE / "data/demo/warden-2/normal").iterdir():
                (fleet / "van/normal" / log.name).write_bytes(log.read_bytes())
            sticking = SOURCE / "data/demo/warden-2/trips/sticking.csv"
            (fleet / "van/trips/b.csv").write_bytes(sticking.read_bytes())
            (fleet / "van/trips/a.csv").write_text("not a log\n")
            run = example("nightly-batch.sh", fleet, pathlib.Path(folder) / "out")
            self.assertEqual(run.returncode, 0)
            self.assertIn("a.csv", run.stderr)
            self.assertIn("the thermostat sticks", run.stdout)

    def test_a_fleets_night_leaves_pages_tables_and_reports(self):
        with tempfile.TemporaryDirectory() as out:
            first, second = (example("fleet-nightly.sh", "data/demo", out) for _ in range(2))
            for run in (first, second):
                self.assertEqual((run.returncode, run.stderr), (0, ""), run.stdout)
            self.assertIn("4 vehicles, 30 trips in 30 logs", first.stdout)
            self.assertIn("since the last run: 4 seen for the first time", first.stdout)
            self.assertIn("since the last run: none", second.stdout)
            out = pathlib.Path(out)
            self.assertEqual(len((out / "fleet.jsonl").read_text(encoding="utf-8").splitlines()), 30)
            self.assertEqual(len((out / "fleet.csv").read_text(encoding="utf-8").splitlines()), 31)
            self.assertIn('href="pages/warden-1/', (out / "fleet.html").read_text(encoding="utf-8"))

    def test_the_units_of_systemd_are_units(self):
        if not shutil.which("systemd-analyze"):
            self.skipTest("no systemd-analyze")
        with tempfile.TemporaryDirectory() as folder:
            for unit in (SOURCE / "examples/systemd").iterdir():
                text = unit.read_text(encoding="utf-8").replace("/usr/local/bin/coolband", PROGRAM)
                (pathlib.Path(folder) / unit.name).write_text(text, encoding="utf-8")
            run = subprocess.run(["systemd-analyze", "verify", *pathlib.Path(folder).iterdir()], check=False,
                                 capture_output=True, text=True, timeout=120)
            self.assertEqual((run.returncode, run.stdout + run.stderr), (0, ""))

    def test_the_job_card_gets_a_report_as_json(self):
        with tempfile.TemporaryDirectory() as out:
            self.assertIn("the thermostat hangs open", self.twice("job-card.sh", out))
            report = json.loads((pathlib.Path(out) / "report.json").read_text(encoding="utf-8"))
            self.assertEqual(report["schema"], "coolband.report/1")
            self.assertEqual(report["verdict"]["condition"], "thermostat-stuck-open")
            self.assertEqual(report["vehicle"]["id"], "warden-1")

    def test_a_simulated_fault_is_found_and_the_sound_drive_is_not_accused(self):
        with tempfile.TemporaryDirectory() as out:
            sound, stuck = self.twice("simulate-a-fault.sh", out).split("== stuck-open")
            self.assertIn("VERDICT    normal", sound)
            self.assertIn("VERDICT    the thermostat hangs open", stuck)
            logs = [(pathlib.Path(out) / name).read_text(encoding="utf-8").splitlines()
                    for name in ("sound.csv", "stuck-open.csv")]
            before = 1 + 1500 // 2
            self.assertEqual(logs[0][:before], logs[1][:before])
            self.assertNotEqual(logs[0], logs[1])


if __name__ == "__main__":
    PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
