# SPDX-License-Identifier: Apache-2.0
"""Writes a labelled population: make_population.py [--vehicles N] [--seed S] OUT"""
import argparse
import dataclasses
import json
import pathlib

import numpy as np

from circuit import simulate
from drives import draw_drive
from faults import FAULTS, NEED_DEMAND, THERMOSTAT_FAULTS, Fault, draw_fault
from lanes import Lane, Lanes
from logger import record, write_csv
from vehicles import draw_vehicle, profile

# How the population is made up: chosen so that every kind of fault meets every kind of drive, no source.
SOUND_TRIPS = 6
FAULTY_TRIPS = 12
SOUND_KINDS = ("ordinary", "climb", "cold", "heat", "idle", "short", "restart")
FAULTY_KINDS = ("ordinary", "ordinary", "climb", "motorway", "ordinary", "cold", "heat", "ordinary", "idle", "restart")
DEMAND_KINDS = ("climb", "hotidle", "heat", "hotclimb", "ordinary", "hotidle", "motorway")
FAN_KINDS = ("hotidle", "climb", "hotidle", "hotclimb", "heat", "hotidle", "idle")

# A fault can be asked of a program when it moved the reading this far for this long, or dropped out this often.
OBSERVABLE_K = 5
OBSERVABLE_MIN = 5
OBSERVABLE_DROPOUTS = 3

VEHICLES_AT_ONCE = 15   # bounds the memory


@dataclasses.dataclass
class Trip:
    lane: Lane
    file: str
    learn: bool = False

    @property
    def faulty(self):
        return self.lane.fault.name is not None

    def lanes(self):
        """A faulty trip is driven once more without its fault, to see what the fault changed."""
        lane = self.lane
        return [lane, Lane(lane.vehicle, lane.drive, Fault())] if self.faulty else [lane]


class Rota:
    """Deals out faults and kinds of drive in turn over the whole population; the strides keep them from pairing up."""

    def __init__(self):
        self.sound = self.faulty = self.demanding = 0

    def sound_kind(self):
        self.sound += 1
        return SOUND_KINDS[(self.sound - 1) % len(SOUND_KINDS)]

    def fault_and_kind(self):
        turn = self.faulty
        self.faulty += 1
        fault = list(FAULTS)[turn % len(FAULTS)]
        if fault not in NEED_DEMAND:
            return fault, FAULTY_KINDS[(turn * 7 + turn // 10) % len(FAULTY_KINDS)]
        kinds, turn = FAN_KINDS if fault == "fan" else DEMAND_KINDS, self.demanding
        self.demanding += 1
        return fault, kinds[(turn * 4 + turn // 7) % len(kinds)]


def draw_trips(rng, vehicle, rota):
    trips = []
    for number in range(int(rng.integers(10, 13))):
        lane = Lane(vehicle, draw_drive(rng, vehicle, "learn"), Fault())
        trips.append(Trip(lane, f"{vehicle.id}/learn/d{number:02d}.csv", learn=True))
    for number in range(SOUND_TRIPS):
        kind = rota.sound_kind()
        lane = Lane(vehicle, draw_drive(rng, vehicle, kind), Fault())
        trips.append(Trip(lane, f"{vehicle.id}/trips/h{number:02d}-{kind}.csv"))
    for number in range(FAULTY_TRIPS):
        name, kind = rota.fault_and_kind()
        drive = draw_drive(rng, vehicle, kind)
        lane = Lane(vehicle, drive, draw_fault(rng, name, drive))
        trips.append(Trip(lane, f"{vehicle.id}/trips/f{number:02d}-{name}-{kind}.csv"))
    return trips


def label(trip, log, twin_log):
    drive, fault = trip.lane.drive, trip.lane.fault
    made = {
        "vehicle": trip.lane.vehicle.id, "file": trip.file, "kind": drive.kind, "fault": fault.name,
        "detail": fault.detail, "severity": fault.severity,
        "onset_s": int(max(0, fault.onset_s - drive.log_from_s)) if trip.faulty else None,
        "amb": round(drive.ambient_c, 1), "stopped_boiling": log.too_hot,
        "minutes": round(float(log.kept.sum()) / 60, 1),
        "max_c": float(np.nanmax(log.without_dropouts_c[log.kept])),
    }
    if not trip.faulty:
        return made | {"minutes_off_5k": 0, "max_dev_k": 0, "observable": False, "group": None}
    off_k = (log.without_dropouts_c - twin_log.without_dropouts_c)[log.kept]
    minutes_off = round(float((np.abs(off_k) >= OBSERVABLE_K).sum()) / 60, 1)
    drops_out = fault.name.startswith("sensor") and log.dropouts >= OBSERVABLE_DROPOUTS
    return made | {
        "minutes_off_5k": minutes_off,
        "max_dev_k": round(float(off_k[np.argmax(np.abs(off_k))]), 1),
        "mean_dev_k": round(float(off_k.mean()), 2),
        "dropouts": log.dropouts,
        "observable": bool(minutes_off >= OBSERVABLE_MIN or drops_out),
        "group": "thermostat" if fault.name in THERMOSTAT_FAULTS else "other",
    }


def write_trips(trips, out, labels):
    lanes = [lane for trip in trips for lane in trip.lanes()]
    course = simulate(Lanes(lanes))
    i = 0
    for trip in trips:
        log = record(course, i, lanes[i])
        twin_log = record(course, i + 1, lanes[i + 1]) if trip.faulty else None
        i += len(trip.lanes())
        write_csv(out / trip.file, log)
        if log.too_hot and not trip.faulty:
            print("too hot without a fault:", trip.file)
        if not trip.learn:
            labels.write(json.dumps(label(trip, log, twin_log)) + "\n")


def prepare(vehicle, out):
    for folder in ("learn", "trips"):
        (out / vehicle.id / folder).mkdir(parents=True, exist_ok=True)
    (out / vehicle.id / "profile.json").write_text(json.dumps(profile(vehicle), indent=1), encoding="utf-8")


def main():
    parser = argparse.ArgumentParser(description="Writes a population of invented vehicles, their logs and labels.")
    parser.add_argument("--vehicles", type=int, default=4)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("out", type=pathlib.Path)
    arguments = parser.parse_args()
    out = arguments.out
    out.mkdir(parents=True, exist_ok=True)
    rota = Rota()
    with (open(out / "labels.jsonl", "w", encoding="utf-8") as labels,
          open(out / "vehicles.jsonl", "w", encoding="utf-8") as truth):
        for first in range(0, arguments.vehicles, VEHICLES_AT_ONCE):
            trips = []
            for number in range(first, min(first + VEHICLES_AT_ONCE, arguments.vehicles)):
                rng = np.random.default_rng([arguments.seed, number])
                vehicle = draw_vehicle(rng, f"v{number:03d}")
                prepare(vehicle, out)
                truth.write(json.dumps(dataclasses.asdict(vehicle)) + "\n")
                trips += draw_trips(rng, vehicle, rota)
            write_trips(trips, out, labels)


if __name__ == "__main__":
    main()
