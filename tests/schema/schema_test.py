# SPDX-License-Identifier: Apache-2.0
"""Validates what the program writes with the schemas in docs/: schema_test.py PROGRAM.

Needs python3-jsonschema (4.0 or newer); exits with 77 (skipped) where it is absent. The real logs
are taken from COOLBAND_SHARED_DIR or ../shared, and left out with a message where absent.
"""
import copy
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

try:
    import jsonschema
    Validator = jsonschema.Draft202012Validator
except (ImportError, AttributeError):
    print("skipped: needs python3-jsonschema 4.0 or newer (apt-get install python3-jsonschema)")
    sys.exit(77)

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
SHARED = pathlib.Path(os.environ.get("COOLBAND_SHARED_DIR") or SOURCE.parent / "shared")
KINDS = ["report", "inspection", "band", "plan", "verify", "history", "coolant", "scenario", "watch", "fleet"]


def refuse_constant(name):
    raise ValueError(f"{name} is not JSON")


def parse(text):
    return json.loads(text, parse_constant=refuse_constant)


def schema(name):
    return json.loads((SOURCE / "docs" / f"{name}.schema.json").read_text(encoding="utf-8"))


class Checker:
    def __init__(self, program):
        self.program = program
        self.schemas = {name: schema(name) for name in KINDS}
        for text in self.schemas.values():
            Validator.check_schema(text)
        self.validators = {name: Validator(text) for name, text in self.schemas.items()}
        self.complaints = []
        self.counts = dict.fromkeys(KINDS, 0)

    def run(self, *arguments, codes=(0,)):
        result = subprocess.run([self.program, *map(str, arguments)], cwd=SOURCE,
                                capture_output=True, timeout=300)
        if result.returncode not in codes:
            said = result.stderr.decode()
            self.complaints.append(f"{arguments}: exit {result.returncode}: {said}")
        return result.stdout

    def validate(self, name, what, document):
        self.counts[name] += 1
        for error in self.validators[name].iter_errors(document):
            place = "/".join(map(str, error.absolute_path))
            self.complaints.append(f"{what}: {name} at /{place}: {error.message[:200]}")
        order = [key for key in self.schemas[name]["properties"] if key in document]
        if [key for key in document if key in order] != order:
            self.complaints.append(f"{what}: the keys of {name} are out of order")

    def require(self, truth, what, text):
        if not truth:
            self.complaints.append(f"{what}: {text}")

    def report(self, what, report):
        """What a schema cannot say."""
        self.validate("report", what, report)
        chances = [cause["probability"] for cause in report["causes"]]
        if chances:
            # Each is rounded to 6 digits.
            self.require(abs(sum(chances) - 1) <= 1e-6 * len(chances), what,
                         f"probabilities sum to {sum(chances)}")
        self.require(chances == sorted(chances, reverse=True), what, "causes are not sorted")
        names = [cause["condition"] for cause in report["causes"]]
        self.require(len(set(names)) == len(names), what, "a cause is named twice")
        trip, band, running = report["trip"], report["band"], report["regulation"]
        self.require(trip["rows_used"] <= trip["rows"] <= report["import"]["rows"], what, "rows")
        # Rows are counted as the log has them, so a log read from its end counts down.
        turned = any("newest row stands first" in note for note in report["import"]["notes"])
        first, last = trip["first_row"], trip["last_row"]
        self.require(last <= first if turned else first <= last, what, "first and last row")
        if band["centre_c"] is not None:
            self.require(band["lower_c"] < band["centre_c"] < band["upper_c"], what, "limits")
        levels = [running[key] for key in ("p05_c", "median_c", "p95_c")
                  if running[key] is not None]
        self.require(levels == sorted(levels), what, "percentiles are out of order")
        for episode in report["episodes"]:
            self.require(0 <= episode["start_s"] <= episode["end_s"] <= trip["duration_s"], what,
                         "an episode outside the trip")
            self.require(trip["first_row"] <= episode["first_row"] <= episode["last_row"]
                         <= trip["last_row"], what, "rows of an episode")
        if "explanation" in report:
            self.explanation(what, report)
        starts = [episode["start_s"] for episode in report["episodes"]]
        self.require(starts == sorted(starts), what, "episodes are not in time order")

    def explanation(self, what, report):
        chain = report["explanation"]
        rows = [(part["rows"]["first_row"], part["rows"]["last_row"]) for part in chain["episodes"]]
        told = [(episode["first_row"], episode["last_row"]) for episode in report["episodes"]]
        self.require(rows == told, what, "the explanation tells of other episodes")
        texts = {item["text"] for item in chain["evidence"]}
        for cause in report["causes"]:
            for text in cause["for"] + cause["against"]:
                self.require(text in texts or self.by_circuit(text, cause, chain), what,
                             "a cause rests on evidence that the explanation does not have")

    @staticmethod
    def by_circuit(text, cause, chain):
        """What the heat balance says of a cause must stand among the hypotheses, misfit and all."""
        own = [h for h in chain["hypotheses"] if h["condition"] == cause["condition"]]
        misfit = re.fullmatch(r"the heat balance \D*?(\d+\.\d) K"
                              r"(?: if (.*) \(sound vehicle: .*\)| off at best|)", text)
        return misfit is not None and any(
            abs(h["misfit_k"] - float(misfit[1])) < 0.051 and misfit[2] in (None, h["what"])
            for h in own)
        for item in chain["evidence"]:
            named = {cause["condition"] for cause in report["causes"] if item["text"] in cause["for"]}
            self.require(named == set(item["for"]), what, "evidence speaks for other causes")

    def reports(self, what, text):
        documents = [parse(line) for line in text.splitlines()]
        self.require(documents, what, "no report")
        for document in documents:
            self.report(what, document)

    def group(self, name, logs, normal, profile):
        """Learns from `normal` and checks `logs` by band, by profile and by themselves."""
        with tempfile.TemporaryDirectory() as folder:
            band = pathlib.Path(folder) / "band.json"
            told = self.run("learn", *normal, "--vehicle", name, "--band", band,
                            "--format", "json", "--quiet")
            if not band.exists():
                return self.complaints.append(f"{name}: no band was learned")
            self.require(told == band.read_bytes(), name, "learn --format json differs from the file")
            self.validate("band", name, parse(told))
            ways = [["--band", band], ["--band", band, "--explain"], []] + ([["--profile", profile]] if profile else [])
            for way in ways:
                self.reports(f"{name} {' '.join(map(str, way))}",
                             self.run("check", *logs, *way, "--format", "jsonl", "--quiet"))
        for log in logs:
            self.validate("inspection", str(log),
                          parse(self.run("inspect", log, "--format", "json", "--quiet")))


