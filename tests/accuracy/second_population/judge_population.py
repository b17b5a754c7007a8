# SPDX-License-Identifier: Apache-2.0
"""Judges a program by a labelled population: judge_population.py PROGRAM POPULATION OUT [--columns SET] [--wrong]

Learns each vehicle's band from its sound drives, checks each trip against it, writes OUT/results.jsonl and prints how
often the program was right.
"""
import argparse
import collections
import concurrent.futures
import json
import pathlib
import subprocess
import sys

# The columns a log is left with.
COLUMNS = {
    "full": ("time_s", "coolant_c", "ambient_c", "load_pct", "rpm", "speed_kmh"),
    "no-load": ("time_s", "coolant_c", "ambient_c", "rpm", "speed_kmh"),
    "no-ambient": ("time_s", "coolant_c", "load_pct", "rpm", "speed_kmh"),
    "coolant": ("time_s", "coolant_c"),
}

# The verdicts that name a fault rightly. A valve that leaks is one that does not close; one that opens late or sticks
# may look like either.
RIGHT = {
    "stuck-open": {"thermostat-stuck-open", "thermostat-sticking"},
    "leaking": {"thermostat-stuck-open", "thermostat-sticking"},
    "stuck-closed": {"thermostat-stuck-closed", "thermostat-sticking"},
    "late": {"thermostat-stuck-closed", "thermostat-sticking"},
    "sticking": {"thermostat-stuck-closed", "thermostat-sticking", "thermostat-stuck-open"},
    "fan": {"fan-not-cooling"},
    "radiator": {"radiator-restricted"},
    "pump": {"coolant-flow-low"},
    "low-air": {"air-or-low-coolant"},
    "sensor-offset": {"sensor-fault"},
    "sensor-dropout": {"sensor-fault"},
    "sensor-sluggish": {"sensor-fault"},
    "sensor-frozen": {"sensor-fault"},
}
NO_REPORT = "no-report"   # stands for a verdict where the program gave none
NAMES_NO_FAULT = ("normal", "undetermined", NO_REPORT)
LARGE_K = 10   # of the faults that move the reading far, a table of their own


class Judged:
    """A trip's label with the program's verdict."""

    def __init__(self, label, report, error=""):
        self.label = label
        self.verdict = report["verdict"] if report else {"condition": NO_REPORT, "headline": error[:200]}
        causes = report.get("causes", []) if report else []
        self.causes = [(cause["condition"], cause["probability"]) for cause in causes[:4]]

    @property
    def condition(self):
        return self.verdict["condition"]

    @property
    def fault(self):
        return self.label["fault"]

    @property
    def group(self):
        return self.label["group"]

    @property
    def observable(self):
        return bool(self.fault) and self.label["observable"]

    @property
    def detected(self):
        return self.condition not in NAMES_NO_FAULT

    @property
    def right(self):
        return self.condition in RIGHT[self.fault]

    @property
    def right_or_second(self):
        if self.condition in ("normal", NO_REPORT):
            return False
        return self.right or any(cause in RIGHT[self.fault] for cause, _ in self.causes[:2])

    @property
    def blames_thermostat(self):
        return self.group == "other" and self.condition.startswith("thermostat")

    @property
    def wrong(self):
        if not self.fault:
            return self.detected or self.condition == NO_REPORT
        if self.observable:
            return not self.right
        return self.detected and not self.right and self.condition != "overheating"

    def line(self):
        label, verdict = self.label, self.verdict
        truth = (f"{label['detail']}, onset {label['onset_s']} s, {label['minutes_off_5k']} min off, "
                 f"{label['max_dev_k']:+} K" if self.fault else "sound")
        causes = ", ".join(f"{cause} {probability:.2f}" for cause, probability in self.causes[:3])
        return (f"  {label['file']}: {truth}, ambient {label['amb']} °C | {self.condition} "
                f"{verdict.get('confidence')} | {verdict['headline']} | {causes}")

    def json(self):
        return json.dumps(self.label | {"verdict": self.verdict, "causes": self.causes})


class Bench:
    """Runs the program over the population, on logs with only the columns asked for."""

    def __init__(self, program, population, out, columns):
        self.program = program
        self.population = population
        self.out = out
        self.columns = columns

    def log(self, name):
        """The log's path; a stripped copy where columns have to go."""
        source = self.population / name
        if self.columns == "full":
            return source
        stripped = self.out / "logs" / name
        stripped.parent.mkdir(parents=True, exist_ok=True)
        rows = [line.split(",") for line in source.read_text(encoding="utf-8").splitlines()]
        keep = [i for i, column in enumerate(rows[0]) if column in COLUMNS[self.columns]]
        lines = (",".join(row[i] for i in keep) + "\n" for row in rows)
        stripped.write_text("".join(lines), encoding="utf-8")
        return stripped

    def learn(self, vehicle):
        """Always anew: a band left by another program would be judged with this one."""
        self.band(vehicle).unlink(missing_ok=True)
        folder = self.population / vehicle / "learn"
        logs = [self.log(path.relative_to(self.population)) for path in sorted(folder.glob("*.csv"))]
        done = self._run("learn", *logs, "--vehicle", vehicle, "--profile", self.profile(vehicle),
                         "--band", self.band(vehicle), "--quiet")
        if done.returncode:
            print(f"{vehicle}: learn gave {done.returncode}: {done.stderr.strip()}", file=sys.stderr)

    def check(self, label):
        vehicle = label["vehicle"]
        done = self._run("check", self.log(label["file"]), "--band", self.band(vehicle),
                         "--profile", self.profile(vehicle), "--format", "jsonl", "--quiet")
        documents = [json.loads(line) for line in done.stdout.splitlines() if line.strip()]
        reports = [document for document in documents if "verdict" in document]
        return Judged(label, max(reports, key=gravity, default=None), done.stderr)

    def band(self, vehicle):
        return self.out / f"{vehicle}.band.json"

    def profile(self, vehicle):
        return self.population / vehicle / "profile.json"

    def _run(self, *arguments):
        return subprocess.run([self.program, *map(str, arguments)], capture_output=True, text=True, check=False)


