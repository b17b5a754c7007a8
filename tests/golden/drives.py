# SPDX-License-Identifier: Apache-2.0
"""Drives of the demo vehicle warden-2 before and after a repair: drives.py COOLBAND FOLDER.

Each is a scenario of data/scenarios with another seed, day, weather and thermostat or fault, so that all of
it is INVENTED as the demo is (data/demo/README.md):

    faulty-1..3   the thermostat hangs open
    sound-1..4    a new thermostat of the same rating
    other-1..4    a new one that opens 6 K higher
    air-1..4      a sound one, but air was left in the system
    clears-1..4   the same, and the air has left after the first drive
    short-1..3    a sound one, twelve minutes only
    hot-1..3      a sound one, in the heat
    warm-1..3     a sound one, each start with the engine still warm
"""
import json
import pathlib
import subprocess
import sys

SCENARIOS = pathlib.Path(__file__).resolve().parent.parent.parent / "data" / "scenarios"
AIR = [{"kind": "air-trapped", "severity": 1}]
LATER = {"thermostat": {"opens_c": 82, "full_open_c": 95, "position": "outlet"}}
SHORT = [{"kind": "town", "minutes": 4}, {"kind": "road", "minutes": 8}]


def scenario(base, number, day, ambient_c):
    text = json.loads((SCENARIOS / "warden-2" / base).read_text(encoding="utf-8"))
    vehicle = json.loads((SCENARIOS / "warden-2.vehicle.json").read_text(encoding="utf-8"))
    text["vehicle"] = {key: vehicle[key] for key in ("engine", "thermostat", "cooling", "body")}
    text["seed"] = 100 * day + number
    text["weather"]["ambient_c"] = ambient_c
    text["start"]["engine_c"] = ambient_c + 1
    text["logging"]["clock"] = f"2032-05-{day:02}T08:00:00"
    return text


def drives():
    for number in (1, 2, 3):
        yield f"faulty-{number}", scenario("trips/stuck-open.json", number, number, 14 + 2 * number)
    for number in (1, 2, 3, 4):
        sound = scenario("normal/2031-05-06.json", number, 10 + number, 12 + 2 * number)
        yield f"sound-{number}", sound
        yield f"air-{number}", sound | {"faults": AIR}
        yield f"clears-{number}", sound | {"faults": AIR if number == 1 else []}
        yield f"other-{number}", sound | {"vehicle": sound["vehicle"] | LATER}
        if number == 4:
            continue
        yield f"short-{number}", sound | {"route": SHORT}
        yield f"warm-{number}", sound | {"start": {"engine_c": 78, "altitude_m": 240}}
        yield f"hot-{number}", sound | {"weather": {"ambient_c": 31}, "start": {"engine_c": 32, "altitude_m": 240}}


def main():
    if len(sys.argv) != 3:
        sys.exit("usage: drives.py COOLBAND FOLDER")
    for name, text in drives():
        log = pathlib.Path(sys.argv[2]) / f"{name}.csv"
        subprocess.run([sys.argv[1], "simulate", "-", "-o", str(log), "--quiet"], check=True, timeout=60,
                       input=json.dumps(text).encode())


if __name__ == "__main__":
    main()