# What is given, and what shall become of it.
JOBS = {
    ("number=A-12",): {"number": "A-12"},
    ("number=0042", "odometer_km=142000", "date=2031-05-12", "complaint=cold = bad"):
        {"number": "0042", "odometer_km": 142000, "date": "2031-05-12", "complaint": "cold = bad"},
    ("odometer_km=12.5", "date=2031-05-12T08:00"): {"odometer_km": 12.5, "date": "2031-05-12T08:00"},
    ("tests/golden/input/job.json", "bay=none"):
        {"number": "TV-31/7", "complaint": "heater stays cold on the moor", "odometer_km": 142000,
         "bay": "none", "estimate_h": 1.5},
}


def demo(checker):
    for number in (1, 2, 3):
        home = SOURCE / "data" / "demo" / f"warden-{number}"
        normal = sorted((home / "normal").iterdir())
        logs = sorted((home / "trips").iterdir()) + normal
        if number == 2:
            logs.append(SOURCE / "data" / "demo" / "tour.csv")
        checker.group(f"warden-{number}", logs, normal, home.with_suffix(".json"))
    trip = SOURCE / "data/demo/warden-2/trips/stuck-open.csv"
    checker.reports("one trip", checker.run("check", trip, "--format", "jsonl"))
    one = parse(checker.run("check", trip, "--format", "json"))
    checker.require(isinstance(one, dict), "one trip", "is no object")
    for job in JOBS:
        arguments = [part for field in job for part in ("--job", field)]
        for form in ("json", "jsonl"):
            told = parse(checker.run("check", trip, *arguments, "--format", form))
            checker.report(f"job {job}", told)
            checker.require(told["job"] | {"x": 0} == {**dict(JOBS[job]), "x": 0}, f"job {job}",
                            "is not what was given")
    both = parse(checker.run("check", trip, trip, "--format", "json"))
    checker.require(isinstance(both, list) and len(both) == 2, "two trips", "are no array")


