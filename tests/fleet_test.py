# SPDX-License-Identifier: Apache-2.0
"""A fleet's night as it can go: fleet_test.py PROGRAM [KILLS]

What must hold: a run that was killed or ran out of space and is started again ends with the very
bytes of a run that was left alone; nothing waits, and nothing bad harms what is good.
"""
import csv
import fcntl
import io
import json
import os
import pathlib
import pty
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent
DEMO = SOURCE / "data" / "demo"
PROGRAM = ""
KILLS = 6
SECONDS = 120


def fleet(*arguments, cwd=SOURCE, **more):
    return subprocess.run([PROGRAM, "fleet", *map(str, arguments)], cwd=cwd, capture_output=True,
                          timeout=SECONDS, check=False, **more)


def check(*arguments, cwd=SOURCE):
    result = subprocess.run([PROGRAM, "check", *map(str, arguments), "--format", "jsonl", "-q"], cwd=cwd,
                            capture_output=True, timeout=SECONDS, check=False)
    return result.stdout.splitlines()


def tree(folder):
    """Every file that a finished run leaves, by name. (An output that was being written when its run
    was killed keeps its temporary name.)"""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*"))
            if path.is_file() and path.name != "lock" and not path.name.startswith(".coolband.")}


class Folder(unittest.TestCase):
    def setUp(self):
        temporary = tempfile.TemporaryDirectory()
        self.addCleanup(temporary.cleanup)
        self.here = pathlib.Path(temporary.name)
        self.logs = self.here / "logs"
        for number in (1, 3):
            shutil.copytree(DEMO / f"warden-{number}", self.logs / f"warden-{number}")
            shutil.copy(DEMO / f"warden-{number}.json", self.logs)

    def run_fleet(self, *arguments, code=0, **more):
        result = fleet(*arguments, cwd=self.here, **more)
        self.assertEqual(result.returncode, code, (result.stderr + result.stdout).decode()[:3000])
        return result


