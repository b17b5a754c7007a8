# SPDX-License-Identifier: Apache-2.0
"""Draws faults: what is wrong, how much, and from which second of the drive.

All sizes are from memory, no source. The order of the draws is part of the data.
"""
from dataclasses import dataclass

import numpy as np


@dataclass
class Fault:
    """Nothing is wrong until a field says so."""
    name: str | None = None
    severity: float | None = None
    detail: str | None = None
    onset_s: int = 0
    valve_least: float = 0.
    valve_most: float = 1.
    valve_fixed: float = -1.       # below nought: it moves
    opens_later_k: float = 0.
    more_half_play_k: float = 0.
    lag_factor: float = 1.
    leak_share: float = 0.
    seizes: bool = False
    fan_share: float = 1.
    coolant_side_blocked: float = 0.
    air_side_blocked: float = 0.
    flow_loss: float = 0.
    flow_loss_at_speed: float = 0.   # nought: as at idle
    air: float = 0.
    sensor_offset_k: float = 0.
    dropouts: float = 0.
    sensor_lag_s: float = 0.
    sensor_frozen: bool = False


def stuck_open(rng, fault):
    opening = rng.uniform(.05, 1.0) ** 1.3
    if rng.random() < .5:
        fault.valve_fixed = opening
        return opening, f"seized at {opening:.2f}"
    fault.valve_least = opening
    return opening, f"never below {opening:.2f}"


def stuck_closed(rng, fault):
    fault.valve_most = float(rng.choice([0, .02, .05, .10, .18]))
    return 1 - fault.valve_most, f"never above {fault.valve_most}"


def late(rng, fault):
    fault.opens_later_k = rng.uniform(6, 15)
    return fault.opens_later_k / 15, f"+{fault.opens_later_k:.1f} K"


def leaking(rng, fault):
    fault.leak_share = float(np.exp(rng.uniform(np.log(.015), np.log(.11))))
    return fault.leak_share / .11, f"leak {fault.leak_share:.3f} of flow"


def sticking(rng, fault):
    fault.more_half_play_k = rng.uniform(3, 8)
    fault.lag_factor = rng.uniform(1, 5)
    fault.seizes = bool(rng.random() < .6)
    detail = f"half play {fault.more_half_play_k:.1f} K, lag x{fault.lag_factor:.1f}, seizes {fault.seizes}"
    return fault.more_half_play_k / 8, detail


def weak_fan(rng, fault):
    fault.fan_share = float(rng.choice([0., 0., .2, .35]))
    return 1 - fault.fan_share, f"fan {fault.fan_share}"


def blocked_radiator(rng, fault):
    blocked = rng.uniform(.3, .7)
    side = rng.choice(["in", "out", "both"])
    if side == "in":
        fault.coolant_side_blocked = blocked
    elif side == "out":
        fault.air_side_blocked = blocked
    else:
        fault.coolant_side_blocked = fault.air_side_blocked = blocked * .7
    return blocked, f"{side} {blocked:.2f}"


def weak_pump(rng, fault):
    loss = rng.uniform(.4, .75)
    if rng.random() < .6:
        fault.flow_loss = loss
        return loss, f"flow -{loss:.2f}"
    fault.flow_loss, fault.flow_loss_at_speed = loss * .5, loss
    return loss, f"flow -{loss:.2f} more at speed"


def low_or_air(rng, fault):
    fault.air = rng.uniform(.3, 1.)
    return fault.air, f"air {fault.air:.2f}"


def sensor_offset(rng, fault):
    fault.sensor_offset_k = rng.uniform(6, 15) * rng.choice([-1, 1])
    return abs(fault.sensor_offset_k) / 15, f"{fault.sensor_offset_k:+.1f} K"


def sensor_dropout(rng, fault):
    fault.dropouts = rng.uniform(.2, 1)
    return fault.dropouts, "dropouts"


def sensor_sluggish(rng, fault):
    fault.sensor_lag_s = rng.uniform(60, 200)
    return fault.sensor_lag_s / 200, f"tau {fault.sensor_lag_s:.0f} s"


def sensor_frozen(_, fault):
    fault.sensor_frozen = True
    return 1., "frozen"


THERMOSTAT_FAULTS = {"stuck-open": stuck_open, "stuck-closed": stuck_closed, "late": late, "leaking": leaking,
                     "sticking": sticking}
OTHER_FAULTS = {"fan": weak_fan, "radiator": blocked_radiator, "pump": weak_pump, "low-air": low_or_air,
                "sensor-offset": sensor_offset, "sensor-dropout": sensor_dropout, "sensor-sluggish": sensor_sluggish,
                "sensor-frozen": sensor_frozen}
FAULTS = THERMOSTAT_FAULTS | OTHER_FAULTS
# These show only when the circuit has much heat to shed.
NEED_DEMAND = ("fan", "radiator", "pump", "low-air")


def draw_fault(rng, name, drive):
    fault = Fault(name=name)
    rng.random()   # once a severity for all faults alike; kept, or every population would change
    severity, fault.detail = FAULTS[name](rng, fault)
    fault.severity = round(severity, 3)
    if name == "sensor-frozen":   # never from the start: a frozen sensor must have read something
        fault.onset_s = int(drive.seconds * rng.uniform(.08, .5))
    elif rng.random() < .35:
        fault.onset_s = int(drive.seconds * rng.uniform(.2, .6))
    if drive.log_from_s and fault.onset_s:   # it begins within the log
        fault.onset_s = drive.log_from_s + int((drive.seconds - drive.log_from_s) * rng.uniform(.2, .6))
    return fault