def odd_logs(checker):
    """Bad input that is nevertheless accepted must still give valid documents."""
    def inspection(what, text):
        checker.validate("inspection", what, parse(text))

    for log in sorted((SOURCE / "tests/golden/input").iterdir()):
        for command, use in (("check", checker.reports), ("inspect", inspection)):
            text = checker.run(command, log, "--format", "jsonl", "--quiet", codes=(0, 3))
            if text:
                use(f"{command} {log.name}", text)


SPOILT_EVENTS = (
    (["schema"], "coolband.watch/2"), (["event"], "end"), (["before"], {"condition": "normal", "action": "none"}),
    (["trip", "number"], 0), (["trip", "at_row"], 0), (["trip", "rows_forgotten"], -1), (["verdict", "action"], "run"),
    (["verdict", "condition"], None), (["raised_by"], "last-readings"), (["reading"], None), (["cautions"], ...))


def ramp():
    """Ten minutes at 80 °C, then up by 6 K a minute to 126 °C and back, every 2 s."""
    levels = [80.0] * 300 + [80 + i / 5 for i in range(231)] + [126 - i / 5 for i in range(231)] + [80.0] * 150
    return "".join(["time_s,coolant_c,rpm\n"] + [f"{2 * i},{c:.1f},2000\n" for i, c in enumerate(levels)]).encode()


def watched(checker):
    """Every event of the demo's logs, of an engine that boils, and of logs that are bad."""
    home = SOURCE / "data/demo/warden-2"
    logs = [path.read_bytes() for path in sorted((home / "trips").iterdir())] + [ramp()]
    logs += [path.read_bytes() for path in sorted((SOURCE / "tests/golden/input").iterdir())]
    events = []
    for log in [*logs, b"".join(logs[:4])]:
        done = subprocess.run([checker.program, "watch", "-", "--profile", f"{home}.json", "--format", "jsonl",
                               "--quiet"], input=log, capture_output=True, timeout=300)
        checker.require(done.returncode in (0, 3), "watch", f"exit {done.returncode}: {done.stderr.decode()}")
        for line in done.stdout.decode().splitlines():
            events.append(parse(line))
            checker.validate("watch", "watch", events[-1])
    kinds = {(event["event"], event["raised_by"]) for event in events}
    checker.require(kinds == {("begin", "judgement"), ("change", "judgement"), ("trip-end", "judgement"),
                              ("change", "last-readings")}, "watch", f"only {kinds} were met")
    end = next(event for event in events if event["event"] == "trip-end")
    for path, value in SPOILT_EVENTS:
        if checker.validators["watch"].is_valid(changed(end, path, value)):
            checker.complaints.append(f"the schema of watch accepts {'/'.join(map(str, path))} = {value!r}")


COOLANT_QUESTIONS = (
    [], ["--glycol", "none"], ["--glycol", "propylene", "--concentration", "60"],
    ["--concentration", "0", "--cap", "0", "--altitude", "9000"],
    ["--concentration", "35", "--temperature", "220F", "--protect-to", "-30"],
    ["--protect-to", "-47"], ["--protect-to", "5C"],
    ["--concentration", "30", "--target", "50", "--capacity", "9.5", "--drained", "1"],
    ["--concentration", "60", "--target", "30", "--capacity", "2.5gal"],
    ["--concentration", "50", "--target", "50", "--capacity", "8", "--top-up", "1.5"],
    ["--concentration", "55", "--capacity", "8", "--top-up", "4", "--product", "90"],
    ["--profile", "data/demo/warden-2.json", "--top-up", "1"])


SPOILT_PROOFS = (
    (["schema"], "coolband.verify/2"), (["verdict", "state"], "maybe"), (["verdict", "checks"], []),
    (["verdict", "checks", 0, "state"], "yes"), (["fault", "missed_chance"], 2), (["fault", "before"], ...),
    (["level", "outcome"], "good"), (["level", "against_band", "p"], 1.5), (["level", "margin_k"], 0),
    (["level", "against_band", "interval_k"], [1]), (["drives"], []), (["drives", 0, "when"], "today"),
    (["drives", 0, "showing"], "fine"), (["drives", 0, "surprise"], 1), (["warm_up", "outcome"], None),
    (["logs_not_read"], -1))