class Results(Folder):
    def test_a_report_is_that_of_check_with_the_band_and_the_profile(self):
        lines = self.run_fleet("logs", "--bands", "bands", "--format", "jsonl").stdout.splitlines()
        self.assertEqual(len(lines), 11)
        expected = []
        for number in (1, 3):
            logs = sorted(str(p.relative_to(self.here)) for p in (self.logs / f"warden-{number}").rglob("*.*"))
            expected += check(*logs, "--band", f"bands/warden-{number}.band.json", "--profile",
                              f"logs/warden-{number}.json", cwd=self.here)
        self.assertTrue(sorted(lines) == sorted(expected), "reports differ")

    def test_the_order_is_that_of_vehicles_and_logs_whatever_the_cores(self):
        texts = {self.run_fleet("logs", "--no-learn", "--format", "jsonl", "--ordered", "--jobs", jobs).stdout
                 for jobs in (1, 2, 5)}
        self.assertEqual(len(texts), 1)
        sources = [json.loads(line)["trip"]["source"] for line in texts.pop().splitlines()]
        self.assertEqual(sources, sorted(sources))

    def test_the_table_can_be_read_and_runs_nothing(self):
        shutil.copytree(self.logs / "warden-3", self.logs / "=cmd|calc")
        text = self.run_fleet("logs", "--format", "csv").stdout.decode()
        self.assertTrue(text.endswith("\r\n"))
        rows = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
        self.assertEqual(len(rows), 16)
        self.assertEqual({row["vehicle"] for row in rows}, {"warden-1", "warden-3", "'=cmd|calc"})

    def test_the_summary_counts_what_the_reports_say(self):
        summary = json.loads(self.run_fleet("logs", "--format", "json").stdout)
        self.assertEqual(summary["counts"]["trips"], 11)
        self.assertEqual(summary["counts"]["bands"], {"none": 0, "given": 0, "own": 2})
        self.assertEqual([v["id"] for v in summary["vehicles"]], ["warden-1", "warden-3"])
        self.assertEqual(summary["vehicles"][0]["state"]["condition"], "thermostat-stuck-open")

    def test_other_forms_go_along(self):
        forms = ("html", "csv", "jsonl", "json", "txt")
        also = sum((["--also", f"a.{form}"] for form in forms), [])
        self.run_fleet("logs", "--bands", "bands", *also)
        for form in forms:
            name = {"txt": "text"}.get(form, form)
            alone = self.run_fleet("logs", "--bands", "bands", "--format", name, "--ordered").stdout
            self.assertTrue((self.here / f"a.{form}").read_bytes() == alone, form)
        self.run_fleet("logs", *also, code=4)
        self.run_fleet("logs", "--also", "a.xml", code=2)

    def on_a_terminal(self, *arguments):
        """What a terminal is shown, and the exit code."""
        pid, terminal = pty.fork()
        if pid == 0:
            os.chdir(self.here)
            os.execv(PROGRAM, [PROGRAM, "fleet", *arguments])
        shown = b""
        try:
            while piece := os.read(terminal, 65536):
                shown += piece
        except OSError:  # the other end has hung up
            pass
        os.close(terminal)
        return shown.decode(), os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])

    def test_progress_is_for_terminals_and_gone_at_the_end(self):
        for copy in range(5):
            shutil.copytree(self.logs / "warden-1", self.logs / f"copy-{copy}")
        shown, code = self.on_a_terminal("logs", "--jobs", "1")
        self.assertEqual(code, 0, shown[-500:])
        progress, summary = shown.rsplit("\r\x1b[K", 1)
        self.assertRegex(progress, r"\d+ of 7 vehicles, \d+ trips \(\d+ a second\), about .* left, \d+ finding")
        self.assertRegex(summary, r"^(\x1b\[1m)?FLEET")
        quiet, _ = self.on_a_terminal("logs", "--jobs", "1", "--quiet")
        self.assertNotIn("\r\x1b[K", quiet)
        self.assertNotIn(b"\x1b", self.run_fleet("logs", "--jobs", "1").stderr)

    def test_fail_on_goes_by_the_latest_trips(self):
        self.run_fleet("logs", "--fail-on", "service", code=1)
        self.run_fleet("logs", "--fail-on", "stop")
        self.run_fleet("logs/warden-1/normal", "--recent", "1", "--fail-on", "monitor")

    def test_logs_come_from_folders_patterns_lists_and_pipes(self):
        def sources(*arguments, **more):
            result = self.run_fleet(*arguments, "--no-learn", "--ordered", "--format", "jsonl", **more)
            return [(r["vehicle"]["id"], r["trip"]["source"]) for r in map(json.loads, result.stdout.splitlines())]
        by_folder = sources("logs")
        names = [name for _, name in by_folder]
        pattern = ["--vehicle-pattern", "logs/([^/]+)/"]
        self.assertEqual(sources("logs/*/*/*", *pattern), by_folder)
        self.assertEqual(sources("-", *pattern, input="\0".join(names).encode()), by_folder)
        (self.here / "list").write_text("\r\n".join(names))
        self.assertEqual(sources("--list", "list", *pattern), by_folder)
        self.run_fleet("logs", "--vehicle-pattern", "logs/[^/]+/", code=2)
        self.run_fleet("logs", "--vehicle-pattern", "(", code=2)

    def test_a_link_to_a_vehicle_makes_no_second_one(self):
        os.symlink("warden-1", self.logs / "again")
        os.symlink("../logs", self.logs / "round")
        shutil.copytree(DEMO / "warden-2", self.here / "elsewhere")
        os.symlink("../elsewhere", self.logs / "warden-2")
        table = self.run_fleet("logs", "--no-learn", "--format", "csv").stdout.decode()
        vehicles = {line.split(",")[0] for line in table.splitlines()[1:]}
        self.assertEqual(vehicles, {"warden-1", "warden-2", "warden-3"})

    def test_a_warning_of_a_log_is_told(self):
        log = self.logs / "doubtful" / "trip.csv"
        log.parent.mkdir()
        rows = "".join(f"{i},{min(40 + i // 10, 132)},1500\n" for i in range(1200))
        log.write_text("time_s,coolant,rpm\n" + rows)
        summary = self.run_fleet("logs", "--no-learn").stdout.decode()
        self.assertIn("(the log was read with a warning)", " ".join(summary.split()))

    def test_a_column_assigns_the_trips_of_one_log(self):
        rows = (DEMO / "warden-2/trips/sticking.csv").read_text().splitlines()[2:]
        text = "vehicle," + rows[0] + "\n"
        for vehicle in ("../../up", "b"):
            text += "".join(f"{vehicle},{row}\n" for row in rows[1:])
        (self.here / "mixed.csv").write_text(text)
        result = self.run_fleet("mixed.csv", "--vehicle-by", "column", "--bands", "bands", "--ordered", "--pages",
                                "pages", "--pages-for", "all", "--store", "store", "--format", "jsonl")
        ids = [json.loads(line)["vehicle"]["id"] for line in result.stdout.splitlines()]
        self.assertEqual(ids, ["../../up", "b"])
        self.assertEqual(sorted(p.name for p in self.here.iterdir()), ["logs", "mixed.csv", "pages", "store"])
        refused = self.run_fleet("mixed.csv", "--format", "jsonl", code=3)
        self.assertIn(b"holds several vehicles", refused.stderr)

    def test_a_link_in_the_overview_leads_to_a_page(self):
        self.run_fleet("logs", "--pages", "out/pages", "--format", "html", "-o", "fleet.html")
        text = (self.here / "fleet.html").read_text()
        links = [part.split('"')[0] for part in text.split('href="')[1:] if part.startswith("out/")]
        self.assertTrue(links)
        for link in links:
            self.assertTrue((self.here / link).is_file(), link)
        self.assertEqual(len(links), len(list((self.here / "out/pages").rglob("*.html"))))


