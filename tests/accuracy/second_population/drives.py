# SPDX-License-Identifier: Apache-2.0
"""Draws drives: a route as wanted speed, grade and engine on or off every second, and the conditions of the day.

All lengths, speeds and grades are from memory, no source. The order of the draws is part of the data.
"""
from dataclasses import dataclass

import numpy as np

LONGEST_S = 5400


def wander(rng, count, deviation, memory_s):
    """A slow random course about nought: each value remembers the one before."""
    values = np.empty(count)
    keep = np.exp(-1 / memory_s)
    pushes = rng.normal(0, deviation * (1 - keep * keep) ** .5, count)
    value = rng.normal(0, deviation)
    for i in range(count):
        value = keep * value + pushes[i]
        values[i] = value
    return values


@dataclass
class Drive:
    kind: str
    speed_kmh: np.ndarray
    grade: np.ndarray
    running: np.ndarray
    seconds: int
    ambient_c: float
    ambient_trend_k_per_s: float
    wind_m_per_s: float
    start_c: float
    warm_start: bool
    payload_kg: float
    trailer_kg: float
    air_conditioning_on: bool
    comfort_c: float
    blower: float
    seed: int          # for what the simulation and the logger draw themselves
    log_from_s: int    # the log begins here; what was before is simulated only
    gap_s: tuple | None


@dataclass
class Day:
    """What a kind of drive decides besides its route."""
    ambient_c: float
    trailer_kg: float = 0.
    warm_start_c: float | None = None
    log_from_s: int = 0
    gap_s: tuple | None = None


class Route:
    """Grows second by second; grades in percent."""

    def __init__(self, rng, vehicle):
        self.rng = rng
        self.vehicle = vehicle
        self.speeds_kmh, self.grades_pct, self.running = [], [], []

    def __len__(self):
        return sum(map(len, self.speeds_kmh))

    def add(self, count, speed_kmh, grade_pct=0., running=True):
        self.speeds_kmh.append(np.broadcast_to(np.asarray(speed_kmh, float), count))
        self.grades_pct.append(np.broadcast_to(np.asarray(grade_pct, float), count))
        self.running.append(np.full(count, running))

    def idle(self, minutes):
        self.add(int(minutes * 60), 0.)

    def off(self, minutes):
        self.add(int(minutes * 60), 0., running=False)

    def town(self, minutes, base_kmh=None):
        rng = self.rng
        end = len(self) + int(minutes * 60)
        while len(self) < end:
            count = int(rng.uniform(15, 80))
            speed_kmh = rng.choice([25, 30, 40, 48, 52]) if base_kmh is None else base_kmh * rng.uniform(.75, 1.1)
            self.add(count, speed_kmh * rng.uniform(.85, 1.08), wander(rng, count, 1.0, 40))
            if rng.random() < .55:
                self.add(int(rng.choice([rng.uniform(4, 15), rng.uniform(12, 50)])), 0.)

    def road(self, minutes, speed_kmh, speed_wander_kmh=6, grade_wander_pct=1.2, grade_pct=0., slow_share=.3):
        rng = self.rng
        end = len(self) + int(minutes * 60)
        while len(self) < end:
            count = min(int(rng.uniform(60, 240)), max(10, end - len(self)))
            speeds_kmh = speed_kmh * rng.uniform(.9, 1.05) + wander(rng, count, speed_wander_kmh, 25)
            if rng.random() < slow_share:   # a bend, a village, a queue
                slow = min(count, int(rng.uniform(8, 30)))
                speeds_kmh[:slow] = speed_kmh * rng.uniform(.3, .7)
            self.add(count, np.maximum(speeds_kmh, 5), grade_pct + wander(rng, count, grade_wander_pct, 50))

    def motorway(self, minutes, grade_wander_pct, slow_share):
        self.road(minutes, self.rng.uniform(*self.vehicle.body.motorway_kmh), 3.5, grade_wander_pct, 0, slow_share)

    def rural_kmh(self):
        return self.rng.uniform(55, 75) if self.vehicle.lorry else self.rng.uniform(62, 88)

    def hill(self, minutes):
        grade_pct = self.rng.uniform(3, 6.5)
        self.road(minutes / 2, self.rural_kmh() * .85, grade_pct=grade_pct)
        self.road(minutes / 2, self.rural_kmh() * .8, grade_pct=-grade_pct * .9)

    def everyday(self, minutes):
        rng = self.rng
        end = len(self) + int(minutes * 60)
        self.town(rng.uniform(2, 6))
        while len(self) < end:
            length = min((end - len(self)) / 60, rng.uniform(4, 14))
            part = rng.choice(["town", "suburb", "rural", "motorway", "hill", "idle"],
                              p=[.22, .17, .25, .18, .12, .06])
            if part == "town":
                self.town(length)
            elif part == "suburb":
                self.town(length, base_kmh=62)
            elif part == "rural":
                self.road(length, self.rural_kmh())
            elif part == "motorway":
                self.motorway(length, .9, .12)
            elif part == "hill":
                self.hill(min(length, 7))
            else:
                self.idle(min(length, 5))


