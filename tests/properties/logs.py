# SPDX-License-Identifier: Apache-2.0
"""Logs to try properties on: the demo's trips and simulated drives as tables, and the ways to write one."""
import csv
import datetime
import gzip
import io
import json
import pathlib
import random
import re
import subprocess

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
DEMO = SOURCE / "data" / "demo"
SECONDS = 120
ROLES = ("time", "coolant", "ambient", "load", "rpm", "speed", "altitude")
HEADINGS = {"time": "Time [s]", "coolant": "Coolant temperature [°C]", "ambient": "Outside air temperature [°C]",
            "load": "Engine load [%]", "rpm": "Engine speed [rpm]", "speed": "Road speed [km/h]",
            "altitude": "Altitude [m]"}
UNITS = {"time": "s", "coolant": "°C", "ambient": "°C", "load": "%", "rpm": "rpm", "speed": "km/h", "altitude": "m"}
# Simulated with the demo's vehicle, so that its band holds; a row each second. All of it invented.
DRIVES = {"sim-sound": ("normal/2031-05-06.json", None), "sim-open": ("trips/stuck-open.json", None),
          "sim-closed": ("trips/stuck-closed.json", None),
          "sim-late": ("trips/sticking.json", None)}


def read_table(text):
    """Columns by role, of a log with the demo's headings."""
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    rows = list(csv.DictReader(lines))
    return {role: [row[HEADINGS[role]] for row in rows] for role in ROLES if HEADINGS[role] in rows[0]}


def simulated(program, name, seed):
    base, fault = DRIVES[name]
    text = json.loads((SOURCE / "data/scenarios/warden-2" / base).read_text(encoding="utf-8"))
    text["vehicle"] = json.loads((SOURCE / "data/scenarios/warden-2.vehicle.json").read_text(encoding="utf-8"))
    text["seed"] = seed
    text["logging"] = {"period_s": 1}
    if fault:
        text["faults"] = [fault]
    result = subprocess.run([program, "simulate", "-", "--columns", ",".join(ROLES[1:])],
                            input=json.dumps(text).encode(), capture_output=True, timeout=SECONDS, check=True)
    rows = list(csv.DictReader(io.StringIO(result.stdout.decode())))
    return {role: list(column) for role, column in zip(ROLES, zip(*(row.values() for row in rows)))}


def demo_tables():
    return {path.stem: read_table(path.read_text(encoding="utf-8"))
            for path in sorted((DEMO / "warden-2/trips").glob("*.csv"))}


def converted(table, factors):
    """With another unit: ROLE: (factor, offset) of the number written."""
    def write(cell, factor, offset):
        return repr(float(cell) * factor + offset) if cell else cell
    return {role: [write(cell, *factors[role]) for cell in column] if role in factors else column
            for role, column in table.items()}


def every(table, step):
    return {role: column[::step] for role, column in table.items()}


def rows(table, first, last):
    return {role: column[first:last] for role, column in table.items()}


def shifted(table, seconds):
    return table | {"time": [str(int(cell) + seconds) for cell in table["time"]]}


def dated(table, epoch_s, zone):
    start = datetime.datetime.fromtimestamp(epoch_s, datetime.timezone.utc)
    return table | {"time": [(start + datetime.timedelta(seconds=int(cell))).strftime("%Y-%m-%dT%H:%M:%S") + zone
                             for cell in table["time"]]}


def clocked(table, second_of_day):
    def clock(cell):
        minutes, second = divmod((second_of_day + int(cell)) % 86400, 60)
        return f"{minutes // 60:02}:{minutes % 60:02}:{second:02}"
    return table | {"time": [clock(cell) for cell in table["time"]]}


def as_csv(table, headings=None, order=None, comma=",", decimal=".", end="\n"):
    headings = HEADINGS | (headings or {})
    order = order or list(table)
    out = io.StringIO()
    writer = csv.writer(out, delimiter=comma, lineterminator=end)
    writer.writerow([headings[role] for role in order])
    writer.writerows(zip(*([cell.replace(".", decimal) for cell in table[role]] for role in order)))
    return out.getvalue().encode()


def as_json(table, lines):
    keys = {role: HEADINGS[role] for role in table}
    def number(cell):
        return None if not cell else float(cell) if "." in cell else int(cell)
    records = [{keys[role]: number(cell) for role, cell in zip(table, cells)} for cells in zip(*table.values())]
    if lines:
        return "".join(json.dumps(record, ensure_ascii=False) + "\n" for record in records).encode()
    return json.dumps(records, ensure_ascii=False).encode()


def as_long(table):
    """Name, value and unit of one signal in each row."""
    lines = ["time [s];signal;value;unit"]
    for at, *cells in zip(*table.values()):
        lines += [f"{at};{HEADINGS[role].split(' [')[0]};{cell};{UNITS[role]}"
                  for role, cell in zip(list(table)[1:], cells) if cell]
    return ("\n".join(lines) + "\n").encode()


def as_gzip(data):
    """In two members, as appended to."""
    half = len(data) // 2
    return gzip.compress(data[:half], mtime=0) + gzip.compress(data[half:], mtime=0)


def phrases():
    """The vocabulary's words for each role that say nothing of a unit."""
    words = {role: [] for role in ROLES}
    for line in (SOURCE / "data/vocabulary/headings.txt").read_text(encoding="utf-8").splitlines():
        found = re.fullmatch(r"(\w+) \d: (.+)", line)
        if found and found[1] in words:
            words[found[1]] += found[2].split(", ")
    units = re.compile(r"sec|min|hour|hrs|ms\b|epoch|unix|iso|date|datum|percent|pid|spn|\d")
    return {role: [word for word in found if not units.search(word)] for role, found in words.items()}


def another(seed):
    return random.Random(seed)
