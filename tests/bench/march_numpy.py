#!/usr/bin/env python3
"""The march as a careful practitioner's notebook would have it: vans along a NumPy axis, a loop over the steps.

usage: march_numpy.py FOLDER, which bench_numpy writes: the forcing of a trip, one van, how many vans to march (they
differ in the size of battery and panels), and the charge that the library's own march gives. Prints lane-steps a second
and the greatest difference of the charge: at every step for the first van, at the end for all of them.

Double precision throughout. The current of a step is that of the voltage at its beginning, in closed form, as a
notebook would do it; the library integrates the energy between two charges.
"""
import json
import pathlib
import sys
import time

import numpy as np

NEWTON_PASSES = 3  # more change nothing that the comparison shows
DRIVEN_K = 25.0  # a compressor's condenser over the cabin


class Forcing:
    """Columns over the steps, the same for all vans."""

    def __init__(self, folder, about):
        data = np.fromfile(folder / "forcing.f64").reshape(len(about["columns"]), about["steps"])
        for name, column in zip(about["columns"], data):
            setattr(self, name, column)
        self.hours = about["hours"]
        self.steps = about["steps"]


class Vans:
    """What differs from van to van is an array, the rest plain numbers."""

    def __init__(self, van, count):
        index = np.arange(count)
        size = 0.6 + 0.8 * ((index * 7) % 1000) / 999.0
        sun = 0.5 + ((index * 13) % 1000) / 999.0
        size[0] = sun[0] = 1.0
        self.__dict__.update(van)
        self.capacity = van["rated_ah"] * van["health"] * size
        self.ohm_25 = van["resistance_ohm"] / size
        self.charge_limit = van["charge_limit_a"] * size
        self.discharge_limit = van["discharge_limit_a"] * size
        self.array_w = van["array_w"] * sun
        self.rated_ah = van["rated_ah"] * size


def lost_in_inverter(v, ac):
    return v.inverter_idle + ac * (v.inverter_linear + v.inverter_square * ac)


def fridge_power(v, cabin):
    rise = max(0.0, cabin - v.fridge_set)
    reference = v.fridge_rise * (v.fridge_rise + DRIVEN_K)
    return min(v.fridge_w * rise * (rise + DRIVEN_K) / reference, v.fridge_rated)


