# SPDX-License-Identifier: Apache-2.0
"""Many drives side by side: each a lane, so that every step of the simulation works on all of them at once."""
from dataclasses import dataclass, fields
from types import SimpleNamespace

import numpy as np

from drives import Drive, wander
from faults import Fault
from vehicles import Vehicle


@dataclass(frozen=True)
class Lane:
    vehicle: Vehicle
    drive: Drive
    fault: Fault


def columns(records):
    """One array for every number or flag of these records, under the field's name."""
    made = SimpleNamespace()
    for field in fields(records[0]):
        values = [getattr(record, field.name) for record in records]
        if field.type in (int, float, bool):
            setattr(made, field.name, np.array(values, bool if field.type is bool else float))
    return made


class Lanes:
    """The lanes' constants as arrays by lane, their courses as arrays by second and lane, padded to the longest."""

    def __init__(self, lanes):
        vehicles = [lane.vehicle for lane in lanes]
        self.count = len(lanes)
        self.seconds = max(lane.drive.seconds for lane in lanes)
        self.vehicle = columns(vehicles)
        for part in ("body", "engine", "block", "coolant", "thermostat", "heater", "fan", "radiator"):
            setattr(self, part, columns([getattr(vehicle, part) for vehicle in vehicles]))
        self.drive = columns([lane.drive for lane in lanes])
        self.fault = columns([lane.fault for lane in lanes])
        self.electric_fan = np.array([vehicle.fan.kind == "electric" for vehicle in vehicles])
        self.viscous_fan = np.array([vehicle.fan.kind == "viscous" for vehicle in vehicles])
        self.gears_rpm_per_kmh = self._gears([vehicle.engine.gears_rpm_per_kmh for vehicle in vehicles])
        self._courses(lanes)

    @staticmethod
    def _gears(boxes):
        """A box with fewer gears repeats its highest."""
        most = max(len(box) for box in boxes)
        return np.array([[*box, *[box[-1]] * (most - len(box))] for box in boxes])

    def _courses(self, lanes):
        shape = (self.seconds, self.count)
        self.wanted_m_per_s, self.grade, self.running = np.zeros(shape), np.zeros(shape), np.zeros(shape, bool)
        self.burst, self.seized, self.unrest = np.zeros(shape), np.zeros(shape, bool), np.zeros(shape)
        for i, lane in enumerate(lanes):
            drive, fault = lane.drive, lane.fault
            seconds = drive.seconds
            self.wanted_m_per_s[:seconds, i] = drive.speed_kmh / 3.6
            self.grade[:seconds, i] = drive.grade
            self.running[:seconds, i] = drive.running
            # A drive and its sound twin draw the same first numbers, so they differ by the fault alone.
            rng = np.random.default_rng(drive.seed)
            self.unrest[:seconds, i] = wander(rng, seconds, 1., 8)
            if fault.air:
                draw_bursts(rng, fault.air, self.burst[:, i], seconds)
            if fault.seizes:
                draw_seizures(rng, self.seized[:, i], seconds)


def draw_bursts(rng, air, burst, seconds):
    """Air that passes the pump now and then; how often and how long is from memory."""
    second = 0
    while second < seconds:
        second += int(rng.exponential(260 - 190 * air)) + 15
        length = int(rng.uniform(15, 50 + 160 * air))
        burst[second:second + length] = rng.uniform(.5, 1)
        second += length


def draw_seizures(rng, seized, seconds):
    """A valve that holds still for some minutes; how often and how long is from memory."""
    second = 0
    while second < seconds:
        second += int(rng.exponential(350)) + 60
        length = int(rng.uniform(120, 480))
        seized[second:second + length] = True
        second += length
