# SPDX-License-Identifier: Apache-2.0
"""The cooling circuit of all lanes, step by step: heat from the engine, flow, air, valve, radiator, heater, block.

Heat capacities and conductances come with the vehicle; every other factor here is from memory, no source. What changes
slowly is settled once a second, the temperatures in quarters of it, the cooling air in halves. Within a quarter each
part sees what the parts before it have just become, so their order is part of the data.
"""
from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np

from powertrain import Powertrain
from vehicles import COOLANT_KJ_PER_KG_K

STEP_S = 0.25
STEPS_A_SECOND = 4
RADIATOR_CELLS = 3
WIDEST_MOVE = .9   # of a cell's content in a step, lest the explicit scheme rings


@dataclass
class Course:
    """By second and lane. Single precision where nothing but a rounded log is made of it."""
    coolant_c: np.ndarray
    metal_c: np.ndarray
    ambient_c: np.ndarray
    load_pct: np.ndarray
    rpm: np.ndarray
    speed_kmh: np.ndarray
    running: np.ndarray
    burst: np.ndarray


def simulate(lanes):
    motion = Powertrain(lanes).run()
    single = [np.zeros((lanes.seconds, lanes.count), np.float32) for _ in range(4)]
    course = Course(*single, motion.rpm, motion.speed_m_per_s * 3.6, lanes.running, lanes.burst)
    circuit = Circuit(lanes, motion)
    for second in range(lanes.seconds):
        now = circuit.pass_second(second)
        course.coolant_c[second] = circuit.jacket_c
        course.metal_c[second] = circuit.metal_c
        course.ambient_c[second] = now.ambient_c
        course.load_pct[second] = now.load_pct
    return course


