# SPDX-License-Identifier: Apache-2.0
"""Real open logs, read by the program and by Python's csv module: real_logs.py PROGRAM COLUMN_FACTS.

The logs lie in COOLBAND_SHARED_DIR or ../shared, below `datasets`; exits with 77 (skipped) where
they are absent. Sources: two-season, Automotive OBD-II Dataset, Karlsruhe Institute of Technology,
2023, DOI 10.35097/1130, CC BY 4.0; highland, POLIDriving, MIT. That the vehicle of two-season is
believed healthy is what the page beside the logs says.
"""
import csv
import datetime
import json
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parent.parent
SHARED = pathlib.Path(os.environ.get("COOLBAND_SHARED_DIR") or SOURCE.parent / "shared")
NO_FAULT = {"normal", "undetermined"}
ACTIONS = ("none", "monitor", "service", "stop")
COOLANT = {  # a word that only the coolant's heading holds, and where its unit must come from
    "two-season": ("Engine Coolant Temperature", "heading"),
    "highland": ("engine_temperature", "assumed"),
}


class Tester:
    def __init__(self, program, facts):
        self.program, self.facts_program = program, facts
        self.complaints, self.checks = [], 0

    def require(self, truth, what, text):
        self.checks += 1
        if not truth:
            self.complaints.append(f"{what}: {text}")

    def run(self, *arguments, code=0):
        result = subprocess.run([self.program, *map(str, arguments)], capture_output=True, timeout=300)
        self.require(result.returncode == code, f"{arguments[0]} {pathlib.Path(arguments[1]).name}",
                     f"exit {result.returncode}, not {code}: {result.stderr.decode()[:500]}")
        return result.stdout.decode()

    def facts(self, log):
        return json.loads(subprocess.run([self.facts_program, str(log)], capture_output=True,
                                         check=True, timeout=300).stdout)

    def reports(self, *arguments, code=0):
        text = self.run("check", *arguments, "--format", "jsonl", "--quiet", code=code)
        return [json.loads(line) for line in text.splitlines()]


def clock_s(text):
    moment = datetime.time.fromisoformat(text)
    return moment.hour * 3600 + moment.minute * 60 + moment.second + moment.microsecond / 1e6


def read_with_csv(log, word):
    """Heading, values and length of the coolant column, by another reader."""
    with open(log, newline="", encoding="utf-8-sig") as file:
        rows = list(csv.reader(file))
    head = rows[0]
    column = next(i for i, heading in enumerate(head) if word in heading)
    clock = next(i for i, heading in enumerate(head) if heading.lower() == "time")
    values = [float(row[column]) for row in rows[1:] if row[column] != ""]
    steps = (clock_s(b[clock]) - clock_s(a[clock]) for a, b in zip(rows[1:], rows[2:]))
    # A clock without a date steps back by most of a day at midnight.
    length = sum(step + (86400 if step < -43200 else 0) for step in steps)
    return head[column], values, len(rows) - 1, length


def reading(tester, folder, log):
    word, unit_from = COOLANT[folder]
    heading, values, rows, length = read_with_csv(log, word)
    inspection = json.loads(tester.run("inspect", log, "--format", "json", "--quiet"))
    how, trips = inspection["import"], inspection["trips"]
    coolant = [column for column in how["columns"] if column["role"] == "coolant"]
    tester.require([(c["heading"], c["unit"], c["unit_from"]) for c in coolant]
                   == [(heading, "°C", unit_from)], log.name, f"coolant is read as {coolant}")
    tester.require(how["rows"] == rows, log.name, f"{how['rows']} rows, not {rows}")
    missing = [cell["count"] for cell in how["missing_cells"]
               if cell["reason"] == "coolant is missing"]
    tester.require(sum(missing) == rows - len(values), log.name, f"missing coolant: {missing}")
    tester.require(how["set_aside"] == [], log.name, f"set aside: {how['set_aside']}")
    tester.require(sum(trip["rows"] for trip in trips) == rows, log.name, "trips do not hold all rows")
    facts = tester.facts(log)
    tester.require(facts["kept"] == facts["rows"] == rows, log.name, f"kept: {facts}")
    tester.require(facts["coolant"] == len(values), log.name, "number of readings")
    # Columns are kept in single precision: 7 digits.
    tester.require(abs(facts["median"] - statistics.median(values)) < 1e-4, log.name,
                   f"median {facts['median']}, not {statistics.median(values)}")
    tester.require(abs(facts["sum"] / len(values) - statistics.fmean(values)) < 1e-4, log.name, "mean")
    tester.require(abs(facts["last_s"] - length) < 1e-3, log.name,
                   f"{facts['last_s']} s long, not {length}")


