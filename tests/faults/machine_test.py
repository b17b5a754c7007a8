# SPDX-License-Identifier: Apache-2.0
"""Faults of the machine: machine_test.py PROGRAM

Whatever fails, the exit code is one of those that are documented, the message says what failed, and
no file is half written.
"""
import os
import pathlib
import resource
import signal
import subprocess
import sys
import time
import unittest

from bench import KNOWN_CODES, SECONDS, Bench, main, run

WRITERS = {  # each writes to standard output, or with -o to a file
    "inspect": ["inspect", "log.csv"],
    "learn": ["learn", "log.csv", "--vehicle", "v", "--band", "/dev/null"],
    "check": ["check", "log.csv", "--band", "band.json", "--format", "html"],
    "verify": ["verify", "--band", "band.json", "--after", "log.csv"],
    "plan": ["plan", "report.json"],
    "history": ["history", "--band", "band.json"],
    "watch": ["watch", "log.csv", "--until-idle", "0.1"],
    "simulate": ["simulate", "scenario.json"],
    "coolant": ["coolant"],
    "fleet": ["fleet", "log.csv", "--no-learn"],
}
READERS = {  # what reads the file named last, and the code when that fails
    "inspect": (["inspect"], 3),
    "learn": (["learn", "--vehicle", "v", "--band", "new.json"], 3),
    "check": (["check"], 3),
    "check --band": (["check", "log.csv", "--band"], 2),
    "check --job": (["check", "log.csv", "--job"], 2),
    "verify": (["verify", "--band", "band.json", "--after"], 3),
    "verify --band": (["verify", "--after", "log.csv", "--band"], 2),
    "plan": (["plan"], 3),
    "plan --prices": (["plan", "report.json", "--prices"], 2),
    "history": (["history", "--band"], 2),
    "watch": (["watch", "--until-idle", "0.1"], 3),
    "simulate": (["simulate"], 2),
    "coolant": (["coolant", "--profile"], 2),
}


def limited(what, value):
    return lambda: resource.setrlimit(what, (value, value))


class Machine(Bench):
    def setUp(self):
        self.before = self.names()

    def tearDown(self):
        self.assertEqual(self.names(), self.before)

    def failed(self, result, code, words=b""):
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertTrue(result.stderr.startswith(b"coolband: "), result.stderr)
        self.assertIn(words, result.stderr)

    def every_writer(self, *more, code, words, **how):
        for name, command in WRITERS.items():
            with self.subTest(name):
                self.failed(run(*command, *more, cwd=self.here, **how), code, words)

    def every_reader(self, path, words=b"", only=READERS, **how):
        for name in only:
            with self.subTest(name):
                command, code = READERS[name]
                self.failed(run(*command, path, cwd=self.here, **how), code, words)


class Output(Machine):
    def test_full_device(self):
        with open("/dev/full", "wb") as full:
            self.every_writer(code=4, words=b"No space left", stdout=full, stderr=subprocess.PIPE)
        self.every_writer("-o", "/dev/full", code=4, words=b"No space left")

    def test_full_disk(self):
        disk = self.here / "disk"
        disk.mkdir()
        try:
            mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=8k", "none", disk], capture_output=True)
            if mounted.returncode != 0:
                self.skipTest("no tmpfs can be mounted here")
            try:
                with open(disk / "filler", "wb", buffering=0) as filler:
                    filler.write(bytes(8192))
                for name in set(WRITERS) - {"watch"}:
                    with self.subTest(name):
                        self.failed(run(*WRITERS[name], "-o", "disk/out", cwd=self.here), 4, b"No space left")
                        self.assertEqual(os.listdir(disk), ["filler"])
            finally:
                subprocess.run(["umount", disk], check=True)
        finally:
            disk.rmdir()

    def test_limit_on_the_size_of_a_file(self):
        for name in ("check", "simulate", "plan"):
            with self.subTest(name):
                self.failed(run(*WRITERS[name], "-o", "out", cwd=self.here,
                                preexec_fn=limited(resource.RLIMIT_FSIZE, 4096)), 4, b"File too large")
        band = (self.here / "band.json").read_bytes()
        self.failed(run("check", "log.csv", "--band", "band.json", "--record", "--date", "2031-01-02", "-o",
                        "/dev/null", cwd=self.here, preexec_fn=limited(resource.RLIMIT_FSIZE, 4096)), 4,
                    b"File too large")
        self.assertEqual((self.here / "band.json").read_bytes(), band)

    def test_no_such_folder(self):
        self.every_writer("-o", "nowhere/out", code=4, words=b"No such file or directory")

    def test_a_folder_as_output(self):
        self.every_writer("-o", ".", code=4, words=b"s a directory")

    def test_folder_without_permission(self):
        if os.getuid() != 0:
            self.skipTest("needs root, to become somebody without permission")
        result = run(*WRITERS["check"], "-o", "out", cwd=self.here, user=65534, group=65534, extra_groups=[])
        if b"PermissionError" in result.stderr:
            self.skipTest("the program cannot be reached as another user")
        self.failed(result, 4, b"Permission denied")

    def test_reader_that_goes(self):
        for name, command in WRITERS.items():
            with self.subTest(name):
                out, into = os.pipe()
                os.close(out)
                result = run(*command, cwd=self.here, stdout=into, stderr=subprocess.PIPE)
                os.close(into)
                self.assertEqual((result.returncode, result.stderr), (-signal.SIGPIPE, b""))

    def test_closed_standard_streams(self):
        shell = ["/bin/sh", "-c"]
        cases = {">&-": 4, "-o out 2>&-": 0, "-o out >&-": 0, "-o out missing.csv 2>&-": 3,
                 "-o out missing.csv 2>/dev/full": 3, "- <&-": 3}
        for redirected, code in cases.items():
            with self.subTest(redirected):
                line = f"exec '{sys.argv[1]}' check log.csv --format json {redirected}"
                result = subprocess.run([*shell, line], cwd=self.here, capture_output=True, timeout=SECONDS)
                self.assertEqual(result.returncode, code, result.stderr)
                if "out" in redirected:
                    text = (self.here / "out").read_text()
                    (self.here / "out").unlink()
                    self.assertTrue(text.startswith("{") and text.endswith("}\n"), text[:200])

    def test_a_signal_leaves_nothing_behind(self):
        scenario = (self.here / "scenario.json")
        for which in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            with self.subTest(which):
                process = subprocess.Popen([sys.argv[1], "check", "-", "-o", "out"], cwd=self.here,
                                           stdin=subprocess.PIPE, stderr=subprocess.PIPE,
                                           preexec_fn=lambda: signal.signal(signal.SIGHUP, signal.SIG_DFL))
                process.stdin.write(scenario.read_bytes()[:10])
                process.stdin.flush()
                self.wait_until_it_reads(process)
                process.send_signal(which)
                self.assertEqual(process.wait(SECONDS), 130)
                process.stdin.close()
                process.stderr.close()

    @staticmethod
    def wait_until_it_reads(process):
        """Asleep with the program's handlers in place."""
        until = time.monotonic() + SECONDS
        while time.monotonic() < until:
            status = pathlib.Path(f"/proc/{process.pid}/status").read_text()
            caught = next(line for line in status.splitlines() if line.startswith("SigCgt:"))
            if int(caught.split()[1], 16) >> (signal.SIGTERM - 1) & 1 and "\nState:\tS" in status:
                return
            time.sleep(0.01)


