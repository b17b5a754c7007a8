# SPDX-License-Identifier: Apache-2.0
"""What the tests of faults share: a folder with a log, a band, a report and a scenario, and the
program run in it."""
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
DEMO = SOURCE / "data" / "demo"
SECONDS = 60
KNOWN_CODES = {0, 1, 2, 3, 4, 5, 130}


def run(*arguments, cwd, **more):
    more.setdefault("capture_output", "stdout" not in more and "stderr" not in more)
    return subprocess.run([sys.argv[1], *map(str, arguments)], cwd=cwd, timeout=SECONDS, check=False, **more)


class Bench(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        temporary = tempfile.TemporaryDirectory()
        cls.addClassCleanup(temporary.cleanup)
        cls.here = pathlib.Path(temporary.name)
        cls.here.chmod(0o755)
        shutil.copy(DEMO / "warden-2/trips/stuck-open.csv", cls.here / "log.csv")
        shutil.copy(SOURCE / "data/scenarios/tour.json", cls.here / "scenario.json")
        shutil.copy(SOURCE / "data/scenarios/warden-2.vehicle.json", cls.here)
        shutil.copy(DEMO / "warden-2.json", cls.here / "profile.json")
        normal = sorted((DEMO / "warden-2/normal").iterdir())
        cls.made("learn", *normal, "--vehicle", "warden-2", "--profile", "profile.json", "--band", "band.json")
        cls.made("check", "log.csv", "--band", "band.json", "--format", "json", "-o", "report.json")

    @classmethod
    def made(cls, *arguments):
        result = run(*arguments, cwd=cls.here)
        if result.returncode != 0:
            raise AssertionError(result.stderr.decode())

    def names(self):
        return sorted(str(path.relative_to(self.here)) for path in self.here.rglob("*"))


def main():
    unittest.main(argv=sys.argv[:1] + sys.argv[2:])