def same_through_a_pipe(tester, log):
    with open(log, "rb") as file:
        piped = subprocess.run([tester.program, "check", "-", "--format", "json"], stdin=file,
                               capture_output=True, timeout=300)
    named = json.loads(tester.run("check", log, "--format", "json"))
    read = json.loads(piped.stdout)
    named["trip"]["source"] = read["trip"]["source"] = ""
    tester.require(named == read, log.name, "a pipe gives another report than the file")


def levels(tester, logs, options):
    """--fail-on must follow from the actions in the reports."""
    reports = tester.reports(*logs, *options)
    worst = max(ACTIONS.index(report["verdict"]["action"]) for report in reports)
    for level in ACTIONS[1:]:
        code = 1 if worst >= ACTIONS.index(level) else 0
        tester.reports(*logs, *options, "--fail-on", level, code=code)
    return reports


def no_fault_named(tester, reports, how):
    for report in reports:
        verdict = report["verdict"]
        name = f"{pathlib.Path(report['trip']['source']).name} {how}"
        healthy = verdict["condition"] in NO_FAULT and verdict["action"] in ("none", "monitor")
        tester.require(healthy, name, f"a fault on a healthy vehicle: {verdict['headline']}")


def judging(tester, folder, logs):
    with tempfile.TemporaryDirectory() as home:
        band = pathlib.Path(home) / "band.json"
        tester.run("learn", *logs, "--vehicle", folder, "--band", band, "--quiet")
        tester.require(band.exists(), folder, "no band was learned")
        by_band = levels(tester, logs, ["--band", band])
        alone = levels(tester, logs, [])
    tester.require(len(by_band) >= len(logs), folder, "a log without a report")
    if folder == "two-season":
        no_fault_named(tester, by_band, "by its band")
        no_fault_named(tester, alone, "by itself")
        left_out_one_by_one(tester, logs)


def left_out_one_by_one(tester, logs):
    """No trip may be judged faulty by a band that has not seen it."""
    with tempfile.TemporaryDirectory() as home:
        for number, log in enumerate(logs):
            band = pathlib.Path(home) / f"{number}.json"
            others = [other for other in logs if other != log]
            tester.run("learn", *others, "--vehicle", "v", "--band", band, "--quiet")
            no_fault_named(tester, tester.reports(log, "--band", band), "by a band of the others")


def main():
    if len(sys.argv) != 3:
        sys.exit("usage: real_logs.py PROGRAM COLUMN_FACTS")
    folders = {name: SHARED / "datasets" / name for name in COOLANT}
    if not all(folder.is_dir() for folder in folders.values()):
        print(f"skipped: no real logs below {SHARED} (COOLBAND_SHARED_DIR names another place)")
        sys.exit(77)
    tester = Tester(*(str(pathlib.Path(path).resolve()) for path in sys.argv[1:]))
    for name, folder in folders.items():
        logs = sorted(folder.glob("*.csv"))
        tester.require(logs, name, "no logs")
        for log in logs:
            reading(tester, name, log)
        same_through_a_pipe(tester, logs[0])
        judging(tester, name, logs)
    print("\n".join(tester.complaints))
    print(f"{tester.checks} checks, {len(tester.complaints)} complaints")
    sys.exit(1 if tester.complaints else 0)


if __name__ == "__main__":
    main()