PROOFS = (
    (["faulty-1", "faulty-2", "faulty-3"], ["sound-1", "sound-2", "sound-3", "sound-4"], []),
    (["faulty-1"], ["sound-1"], []), (["faulty-1"], ["faulty-2", "faulty-3"], []), ([], ["short-1"], []),
    (["faulty-1", "faulty-2"], ["other-1", "other-2", "other-3"], []),
    (["faulty-1", "faulty-2"], ["other-1", "other-2", "other-3"], ["--rating", "82"]),
    (["sound-1"], ["air-1", "air-2"], ["--shows", "30", "--margin", "2"]),
    (["faulty-1"], ["warm-1", "hot-1", "missing"], ["--miss", "10"]))


def proof(checker, what, document):
    """What a schema cannot say."""
    checker.validate("verify", what, document)
    states = ["verified", "not-yet", "not-verified"]
    gravest = max(states.index(check["state"] or "verified") for check in document["verdict"]["checks"])
    checker.require(states[gravest] == document["verdict"]["state"], what, "the state is not the gravest check")
    test = document["level"]["against_band"]
    if test and test["interval_k"]:
        low, high = test["interval_k"]
        checker.require(low <= test["difference_k"] <= high, what, "the interval misses its middle")
        within = -document["level"]["margin_k"] < low and high < document["level"]["margin_k"]
        checker.require(within == (test["p"] < 0.05), what, "p and interval disagree")
    counted = sum(document["fault"]["after"].values())
    after = sum(drive["when"] == "after" for drive in document["drives"])
    checker.require(counted == after, what, f"{counted} of {after} drives after are counted")


def proofs(checker):
    """Before and after a repair, and what the band file keeps of it."""
    home = SOURCE / "data/demo/warden-2"
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        band = folder / "band.json"
        subprocess.run([sys.executable, str(SOURCE / "tests/golden/drives.py"), checker.program, str(folder)],
                       check=True, timeout=300)
        checker.run("learn", *sorted((home / "normal").iterdir()), "--vehicle", "warden-2", "--band", band,
                    "--profile", f"{home}.json", "--quiet")
        for before, after, more in PROOFS:
            sides = [["--after", *(folder / f"{name}.csv" for name in after)]]
            if before:
                sides.append(["--before", *(folder / f"{name}.csv" for name in before)])
            document = parse(checker.run("verify", "--band", band, *sides[0], *sum(sides[1:], []), *more, "--quiet",
                                         "--record", "--format", "json", codes=(0, 3)))
            proof(checker, f"verify {before} {after} {more}", document)
        for path, value in SPOILT_PROOFS:
            if checker.validators["verify"].is_valid(changed(document, path, value)):
                checker.complaints.append(f"the schema accepts {'/'.join(map(str, path))} = {value!r}")
        checker.run("check", folder / "faulty-1.csv", "--band", band, "--record", "--quiet")
        checker.run("learn", *sorted(folder.glob("other-*.csv")), "--vehicle", "warden-2", "--band", band, "--update",
                    "--since", "2032-05-04", "--service", "thermostat", "--quiet")
        checker.validate("band", "band with a history", parse(band.read_bytes()))
        history = parse(checker.run("history", "--band", band, "--format", "json"))
        checker.validate("history", "history", history)
        kinds = {entry["kind"] for entry in history["entries"]}
        checker.require(kinds == {"finding", "service", "verification"}, "history", f"holds {kinds}")
        days = [entry["date"] for entry in history["entries"]]
        checker.require(days == sorted(days), "history", "is not in order")


SPOILT_FLEETS = (
    (["schema"], "coolband.fleet/2"), (["counts", "vehicles"], -1), (["counts", "actions", "stop"], ...),
    (["vehicles", 0, "rank"], 0), (["vehicles", 0, "state", "action"], "run"), (["vehicles", 0, "state", "trips"], 0),
    (["vehicles", 0, "band", "source"], "found"), (["vehicles", 0, "change"], "new"), (["surprise"], 1),
    (["vehicles", 0, "latest_trips", 0, "confidence"], 1.1), (["vehicles", 0, "problems"], None),
    (["vehicles", 0, "action"], "watch"), (["vehicles", 0, "trend"], {}), (["vehicles", 0, "siblings"], []),
    (["outlooks", "trends", "vehicles_listed"], -1), (["outlooks", "false_discovery_rate"], 0))
