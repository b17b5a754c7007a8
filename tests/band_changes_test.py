# SPDX-License-Identifier: Apache-2.0
"""Several processes at one band file, and what is kept when it is written: band_changes_test.py PROGRAM

A run is held in the middle by its standard input: it has read the band, and not yet all of its log.
"""
import fcntl
import json
import os
import pathlib
import stat
import subprocess
import sys
import tempfile
import unittest

PROGRAM = pathlib.Path(sys.argv[1]).resolve()
DEMO = pathlib.Path(__file__).resolve().parent.parent / "data" / "demo"
NORMAL = sorted((DEMO / "warden-2/normal").iterdir())
TRIPS = DEMO / "warden-2/trips"
F_SETPIPE_SZ = 1031
SECONDS = 120


class Held:
    """A run that waits for the end of its log."""

    def __init__(self, bench, log, *arguments):
        self.process = subprocess.Popen([PROGRAM, *map(str, arguments)], cwd=bench.here, stdin=subprocess.PIPE,
                                        stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, bufsize=0)
        fcntl.fcntl(self.process.stdin, F_SETPIPE_SZ, 4096)
        text = log.read_bytes()
        assert len(text) > 3 * 4096
        # That much goes only into a pipe that is being read, and the band is read before the logs.
        self.rest = text[-100:]
        self.process.stdin.write(text[:-100])

    def end(self):
        errors = self.process.communicate(self.rest, timeout=SECONDS)[1].decode()
        return self.process.returncode, errors


