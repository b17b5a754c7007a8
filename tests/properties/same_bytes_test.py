# SPDX-License-Identifier: Apache-2.0
"""The same input gives the same bytes: same_bytes_test.py PROGRAM

In any locale and time zone, with any number of threads, without the processor's newer instructions (for which glibc has
routines that round otherwise), and under valgrind, which must find nothing wrong.
"""
import os
import pathlib
import platform
import shutil
import subprocess
import sys
import tempfile
import unittest

import logs

PROGRAM = ""
VALGRIND = ["valgrind", "--quiet", "--error-exitcode=99", "--leak-check=full", "--errors-for-leak-kinds=definite"]
# As glibc from 2.33 on spells them; those before have AVX2_Usable.
HIDE = "glibc.cpu.hwcaps=-AVX512F,-AVX2,-AVX,-FMA,-FMA4,-AVX2_Usable,-AVX_Usable,-FMA_Usable"
LOADER = "/lib64/ld-linux-x86-64.so.2"
# Every command, every form of output, and the files that are written.
COMMANDS = (
    ("learn", "*normal", "--vehicle", "warden-2", "--profile", "profile.json", "--band", "band.json"),
    ("check", "open.csv", "sticking.csv", "hot.csv", "--band", "band.json", "--format", "jsonl"),
    ("check", "open.csv", "--band", "band.json", "--explain", "--record", "--date", "2031-05-06",
     "--by", "İrıß"),
    ("check", "open.csv", "--band", "band.json", "--format", "json", "-o", "report.json"),
    ("check", "open.csv", "--band", "band.json", "--format", "html", "-o", "report.html"),
    ("check", "open.csv", "--band", "band.json", "--format", "svg", "-o", "valve.svg", "--picture", "valve"),
    ("plan", "report.json", "--profile", "profile.json"),
    ("verify", "--band", "band.json", "--before", "open.csv", "--after", "normal.csv", "--format", "json"),
    ("history", "--band", "band.json"),
    ("inspect", "open.csv", "commas.csv"),
    ("simulate", "tour.json", "-o", "tour.csv"),
    ("coolant", "--profile", "profile.json", "--protect-to", "-30C", "--format", "json"),
    ("watch", "-", "--band", "band.json", "--format", "jsonl"),
)


def run(*command, cwd, more=(), **environment):
    """Standard input is the log of a hot day."""
    kept = {key: os.environ[key] for key in ("PATH", "HOME") if key in os.environ}
    with open(logs.DEMO / "warden-2/trips/hot-day.csv", "rb") as log:
        return subprocess.run([*more, PROGRAM, *map(str, command)], cwd=cwd, capture_output=True, timeout=300,
                              check=False, stdin=log, env=kept | {"LC_ALL": "C", "TZ": "UTC"} | environment)


def hidden():
    """Whether HIDE changes what the C library takes the processor for."""
    def taken_for(tunables):
        said = subprocess.run([LOADER, "--list-diagnostics"], capture_output=True, check=False,
                              env={"GLIBC_TUNABLES": tunables}).stdout.decode("utf-8", "replace")
        return [line for line in said.splitlines() if ".active[" in line]
    return os.path.exists(LOADER) and taken_for("") != taken_for(HIDE)


def locales_in(folder):
    """Makes locales with a decimal comma and with another case of i; none where glibc's sources of them are not."""
    names = []
    for name in ("de_DE", "tr_TR"):
        made = shutil.which("localedef") and subprocess.run(
            ["localedef", "-i", name, "-f", "UTF-8", f"{folder}/{name}.UTF-8"], capture_output=True, check=False)
        if made and pathlib.Path(folder, f"{name}.UTF-8").exists():
            names.append(f"{name}.UTF-8")
    return names


def furnish(here):
    trips = logs.DEMO / "warden-2/trips"
    for name, source in {"open": "stuck-open", "sticking": "sticking", "hot": "hot-day", "normal": "normal"}.items():
        shutil.copy(trips / f"{source}.csv", here / f"{name}.csv")
    table = logs.read_table((trips / "normal.csv").read_text(encoding="utf-8"))
    (here / "commas.csv").write_bytes(logs.as_csv(table, comma=";", decimal=","))
    shutil.copy(logs.DEMO / "warden-2.json", here / "profile.json")
    shutil.copy(logs.SOURCE / "data/scenarios/tour.json", here)
    shutil.copy(logs.SOURCE / "data/scenarios/warden-2.vehicle.json", here)