SPOILT_OUTLOOKS = (
    ("trend", ["p"], 2), ("trend", ["words"], []), ("trend", ["measures", 0, "measure"], "height"),
    ("trend", ["measures", 0, "direction"], ...), ("trend", ["measures", 0, "lacks"], "nothing"),
    ("siblings", ["p"], None), ("siblings", ["measures"], []), ("siblings", ["measures", 0, "others"], 2),
    ("siblings", ["words"], []))


def fleets(checker):
    """The demo as a fleet, with and without a store, and with what cannot be used."""
    def fleet(*arguments, codes=(0,)):
        document = parse(checker.run("fleet", *arguments, "--format", "json", "--quiet", codes=codes))
        checker.validate("fleet", " ".join(map(str, arguments)), document)
        ranks = [vehicle["rank"] for vehicle in document["vehicles"]]
        checker.require(ranks == list(range(1, len(ranks) + 1)), "fleet", "ranks are not in order")
        told = sum(document["counts"]["actions"].values()) + document["counts"]["vehicles_not_judged"]
        checker.require(told == document["counts"]["vehicles"] == len(ranks), "fleet", "vehicles are lost")
        return document

    with tempfile.TemporaryDirectory() as folder:
        store = pathlib.Path(folder) / "store"
        fleet("data/demo", "tests/golden/input", "--no-learn", codes=(3,))
        fleet("missing", codes=(3,))
        fleet("data/demo/warden-1/normal", "--store", store)
        good = fleet("data/demo/warden-1/normal", "data/demo/warden-1/trips", "--store", store)
        yard = pathlib.Path(folder) / "yard"
        subprocess.run([sys.executable, "tests/golden/yard.py", checker.program, yard], check=True, timeout=300)
        listed = fleet(yard)
    for what, path, value in SPOILT_OUTLOOKS:
        place = next(i for i, vehicle in enumerate(listed["vehicles"]) if vehicle[what] is not None)
        if checker.validators["fleet"].is_valid(changed(listed, ["vehicles", place, what, *path], value)):
            checker.complaints.append(f"the schema accepts {what}/{'/'.join(map(str, path))} = {value!r}")
    for path, value in SPOILT_FLEETS:
        if checker.validators["fleet"].is_valid(changed(good, path, value)):
            checker.complaints.append(f"the schema accepts {'/'.join(map(str, path))} = {value!r}")


def coolant(checker):
    for question in COOLANT_QUESTIONS:
        what = f"coolant {' '.join(question)}"
        for form in ("json", "jsonl"):
            text = checker.run("coolant", *question, "--format", form)
            card = parse(text)
            checker.validate("coolant", what, card)
            checker.require(form == "json" or text.count(b"\n") == 1, what, "is not one line")
        refill = card["refill"]
        if refill:
            filled = refill["product_l"] + refill["water_l"]
            checker.require(abs(filled - refill["drain_l"]) <= 0.002, what, "does not end full")
        checker.require(card["boiling"]["open_c"] <= card["boiling"]["at_cap_c"], what, "cap")
    good = parse(checker.run("coolant", *COOLANT_QUESTIONS[7], "--format", "json"))
    for path, value in ((["mix", "concentration_vol_pct"], 61), (["refill", "water_l"], -1),
                        (["refill", "drain_l"], ...), (["system", "cap_from"], "guess"),
                        (["warnings", 0], 3), (["surprise"], 1), (["boiling", "margin"], 5)):
        if checker.validators["coolant"].is_valid(changed(good, path, value)):
            checker.complaints.append(f"the schema accepts {'/'.join(map(str, path))} = {value!r}")


PLAN_OPTIONS = (
    [], ["--trip", "1"], ["--confirmed", "radiator-restricted"],
    ["--confirmed", "sensor-fault", "--shows", "30", "--miss", "1"],
    ["--confirmed", "fan-not-cooling", "--price", "fan-clutch=90", "--price", "labour-hour=60"],
    ["--confirmed", "air-or-low-coolant", "--capacity", "8", "--drained", "2", "--target", "40"],
    ["--confirmed", "coolant-flow-low", "--life", "belt=120000:3", "--odometer", "90000",
     "--price", "belt=25", "--price", "labour-hour=60", "--price", "coolant=7"])
JOB = {"number": "4711", "complaint": "runs cold", "odometer_km": 231800, "date": "2031-11-30"}


