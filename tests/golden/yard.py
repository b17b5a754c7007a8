# SPDX-License-Identifier: Apache-2.0
"""A yard of five like vehicles for a fleet's run: yard.py COOLBAND FOLDER.

Each is the demo vehicle warden-1 with parts of its own, a trip every other day on the rangers' roads; all of it is
INVENTED as the demo is (data/demo/README.md):

    tarn-2            its radiator clogs inside, from its 16th trip on, ever more
    tarn-4            its thermostat opens 9 K early, and always has
    tarn-1, -3, -5    sound
"""
import datetime
import json
import pathlib
import subprocess
import sys

SCENARIOS = pathlib.Path(__file__).resolve().parent.parent.parent / "data" / "scenarios"
FIRST_DAY = datetime.datetime(2031, 4, 2, 8)
TRIPS = {"tarn-1": 14, "tarn-2": 40, "tarn-3": 14, "tarn-4": 14, "tarn-5": 14}
BEGINS = 16
OPENS_C = {"tarn-1": 83.0, "tarn-2": 82.5, "tarn-3": 83.5, "tarn-4": 74.0, "tarn-5": 84.0}


def vehicle(name):
    kind = json.loads((SCENARIOS / "warden-1.vehicle.json").read_text(encoding="utf-8"))
    parts = {key: kind[key] for key in ("engine", "thermostat", "cooling", "body")}
    parts["thermostat"] = parts["thermostat"] | {"opens_c": OPENS_C[name], "full_open_c": OPENS_C[name] + 12}
    return parts


def scenario(name, trip):
    """Weather and road go their own rounds, so that neither hangs together with time."""
    number = int(name[-1])
    ambient_c = 9 + (5 * trip + 3 * number) % 13
    text = {"schema": "coolband.scenario/1", "vehicle": vehicle(name), "seed": 1000 * number + trip,
            "weather": {"ambient_c": ambient_c, "headwind_kmh": (7 * trip + number) % 11 - 5},
            "start": {"engine_c": ambient_c + 1, "altitude_m": 240},
            "route": [{"kind": "town", "minutes": 5 + (trip + number) % 4}, {"kind": "road", "minutes": 14},
                      {"kind": "climb", "minutes": 3 + (2 * trip + number) % 5}, {"kind": "road", "minutes": 6}],
            "logging": {"period_s": 5, "clock": (FIRST_DAY + datetime.timedelta(days=2 * trip)).isoformat()}}
    if name == "tarn-2" and trip >= BEGINS:
        severity = min(2.0, 0.06 * (trip - BEGINS + 1))
        text["faults"] = [{"kind": "radiator-blocked-inside", "severity": severity}]
    return text


def profile(name):
    kind = json.loads((SCENARIOS.parent / "demo" / "warden-1.json").read_text(encoding="utf-8"))
    return kind | {"id": name, "label": f"INVENTED: {name}", "group": "yard"}


def main():
    if len(sys.argv) != 3:
        sys.exit("usage: yard.py COOLBAND FOLDER")
    for name, trips in TRIPS.items():
        folder = pathlib.Path(sys.argv[2]) / name
        folder.mkdir(parents=True)
        (folder / "vehicle.json").write_text(json.dumps(profile(name)), encoding="utf-8")
        for trip in range(trips):
            subprocess.run([sys.argv[1], "simulate", "-", "-o", str(folder / f"{trip:02}.csv"), "--quiet"], check=True,
                           timeout=60, input=json.dumps(scenario(name, trip)).encode())


if __name__ == "__main__":
    main()