class Input(Machine):
    def test_a_folder(self):
        self.every_reader(".", b"irectory")

    def test_a_loop_of_links(self):
        (self.here / "loop").symlink_to("loop")
        self.every_reader("loop", b"ymbolic links")
        (self.here / "loop").unlink()

    def test_a_file_that_is_not_there(self):
        self.every_reader("gone.csv", b"o such file", [name for name in READERS if name != "watch"])

    def test_a_file_without_permission(self):
        if os.getuid() != 0:
            self.skipTest("needs root, to become somebody without permission")
        locked = self.here / "locked"
        locked.write_text("x")
        locked.chmod(0)
        try:
            for name, (command, code) in READERS.items():
                with self.subTest(name):
                    self.failed(run(*command, "locked", cwd=self.here, user=65534, group=65534, extra_groups=[]),
                                code)
        except PermissionError:
            self.skipTest("the program cannot be reached as another user")
        finally:
            locked.unlink()

    def test_ten_gigabytes_of_nothing(self):
        sparse = self.here / "sparse"
        for begin in (b"", (self.here / "log.csv").read_bytes()):
            sparse.write_bytes(begin)
            os.truncate(sparse, 10 << 30)
            # After a sound beginning, a watched file is read on: see the next test.
            names = ["inspect", "learn", "check", "verify"] if begin else READERS
            self.every_reader("sparse", b"", names, preexec_fn=limited(resource.RLIMIT_AS, 600 << 20))
        sparse.unlink()

    def test_a_watched_hole_takes_no_memory(self):
        sparse = self.here / "sparse"
        sparse.write_bytes((self.here / "log.csv").read_bytes())
        os.truncate(sparse, 200 << 20)
        result = run("watch", "sparse", "--until-idle", "0.1", cwd=self.here,
                     preexec_fn=limited(resource.RLIMIT_AS, 100 << 20))
        sparse.unlink()
        self.assertEqual(result.returncode, 0, result.stderr)
        told = b"coolband: sparse: more than 1 MiB without the end of a line: let go, with all up to the next line"
        self.assertEqual(result.stderr.splitlines().count(told), 1, result.stderr[-1000:])

    def test_too_little_memory(self):
        big = self.here / "big.json"
        big.write_bytes(b'{"schema":"coolband.vehicle/1","id":"' + b"x" * (60 << 20) + b'"}')
        result = run("check", "log.csv", "--profile", "big.json", cwd=self.here,
                     preexec_fn=limited(resource.RLIMIT_AS, 80 << 20))
        big.unlink()
        self.failed(result, 5, b"out of memory")

    def test_too_few_files(self):
        for name, command in WRITERS.items():
            for files in (3, 4, 5):
                with self.subTest(name, files=files):
                    result = self.with_files(files, command)
                    self.assertIn(result.returncode, KNOWN_CODES | {127}, result.stderr)
                    if result.returncode not in (0, 127):
                        self.assertIn(b"oo many open files", result.stderr)

    def with_files(self, files, command):
        line = f'ulimit -n {files}; exec "$@"'
        return subprocess.run(["/bin/sh", "-c", line, "sh", sys.argv[1], *command], cwd=self.here,
                              capture_output=True, timeout=SECONDS, check=False)

    def test_slow_pipes_in_odd_pieces_with_signals_between(self):
        log = (self.here / "log.csv").read_bytes()
        expected = run("check", "-", "--format", "json", cwd=self.here, input=log)
        self.assertEqual(expected.returncode, 0)
        process = subprocess.Popen([sys.argv[1], "check", "-", "--format", "json"], cwd=self.here,
                                   stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        at = 0
        for number in range(60):
            size = 1 + number * 37 % 97
            os.write(process.stdin.fileno(), log[at:at + size])
            at += size
            for which in (signal.SIGWINCH, signal.SIGSTOP, signal.SIGCONT):
                process.send_signal(which)
            time.sleep(0.002)
        out, _ = process.communicate(log[at:], SECONDS)
        self.assertEqual((process.returncode, out), (0, expected.stdout))


if __name__ == "__main__":
    main()