def plans(checker):
    """A plan of every demo report, as it is and without a profile, whole and for a named cause."""
    for number in (1, 2, 3):
        home = SOURCE / "data" / "demo" / f"warden-{number}"
        for profile in ([], ["--profile", home.with_suffix(".json")]):
            text = checker.run("check", *sorted((home / "trips").iterdir()), *profile, "--format", "json",
                               "--quiet")
            reports = parse(text)
            reports = reports if isinstance(reports, list) else [reports]
            reports[0]["job"] = JOB
            with tempfile.TemporaryDirectory() as folder:
                file = pathlib.Path(folder) / "reports.json"
                for i, report in enumerate(reports):
                    file.write_text(json.dumps(report), encoding="utf-8")
                    plan_of(checker, file, f"warden-{number} trip {i + 1}", report, [])
                file.write_text(json.dumps(reports), encoding="utf-8")
                for options in PLAN_OPTIONS:
                    plan_of(checker, file, f"warden-{number} {' '.join(options)}", None, options)


def plan_of(checker, file, what, report, options):
    plan = parse(checker.run("plan", file, *options, "--format", "json"))
    checker.validate("plan", what, plan)
    settled = [check["settles"] for check in plan["checks"] if check["settles"] is not None]
    if settled:
        checker.require(abs(sum(settled) + plan["left_open"] - 1) < 0.001, what,
                        "what is settled and what is left open do not make one")
    said = {hazard for check in plan["checks"] for hazard in check["cautions"]}
    told = [caution["id"] for caution in plan["cautions"]]
    checker.require(said <= set(told) and len(told) == len(set(told)), what, "cautions")
    checker.require((plan["purpose"] == "repair") == bool(plan["work"]), what, "work without a fault")
    priced = [part for part in plan["parts"] if part["price"] and part["quantity"] and part["need"] == "needed"]
    if plan["costs"]:
        total = sum(part["price"] * part["quantity"] for part in priced)
        checker.require(abs(total - plan["costs"]["needed"]) < 0.01, what, "the sum of the parts")
    if report:
        checker.require(plan["job"] == report.get("job"), what, "the job card is not carried on")
        checker.require(plan["report"]["headline"] == report["verdict"]["headline"], what, "headline")


SPOILT_PLANS = ((["schema"], "coolband.plan/2"), (["purpose"], "guess"), (["checks", 0, "settles"], 2),
                (["checks", 0, "engine"], "warm"), (["cautions"], []), (["proof", "drives", "clean"], -1),
                (["parts", 0, "quantity"], "some"), (["parts", 0, "id"], "gizmo"), (["cause"], "normal"),
                (["coolant", "refill", "water_l"], -1), (["surprise"], 1), (["job"], "none"),
                (["checks", 0, "finds", "normal"], 0.5), (["report", "trip"], 0), (["work"], ...))


def spoilt_plans(checker):
    """The schema catches wrong plans, and the program what is no report: in words, never by failing."""
    trip = SOURCE / "data/demo/warden-2/trips/stuck-open.csv"
    good = parse(checker.run("check", trip, "--profile", SOURCE / "data/demo/warden-2.json",
                             "--explain", "--job", "number=A-12", "--format", "json"))
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "report.json"
        for path, value in SPOILT:
            file.write_text(json.dumps(changed(good, path, value)), encoding="utf-8")
            checker.run("plan", file, codes=(0, 3))
        text = json.dumps(good)
        for cut in range(1, len(text), 397):
            file.write_text(text[:cut], encoding="utf-8")
            checker.run("plan", file, codes=(3,))
        file.write_text(text, encoding="utf-8")
        plan = parse(checker.run("plan", file, "--format", "json"))
    for path, value in SPOILT_PLANS:
        if checker.validators["plan"].is_valid(changed(plan, path, value)):
            checker.complaints.append(f"the schema accepts {'/'.join(map(str, path))} = {value!r}")


def real_logs(checker):
    folders = [SHARED / "datasets" / name for name in ("two-season", "highland")]
    if not all(folder.is_dir() for folder in folders):
        return print(f"real logs left out: none below {SHARED}")
    for folder in folders:
        logs = sorted(folder.glob("*.csv"))
        checker.group(folder.name, logs, logs, None)


def changed(document, path, value):
    document = copy.deepcopy(document)
    target = document
    for key in path[:-1]:
        target = target[key]
    if value is ...:
        del target[path[-1]]
    else:
        target[path[-1]] = value
    return document