class Bands(Folder):
    def test_a_band_that_was_given_is_never_changed(self):
        self.run_fleet("logs/warden-3/normal", "--bands", "first")
        band = json.loads((self.here / "first/normal.band.json").read_text())
        band["vehicle"] = "warden-3"
        del band["learned_by_fleet"]
        band["circuit"] = None
        (self.here / "bands").mkdir()
        path = self.here / "bands/warden-3.band.json"
        path.write_text(json.dumps(band))
        before = path.read_bytes()
        summary = json.loads(self.run_fleet("logs", "--bands", "bands", "--format", "json").stdout)
        self.assertEqual(path.read_bytes(), before)
        self.assertEqual({v["id"]: v["band"]["source"] for v in summary["vehicles"]},
                         {"warden-1": "own", "warden-3": "given"})

    def test_a_learned_band_that_a_person_changed_is_a_given_one(self):
        self.run_fleet("logs", "--bands", "bands")
        path = self.here / "bands/warden-1.band.json"
        band = json.loads(path.read_text())
        band["centre_c"] += 1.0
        path.write_text(json.dumps(band))
        before = path.read_bytes()
        summary = json.loads(self.run_fleet("logs", "--bands", "bands", "--relearn", "--format", "json").stdout)
        self.assertEqual(path.read_bytes(), before)
        self.assertEqual({v["id"]: v["band"]["source"] for v in summary["vehicles"]},
                         {"warden-1": "given", "warden-3": "own"})

    def test_no_learn_learns_and_writes_nothing(self):
        self.run_fleet("logs", "--bands", "bands", "--no-learn")
        self.assertFalse((self.here / "bands").exists())

    def test_files_of_another_vehicle_are_refused_and_harm_no_other(self):
        shutil.copy(self.logs / "warden-1.json", self.logs / "warden-3" / "vehicle.json")
        result = self.run_fleet("logs", "--format", "json", code=3)
        vehicles = {v["id"]: v for v in json.loads(result.stdout)["vehicles"]}
        self.assertIsNone(vehicles["warden-3"]["state"])
        self.assertIn("is of 'warden-1'", vehicles["warden-3"]["problems"][0]["message"])
        self.assertIsNotNone(vehicles["warden-1"]["state"])


