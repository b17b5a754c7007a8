# SPDX-License-Identifier: Apache-2.0
"""Draws invented vehicles: body, engine, cooling circuit and sensors, and the profile a user would write for one.

The order of the draws is part of the data: another order gives another population for the same seed.
"""
from dataclasses import dataclass

import numpy as np

COOLANT_KJ_PER_KG_K = 3.6   # roughly a mix half and half, from memory


@dataclass(frozen=True)
class Kind:
    """The ranges a kind of vehicle is drawn from."""
    share: float
    power_kw: tuple
    mass_kg: tuple
    drag_area_m2: tuple
    rolling_resistance: float
    motorway_kmh: tuple
    diesel_share: float
    heater_kw_per_k: tuple
    acceleration_m_per_s2: float


# From memory of what such vehicles are like, no source; none is a real one.
KINDS = {
    "small": Kind(.18, (48, 75), (950, 1200), (.60, .70), .011, (100, 120), .10, (.035, .05), 1.6),
    "car": Kind(.27, (80, 135), (1300, 1700), (.60, .75), .011, (105, 130), .35, (.045, .06), 1.8),
    "offroad": Kind(.20, (75, 150), (1900, 2700), (.95, 1.3), .014, (90, 115), .65, (.045, .065), 1.3),
    "van": Kind(.17, (80, 130), (1900, 3300), (1.1, 1.6), .012, (95, 120), .85, (.055, .075), 1.2),
    "light": Kind(.08, (110, 170), (4500, 7500), (3.0, 4.2), .009, (82, 92), 1.0, (.06, .08), .9),
    "heavy": Kind(.10, (240, 360), (14000, 34000), (5., 6.8), .0065, (80, 87), 1.0, (.07, .10), .55),
}
LORRIES = ("heavy", "light")

# Ratings in °C as thermostats are commonly sold, from memory.
RATINGS_LORRY_C = (79, 82, 83, 85, 87)
RATINGS_OFFROAD_C = (76, 77, 80, 82, 83, 87, 88)
RATINGS_DIESEL_C = (79, 80, 82, 83, 85, 87, 88)
RATINGS_PETROL_C = (82, 83, 85, 87, 88, 89, 91, 92, 95)

# How the radiator is sized: common practice, no source. It must shed a part of the rated heat on a slow climb on a hot
# day, when the coolant may come close to its highest allowed temperature.
DESIGN_DUTY = {"heavy": .85, "light": .85, "offroad": .76, "van": .76}
DESIGN_DUTY_CAR = .66
DESIGN_AMBIENT_C = 38
DESIGN_AIR_WARMED_K = 5
DESIGN_TRANSFER_UNITS = 1.25
COOLANT_TO_AIR_SIDE = 4.5


@dataclass(frozen=True)
class Body:
    mass_kg: float
    drag_area_m2: float
    rolling_resistance: float
    motorway_kmh: tuple
    acceleration_m_per_s2: float


@dataclass(frozen=True)
class Engine:
    rated_power_kw: float
    diesel: bool
    rated_rpm: float
    idle_rpm: float
    displacement_l: float
    gears_rpm_per_kmh: tuple
    friction_bar: float
    efficiency: float
    wall_heat_share: float   # of the fuel's heat at rated power, with head and exhaust gas cooler
    rated_fuel_kw: float
    rated_coolant_heat_kw: float


@dataclass(frozen=True)
class Block:
    """The engine's iron in two lumps: the metal round the combustion, and the rest."""
    metal_kj_per_k: float
    rest_kj_per_k: float
    metal_to_rest_kw_per_k: float
    coolant_to_rest_kw_per_k: float
    to_air_kw_per_k: float
    to_air_more_per_m_per_s: float


@dataclass(frozen=True)
class Coolant:
    capacity_l: float
    jacket_kj_per_k: float
    radiator_kj_per_k: float
    lower_hose_kj_per_k: float
    rated_flow_kg_per_s: float
    metal_to_coolant_kw_per_k: float