SPOILT = ((["schema"], "coolband.report/2"), (["verdict"], ...), (["verdict", "condition"], "fine"),
          (["verdict", "confidence"], 1.5), (["trip", "distance_km"], "3"), (["trip", "rows_used"], -1),
          (["import", "columns", 0, "role"], "gear"), (["band", "centre_c"], ...), (["surprise"], 1),
          (["causes", 0, "probability"], None), (["regulation", "share_in_band"], 60),
          (["regulation", "criterion", "outcome"], "fine"), (["regulation", "criterion"], ...),
          (["regulation", "criterion", "limit_c"], None), (["codes", 0, "code"], "SPN 110"),
          (["explanation", "evidence", 0, "likelihood", "normal"], ...),
          (["explanation", "episodes", 0, "sound_c"], "warm"), (["explanation", "hypotheses"], ...),
          (["job"], {}), (["job", "odometer_km"], "many"), (["job", "date"], "today"),
          (["job", "bay 3"], "x"), (["job", "number"], ["A"]), (["job", "number"], ""),
          (["gauge", "hidden_from_dash_needle"], "no"), (["vehicle", "id"], 7), (["next_steps"], None),
          (["episodes", 0, "explained_by"], "mood"), (["episodes", 0, "direction"], None))


def spoilt_reports(checker):
    """The schema must catch what is wrong, or its silence above means nothing."""
    trip = SOURCE / "data/demo/warden-2/trips/stuck-open.csv"
    good = parse(checker.run("check", trip, "--profile", SOURCE / "data/demo/warden-2.json",
                             "--explain", "--job", "number=A-12", "--format", "json"))
    for path, value in SPOILT:
        if checker.validators["report"].is_valid(changed(good, path, value)):
            checker.complaints.append(f"the schema accepts {'/'.join(map(str, path))} = {value!r}")


FULL_SCENARIO = {
    "schema": "coolband.scenario/1", "name": "INVENTED", "note": "every part",
    "vehicle": {"schema": "coolband.vehicle/1", "id": "x",
                "engine": {"rated_power_kw": 80, "rated_rpm": 4000, "full_heat_kw": 50},
                "thermostat": {"opens_c": 82, "full_open_c": 95, "position": "inlet",
                               "hysteresis_k": 3},
                "cooling": {"capacity_l": 8, "radiator_l": 2, "cap_kpa": 100, "fan": "electric",
                            "fan_on_c": 98, "fan_off_c": 93, "glycol": "ethylene",
                            "concentration_vol_pct": 40},
                "body": {"mass_kg": 1500, "drag_area_m2": 0.8, "rolling": 0.012}},
    "weather": {"ambient_c": -5, "change_c_per_h": 2, "headwind_kmh": 20},
    "comfort": {"heater": 0.5, "air_conditioning": False},
    "start": {"engine_c": 40, "altitude_m": 800},
    "route": [{"kind": "climb", "minutes": 1, "trailer_kg": 900, "grade_pct": 6},
              {"kind": "highway", "minutes": 1, "speed_kmh": 90}],
    "faults": [{"kind": "fan-dead", "severity": 1.5, "from_s": 10, "to_s": 60,
                "spells": {"on_s": 20, "off_s": 30}}],
    "logging": {"period_s": 0.5, "resolution_c": 0.5, "noise_c": 0.2, "sensor_lag_s": 5,
                "ambient_resolution_c": 1, "missing_share": 0.1, "clock": "2031-05-06 07:10:00",
                "gaps": [{"from_s": 20, "to_s": 40}]},
    "seed": 3}
WRONG_SCENARIOS = ((["schema"], "coolband.scenario/2"), (["route"], []), (["route"], ...),
                   (["route", 0, "minutes"], 0), (["route", 0, "kind"], "moon"),
                   (["route", 0, "slope"], 3), (["faults", 0, "severity"], 3),
                   (["faults", 0, "kind"], "fan-ded"), (["weather", "ambient_c"], 90),
                   (["logging", "period_s"], 0), (["logging", "clock"], "yesterday"),
                   (["vehicle", "body", "mass_kg"], "heavy"), (["vehicle", "wheels"], 4),
                   (["comfort", "heater"], 2), (["seed"], -1), (["seed"], 1.5),
                   (["surprise"], True))


# What an item of a list must have besides.
ITEMS = {"route": {"kind": "road", "minutes": 1}, "faults": {"kind": "fan-dead"},
         "gaps": {"from_s": 1, "to_s": 9}}