class Store(Folder):
    """What a run keeps, and what is left of it when the run is killed."""
    WAY = ("logs", "--store", "store", "--bands", "bands", "--format", "jsonl", "-o", "all.jsonl", "--overwrite")

    def end(self):
        summary = self.run_fleet("logs", "--store", "store", "--bands", "bands", "--format", "json").stdout
        return tree(self.here), summary

    def require_same(self, now, expected):
        # Half a band that a killed run left has a hidden name that nobody reads; other runs may be
        # writing into the same folder, so none takes it away.
        files = {name: content for name, content in now[0].items() if not name.startswith("bands/.coolband-")}
        self.assertEqual(sorted(files), sorted(expected[0]))
        for name, content in files.items():
            self.assertTrue(content == expected[0][name], f"{name} differs")
        self.assertTrue(now[1] == expected[1], "the summary differs")

    def left_alone(self):
        with tempfile.TemporaryDirectory() as folder:
            mine, self.here = self.here, pathlib.Path(folder)
            shutil.copytree(mine / "logs", self.here / "logs", symlinks=True, copy_function=os.link)
            self.run_fleet(*self.WAY)
            result = self.end()
            self.here = mine
        return result

    def test_nothing_new_is_nothing_done(self):
        self.run_fleet(*self.WAY)
        files = {path: path.stat().st_mtime_ns for path in self.here.rglob("*.trips")}
        again = self.run_fleet(*self.WAY, "-v")
        self.assertIn(b"0 of 11 trips judged anew", again.stderr)
        self.assertEqual(files, {path: path.stat().st_mtime_ns for path in self.here.rglob("*.trips")})

    def test_only_what_is_new_or_changed_is_judged(self):
        self.run_fleet(*self.WAY)
        for path in self.logs.rglob("*.*"):
            os.utime(path, (1, 1))
        self.assertIn(b" 0 of 11 trips", self.run_fleet(*self.WAY, "-v").stderr)
        trip = self.logs / "warden-1/trips/stuck-open.jsonl"
        shutil.copy(trip, trip.with_name("another.jsonl"))
        self.assertIn(b" 1 of 12 trips", self.run_fleet(*self.WAY, "-v").stderr)
        trip.write_text("\n".join(trip.read_text().splitlines()[:-9]) + "\n")
        self.assertIn(b" 1 of 12 trips", self.run_fleet(*self.WAY, "-v").stderr)
        trip.unlink()
        self.assertIn(b" 0 of 11 trips", self.run_fleet(*self.WAY, "-v").stderr)
        profile = self.logs / "warden-3.json"
        profile.write_text(profile.read_text().replace("outlying", "the outlying"))
        self.assertIn(b" 5 of 11 trips", self.run_fleet(*self.WAY, "-v").stderr)
        lines = (self.here / "all.jsonl").read_bytes()
        self.run_fleet("logs", "--store", "fresh", "--bands", "bands", "--format", "jsonl", "-o", "fresh.jsonl")
        self.assertEqual(lines, (self.here / "fresh.jsonl").read_bytes())

    def test_a_vehicle_whose_name_is_no_text_is_known_again(self):
        os.rename(os.fsencode(self.logs / "warden-3"), os.fsencode(self.logs) + b"/odd\xfename")
        told = [self.run_fleet("logs", "--store", "store").stdout.decode("utf-8", "replace") for _ in range(2)]
        self.assertIn("2 seen for the first time", told[0])
        self.assertNotIn("seen for the first time", told[1])

    def test_it_tells_what_has_changed(self):
        trip = self.logs / "warden-1/trips/stuck-open.jsonl"
        kept = trip.read_bytes()
        trip.unlink()
        way = ("logs", "--store", "store", "--format", "json")
        self.run_fleet(*way)
        trip.write_bytes(kept)
        changes = json.loads(self.run_fleet(*way).stdout)
        self.assertEqual(changes["counts"]["changes"], {"first_seen": 0, "worse": 1, "better": 0, "other": 0})
        self.assertEqual(changes["vehicles"][0]["before"]["action"], "none")
        self.assertEqual(json.loads(self.run_fleet(*way).stdout)["counts"]["changes"]["worse"], 0)

    def test_a_killed_run_goes_on_where_it_was(self):
        expected = self.left_alone()
        begun = time.monotonic()
        self.run_fleet("logs", "--store", "other", "--format", "jsonl", "-o", "other.jsonl")
        length = time.monotonic() - begun
        shutil.rmtree(self.here / "other")
        (self.here / "other.jsonl").unlink()
        chance = random.Random(8)
        signals = (signal.SIGKILL, signal.SIGKILL, signal.SIGINT)
        for kill in range(KILLS):
            process = subprocess.Popen([PROGRAM, "fleet", *self.WAY], cwd=self.here, stderr=subprocess.DEVNULL)
            time.sleep(chance.uniform(0.0, length / 2))
            process.send_signal(signals[kill % 3])
            code = process.wait(SECONDS)
            self.assertIn(code, (0, 130, -signal.SIGKILL))
            if code == 0:  # it was over: from the beginning, so that the runs are counted alike
                for name in ("store", "bands"):
                    shutil.rmtree(self.here / name)
        self.run_fleet(*self.WAY)
        self.require_same(self.end(), expected)

    def test_a_full_disk_is_told_and_loses_nothing(self):
        expected = self.left_alone()

        def small_files():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (60000, 60000))
        result = self.run_fleet(*self.WAY, code=4, preexec_fn=small_files)
        self.assertIn(b"cannot write: File too large", result.stderr)
        self.assertFalse((self.here / "all.jsonl").exists())
        self.run_fleet(*self.WAY)
        self.require_same(self.end(), expected)
        for form in ("text", "json", "jsonl", "csv", "html"):
            with open("/dev/full", "wb") as full:
                code = subprocess.run([PROGRAM, "fleet", "logs", "--store", "store", "--bands", "bands", "--format",
                                       form], cwd=self.here, stdout=full, stderr=subprocess.DEVNULL,
                                      timeout=SECONDS, check=False).returncode
            self.assertEqual(code, 4, form)

    def test_damaged_results_are_made_again(self):
        self.run_fleet(*self.WAY)
        lines = (self.here / "all.jsonl").read_bytes()
        stored = sorted(self.here.rglob("*.trips"))
        damaged = stored[0].read_bytes()
        stored[0].write_bytes(damaged[:1000] + b"#" + damaged[1001:])
        stored[1].write_bytes(stored[1].read_bytes()[:-1])
        self.run_fleet(*self.WAY)
        self.assertEqual((self.here / "all.jsonl").read_bytes(), lines)

    def test_two_runs_in_one_store_do_not_meet(self):
        self.run_fleet(*self.WAY)
        with open(self.here / "store/lock", "r+b") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            result = self.run_fleet(*self.WAY, code=4)
            self.assertIn(b"another run", result.stderr)
            waiting = subprocess.Popen([PROGRAM, "fleet", *self.WAY, "--wait"], cwd=self.here)
            time.sleep(0.3)
            self.assertIsNone(waiting.poll())
            fcntl.flock(lock, fcntl.LOCK_UN)
            self.assertEqual(waiting.wait(SECONDS), 0)