@dataclass(frozen=True)
class Thermostat:
    rating_c: float
    range_k: float
    opens_c: float
    half_play_k: float
    lag_s: float
    inlet: bool
    closed_leak_share: float
    radiator_to_bypass: float   # conductance of the open radiator branch over that of the bypass
    bypass_closes: float        # the share of the bypass that the open valve shuts
    inlet_feels: float          # how much of an inlet valve's wax lies in the returning flow


@dataclass(frozen=True)
class Heater:
    flow_share: float
    kw_per_k: float


@dataclass(frozen=True)
class Fan:
    kind: str
    ram_share: float   # of the road speed that arrives before the core
    air_m_per_s: float
    on_c: float
    hysteresis_k: float
    clutch_on_c: float   # a clutch feels the air behind the core
    clutch_range_k: float


@dataclass(frozen=True)
class Radiator:
    face_m2: float
    air_side_kw_per_k: float
    design_air_m_per_s: float
    coolant_side_kw_per_k: float


@dataclass(frozen=True)
class Sensors:
    coolant_lag_s: float
    coolant_offset_k: float
    coolant_noise_k: float
    coolant_step_k: float
    ambient_lag_s: float
    ambient_soak_k: float
    ambient_offset_k: float
    ambient_step_k: float


@dataclass(frozen=True)
class Vehicle:
    id: str
    kind: str
    body: Body
    engine: Engine
    block: Block
    coolant: Coolant
    thermostat: Thermostat
    heater: Heater
    fan: Fan
    radiator: Radiator
    air_conditioning: bool
    turbo: bool
    sensors: Sensors
    mean_ambient_c: float

    @property
    def lorry(self):
        return self.kind in LORRIES


def draw_vehicle(rng, identity):
    shares = np.array([kind.share for kind in KINDS.values()])
    name = list(KINDS)[rng.choice(len(KINDS), p=shares / shares.sum())]
    kind = KINDS[name]
    power_kw = rng.uniform(*kind.power_kw)
    mass_kg, drag_area_m2 = rng.uniform(*kind.mass_kg), rng.uniform(*kind.drag_area_m2)
    rolling_resistance = kind.rolling_resistance * rng.uniform(.9, 1.15)
    diesel = bool(rng.random() < kind.diesel_share)
    acceleration_m_per_s2 = kind.acceleration_m_per_s2 * rng.uniform(.7, 1.1)
    body = Body(mass_kg, drag_area_m2, rolling_resistance, kind.motorway_kmh, acceleration_m_per_s2)
    engine = draw_engine(rng, name, power_kw, diesel)
    engine_kg = (48 + .60 * power_kw) * (1.25 if diesel else 1.0) if name not in LORRIES else 2.6 * power_kw
    block = draw_block(rng, engine, engine_kg)
    coolant = draw_coolant(rng, name, engine)
    thermostat = draw_thermostat(rng, name, diesel)
    heater = Heater(rng.uniform(.07, .11), rng.uniform(*kind.heater_kw_per_k))
    fan = draw_fan(rng, name, thermostat)
    return Vehicle(
        id=identity, kind=name, body=body, engine=engine, block=block, coolant=coolant, thermostat=thermostat,
        heater=heater, fan=fan, radiator=draw_radiator(rng, name, engine, thermostat, fan),
        air_conditioning=bool(rng.random() < .85), turbo=bool(diesel or rng.random() < .5), sensors=draw_sensors(rng),
        mean_ambient_c=rng.uniform(4, 21))


