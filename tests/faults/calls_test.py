# SPDX-License-Identifier: Apache-2.0
"""Calls of the system that fail: calls_test.py PROGRAM LIBRARY

LIBRARY (faulty_calls.cpp) is put before the program. Interruptions and short counts change no byte of a result; an
error in the middle of a file is told, never taken for the file's end; a failed write leaves nothing half written.
"""
import gzip
import os
import pathlib
import shutil
import signal
import subprocess
import sys
import time
import unittest

from bench import SECONDS, Bench, run

LIBRARY = ""
SEEDS = (1, 2, 3)
COMMANDS = {
    "inspect": ["inspect", "log.csv", "--format", "json"],
    "learn": ["learn", "log.csv", "--vehicle", "v", "--band", "/dev/stdout", "--overwrite"],
    "check": ["check", "log.csv", "--band", "band.json", "--format", "html"],
    "check of gzip": ["check", "log.csv.gz", "--band", "band.json", "--format", "json"],
    "verify": ["verify", "--band", "band.json", "--after", "log.csv", "--format", "json"],
    "plan": ["plan", "report.json", "--format", "json"],
    "history": ["history", "--band", "band.json"],
    "watch": ["watch", "log.csv", "--until-idle", "0.1"],
    "simulate": ["simulate", "scenario.json"],
    "fleet": ["fleet", "vehicles", "--bands", "bands", "--no-learn", "--format", "jsonl", "--ordered"],
}


def with_faults(**faults):
    return os.environ | {"LD_PRELOAD": LIBRARY} | {f"FAULTY_{name.upper()}": str(value) for name, value in faults.items()}


class Calls(Bench):
    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        log = (cls.here / "log.csv").read_bytes()
        (cls.here / "log.csv.gz").write_bytes(gzip.compress(log, mtime=0))
        for vehicle in ("ranger-1", "ranger-2"):
            (cls.here / "vehicles" / vehicle).mkdir(parents=True)
            shutil.copy(cls.here / "log.csv", cls.here / "vehicles" / vehicle / "trip.csv")
            # Known by its beginning not to be a log.
            shutil.copy(cls.here / "report.json", cls.here / "vehicles" / vehicle / "report.json")

    def failed(self, result, code, words):
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertIn(words, result.stderr)