def written(here):
    return {str(path.relative_to(here)): path.read_bytes() for path in sorted(here.rglob("*")) if path.is_file()}


def all_said(commands, **environment):
    """What the commands write to the streams and leave behind, one after the other in a new folder."""
    with tempfile.TemporaryDirectory() as folder:
        here = pathlib.Path(folder)
        furnish(here)
        said = []
        normal = sorted((logs.DEMO / "warden-2/normal").iterdir())
        for command in commands:
            words = [word for given in command for word in (normal if given == "*normal" else [given])]
            result = run(*words, cwd=here, **environment)
            if result.returncode != 0:
                raise AssertionError((command, result.stderr.decode("utf-8", "replace")))
            said.append((command[0], result.stdout, result.stderr))
        return said, written(here)


class SameBytes(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.maxDiff = 1000
        cls.said = all_said(COMMANDS)

    def same(self, **environment):
        said, files = all_said(COMMANDS, **environment)
        for (name, *now), (_, *usual) in zip(said, self.said[0]):
            self.assertEqual(now, usual, (name, environment))
        self.assertEqual(files.keys(), self.said[1].keys())
        for name, text in files.items():
            self.assertEqual(text, self.said[1][name], (name, environment))

    def test_the_commands_say_something(self):
        for name, out, error in self.said[0]:
            self.assertTrue(out or error or name in ("check", "simulate"), name)
        self.assertLess({"band.json", "report.html", "valve.svg", "tour.csv"}, set(self.said[1]))

    def test_in_any_locale_and_time_zone(self):
        with tempfile.TemporaryDirectory() as made:
            zones = ["America/St_Johns", "Asia/Kathmandu", "Pacific/Kiritimati"]
            for locale, zone in zip(("C.UTF-8", *locales_in(made)), zones):
                with self.subTest(locale=locale, zone=zone):
                    self.same(LC_ALL=locale, LANG=locale, LOCPATH=made, TZ=zone)

    @unittest.skipUnless(platform.machine() == "x86_64" and hidden(), "this glibc hides no instructions")
    def test_without_newer_instructions(self):
        self.same(GLIBC_TUNABLES=HIDE)

    def test_with_any_number_of_threads(self):
        usual = None
        for jobs in (1, 2, 5):
            with tempfile.TemporaryDirectory() as folder:
                here = pathlib.Path(folder)
                for number in (1, 2, 3):
                    source = logs.DEMO / f"warden-{number}"
                    shutil.copytree(source / "trips", here / f"logs/warden-{number}")
                result = run("fleet", "logs", "--bands", "bands", "--store", "store", "--jobs", jobs, "--ordered",
                             "--format", "json", "--also", "fleet.html", "--also", "fleet.csv", "--also", "trips.jsonl",
                             cwd=here)
                self.assertEqual(result.returncode, 0, result.stderr)
                files = {name: text for name, text in written(here).items()
                         if name.startswith(("bands", "fleet", "trips"))}
                self.assertGreater(len(files), 3)
                usual = usual or (result.stdout, files)
                self.assertEqual((result.stdout, files), usual, jobs)

    @unittest.skipUnless(shutil.which("valgrind"), "needs valgrind (Debian's package of that name)")
    def test_under_valgrind(self):
        """Another processor in software; what it looks for besides must not be found."""
        with tempfile.TemporaryDirectory() as folder:
            here = pathlib.Path(folder)
            furnish(here)
            rows = (here / "open.csv").read_text(encoding="utf-8").splitlines(keepends=True)
            (here / "short.csv").write_text("".join(rows[:500]), encoding="utf-8")
            command = ("check", "short.csv", "--profile", "profile.json", "--format", "json")
            usual = run(*command, cwd=here)
            watched = run(*command, cwd=here, more=VALGRIND)
            self.assertEqual((watched.returncode, watched.stdout, watched.stderr), (0, usual.stdout, usual.stderr))


if __name__ == "__main__":
    PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