def draw_engine(rng, name, power_kw, diesel):
    """Speeds, size, gears and losses; from memory, no source."""
    if name == "heavy":
        rated_rpm, idle_rpm, displacement_l = rng.uniform(1800, 2100), rng.uniform(550, 650), power_kw / 27.
        gears, spread, top_rpm_per_kmh = 12, 11., rng.uniform(13.5, 16)
    elif name == "light":
        rated_rpm, idle_rpm, displacement_l = rng.uniform(2300, 2600), rng.uniform(600, 750), power_kw / 27.
        gears, spread, top_rpm_per_kmh = 6, 7., rng.uniform(17, 21)
    elif diesel:
        rated_rpm, idle_rpm = rng.uniform(3500, 4200), rng.uniform(720, 860)
        displacement_l = power_kw / rng.uniform(38, 55)
        gears, spread, top_rpm_per_kmh = int(rng.choice([5, 6])), 5.3, rng.uniform(18, 25)
    else:
        rated_rpm, idle_rpm = rng.uniform(5200, 6200), rng.uniform(680, 850)
        displacement_l = power_kw / rng.uniform(46, 70)
        gears, spread, top_rpm_per_kmh = int(rng.choice([5, 6])), 5.0, rng.uniform(22, 30)
    friction_bar = rng.uniform(1.0, 1.35) if diesel else rng.uniform(.95, 1.25)
    efficiency = rng.uniform(.44, .47) if diesel else rng.uniform(.375, .40)
    wall_heat_share = rng.uniform(.155, .185) if diesel else rng.uniform(.19, .225)
    rated_friction_kw = displacement_l * rated_rpm / 120 * friction_bar * 1.4 * .1
    rated_fuel_kw = (power_kw + rated_friction_kw) / efficiency
    return Engine(
        power_kw, diesel, rated_rpm, idle_rpm, displacement_l,
        tuple(top_rpm_per_kmh * spread ** (1 - gear / (gears - 1)) for gear in range(gears)),
        friction_bar, efficiency, wall_heat_share, rated_fuel_kw,
        wall_heat_share * rated_fuel_kw + .5 * rated_friction_kw)


def draw_block(rng, engine, engine_kg):
    """Heat capacities by the engine's weight; from memory, no source."""
    metal_kj_per_kg_k = .52 if engine.diesel else .62
    oil_kj_per_k = engine.displacement_l * 2.8 * 1.7
    to_air_kw_per_k = rng.uniform(.00009, .00016) * engine_kg + .002
    return Block(.40 * engine_kg * metal_kj_per_kg_k, .60 * engine_kg * metal_kj_per_kg_k + oil_kj_per_k,
                 .0022 * engine_kg, .0012 * engine_kg, to_air_kw_per_k, to_air_kw_per_k * rng.uniform(.03, .06))


def draw_coolant(rng, name, engine):
    """How much coolant there is and how fast it goes round; from memory, no source."""
    power_kw = engine.rated_power_kw
    if name == "heavy":
        capacity_l = rng.uniform(32, 48)
    else:
        capacity_l = (3.6 + .037 * power_kw) * rng.uniform(.85, 1.2) * (1.25 if engine.diesel else 1.)
    return Coolant(
        capacity_l,
        capacity_l * .47 * COOLANT_KJ_PER_KG_K,
        capacity_l * .30 * COOLANT_KJ_PER_KG_K + .05 * power_kw,
        capacity_l * .10 * COOLANT_KJ_PER_KG_K,
        engine.rated_coolant_heat_kw / (COOLANT_KJ_PER_KG_K * rng.uniform(6, 9.5)),
        engine.rated_coolant_heat_kw / rng.uniform(20, 32))


def draw_thermostat(rng, name, diesel):
    """A wax valve as sold, with its scatter; common practice, no source."""
    if name in LORRIES:
        ratings_c = RATINGS_LORRY_C
    elif name == "offroad":
        ratings_c = RATINGS_OFFROAD_C
    else:
        ratings_c = RATINGS_DIESEL_C if diesel else RATINGS_PETROL_C
    rating_c = float(rng.choice(ratings_c))
    range_k = rng.uniform(10.5, 14)
    opens_c = rating_c + float(np.clip(rng.normal(0, .9), -2, 2))
    half_play_k, lag_s = rng.uniform(.5, 1.4), rng.uniform(6, 15)
    inlet = bool(rng.random() < .38)
    return Thermostat(
        rating_c, range_k, opens_c, half_play_k, lag_s, inlet, closed_leak_share=rng.uniform(.002, .008),
        radiator_to_bypass=rng.uniform(1.5, 2.6), bypass_closes=1.0 if inlet else float(rng.choice([1., .75, .4])),
        inlet_feels=rng.uniform(.72, .88))