class Disturbed(Calls):
    def same(self, command, **more):
        undisturbed = run(*command, cwd=self.here, **more)
        self.assertIn(undisturbed.returncode, (0, 3), undisturbed.stderr)
        for seed in SEEDS:
            with self.subTest(command[0], seed=seed):
                result = run(*command, cwd=self.here, env=with_faults(seed=seed), **more)
                self.assertEqual(result.returncode, undisturbed.returncode, result.stderr)
                self.assertEqual(result.stdout, undisturbed.stdout)
                self.assertEqual(result.stderr, undisturbed.stderr)

    def test_files(self):
        for command in COMMANDS.values():
            self.same(command)

    def test_a_pipe(self):
        self.same(["check", "-", "--band", "band.json"], input=(self.here / "log.csv").read_bytes())

    def test_an_output_file(self):
        for seed in SEEDS:
            result = run("check", "log.csv", "--band", "band.json", "--format", "json", "-o", "again.json",
                         cwd=self.here, env=with_faults(seed=seed))
            self.assertEqual(result.returncode, 0, result.stderr)
            again = self.here / "again.json"
            self.assertEqual(again.read_bytes(), (self.here / "report.json").read_bytes())
            again.unlink()

    def test_a_store(self):
        """Written and read under disturbance, the results are those of a run in peace."""
        expected = run(*COMMANDS["fleet"], cwd=self.here).stdout
        for again in ("first", "again"):
            result = run(*COMMANDS["fleet"], "--store", "store", cwd=self.here, env=with_faults(seed=7))
            with self.subTest(again):
                self.assertEqual(result.returncode, 0, result.stderr)
                self.assertEqual(result.stdout, expected)
        shutil.rmtree(self.here / "store")

    def test_stopped_and_continued(self):
        """What a shell's job control does to a program that waits."""
        process = subprocess.Popen([sys.argv[1], "watch", "-"], cwd=self.here, stdin=subprocess.PIPE,
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        log = (self.here / "log.csv").read_bytes()
        for part in (log[:20_000], log[20_000:]):
            process.stdin.write(part)
            process.stdin.flush()
            time.sleep(0.2)
            process.send_signal(signal.SIGSTOP)
            time.sleep(0.05)
            process.send_signal(signal.SIGCONT)
            time.sleep(0.05)
        out, told = process.communicate(timeout=SECONDS)
        expected = run("watch", "-", cwd=self.here, input=log)
        self.assertEqual((process.returncode, told), (expected.returncode, expected.stderr))
        self.assertEqual(out, expected.stdout)


class Failing(Calls):
    def log_fails_at(self, after, *command):
        name = next(part for part in command if part.startswith("log.csv"))
        path = (self.here / name).resolve()
        return run(*command, cwd=self.here, env=with_faults(path=path, read_after=after))

    def test_a_log_that_cannot_be_read_to_its_end(self):
        for after in (0, 500, 30_000):
            for name in ("inspect", "learn", "check", "check of gzip", "verify", "watch"):
                if "gzip" in name and after == 30_000:
                    continue
                with self.subTest(name, after=after):
                    self.failed(self.log_fails_at(after, *COMMANDS[name]), 3, b"Input/output error")

    def test_a_log_of_a_fleet_harms_no_other(self):
        path = (self.here / "vehicles/ranger-1/trip.csv").resolve()
        for after in (0, 500, 30_000):
            with self.subTest(after=after):
                result = run(*COMMANDS["fleet"], cwd=self.here, env=with_faults(path=path, read_after=after))
                self.failed(result, 3, b"Input/output error")
                self.assertIn(b"ranger-2", result.stdout)

    def test_a_disk_that_fills(self):
        before = self.names()
        for after in (0, 1, 3000):
            for command in (["check", "log.csv", "--band", "band.json", "--format", "json"],
                            ["simulate", "scenario.json"]):
                for target in ([], ["-o", "out"]):
                    with self.subTest(command[0], after=after, target=target):
                        result = run(*command, *target, cwd=self.here, env=with_faults(write_after=after))
                        self.failed(result, 4, b"No space left")
                        self.assertEqual(self.names(), before)

    def test_a_disk_that_does_not_keep_what_it_took(self):
        kept = self.here / "kept"
        kept.write_text("before\n")
        result = run("check", "log.csv", "-o", "kept", "--overwrite", cwd=self.here, env=with_faults(sync=1))
        self.failed(result, 4, b"Input/output error")
        self.assertEqual(kept.read_text(), "before\n")
        kept.unlink()
        shutil.copy(self.here / "band.json", self.here / "new.json")
        result = run("learn", "log.csv", "--vehicle", "warden-2", "--band", "new.json", "--update", cwd=self.here,
                     env=with_faults(sync=1))
        self.failed(result, 4, b"Input/output error")
        self.assertEqual((self.here / "new.json").read_bytes(), (self.here / "band.json").read_bytes())
        (self.here / "new.json").unlink()

    def test_a_store_on_such_a_disk_is_not_taken_for_whole(self):
        result = run(*COMMANDS["fleet"], "--store", "store", cwd=self.here, env=with_faults(sync=1))
        self.failed(result, 4, b"Input/output error")
        self.assertFalse((self.here / "store/vehicles.list").exists())
        expected = run(*COMMANDS["fleet"], cwd=self.here).stdout
        result = run(*COMMANDS["fleet"], "--store", "store", cwd=self.here)
        self.assertEqual((result.returncode, result.stdout), (0, expected), result.stderr)
        shutil.rmtree(self.here / "store")


if __name__ == "__main__":
    LIBRARY = str(pathlib.Path(sys.argv[2]).resolve())
    unittest.main(argv=sys.argv[:1] + sys.argv[3:])
