# SPDX-License-Identifier: Apache-2.0
"""A fleet in shards: merge_test.py PROGRAM

What must hold: shards that are put together, in any order and in steps, give the very bytes of one run over the whole
fleet, its store included; what is missing or does not belong together is refused.
"""
import json
import os
import pathlib
import random
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent
DEMO = SOURCE / "data" / "demo"
PROGRAM = ""
FORMS = ("html", "csv", "jsonl", "json", "txt")


def tree(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*"))
            if path.is_file() and path.name != "lock"}


class Shards(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.temporary = tempfile.TemporaryDirectory()
        cls.here = pathlib.Path(cls.temporary.name)
        for copy in range(9):
            for kind in ("normal", "trips"):
                for log in sorted((DEMO / f"warden-{copy % 3 + 1}" / kind).glob("*.*"))[:2 if kind == "normal" else 1]:
                    to = cls.here / "logs" / f"ranger {copy}" / kind / log.name
                    to.parent.mkdir(parents=True, exist_ok=True)
                    shutil.copy(log, to)
        (cls.here / "logs/ranger 4/bad.csv").write_text("nothing\n")
        (cls.here / "logs/notes.md").write_text("x")
        (cls.here / "empty").mkdir()
        cls.age()
        cls.paths = ("logs", "empty", "z-missing", "a-missing")
        cls.fleet("one", "--shard", "1/1", code=3)
        for count in (3, 8):
            for number in range(1, count + 1):
                cls.fleet(f"{count}-{number}", "--shard", f"{number}/{count}", code=3)

    @classmethod
    def tearDownClass(cls):
        cls.temporary.cleanup()

    @classmethod
    def age(cls):
        """Times long past: how fresh a log is shall not differ between runs."""
        for path in (cls.here / "logs").rglob("*"):
            os.utime(path, (1_000_000_000, 1_000_000_000))

    @classmethod
    def fleet(cls, store, *more, code=0):
        cls.call("fleet", *cls.paths, "--bands", "bands", "--store", store, "--quiet", *more, code=code)

    @classmethod
    def call(cls, *arguments, code=0):
        result = subprocess.run([PROGRAM, *map(str, arguments)], cwd=cls.here, capture_output=True, timeout=300,
                                check=False)
        if result.returncode != code:
            raise AssertionError((arguments, result.returncode, (result.stderr + result.stdout).decode()[:2000]))
        return result

    def merged(self, *stores, code=3):
        """All outputs, and the store."""
        out = pathlib.Path(tempfile.mkdtemp(dir=self.here))
        also = sum((["--also", f"{out.name}/a.{form}"] for form in FORMS), [])
        self.call("merge", *stores, "--store", f"{out.name}/store", *also, code=code)
        return tree(out)

    def require_same(self, now, expected):
        self.assertEqual(sorted(now), sorted(expected))
        for name, content in now.items():
            self.assertTrue(content == expected[name], f"{name} differs")

    def test_any_split_in_any_order_is_the_one_run(self):
        whole = self.merged("one")
        chance = random.Random(6)
        for count in (3, 8):
            stores = [f"{count}-{i}" for i in range(1, count + 1)]
            for _ in range(3):
                chance.shuffle(stores)
                self.require_same(self.merged(*stores), whole)
        own = {name.removeprefix("store/"): content for name, content in whole.items() if name.startswith("store/")}
        self.require_same(own, tree(self.here / "one"))
        self.assertEqual(len([name for name in own if name.endswith(".trips")]), 9)

    def test_the_outputs_are_those_of_the_run_itself(self):
        """A second store: its first run writes every form, and so does the merge."""
        also = sum((["--also", f"direct.{form}"] for form in FORMS), [])
        self.fleet("again", *also, code=3)
        direct = {f"a.{form}": (self.here / f"direct.{form}").read_bytes() for form in FORMS}
        merged = {name: content for name, content in self.merged("3-2", "3-3", "3-1").items() if name in direct}
        # --quiet told the text in brief
        direct.pop("a.txt"), merged.pop("a.txt")
        self.require_same(merged, direct)
        reports = merged["a.jsonl"].splitlines()
        self.assertEqual(len(reports), json.loads(merged["a.json"])["counts"]["trips"])
        self.assertGreater(len(reports), 20)

    def test_a_fleet_without_a_log_is_told_as_one_run_tells_it(self):
        (self.here / "bare/ranger").mkdir(parents=True)
        self.call("fleet", "bare", code=3)
        for number in (1, 2):
            self.call("fleet", "bare", "--shard", f"{number}/2", "--store", f"bare-{number}")
        told = self.call("merge", "bare-1", "bare-2", code=3).stderr.decode()
        self.assertIn("no shard of this fleet found a log", told)

    def test_steps_make_no_difference(self):
        whole = self.merged("one")
        self.call("merge", "8-7", "8-2", "8-5", "--partial", "--store", "step1", code=3)
        self.call("merge", "8-1", "8-8", "--partial", "--store", "step2", code=3)
        self.call("merge", "step2", "8-3", "step1", "--partial", "--store", "step3", code=3)
        self.require_same(self.merged("8-6", "step3", "8-4"), whole)

    def test_what_has_changed_is_told_as_by_one_run(self):
        stores = ["x"] + [f"x-{i}" for i in (1, 2, 3)]

        def run_all():
            for store in stores:
                shard = store.removeprefix("x-").replace("x", "1/1")
                self.fleet(store, "--shard", shard if "/" in shard else f"{shard}/3", code=3)
        trip = next((self.here / "logs/ranger 0/trips").iterdir())
        trip.rename(self.here / "later")
        gone = self.here / "logs/ranger 7"
        run_all()
        (self.here / "later").rename(trip)
        gone.rename(self.here / "gone")
        self.addCleanup((self.here / "gone").rename, gone)
        run_all()
        whole = self.merged("x")
        self.require_same(self.merged("x-3", "x-1", "x-2"), whole)
        summary = json.loads(whole["a.json"])
        self.assertEqual(summary["counts"]["vehicles"], 8)
        self.assertGreater(sum(summary["counts"]["changes"].values()), 0)
        self.fleet("x-2", "--shard", "2/3", code=3)
        refused = self.call("merge", "x-1", "x-2", "x-3", code=2)
        self.assertIn(b"some shards have had 2 completed runs, others 3", refused.stderr)

    def test_what_is_missing_or_does_not_belong_together_is_refused(self):
        def refused(words, *arguments, code=2):
            self.assertIn(words, self.call("merge", *arguments, code=code).stderr.decode())
        refused("shards 2, 3 of 3 are missing", "3-1")
        refused("shard 1 once more", "3-1", "3-2", "3-1")
        refused("shard 2 of 8, not of 3", "3-1", "8-2")
        partial = self.call("merge", "3-1", "3-3", "--partial", code=3)
        self.assertIn(b"shard 2 of 3 is missing", partial.stderr)
        refused("this is no store", "logs", code=3)
        self.fleet("r", "--shard", "1/3", "--recent", "2", code=3)
        refused("judged with --recent 2, not 5", "3-2", "r", "3-3")
        self.fleet("n", "--shard", "1/3", "--no-learn", code=3)
        refused("judged with other options", "3-2", "n", "3-3")
        refused("is one of the stores to be merged", "3-1", "3-2", "3-3", "--store", "3-2")
        self.call("fleet", "logs", "--store", "3-1", "--shard", "2/3", code=2)
        self.call("fleet", "logs", "--store", "3-1", code=2)

    def test_damage_and_an_unfinished_run_are_told(self):
        shutil.copytree(self.here / "3-2", self.here / "bad")
        stored = max((self.here / "bad").rglob("*.trips"), key=lambda path: path.stat().st_size)
        content = bytearray(stored.read_bytes())
        content[100] ^= 1
        stored.write_bytes(content)
        result = self.call("merge", "3-1", "bad", "3-3", "--format", "jsonl", "-o", "bad.jsonl", code=3)
        self.assertIn(b"damaged or gone", result.stderr)
        self.assertFalse((self.here / "bad.jsonl").exists())
        listed = self.here / "bad/vehicles.list"
        listed.write_bytes(listed.read_bytes()[:-5])
        self.assertIn(b"damaged", self.call("merge", "3-1", "bad", "3-3", code=3).stderr)
        state = json.loads((self.here / "bad/store.json").read_text())
        (self.here / "bad/store.json").write_text(json.dumps(state | {"under_way": True}))
        self.assertIn(b"was not completed", self.call("merge", "3-1", "bad", "3-3", code=3).stderr)


if __name__ == "__main__":
    PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
    unittest.main(argv=sys.argv[:1], verbosity=1)