def draw_fan(rng, name, thermostat):
    """The fan and when it cuts in; common practice, no source."""
    if name in ("small", "car"):
        kind = "electric"
    elif name == "van":
        kind = str(rng.choice(["electric", "viscous"], p=[.7, .3]))
    elif name == "offroad":
        kind = str(rng.choice(["viscous", "electric", "fixed"], p=[.65, .25, .1]))
    else:
        kind = "viscous"
    # An inlet valve holds the engine's outlet hotter, so the fan has to wait longer.
    return Fan(
        kind, ram_share=rng.uniform(.14, .21),
        air_m_per_s=rng.uniform(2.3, 3.1) if kind == "electric" else rng.uniform(5., 6.8),
        on_c=thermostat.rating_c + rng.uniform(10.5, 14.5) + (4 if thermostat.inlet else 0),
        hysteresis_k=rng.uniform(4, 6.5),
        clutch_on_c=16 + .58 * (thermostat.rating_c - 10) + rng.uniform(-3, 3) + (2 if thermostat.inlet else 0),
        clutch_range_k=rng.uniform(8, 14))


def draw_radiator(rng, name, engine, thermostat, fan):
    """As big as its design case asks, with a margin."""
    ram_m_per_s = fan.ram_share * (9.7 if name == "heavy" else 15.5)
    fan_m_per_s = fan.air_m_per_s * (1 if fan.kind == "electric" else .58)
    air_m_per_s = (ram_m_per_s ** 2 + fan_m_per_s ** 2) ** .5
    hottest_c = min(106., thermostat.rating_c + 21)
    duty = DESIGN_DUTY.get(name, DESIGN_DUTY_CAR)
    need_kw_per_k = (duty * engine.rated_coolant_heat_kw / (hottest_c - DESIGN_AMBIENT_C - DESIGN_AIR_WARMED_K)
                     * rng.uniform(1.0, 1.25))
    both_sides = 1 / (1 / DESIGN_TRANSFER_UNITS + 1 / (DESIGN_TRANSFER_UNITS * COOLANT_TO_AIR_SIDE))
    face_m2 = need_kw_per_k / (1.12 * air_m_per_s * 1.006 * (1 - np.exp(-both_sides)) * .93)
    air_side_kw_per_k = DESIGN_TRANSFER_UNITS * 1.12 * air_m_per_s * face_m2 * 1.006
    return Radiator(face_m2, air_side_kw_per_k, air_m_per_s, air_side_kw_per_k * COOLANT_TO_AIR_SIDE)


def draw_sensors(rng):
    """Lag, offset, noise and resolution of what the logger reads; from memory, no source."""
    return Sensors(
        coolant_lag_s=rng.uniform(3, 10), coolant_offset_k=float(np.clip(rng.normal(0, .7), -1.5, 1.5)),
        coolant_noise_k=rng.uniform(.03, .2), coolant_step_k=float(rng.choice([.1, .5, 1., 1.])),
        ambient_lag_s=rng.uniform(50, 180), ambient_soak_k=rng.uniform(4, 14), ambient_offset_k=rng.uniform(-1, 1),
        ambient_step_k=float(rng.choice([.5, 1.])))


def profile(vehicle):
    """What an owner can know of the vehicle, as a `coolband.vehicle/1` document: nothing that was drawn in secret."""
    engine, thermostat = vehicle.engine, vehicle.thermostat
    return {
        "schema": "coolband.vehicle/1",
        "id": vehicle.id,
        "label": "invented " + vehicle.kind,
        "engine": {
            "fuel": "diesel" if engine.diesel else "petrol",
            "displacement_l": round(engine.displacement_l, 1),
            "rated_power_kw": round(engine.rated_power_kw),
        },
        "thermostat": {
            "opens_c": thermostat.rating_c,
            "full_open_c": thermostat.rating_c + 12,
            "position": "inlet" if thermostat.inlet else "outlet",
            "kind": "wax",
        },
        "cooling": {
            "capacity_l": round(vehicle.coolant.capacity_l, 1),
            "cap_kpa": 110,
            "glycol": "ethylene",
            "concentration_vol_pct": 50,
            "fan": vehicle.fan.kind,
        },
    }