class BandChanges(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        with tempfile.TemporaryDirectory() as folder:
            band = pathlib.Path(folder) / "band.json"
            subprocess.run([PROGRAM, "learn", *NORMAL[:3], "--vehicle", "warden-2", "--band", band, "--quiet"],
                           check=True, stdout=subprocess.DEVNULL, timeout=SECONDS)
            cls.learned = band.read_bytes()

    def setUp(self):
        temporary = tempfile.TemporaryDirectory()
        self.addCleanup(temporary.cleanup)
        self.here = pathlib.Path(temporary.name)
        self.here.chmod(0o755)
        self.band = self.here / "band.json"
        self.band.write_bytes(self.learned)

    def run_it(self, *arguments, **more):
        return subprocess.run([PROGRAM, *map(str, arguments)], cwd=self.here, timeout=SECONDS, check=False,
                              capture_output=True, text=True, **more)

    def done(self, *arguments):
        result = self.run_it(*arguments)
        self.assertEqual(result.returncode, 0, result.stderr)
        return result

    def refused(self, code, words, *arguments, **more):
        before = {path: path.read_bytes() for path in self.here.iterdir() if path.is_file()}
        result = self.run_it(*arguments, **more)
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertIn(words, result.stderr)
        self.assertEqual({path: path.read_bytes() for path in self.here.iterdir() if path.is_file()}, before)
        return result.stderr

    def record(self, log, day):
        return ("check", TRIPS / log, "--band", "band.json", "--record", "--date", day, "-q", "-o", f"{log}.{day}.txt")

    def held_check(self, log, day):
        return Held(self, TRIPS / log, "check", "-", "--band", "band.json", "--record", "--date", day, "-q")

    def update(self, *logs):
        return ("learn", *logs, "--vehicle", "warden-2", "--band", "band.json", "--update")

    def events(self):
        return [entry["date"] for entry in json.loads(self.band.read_text()).get("history", [])]

    def drives(self):
        band = json.loads(self.band.read_text())
        return sorted(drive["source"] for drive in band["drives"] + band["left_out"])

    def left(self):
        return sorted(path.name for path in self.here.iterdir() if path.name.startswith("."))

    def names(self, count):
        return [path.name for path in NORMAL[:count]]

    def test_a_record_does_not_put_an_older_band_back(self):
        check = self.held_check("stuck-open.csv", "2031-06-01")
        self.done(*self.update(*NORMAL[3:5]))
        self.assertEqual(check.end(), (0, ""))
        self.assertEqual(self.drives(), self.names(5))
        self.assertEqual(self.events(), ["2031-06-01"])
        self.assertEqual(self.left(), [])

    def test_records_at_the_same_time_are_all_kept(self):
        days = ["2031-06-01", "2031-06-02", "2031-06-03"]
        checks = [self.held_check("stuck-open.csv", day) for day in days]
        for check in checks:
            self.assertEqual(check.end(), (0, ""))
        self.assertEqual(self.events(), days)

    def test_records_that_collide_are_all_kept(self):
        days = [f"2031-06-{day:02}" for day in range(1, 9)]
        runs = [subprocess.Popen([PROGRAM, *map(str, self.record("too-short.csv", day))], cwd=self.here)
                for day in days]
        self.assertEqual([run.wait(SECONDS) for run in runs], [0] * len(days))
        self.assertEqual(self.events(), days)
        self.assertEqual(self.left(), [])

    def test_an_update_adds_to_what_the_band_has_become(self):
        update = Held(self, NORMAL[3], *self.update("-"))
        self.done(*self.update(NORMAL[4]))
        self.done(*self.record("stuck-open.csv", "2031-06-01"))
        code, errors = update.end()
        self.assertEqual(code, 0, errors)
        self.assertIn("band.json: this band was changed meanwhile", errors)
        self.assertEqual(self.drives(), sorted([*self.names(3), NORMAL[4].name, "standard input"]))
        self.assertEqual(self.events(), ["2031-06-01"])

    def test_a_band_that_is_learned_anew_keeps_what_was_recorded_meanwhile(self):
        anew = Held(self, NORMAL[3], "learn", "-", "--vehicle", "warden-2", "--band", "band.json", "--overwrite")
        self.done(*self.record("stuck-open.csv", "2031-06-01"))
        self.assertEqual(anew.end()[0], 0)
        self.assertEqual(self.drives(), ["standard input"])
        self.assertEqual(self.events(), ["2031-06-01"])

    def test_a_lock_that_a_killed_run_left_is_taken_over(self):
        (self.here / ".coolband.lock").touch()
        self.done(*self.record("too-short.csv", "2031-06-01"))
        self.assertEqual(self.events(), ["2031-06-01"])
        self.assertEqual(self.left(), [])

    def test_a_lock_that_is_held_is_waited_for(self):
        with open(self.here / ".coolband.lock", "w", encoding="ascii") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            run = subprocess.Popen([PROGRAM, *map(str, self.record("too-short.csv", "2031-06-01"))], cwd=self.here)
            with self.assertRaises(subprocess.TimeoutExpired):
                run.wait(3)
            self.assertEqual(self.events(), [])
        self.assertEqual(run.wait(SECONDS), 0)
        self.assertEqual(self.events(), ["2031-06-01"])

    def test_a_folder_that_may_not_be_written_to(self):
        if os.geteuid() != 0:
            self.skipTest("only root can be another user")
        self.here.chmod(0o555)
        self.band.chmod(0o644)
        nobody = {"user": 65534, "group": 65534, "extra_groups": []}
        result = self.run_it("check", TRIPS / "stuck-open.csv", "--band", "band.json", **nobody)
        self.assertEqual(result.returncode, 0, result.stderr)
        self.band.chmod(0o666)
        self.refused(4, "band.json: cannot write: Permission denied", "check", TRIPS / "stuck-open.csv", "--band",
                     "band.json", "--record", "--date", "2031-06-01", "-q", **nobody)

    def test_a_file_keeps_its_mode(self):
        for mode in (0o600, 0o640, 0o664):
            self.band.chmod(mode)
            self.done(*self.record("too-short.csv", f"2031-06-{mode % 28 + 1:02}"))
            self.done(*self.update(NORMAL[3]))
            self.done("history", "--band", "band.json", "-o", "history.txt", "--overwrite")
            self.assertEqual(stat.S_IMODE(self.band.stat().st_mode), mode)
        report = self.here / "history.txt"
        report.chmod(0o600)
        self.done("history", "--band", "band.json", "-o", "history.txt", "--overwrite")
        self.assertEqual(stat.S_IMODE(report.stat().st_mode), 0o600)

    def test_a_file_keeps_its_owner(self):
        if os.geteuid() != 0:
            self.skipTest("only root can write for another user")
        os.chown(self.band, 65534, 65534)
        self.done(*self.record("too-short.csv", "2031-06-01"))
        self.assertEqual((self.band.stat().st_uid, self.band.stat().st_gid), (65534, 65534))

    def test_a_write_protected_file_is_not_replaced(self):
        (self.here / "my report.txt").write_text("mine")
        for path in (self.band, self.here / "my report.txt"):
            path.chmod(0o444)
        told = self.refused(4, "band.json: this file may not be written to", "check", TRIPS / "too-short.csv", "--band",
                            "band.json", "--record", "--date", "2031-06-01")
        self.assertIn("chmod u+w band.json", told)
        self.refused(4, "may not be written to", *self.update(NORMAL[3]))
        self.refused(4, "may not be written to", "learn", NORMAL[3], "--vehicle", "warden-2", "--band", "band.json",
                     "--overwrite")
        told = self.refused(4, "may not be written to", "history", "--band", "band.json", "-o", "my report.txt",
                            "--overwrite")
        self.assertIn("chmod u+w 'my report.txt'", told)

    def test_a_link_to_a_band_stays_one(self):
        (self.here / "store").mkdir()
        self.band.rename(self.here / "store" / "band.json")
        self.band.symlink_to("store/band.json")
        self.done(*self.record("too-short.csv", "2031-06-01"))
        self.assertTrue(self.band.is_symlink())
        self.assertEqual(self.events(), ["2031-06-01"])

    def test_a_history_that_cannot_be_read_is_not_thrown_away(self):
        anew = ("learn", NORMAL[3], "--vehicle", "warden-2", "--band", "band.json", "--overwrite")
        self.done(*self.record("too-short.csv", "2031-06-01"))
        good = self.band.read_text()
        self.band.write_text(good.replace('"2031-06-01"', '"2031-06-31"'))
        told = self.refused(2, 'band.json: entry 1 of "history": "date" is no day', *anew)
        self.assertIn("move it away", told)
        self.band.write_text(good.replace('"date"', 'date'))
        self.assertIn("move it away", self.refused(2, "not valid JSON here", *anew))
        # What else is wrong with a band is what it is learned anew for.
        self.band.write_text(good.replace('"centre_c"', '"center_c"'))
        self.done(*anew)
        self.assertEqual(self.events(), ["2031-06-01"])

    def test_a_band_of_another_vehicle_by_now_gets_no_record(self):
        check = self.held_check("stuck-open.csv", "2031-06-01")
        self.done("learn", NORMAL[0], "--vehicle", "warden-9", "--band", "band.json", "--overwrite")
        code, errors = check.end()
        self.assertEqual(code, 2)
        self.assertIn("this band is of 'warden-9' by now", errors)
        self.assertEqual(self.events(), [])


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1] + sys.argv[2:])
