# SPDX-License-Identifier: Apache-2.0
"""What a logger makes of a simulated drive: sensors with lag, offset, noise, resolution and faults; and the CSV file.

All factors are from memory, no source.
"""
from dataclasses import dataclass

import numpy as np

HEADER = "time_s,coolant_c,ambient_c,load_pct,rpm,speed_kmh\n"
DRIVER_STOPS_C = 123.
DRIVER_STOPS_AFTER_S = 20
LOGGER_STAYS_ON_S = 5   # after the engine has stopped


@dataclass
class Log:
    """By second of the drive; only the seconds of `kept` come into the file."""
    time_s: np.ndarray
    coolant_c: np.ndarray
    without_dropouts_c: np.ndarray
    ambient_c: np.ndarray
    load_pct: np.ndarray
    rpm: np.ndarray
    speed_kmh: np.ndarray
    kept: np.ndarray
    dropouts: int
    too_hot: bool


def lagged(values, lag_s):
    """A first-order lag; the lag may change from second to second."""
    shares = np.broadcast_to(1 - np.exp(-1 / np.maximum(lag_s, .3)), len(values))
    made = np.empty(len(values))
    value = values[0]
    for i in range(len(values)):
        value += (values[i] - value) * shares[i]
        made[i] = value
    return made


def record(course, i, lane):
    """The log of lane `i`. It draws from the drive's seed, so a faulty drive and its sound twin have the same noise."""
    drive, fault, sensors = lane.drive, lane.fault, lane.vehicle.sensors
    seconds = drive.seconds
    rng = np.random.default_rng(drive.seed + 7)
    time_s = np.arange(seconds)
    true_c = course.coolant_c[:seconds, i].astype(float)
    whole_c = read_coolant(rng, course, i, lane)
    coolant_c, dropouts = whole_c.copy(), 0
    if fault.dropouts:
        dropouts = drop_out(np.random.default_rng(drive.seed + 99), fault, coolant_c)
    air_c = course.ambient_c[:seconds, i] + heat_soak(course, i, seconds, sensors)
    ambient_c = lagged(air_c, sensors.ambient_lag_s) + sensors.ambient_offset_k
    true_pct = course.load_pct[:seconds, i]
    noisy_pct = np.clip(true_pct + rng.normal(0, 1.2, seconds) * (true_pct > 0), 0, 100)
    hot = np.nonzero((true_c > DRIVER_STOPS_C) & (time_s > drive.log_from_s))[0]
    end_s = min(seconds, hot[0] + DRIVER_STOPS_AFTER_S) if len(hot) else seconds
    kept = (time_s >= drive.log_from_s) & (time_s < end_s)
    if drive.gap_s:
        kept &= ~((time_s > drive.gap_s[0] + LOGGER_STAYS_ON_S) & (time_s < drive.gap_s[1]))
    return Log(
        time_s=time_s - drive.log_from_s, coolant_c=coolant_c, without_dropouts_c=whole_c,
        ambient_c=np.round(ambient_c / sensors.ambient_step_k) * sensors.ambient_step_k,
        load_pct=np.where(course.running[:seconds, i], noisy_pct, 0),
        rpm=np.maximum(0, np.round(course.rpm[:seconds, i])), speed_kmh=np.round(course.speed_kmh[:seconds, i]),
        kept=kept, dropouts=dropouts, too_hot=bool(len(hot)))


def read_coolant(rng, course, i, lane):
    """The coolant sensor, with its fault except for dropouts. In air it feels the metal, and slowly."""
    drive, fault, sensors = lane.drive, lane.fault, lane.vehicle.sensors
    seconds = drive.seconds
    active = np.arange(seconds) >= fault.onset_s
    true_c, metal_c = (values[:seconds, i].astype(float) for values in (course.coolant_c, course.metal_c))
    noise_k = rng.normal(0, sensors.coolant_noise_k, seconds)
    burst = course.burst[:seconds, i] * active
    lag_s = np.where(burst > 0, sensors.coolant_lag_s * 2.5, sensors.coolant_lag_s)
    if fault.sensor_lag_s:
        lag_s = np.where(active, fault.sensor_lag_s, lag_s)
    read_c = (lagged(true_c + .35 * burst * (metal_c - true_c), lag_s) + sensors.coolant_offset_k
              + np.where(active, fault.sensor_offset_k, 0) + noise_k)
    read_c = np.round(np.round(read_c / sensors.coolant_step_k) * sensors.coolant_step_k, 1)
    if fault.sensor_frozen:
        read_c[fault.onset_s:] = read_c[fault.onset_s]
    return read_c


def drop_out(rng, fault, coolant_c):
    """Puts dropouts into the readings, as no value or as an end of the sensor's range; gives how many."""
    second = fault.onset_s + int(rng.uniform(20, 200))
    reading_c = rng.choice([-40., -40., 215., None])
    count = 0
    while second < len(coolant_c):
        length = int(rng.uniform(1, 4 + 20 * fault.dropouts))
        coolant_c[second:second + length] = np.nan if reading_c is None else reading_c
        count += 1
        second += length + int(rng.exponential(420 - 340 * fault.dropouts)) + 5
    return count


def heat_soak(course, i, seconds, sensors):
    """How much the front of a slow or standing vehicle warms its ambient sensor."""
    slow = course.speed_kmh[:seconds, i] < 8
    above_k = course.coolant_c[:seconds, i].astype(float) - course.ambient_c[:seconds, i]
    goals_k = np.where(slow, sensors.ambient_soak_k * np.clip(above_k / 70, 0, 1.2), 0)
    lags_s = np.where(slow, 400, 120)
    soak_k = np.zeros(seconds)
    value_k = 0.
    for second in range(seconds):
        value_k += (goals_k[second] - value_k) / lags_s[second]
        soak_k[second] = value_k
    return soak_k


def write_csv(path, log):
    with open(path, "w", encoding="utf-8") as file:
        file.write(HEADER)
        for i in np.nonzero(log.kept)[0]:
            coolant = "" if np.isnan(log.coolant_c[i]) else f"{log.coolant_c[i]:.1f}"
            file.write(f"{log.time_s[i]},{coolant},{log.ambient_c[i]:.1f},{log.load_pct[i]:.1f},"
                       f"{log.rpm[i]:.0f},{log.speed_kmh[i]:.0f}\n")