def gravity(report):
    """A log may hold several trips: the gravest verdict counts."""
    verdict = report["verdict"]
    condition = verdict["condition"]
    return condition not in NAMES_NO_FAULT, condition == "undetermined", verdict.get("confidence") or 0


def share(part, whole):
    return f"{part}/{whole} ({100 * part / whole:.0f} %)" if whole else "0/0"


def count(trips, quality):
    return sum(quality(trip) for trip in trips)


def print_sound(trips):
    alarms = [trip for trip in trips if trip.detected]
    undetermined = [trip for trip in trips if trip.condition == "undetermined"]
    to_service = count(undetermined, lambda trip: trip.verdict.get("action") == "service")
    print(f"sound trips: false alarms {share(len(alarms), len(trips))}, "
          f"undetermined {share(len(undetermined), len(trips))}, of these sent to service {to_service}")
    for trip in alarms:
        print(trip.line())


def print_row(name, trips):
    if not trips:
        return
    whole = len(trips)
    print(f"{name:22} {whole:5}"
          f" {share(count(trips, lambda trip: trip.detected), whole):>15}"
          f" {share(count(trips, lambda trip: trip.right), whole):>15}"
          f" {share(count(trips, lambda trip: trip.right_or_second), whole):>15}"
          f" {share(count(trips, lambda trip: trip.condition == 'undetermined'), whole):>15}"
          f" {share(count(trips, lambda trip: trip.condition == 'normal'), whole):>15}"
          f"  {verdicts(trips)}")


def verdicts(trips):
    counted = collections.Counter(trip.condition for trip in trips)
    return ", ".join(f"{condition} {number}" for condition, number in counted.most_common())


def print_faults(trips):
    """The faults that can be asked for, and those that could only be named wrongly."""
    faulty = [trip for trip in trips if trip.fault]
    print(f"faulty trips: undetermined "
          f"{share(count(faulty, lambda trip: trip.condition == 'undetermined'), len(faulty))}")
    seen = [trip for trip in faulty if trip.observable]
    heads = ("detected", "named right", "right or 2nd", "undetermined", "called normal")
    print(f"{'observable faults':22} {'trips':>5} " + " ".join(f"{head:>15}" for head in heads) + "  verdicts")
    print_row("all", seen)
    for group in ("thermostat", "other"):
        print_row(group, [trip for trip in seen if trip.group == group])
    large = [trip for trip in seen if abs(trip.label["max_dev_k"]) >= LARGE_K and trip.label["minutes_off_5k"] >= 5]
    for group in ("thermostat", "other"):
        print_row(f"{group}, {LARGE_K} K off", [trip for trip in large if trip.group == group])
    for fault in RIGHT:
        print_row(f"  {fault}", [trip for trip in seen if trip.fault == fault])
    others = [trip for trip in seen if trip.group == "other"]
    blamed = count(others, lambda trip: trip.blames_thermostat)
    print(f"thermostat blamed for another part's observable fault: {share(blamed, len(others))}")
    unseen = [trip for trip in faulty if not trip.observable]
    print(f"faults not observable: {len(unseen)}, named wrong {count(unseen, lambda trip: trip.wrong)}")


def main():
    parser = argparse.ArgumentParser(description="Judges a program by a labelled population.")
    parser.add_argument("program")
    parser.add_argument("population", type=pathlib.Path)
    parser.add_argument("out", type=pathlib.Path)
    parser.add_argument("--columns", choices=COLUMNS, default="full")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--wrong", action="store_true", help="print a line for every trip judged wrongly")
    arguments = parser.parse_args()
    arguments.out.mkdir(parents=True, exist_ok=True)
    bench = Bench(arguments.program, arguments.population, arguments.out, arguments.columns)
    labels = (arguments.population / "labels.jsonl").read_text(encoding="utf-8").splitlines()
    labels = [json.loads(line) for line in labels]
    with concurrent.futures.ThreadPoolExecutor(arguments.jobs) as pool:
        list(pool.map(bench.learn, sorted({label["vehicle"] for label in labels})))
        trips = list(pool.map(bench.check, labels))
    (arguments.out / "results.jsonl").write_text("".join(trip.json() + "\n" for trip in trips), encoding="utf-8")
    print_sound([trip for trip in trips if not trip.fault])
    print_faults(trips)
    if arguments.wrong:
        print("judged wrongly:")
        for trip in trips:
            if trip.wrong:
                print(trip.line())
    without = count(trips, lambda trip: trip.condition == NO_REPORT)
    if without:
        print(f"trips without a report: {without}", file=sys.stderr)
    return 1 if without else 0


if __name__ == "__main__":
    sys.exit(main())