class March:
    def __init__(self, forcing, vans):
        self.f, self.v = forcing, vans
        self.charge = vans.start_soc * vans.capacity
        self.temperature = np.full_like(self.charge, vans.start_c)
        self.mean_current = np.zeros_like(self.charge)
        self.inverter_off = np.zeros(len(self.charge), bool)
        self.battery_off = np.zeros(len(self.charge), bool)
        # What a rehearsal tells: energies [Wh], the lowest charge, hours under the reserve line.
        names = ("served", "unserved", "spilled", "inverter_loss", "resistance_loss", "coulombic_loss", "stored", "balance")
        self.sum = {name: np.zeros_like(self.charge) for name in names}
        self.lowest = self.charge / vans.capacity
        self.under_h = np.zeros_like(self.charge)

    def account(self, house, asked, ac, runs, solar, solar_used, alternator_used, current, ohm, middle, moved):
        """The energies of the step, and what is left when sources are held against loads, losses and storage."""
        v, hours = self.v, self.f.hours
        inverter_loss = runs * lost_in_inverter(v, ac)
        served = house - inverter_loss - v.controller_self
        resistance = ohm * current * current
        stored = -middle * moved / hours
        coulombic = np.where(current < 0.0, -middle * current, 0.0) - np.maximum(0.0, stored)
        step = {"served": served, "unserved": asked - served, "spilled": solar - solar_used, "inverter_loss": inverter_loss,
                "resistance_loss": resistance, "coulombic_loss": coulombic, "stored": stored,
                "balance": solar_used + alternator_used - house - resistance - coulombic - stored}
        for name, power in step.items():
            self.sum[name] += power * hours
        soc = self.charge / v.capacity
        self.lowest = np.minimum(self.lowest, soc)
        self.under_h += np.where(soc < v.reserve, hours, 0.0)

    def ocv(self, charge):
        return self.v.units_12v * np.interp(charge / self.v.capacity, self.v.ocv_x, self.v.ocv_y)

    def accepted(self, volts, ohm, eta):
        """Greatest charging power at the terminals."""
        v, hours = self.v, self.f.hours
        target = v.absorption_v + v.absorption_per_k * (self.temperature - 25.0)
        missing = np.maximum(0.0, v.capacity - self.charge)
        # Newton, from what the whole difference of the voltages would drive.
        current = np.maximum(0.0, target - volts) / ohm
        slope_step = 1e-4 * v.capacity
        for _ in range(NEWTON_PASSES):
            after = self.charge + eta * current * hours
            here = self.ocv(after)
            slope = (self.ocv(after + slope_step) - here) / slope_step
            current = current - (here + ohm * current - target) / (slope * eta * hours + ohm)
        current = np.maximum(0.0, current)
        if v.acceptance_h > 0.0:
            current = np.minimum(current, missing / (v.acceptance_h + 0.5 * eta * hours))
        current = np.minimum(np.minimum(current, missing / (eta * hours)), v.charge_limit)
        cold = (self.temperature - v.cold_stop) / max(v.cold_full - v.cold_stop, 0.01)
        heat = (v.hot_stop - self.temperature) / max(v.hot_stop - v.hot_full, 0.01)
        current = np.minimum(current, np.clip(np.minimum(cold, heat), 0.0, None) * v.charge_limit)
        middle = self.ocv(self.charge + 0.5 * eta * current * hours)
        return (middle + ohm * current) * current

    def given(self, volts, ohm, floor):
        """Greatest power at one moment, the same above the inverter's cut-out, and as a mean of the step."""
        v, hours = self.v, self.f.hours
        on = ~self.battery_off & (self.temperature > v.discharge_stop)
        by_house = np.maximum(0.0, volts - np.maximum(v.cut_out, 0.5 * volts)) / ohm
        by_inverter = np.maximum(0.0, volts - np.maximum(v.inverter_cut_out, 0.5 * volts)) / ohm
        rate = on * np.minimum(v.discharge_limit, by_house)
        inverter_rate = np.minimum(rate, by_inverter)
        mean = np.minimum(rate, np.maximum(0.0, self.charge - floor) / hours)
        middle = self.ocv(self.charge - 0.5 * mean * hours)
        return ((volts - ohm * rate) * rate, (volts - ohm * inverter_rate) * inverter_rate,
                (middle - ohm * mean) * mean)

    def step(self, i):
        v, f = self.v, self.f
        hours = f.hours
        draw = self.charge * v.self_discharge_per_h + v.management_w / self.ocv(self.charge)
        eta = np.interp(self.charge / v.capacity, v.eta_x, v.eta_y)
        self.charge = np.maximum(0.0, self.charge - draw * hours)
        volts = self.ocv(self.charge)
        ohm = self.ohm_at(self.temperature)
        reach = np.interp(self.temperature, v.reach_x, v.reach_y)
        ratio = np.maximum(1.0, self.mean_current / (v.rated_ah / 20.0))
        floor = v.capacity * np.maximum(0.0, 1.0 - reach * ratio ** (1.0 - v.peukert))

        best = f.yield_w[i] * (1.0 + v.array_gamma * (f.cell_c[i] - 25.0))
        solar = np.minimum(v.array_w * max(0.0, best) * v.controller_efficiency, v.controller_limit * volts)
        alternator = (f.cruise[i] * (v.cruise_w + f.engine_cold[i] * v.cruise_cold_w) +
                      f.idle[i] * (v.idle_w + f.engine_cold[i] * v.idle_cold_w))
        # At night nobody asks what would be taken.
        offered = best > 0.0 or alternator > 0.0
        accept = self.accepted(volts, ohm, eta) if offered else 0.0
        rate, inverter_rate, mean = self.given(volts, ohm, floor)
        house, ac, asked, runs, trips, empties = self.loads(i, solar + alternator, rate, inverter_rate, mean)

        wanted = house + accept
        solar_used = np.minimum(solar, wanted)
        alternator_used = np.minimum(alternator, wanted - solar_used)
        battery = house - solar_used - alternator_used
        current = (volts - np.sqrt(np.maximum(0.0, volts * volts - 4.0 * ohm * battery))) / (2.0 * ohm)
        moved = np.where(current > 0.0, current, eta * current) * hours
        # Once more with the voltage of the step's middle.
        middle = self.ocv(self.charge - 0.5 * moved)
        current = (middle - np.sqrt(np.maximum(0.0, middle * middle - 4.0 * ohm * battery))) / (2.0 * ohm)
        moved = np.where(current > 0.0, current, eta * current) * hours
        self.charge = np.clip(self.charge - moved, 0.0, v.capacity)
        self.account(house, asked, ac, runs, solar, solar_used, alternator_used, current, ohm, middle, moved)
        terminal = self.ocv(self.charge) - ohm * current
        self.mean_current += (np.maximum(0.0, current) - self.mean_current) * v.mean_current_gain
        self.inverter_off = (self.inverter_off | trips) & (terminal < v.inverter_restart)
        self.battery_off = (self.battery_off | empties) & (terminal < v.dc_restart)
        place = f.air_c[i] if v.outside else f.cabin_c[i]
        self.temperature = self.temperature + (place - self.temperature) * v.temperature_gain

    def ohm_at(self, temperature):
        return self.v.ohm_25 * np.interp(temperature, self.v.ohm_x, self.v.ohm_y)

    def loads(self, i, sources, rate, inverter_rate, mean):
        """The classes that are kept, dearest first, DC before AC; what the house side takes then."""
        v, f = self.v, self.f
        rate_w, inverter_rate_w, mean_w = sources + rate, sources + inverter_rate, sources + mean
        connected = ~self.battery_off & (rate != 0.0)
        switched_on = bool(f.inverter_on[i])
        runs = ~(self.inverter_off | self.battery_off) & switched_on
        held_back = self.charge / v.capacity < v.hold_back_below
        fridge = fridge_power(v, f.cabin_c[i])
        dc = np.full_like(rate, v.controller_self)
        dc_peak = dc.copy()
        ac = np.zeros_like(rate)
        ac_peak = np.zeros_like(rate)
        lasts = dc <= mean_w
        empties = ~lasts
        ac_open = np.ones(len(rate), bool)
        behind = np.zeros(len(rate), bool)
        asked, asked_w = False, 0.0
        for held in range(3):
            dc_asked = f.dc[held][i] + (fridge if held == v.fridge_held else 0.0)
            peak_asked = f.dc_peak[held][i] + (v.fridge_rated if fridge > 0.0 and held == v.fridge_held else 0.0)
            keep = ~held_back if held == 2 else True
            asked_w += dc_asked + f.ac[held][i]
            more = dc + dc_asked * keep
            more_peak = np.maximum(more, dc_peak + peak_asked * keep)
            power = more_peak + behind * (ac_peak + lost_in_inverter(v, ac_peak)) <= rate_w
            charge = more + behind * (ac + lost_in_inverter(v, ac)) <= mean_w
            holds = power & charge & lasts
            dc, dc_peak = np.where(holds, more, dc), np.where(holds, more_peak, dc_peak)
            lasts = lasts & (charge | (~power & connected))
            if dc_asked > 0.0 and not asked:
                empties, asked = ~lasts, True
            within = f.ac_peak[held][i] <= v.inverter_w
            share = runs & keep & within
            more = ac + f.ac[held][i] * share
            more_peak = np.maximum(more, ac_peak + f.ac_peak[held][i] * share)
            power = dc_peak + runs * (more_peak + lost_in_inverter(v, more_peak)) <= rate_w
            charge = dc + runs * (more + lost_in_inverter(v, more)) <= mean_w
            holds = power & charge & lasts & ac_open
            ac, ac_peak = np.where(holds, more, ac), np.where(holds, more_peak, ac_peak)
            behind = np.where(holds, runs, behind)
            ac_open = holds
        peak = dc_peak + behind * (ac_peak + lost_in_inverter(v, ac_peak))
        sags = behind & (peak > inverter_rate_w)
        runs = behind & ~sags
        return dc + runs * (ac + lost_in_inverter(v, ac)), ac, asked_w, runs, sags, empties