class Outlooks(unittest.TestCase):
    """What creeps, and who is odd among its like."""

    def test_it_is_the_same_trip_by_trip_and_at_once(self):
        with tempfile.TemporaryDirectory() as folder:
            here = pathlib.Path(folder)
            subprocess.run([sys.executable, SOURCE / "tests" / "golden" / "yard.py", PROGRAM, here / "yard"],
                           check=True, timeout=300)

            def summary(*arguments):
                result = fleet("yard", "--bands", "bands", "--no-learn", "--format", "json", *arguments, cwd=here)
                self.assertEqual(result.returncode, 0, result.stderr)
                return json.loads(result.stdout)

            fleet("yard", "--bands", "bands", cwd=here)
            at_once = summary("--jobs", 1)
            listed = {vehicle["id"]: vehicle for vehicle in at_once["vehicles"] if vehicle["trend"] or vehicle["siblings"]}
            self.assertEqual(sorted(listed), ["tarn-2", "tarn-4"])
            self.assertIn("has crept up", listed["tarn-2"]["trend"]["words"][0])
            self.assertIsNone(listed["tarn-4"]["trend"])
            for vehicle in listed.values():
                self.assertEqual((vehicle["state"]["action"], vehicle["action"]), ("none", "monitor"))

            later = [path for path in sorted((here / "yard").rglob("*.csv")) if path.stem >= "12"]
            for path in later:
                path.rename(path.with_suffix(".later"))
            self.assertEqual(summary("--store", "store")["outlooks"]["trends"]["vehicles_listed"], 0)
            for path in later:
                path.with_suffix(".later").rename(path)
            night_by_night = summary("--store", "store")
            for key in ("outlooks", "problems"):
                self.assertEqual(night_by_night[key], at_once[key])
            for now, then in zip(night_by_night["vehicles"], at_once["vehicles"]):
                for key in ("rank", "id", "action", "trend", "siblings", "latest_trips"):
                    self.assertEqual(now[key], then[key], now["id"])

    def test_a_service_in_the_band_begins_another_baseline(self):
        with tempfile.TemporaryDirectory() as folder:
            here = pathlib.Path(folder)
            subprocess.run([sys.executable, SOURCE / "tests" / "golden" / "yard.py", PROGRAM, here / "yard"],
                           check=True, timeout=300)
            fleet("yard/tarn-2", "--bands", "bands", "--store", "store", cwd=here)

            def told():
                result = fleet("yard", "--bands", "bands", "--store", "store", "--format", "json", "-v", cwd=here)
                one = next(v for v in json.loads(result.stdout)["vehicles"] if v["id"] == "tarn-2")
                return one["trend"], result.stderr

            self.assertIsNotNone(told()[0])
            path = here / "bands" / "tarn-2.band.json"
            band = json.loads(path.read_text())
            band["history"] = [{"date": "2031-06-01", "kind": "service", "text": "radiator", "by": "test"}]
            path.write_text(json.dumps(band))
            trend, remarks = told()
            self.assertIsNone(trend)
            self.assertIn(b"trips judged anew", remarks)