def scenario_objects(schema_part, path=()):
    """Each object of the schema with the keys (0: an item) that lead to it."""
    if "oneOf" in schema_part:
        schema_part = next(way for way in schema_part["oneOf"] if way["type"] == "object")
    if schema_part.get("type") == "array":
        yield from scenario_objects(schema_part["items"], (*path, 0))
    elif "properties" in schema_part:
        yield path, schema_part["properties"]
        for key, part in schema_part["properties"].items():
            yield from scenario_objects(part, (*path, key))


def short_scenario(path, key, value):
    """A minute's drive in which `key` of the object at `path` has `value`."""
    scenario = {"schema": "coolband.scenario/1", "route": [dict(ITEMS["route"])]}
    place, name = scenario, None
    for step in path:
        if step == 0:
            place.append(dict(ITEMS[name])) if not place else None
            place = place[0]
        else:
            name = step
            place = place.setdefault(step, [] if step in ITEMS else {})
    place[key] = value
    return scenario


def doubtful_values(part):
    """Just outside of what the schema allows, absurd, and of another type."""
    if "minimum" in part:
        yield part["minimum"] - 0.001
    if "exclusiveMinimum" in part:
        yield part["exclusiveMinimum"]
    if "maximum" in part:
        yield part["maximum"] * (1 + 1e-6) + 0.001
    if part.get("type") == "number":
        yield from (1e12, -1e12)
    yield from ([], {}, "moon", 3.5, True)


def scenario_bounds(checker):
    """Schema and program say the same of every key."""
    passed_over = {"id", "label", "odometer_km", "fuel", "displacement_l", "note", "normal", "schema"}
    tried = 0
    for path, properties in scenario_objects(checker.schemas["scenario"]):
        cases = [("note", "INVENTED"), ("surprise", 1)]
        cases += [(key, value) for key, part in properties.items() for value in doubtful_values(part)
                  if key not in passed_over and not (key == "vehicle" and value == "moon")]
        for key, value in cases:
            scenario = short_scenario(path, key, value)
            valid = checker.validators["scenario"].is_valid(scenario)
            result = subprocess.run([checker.program, "simulate", "-", "-q"], timeout=60,
                                    input=json.dumps(scenario).encode(), capture_output=True)
            tried += 1
            what = f"{'/'.join(map(str, (*path, key)))} = {value!r}"
            checker.require(result.returncode == (0 if valid else 2), what,
                            f"valid by the schema: {valid}; exit {result.returncode}: "
                            f"{result.stderr.decode()}")
    checker.require(tried > 400, "scenario", f"only {tried} values tried")


def scenarios(checker):
    """Schema and program agree on what a scenario is."""
    for path in sorted((SOURCE / "data/scenarios").rglob("*.json")):
        if not path.name.endswith(".vehicle.json"):
            checker.validate("scenario", path.name, parse(path.read_bytes()))
    checker.validate("scenario", "every part", FULL_SCENARIO)
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "scenario.json"
        file.write_text(json.dumps(FULL_SCENARIO), encoding="utf-8")
        checker.run("simulate", file)
        for path, value in WRONG_SCENARIOS:
            what = f"{'/'.join(map(str, path))} = {value!r}"
            wrong = changed(FULL_SCENARIO, path, value)
            file.write_text(json.dumps(wrong), encoding="utf-8")
            checker.require(not checker.validators["scenario"].is_valid(wrong), what,
                            "the schema of scenarios accepts it")
            checker.run("simulate", file, codes=(2,))


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: schema_test.py PROGRAM")
    checker = Checker(str(pathlib.Path(sys.argv[1]).resolve()))
    checker.require(checker.schemas["report"]["$defs"] == checker.schemas["inspection"]["$defs"],
                    "schemas", "report and inspection define common parts differently")
    demo(checker)
    odd_logs(checker)
    coolant(checker)
    plans(checker)
    spoilt_plans(checker)
    proofs(checker)
    fleets(checker)
    watched(checker)
    scenarios(checker)
    scenario_bounds(checker)
    real_logs(checker)
    spoilt_reports(checker)
    for complaint in sorted(set(checker.complaints)):
        print(complaint)
    print(", ".join(f"{count} of {name}" for name, count in checker.counts.items()),
          f"validated; {len(set(checker.complaints))} complaints")
    sys.exit(1 if checker.complaints else 0)


if __name__ == "__main__":
    main()