def main():
    folder = pathlib.Path(sys.argv[1])
    about = json.loads((folder / "about.json").read_text())
    forcing, vans = Forcing(folder, about), Vans(about["van"], about["lanes"])
    forcing.dc = [forcing.dc_must, forcing.dc_want, forcing.dc_wait]
    forcing.dc_peak = [forcing.dc_peak_must, forcing.dc_peak_want, forcing.dc_peak_wait]
    forcing.ac = [forcing.ac_must, forcing.ac_want, forcing.ac_wait]
    forcing.ac_peak = [forcing.ac_peak_must, forcing.ac_peak_want, forcing.ac_peak_wait]
    march = March(forcing, vans)
    first = np.empty(forcing.steps)
    begin = time.perf_counter()
    for i in range(forcing.steps):
        march.step(i)
        first[i] = march.charge[0] / march.v.capacity[0]
    took = time.perf_counter() - begin
    other_first = np.fromfile(folder / "first.f64")
    other_ends = np.fromfile(folder / "ends.f64")
    apart = np.abs(first - other_first).max()
    ends = np.abs(march.charge / march.v.capacity - other_ends)
    rate = about["lanes"] * forcing.steps / took
    print(f"{rate:.0f} {apart:.6f} {np.quantile(ends, 0.5):.6f} {ends.max():.6f}")


main()