def ordinary(route, rng, day):
    route.everyday(rng.uniform(27, 58))
    if rng.random() < .2:
        day.warm_start_c = rng.uniform(35, 75)


def climb(route, rng, day):
    day.ambient_c = float(np.clip(rng.normal(route.vehicle.mean_ambient_c + 4, 7), 0, 32))
    _loaded_climb(route, rng, day)


def hot_climb(route, rng, day):
    rng.normal()   # a climb draws its weather here; thrown away so that both kinds draw alike from here on
    day.ambient_c = rng.uniform(22, 36)
    _loaded_climb(route, rng, day)


def _loaded_climb(route, rng, day):
    lorry = route.vehicle.lorry
    day.trailer_kg = route.vehicle.body.mass_kg * (rng.uniform(0, .2) if lorry else rng.uniform(.25, .55))
    route.everyday(rng.uniform(10, 16))
    route.road(rng.uniform(9, 20), route.rural_kmh() * .75, speed_wander_kmh=4,
               grade_pct=rng.uniform(3.5, 6) if lorry else rng.uniform(4.5, 7.5), grade_wander_pct=1.3)
    if rng.random() < .5:
        route.idle(rng.uniform(1, 5))
    route.road(rng.uniform(4, 9), route.rural_kmh() * .8, grade_pct=-rng.uniform(3, 6))
    route.everyday(rng.uniform(6, 12))


def cold(route, rng, day):
    day.ambient_c = rng.uniform(-26, -11)
    route.everyday(rng.uniform(32, 58))


def heat(route, rng, day):
    day.ambient_c = rng.uniform(32, 41)
    route.everyday(rng.uniform(30, 55))


def hot_idle(route, rng, day):
    day.ambient_c = rng.uniform(22, 37)
    route.everyday(rng.uniform(14, 22))
    route.idle(rng.uniform(10, 24))
    route.town(rng.uniform(5, 12))


def long_idle(route, rng, _):
    route.everyday(rng.uniform(12, 20))
    route.idle(rng.uniform(14, 32))
    route.everyday(rng.uniform(5, 10))


def short(route, rng, _):
    route.town(rng.uniform(4, 8))
    route.road(rng.uniform(3, 6), route.rural_kmh())


def restart(route, rng, day):
    route.everyday(rng.uniform(16, 26))
    stopped_s = len(route)
    route.off(rng.uniform(8, 45))
    started_s = len(route)
    route.everyday(rng.uniform(16, 28))
    logged = rng.random()
    if logged < .35:    # the log begins at the restart
        day.log_from_s = started_s
    elif logged < .7:   # the logger was off meanwhile
        day.gap_s = (stopped_s, started_s)


def motorway(route, rng, _):
    route.town(4)
    route.motorway(rng.uniform(22, 40), 1., .1)
    route.town(rng.uniform(3, 6))
    route.idle(rng.uniform(0, 3))


ROUTES = {"learn": ordinary, "ordinary": ordinary, "climb": climb, "hotclimb": hot_climb, "cold": cold, "heat": heat,
          "hotidle": hot_idle, "idle": long_idle, "short": short, "restart": restart, "motorway": motorway}


def draw_drive(rng, vehicle, kind):
    day = Day(float(np.clip(rng.normal(vehicle.mean_ambient_c, 7.5), -9, 31)))
    route = Route(rng, vehicle)
    ROUTES[kind](route, rng, day)
    speed_kmh = np.concatenate(route.speeds_kmh)[:LONGEST_S]
    ambient_c, warm_c = day.ambient_c, day.warm_start_c
    return Drive(
        kind=kind, speed_kmh=speed_kmh, grade=np.concatenate(route.grades_pct)[:LONGEST_S] / 100,
        running=np.concatenate(route.running)[:LONGEST_S], seconds=len(speed_kmh),
        ambient_c=ambient_c, ambient_trend_k_per_s=rng.uniform(-2.5, 2.5) / 3600, wind_m_per_s=rng.normal(0, 2.2),
        start_c=ambient_c + rng.uniform(-1, 3) if warm_c is None else max(warm_c, ambient_c),
        warm_start=warm_c is not None,
        payload_kg=vehicle.body.mass_kg * rng.uniform(-.35, .1) if vehicle.lorry else rng.uniform(70, 350),
        trailer_kg=day.trailer_kg,
        air_conditioning_on=bool(vehicle.air_conditioning and ambient_c > 21 + rng.normal(0, 2)),
        comfort_c=rng.uniform(17, 22), blower=rng.uniform(.5, 1.0), seed=int(rng.integers(2 ** 31)),
        log_from_s=day.log_from_s, gap_s=day.gap_s)