class Circuit:
    """Temperatures and positions of every lane; `now` holds what is settled for the second that runs."""

    def __init__(self, lanes, motion):
        self.lanes = lanes
        self.motion = motion
        start_c, ambient_c = lanes.drive.start_c, lanes.drive.ambient_c
        self.jacket_c = start_c.copy()
        self.metal_c = start_c.copy()
        self.rest_c = start_c.copy()   # of the block
        # A radiator cools faster than the engine behind it.
        radiator_c = np.where(lanes.drive.warm_start, ambient_c + .35 * (start_c - ambient_c), start_c)
        self.radiator_c = [radiator_c] * RADIATOR_CELLS
        self.lower_hose_c = radiator_c.copy()
        self.wax_c = start_c.copy()
        self.wax_after_play_c = start_c.copy()
        self.cabin_c = ambient_c.copy()
        self.opening = np.zeros(lanes.count)
        self.fan_stage = np.zeros(lanes.count)
        self.clutch_grip = np.full(lanes.count, .2)
        self.radiator_effect = np.full(lanes.count, .6)

    def pass_second(self, second):
        now = self._conditions(second)
        self._engine_heat(now)
        self._flow(now)
        self._air_before_core(now)
        for step in range(STEPS_A_SECOND):
            if step % 2 == 0:
                self._fan(now)
                self._air_through_core(now)
            self._thermostat(now)
            self._radiator(now)
            self._heater(now)
            self._engine_side(now)
        return now

    def _conditions(self, second):
        lanes, motion = self.lanes, self.motion
        active = second >= lanes.fault.onset_s
        return SimpleNamespace(
            active=active, running=lanes.running[second], burst=lanes.burst[second] * active,
            seized=lanes.seized[second] & active,
            ambient_c=lanes.drive.ambient_c + lanes.drive.ambient_trend_k_per_s * second,
            rpm=motion.rpm[second], rpm_share=motion.rpm[second] / lanes.engine.rated_rpm,
            speed_m_per_s=motion.speed_m_per_s[second], brake_kw=motion.brake_kw[second],
            fuel_cut=motion.fuel_cut[second], full_load_kw=motion.full_load_kw[second])

    def _engine_heat(self, now):
        """Fuel from brake power and losses, wall heat from fuel; also the load a control unit would report."""
        lanes, engine, rated_kw = self.lanes, self.lanes.engine, self.lanes.engine.rated_power_kw
        cold_oil = 1 + 1.1 * np.exp(-(self.rest_c + 10) / 30)
        now.load = np.clip(now.brake_kw / now.full_load_kw, 0, 1)
        friction_kw = (engine.displacement_l * now.rpm / 120 * .1 * engine.friction_bar * (.85 + .55 * now.rpm_share)
                       * cold_oil)
        throttling_kw = np.where(engine.diesel, 0, engine.displacement_l * now.rpm / 120 * .1 * .55 * (1 - now.load))
        fan_kw = np.where(lanes.electric_fan, 0,
                          .035 * rated_kw * np.minimum(1.3, now.rpm_share) ** 3 * self.clutch_grip)
        auxiliaries_kw = np.where(
            now.running, .006 * rated_kw + .25 + lanes.drive.air_conditioning_on * (.9 + .008 * rated_kw) + fan_kw, 0)
        indicated_kw = np.where(now.fuel_cut, 0, now.brake_kw + auxiliaries_kw + friction_kw + throttling_kw
                                ) * now.running
        enrichment = 1 + np.where(engine.diesel, .05, .15) * np.clip((50 - self.jacket_c) / 60, 0, 1.3)
        fuel_kw = indicated_kw / engine.efficiency * enrichment
        fuel_share = np.clip(fuel_kw / engine.rated_fuel_kw, .008, 1.1)
        # Part load and cold walls both take a greater share of the fuel's heat.
        wall_kw = (engine.wall_heat_share * fuel_share ** -.12 * fuel_kw
                   * (1 + .18 * np.clip((90 - self.metal_c) / 90, 0, 1.3)))
        now.metal_kw = wall_kw + .35 * friction_kw * np.where(now.fuel_cut, .6, 1)
        now.rest_kw = .35 * friction_kw + .03 * fuel_kw
        gross = (now.brake_kw + auxiliaries_kw + friction_kw + .5 * throttling_kw) / (now.full_load_kw + friction_kw)
        now.load_pct = np.where(now.running & ~now.fuel_cut, np.clip(100 * gross, 0, 100), 0)

    def _flow(self, now):
        """What the pump moves, less what a worn pump, a burst of air or a low level takes away."""
        fault, rated = self.lanes.fault, self.lanes.coolant.rated_flow_kg_per_s
        at_speed = fault.flow_loss + (fault.flow_loss_at_speed - fault.flow_loss) * np.clip(
            (now.rpm_share - .25) / .25, 0, 1)
        loss = np.where(fault.flow_loss_at_speed > 0, at_speed, fault.flow_loss)
        left = 1 - now.active * np.clip(loss, 0, .95)
        flow = (rated * np.minimum(now.rpm_share, 1.1) * left * (1 - .92 * now.burst)
                * (1 - .12 * now.active * fault.air))
        now.flow_kg_per_s = np.maximum(flow, .006 * rated)   # convection when the pump stands
        now.heater_kg_per_s = self.lanes.heater.flow_share * now.flow_kg_per_s

    def _air_before_core(self, now):
        """Air by the road, how warm it arrives, and how warm it is under the bonnet; and what the cabin asks for."""
        lanes, drive, speed = self.lanes, self.lanes.drive, now.speed_m_per_s
        now.ram_m_per_s = lanes.fan.ram_share * np.maximum(0, speed + drive.wind_m_per_s * (speed > 1))
        hot_block = np.clip((self.rest_c - now.ambient_c) / 70, 0, 1)
        now.bonnet_c = now.ambient_c + np.where(now.running, 6, 2) + 18 * np.exp(-speed / 4) * hot_block
        fan_works = self.fan_stage + self.clutch_grip > .4
        # At rest the engine's own warm air comes back, less so with a fan at work.
        now.front_c = (now.ambient_c + drive.air_conditioning_on * (2.5 + 2 * np.exp(-speed / 5))
                       + 2.5 * np.exp(-speed / 3) * fan_works + np.where(lanes.vehicle.turbo, 6 * now.load, 0)
                       + np.where(fan_works, 1.5, 7 * hot_block) * np.exp(-speed / 3))
        now.block_to_air_kw_per_k = lanes.block.to_air_kw_per_k + lanes.block.to_air_more_per_m_per_s * speed
        now.cabin_demand = (np.clip((drive.comfort_c - self.cabin_c) / 7, 0, 1) * drive.blower * now.running
                            * (now.ambient_c < 19))

    def _fan(self, now):
        """Two stages by the coolant for an electric fan; a clutch feels the air behind the core."""
        lanes, fan, fault, coolant_c = self.lanes, self.lanes.fan, self.lanes.fault, self.jacket_c
        falling = np.where(self.fan_stage > .9, np.where(coolant_c < fan.on_c, .65, 1.), self.fan_stage)
        falling = np.where(coolant_c < fan.on_c - fan.hysteresis_k, 0, falling)
        self.fan_stage = np.where(coolant_c > fan.on_c + 4, 1.,
                                  np.where(coolant_c > fan.on_c, np.maximum(self.fan_stage, .65), falling))
        electric = np.maximum(self.fan_stage, .55 * lanes.drive.air_conditioning_on) * now.running
        electric_left = np.where(now.active, fault.fan_share, 1.)
        behind_c = now.front_c + self.radiator_effect * (np.mean(self.radiator_c, 0) - now.front_c)
        wanted_grip = np.clip(.22 + .68 * (behind_c - fan.clutch_on_c) / fan.clutch_range_k, .22, .90)
        self.clutch_grip = self.clutch_grip + (np.where(lanes.viscous_fan, wanted_grip, 1.0)
                                               - self.clutch_grip) * .5 / 25
        worn_clutch = np.minimum(self.clutch_grip, .12 + .5 * fault.fan_share)
        driven = np.where(lanes.viscous_fan,
                          np.where(now.active & (fault.fan_share < 1), worn_clutch, self.clutch_grip),
                          np.where(now.active, fault.fan_share, 1))
        now.fan_m_per_s = np.where(lanes.electric_fan, fan.air_m_per_s * electric * electric_left,
                                   fan.air_m_per_s * np.minimum(now.rpm_share, 1.) * driven)
        now.fan_in_the_way = np.where(lanes.electric_fan & (electric * electric_left < .1), .93, 1)

    def _air_through_core(self, now):
        radiator = self.lanes.radiator
        free = np.where(now.active, 1 - self.lanes.fault.air_side_blocked, 1.)
        unblocked_m_per_s = np.sqrt((now.ram_m_per_s * now.fan_in_the_way) ** 2 + now.fan_m_per_s ** 2 + .09 ** 2)
        air_m_per_s = unblocked_m_per_s * free ** .6
        now.air_kw_per_k = 1.12 * radiator.face_m2 * free ** .7 * air_m_per_s * 1.006
        now.air_side_kw_per_k = (radiator.air_side_kw_per_k * (air_m_per_s / radiator.design_air_m_per_s) ** .62
                                 * free ** .7)

    def _thermostat(self, now):
        """The wax follows its bath with a lag, the valve follows the wax with play; then what the fault makes of it."""
        thermostat, fault, active = self.lanes.thermostat, self.lanes.fault, now.active
        half_play_k = thermostat.half_play_k + active * fault.more_half_play_k
        self.wax_after_play_c = np.clip(self.wax_after_play_c, self.wax_c - half_play_k, self.wax_c + half_play_k)
        above_k = self.wax_after_play_c + thermostat.half_play_k - thermostat.opens_c - active * fault.opens_later_k
        stroke = np.clip(above_k / thermostat.range_k, 0, 1)
        opening = stroke * stroke * (1.6 - .6 * stroke) * .55 + .45 * stroke
        opening = np.where(now.seized, self.opening, opening)
        opening = np.where(active, np.minimum(np.maximum(opening, fault.valve_least), fault.valve_most), opening)
        self.opening = np.where(active & (fault.valve_fixed >= 0), fault.valve_fixed, opening)
        blocked = fault.coolant_side_blocked
        radiator_to_bypass = thermostat.radiator_to_bypass * np.where(active, (1 - blocked) ** 1.3, 1)
        share = radiator_to_bypass * self.opening / (
            radiator_to_bypass * self.opening + 1 - thermostat.bypass_closes * self.opening)
        share = np.maximum(share, thermostat.closed_leak_share + active * fault.leak_share * (1 - self.opening))
        now.radiator_kg_per_s = ((now.flow_kg_per_s - now.heater_kg_per_s) * share
                                 * np.where(active, 1 - .35 * blocked * self.opening, 1))

    def _radiator(self, now):
        """Cells in a row in the coolant's way, then the lower hose."""
        fault, coolant, radiator = self.lanes.fault, self.lanes.coolant, self.lanes.radiator
        flow_share = np.maximum(now.radiator_kg_per_s / coolant.rated_flow_kg_per_s, 1e-4)
        coolant_side_kw_per_k = (radiator.coolant_side_kw_per_k
                                 * np.where(now.active, 1 - fault.coolant_side_blocked, 1) * flow_share ** .7)
        left = np.where(now.active, (1 - .8 * fault.coolant_side_blocked) * (1 - .3 * fault.air), 1)
        both_sides_kw_per_k = left / (1 / now.air_side_kw_per_k + 1 / coolant_side_kw_per_k)
        self.radiator_effect = 1 - np.exp(-both_sides_kw_per_k / now.air_kw_per_k)
        cell_to_air_kw_per_k = now.air_kw_per_k * self.radiator_effect / RADIATOR_CELLS
        cell_kj_per_k = coolant.radiator_kj_per_k / RADIATOR_CELLS
        moved = np.minimum(now.radiator_kg_per_s * COOLANT_KJ_PER_KG_K * STEP_S / cell_kj_per_k, WIDEST_MOVE)
        before = [self.jacket_c, *self.radiator_c]
        self.radiator_c = [
            cell_c + moved * (upstream_c - cell_c)
            - cell_to_air_kw_per_k * STEP_S / cell_kj_per_k * (cell_c - now.front_c)
            for upstream_c, cell_c in zip(before, self.radiator_c)]
        hose_kj_per_k = coolant.lower_hose_kj_per_k
        moved = np.minimum(now.radiator_kg_per_s * COOLANT_KJ_PER_KG_K * STEP_S / hose_kj_per_k, WIDEST_MOVE)
        self.lower_hose_c = (self.lower_hose_c + moved * (self.radiator_c[-1] - self.lower_hose_c)
                             - .0015 * STEP_S / hose_kj_per_k * (self.lower_hose_c - now.bonnet_c))

    def _heater(self, now):
        """Heat into the cabin, never more than the flow carries."""
        rated_kg_per_s = self.lanes.coolant.rated_flow_kg_per_s
        heater_kw_per_k = (self.lanes.heater.kw_per_k * now.cabin_demand
                           * np.minimum(1, (now.flow_kg_per_s / (.2 * rated_kg_per_s)) ** .4)
                           * (1 - .7 * now.burst))
        heat_kw = heater_kw_per_k * (self.jacket_c - (now.ambient_c * .5 + self.cabin_c * .5))
        heat_kw = np.maximum(heat_kw, 0)
        now.heater_kw = np.minimum(heat_kw, .8 * now.heater_kg_per_s * COOLANT_KJ_PER_KG_K
                                   * np.maximum(self.jacket_c - now.ambient_c, 0))

    def _engine_side(self, now):
        """Jacket, wax, metal, the rest of the block and the cabin, each from what the others were before the step."""
        lanes, coolant, block, flow = self.lanes, self.lanes.coolant, self.lanes.block, now.flow_kg_per_s
        flow_share = flow / coolant.rated_flow_kg_per_s
        jacket_c, metal_c, rest_c = self.jacket_c, self.metal_c, self.rest_c
        inlet_c = (jacket_c + (now.radiator_kg_per_s * (self.lower_hose_c - jacket_c)) / flow
                   - now.heater_kw / (flow * COOLANT_KJ_PER_KG_K))
        metal_to_coolant_kw_per_k = (coolant.metal_to_coolant_kw_per_k * np.maximum(flow_share, .03) ** .45
                                     * (1 - .5 * now.burst))
        metal_to_jacket_kw = metal_to_coolant_kw_per_k * (metal_c - jacket_c)
        metal_to_rest_kw = block.metal_to_rest_kw_per_k * (metal_c - rest_c)
        jacket_to_rest_kw = block.coolant_to_rest_kw_per_k * (jacket_c - rest_c)
        lost_kw = now.block_to_air_kw_per_k * (rest_c - now.bonnet_c)
        jacket_kj_per_k = coolant.jacket_kj_per_k * np.where(now.active, 1 - .35 * lanes.fault.air, 1)
        jacket_rise_k = (
            np.clip(flow * COOLANT_KJ_PER_KG_K * STEP_S / jacket_kj_per_k, 0, WIDEST_MOVE) * (inlet_c - jacket_c)
            + STEP_S / jacket_kj_per_k * (metal_to_jacket_kw - jacket_to_rest_kw)
            - STEP_S / jacket_kj_per_k * .15 * now.block_to_air_kw_per_k * (jacket_c - now.bonnet_c))
        self._wax(now, inlet_c, flow_share)
        self.jacket_c = jacket_c + jacket_rise_k
        self.metal_c = metal_c + STEP_S / block.metal_kj_per_k * (now.metal_kw - metal_to_jacket_kw - metal_to_rest_kw)
        self.rest_c = rest_c + STEP_S / block.rest_kj_per_k * (now.rest_kw + metal_to_rest_kw + jacket_to_rest_kw
                                                               - lost_kw)
        cabin_kj_per_k = 22 + .02 * lanes.engine.rated_power_kw
        self.cabin_c = self.cabin_c + STEP_S / cabin_kj_per_k * (
            .6 * now.heater_kw - .045 * (self.cabin_c - now.ambient_c))

    def _wax(self, now, inlet_c, flow_share):
        """An outlet valve lies in the jacket's water, an inlet valve mostly in what comes back."""
        thermostat = self.lanes.thermostat
        mixed_c = thermostat.inlet_feels * inlet_c + (1 - thermostat.inlet_feels) * self.jacket_c
        bath_c = np.where(thermostat.inlet, mixed_c, self.jacket_c)
        lag_s = (thermostat.lag_s * np.where(now.active, self.lanes.fault.lag_factor, 1)
                 * np.clip((.35 / np.maximum(flow_share, .02)) ** .35, .75, 4))
        self.wax_c = self.wax_c + STEP_S / lag_s * (bath_c - self.wax_c)
