# SPDX-License-Identifier: Apache-2.0
"""From the wanted speed to what the engine does: speed held by power and grade, gear, engine speed and brake power.

All factors are from memory, no source.
"""
from dataclasses import dataclass

import numpy as np

TURNING_MASS = 1.05
DRIVELINE = .92
SPARED_POWER = .93   # no one drives at quite full throttle


@dataclass
class Motion:
    """By second and lane."""
    speed_m_per_s: np.ndarray
    rpm: np.ndarray
    brake_kw: np.ndarray
    fuel_cut: np.ndarray
    full_load_kw: np.ndarray   # at this engine speed


def torque_share(speed_share, turbo):
    """Full-load torque over that at rated power, by engine speed over rated speed."""
    plateau = np.where(turbo, 1.35, 1.18)
    falling = np.interp(speed_share, [.4, .55, 1., 1.15], [0, 0, 1, 1.3]) * (1 - plateau) + plateau
    return np.where(speed_share < .4, plateau * (.55 + .45 * np.clip(speed_share / .4, 0, 1)), falling)


class Powertrain:
    def __init__(self, lanes):
        body, engine, drive = lanes.body, lanes.engine, lanes.drive
        self.lanes = lanes
        self.mass_kg = body.mass_kg + drive.payload_kg + drive.trailer_kg
        self.acceleration_m_per_s2 = (body.acceleration_m_per_s2
                                      * np.minimum(1, (body.mass_kg / self.mass_kg) ** .7))
        self.drag_area_m2 = body.drag_area_m2 + np.where(drive.trailer_kg > 0, body.drag_area_m2 * .6, 0)
        slowest = np.where(engine.rated_rpm < 2700, .52, np.where(engine.diesel, .34, .27))
        self.slowest_rpm = slowest[:, None] * engine.rated_rpm[:, None]
        self.coldness = np.clip((45 - drive.ambient_c) / 45, 0, 1.4)
        self.speed_m_per_s = np.zeros(lanes.count)
        self.gear = np.zeros(lanes.count, int)
        self.in_gear_s = np.zeros(lanes.count)
        self.usual_kw = np.zeros(lanes.count)
        self.since_start_s = np.zeros(lanes.count)

    def run(self):
        lanes, engine = self.lanes, self.lanes.engine
        shape = (lanes.seconds, lanes.count)
        motion = Motion(np.zeros(shape), np.zeros(shape), np.zeros(shape), np.zeros(shape, bool), np.zeros(shape))
        for second in range(lanes.seconds):
            running = lanes.running[second]
            brake_kw = self._move(second)
            rpm = self._idle_flare(second, self._shift(brake_kw))
            motion.speed_m_per_s[second] = self.speed_m_per_s
            motion.rpm[second] = np.where(running, rpm, 0)
            motion.brake_kw[second] = np.where(running, np.maximum(brake_kw, 0), 0)
            motion.fuel_cut[second] = running & (brake_kw < -.5) & (rpm > 1.35 * engine.idle_rpm)
            share = rpm / engine.rated_rpm
            full_kw = engine.rated_power_kw * share * torque_share(share, lanes.vehicle.turbo)
            motion.full_load_kw[second] = np.maximum(full_kw, 1)
        return motion

    def _move(self, second):
        """One second on the road; gives the power at the engine's shaft."""
        lanes, mass_kg, speed = self.lanes, self.mass_kg, self.speed_m_per_s
        wind = lanes.drive.wind_m_per_s
        resistance_n = (mass_kg * 9.81 * (lanes.body.rolling_resistance + lanes.grade[second]) * (speed > .1)
                        + .6 * self.drag_area_m2 * (speed + wind) * np.abs(speed + wind))
        acceleration = np.clip(lanes.wanted_m_per_s[second] - speed, -1.6,
                               self.acceleration_m_per_s2 / (1 + speed / 18))
        available_kw = SPARED_POWER * lanes.engine.rated_power_kw * DRIVELINE
        wanted_kw = (mass_kg * TURNING_MASS * acceleration + resistance_n) * speed / 1000
        at_limit = (available_kw * 1000 / np.maximum(speed, 1) - resistance_n) / (mass_kg * TURNING_MASS)
        acceleration = np.where(wanted_kw > available_kw, at_limit, acceleration)
        speed = np.maximum(0, speed + acceleration)
        speed = np.where(~lanes.running[second], 0, speed)
        wheel_kw = np.clip((mass_kg * TURNING_MASS * acceleration + resistance_n) * speed / 1000,
                           -2 * lanes.engine.rated_power_kw, available_kw)
        self.speed_m_per_s = speed
        return np.where(wheel_kw > 0, wheel_kw / DRIVELINE, wheel_kw)

    def _shift(self, brake_kw):
        """The highest gear that has the power, changed with some patience; gives the engine's speed."""
        lanes, engine, speed = self.lanes, self.lanes.engine, self.speed_m_per_s
        each = np.arange(lanes.count)
        self.usual_kw = self.usual_kw + (np.maximum(brake_kw, 0) - self.usual_kw) * .4
        gear_rpm = lanes.gears_rpm_per_kmh * (speed * 3.6)[:, None]
        share = gear_rpm / engine.rated_rpm[:, None]
        full_kw = engine.rated_power_kw[:, None] * share * torque_share(share, lanes.vehicle.turbo[:, None])
        enough = full_kw * .88 >= np.maximum(self.usual_kw, brake_kw)[:, None]
        fits = (gear_rpm >= self.slowest_rpm) & enough & (share < 1.1)
        best = fits.shape[1] - 1 - np.argmax(fits[:, ::-1], 1)
        strongest = np.argmax(np.where(share < 1.1, full_kw, -1), 1)
        best = np.where(~fits.any(1), np.where(speed < 2, 0, strongest), best)
        change = ((~fits[each, self.gear] & (self.in_gear_s > 1)) | ((best > self.gear) & (self.in_gear_s > 5))
                  | (share[each, self.gear] > 1.12))
        self.in_gear_s = np.where(change, 0, self.in_gear_s + 1)
        self.gear = np.where(change, best, self.gear)
        rpm = np.maximum(gear_rpm[each, self.gear], engine.idle_rpm * np.where(speed > .3, 1.12, 1.))
        return np.minimum(rpm, engine.rated_rpm * 1.1)

    def _idle_flare(self, second, rpm):
        """A cold engine idles faster for some minutes, lorries' excepted; and no idle is quite steady."""
        lanes, at_rest = self.lanes, self.speed_m_per_s < .3
        self.since_start_s = np.where(lanes.running[second], self.since_start_s + 1, 0)
        flare_rpm = ((250 * np.exp(-self.since_start_s / 150) * self.coldness) * (1 - lanes.drive.warm_start * .8)
                     * (lanes.engine.rated_rpm > 2700))
        return rpm + np.where(at_rest, flare_rpm, 0) + lanes.unrest[second] * np.where(at_rest, 8, 6)