class BadInput(Folder):
    def test_what_is_bad_harms_nothing_and_is_named(self):
        good = self.run_fleet("logs", "--no-learn", "--ordered", "--format", "jsonl").stdout
        home = self.logs / "warden-1"
        os.mkfifo(home / "pipe.csv")
        (home / "zero.csv").symlink_to("/dev/zero")
        (home / "gone.csv").symlink_to("nowhere")
        (home / "empty.csv").write_text("")
        (home / "noise.csv").write_bytes(random.Random(1).randbytes(100000))
        (home / "loop").symlink_to(home)
        (home / "loop2").symlink_to("..")
        (home / ".hidden.csv").write_text("no log")
        (home / "notes.md").write_text("no log")
        with open(home / "huge.csv", "wb") as huge:
            huge.truncate(1 << 33)
        result = self.run_fleet("logs", "missing", "--no-learn", "--ordered", "--format", "jsonl", code=3)
        sources = [sorted(json.loads(line)["trip"]["source"] for line in text.splitlines())
                   for text in (result.stdout, good)]
        self.assertEqual(*sources)
        self.assertTrue(result.stdout == good, "reports differ")
        named = {name for name in ("pipe", "zero", "gone", "empty", "noise", "huge", "missing")
                 if f"{name}" in result.stderr.decode()}
        self.assertEqual(len(named), 7, result.stderr.decode())
        self.assertEqual(len(result.stderr.splitlines()), 7, result.stderr.decode())

    def test_a_log_that_vanishes_is_named(self):
        result = self.run_fleet("-", "--no-learn", input=b"logs/warden-3/trips/sticking.csv\nlogs/warden-3/x.csv\n",
                                code=3)
        self.assertIn(b"no such file", result.stdout)

    def test_too_little_memory_for_one_log_is_its_own_failure(self):
        rows = ["time_s,coolant_c,load_pct,speed_kmh,ambient_c,rpm"]
        chance = random.Random(3)
        rows += [f"{i},{80 + chance.random():.6f},{chance.random():.7f},{chance.random():.7f},"
                 f"{chance.random():.7f},{chance.random():.7f}" for i in range(700000)]
        (self.logs / "warden-3/zz.csv").write_text("\n".join(rows) + "\n")

        def little():
            resource.setrlimit(resource.RLIMIT_AS, (32 << 20, 32 << 20))
        if subprocess.run([PROGRAM, "--version"], capture_output=True, preexec_fn=little, check=False).returncode:
            self.skipTest("this build (sanitized?) does not start with so little memory")
        result = self.run_fleet("logs/warden-3", "--vehicle-pattern", "(warden)", "--jobs", "1", "--no-learn",
                                "--format", "jsonl", code=3, preexec_fn=little)
        self.assertEqual(len(result.stdout.splitlines()), 5)
        self.assertIn(b"zz.csv: out of memory", result.stderr)


if __name__ == "__main__":
    PROGRAM = str(pathlib.Path(sys.argv.pop(1)).resolve())
    if len(sys.argv) > 1 and sys.argv[1].isdigit():
        KILLS = int(sys.argv.pop(1))
    unittest.main()
