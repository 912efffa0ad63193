"""The twin: one door cycle and its three closing forces, calculated a second time from the same equations.

    python twin.py RESOLVED.json [--json] [--gaps 0.05,0.3,0.5] [--rtol 1e-9]

RESOLVED.json is what `tautleaf resolve FILE --json` prints. Written from the equations, not from the program, and
integrated by SciPy's DOP853 with located events at a relative tolerance of 1e-9, so that an error of either side
shows as a difference. SI units; one cycle takes some tens of seconds.

Covered: one leaf away and towards, bi-parting; belt, pulleys, gear, motor, controller, obstruction, seals, stops,
listed forces, hangers, uneven rails, floor guide, obstacles that stand fast, float or are pushed along, force test,
battery and limited supplies, warmth of the motor, partial opening, a broken beam, presence, opening again.
Cycle: open command at tick 0, close command hold_open_s after arrival, end 1 s after arrival closed.
"""

import argparse
import json
import math
import sys

import thermal
from controller import Controller
from door import Door, NotCovered
from plant import Contact, Plant
from simulation import Crossings, Extremes, Simulation

CLEAR = 0.005  # m; open and closed are reached within this
AFTER_CLOSED_S = 1.0
LONGEST_RUN_S = 600.0
GAPS_M = (0.05, 0.3, 0.5)
SAME_TIME = 1e-9
WARM_FROM_C = 60.0  # from here on the cycle is run again with a warm motor


def run_cycle(door, gaps=(), make_plant=Plant):
    """One whole cycle. Returns the simulation, its extremes and a fork at each gap passed while closing."""
    o = door.parameters["obstacle"]
    obstacle = o and Contact(o["gap_m"], o["stiffness_n_per_m"], o["stays_s"], o["mass_kg"],
                             max(0.0, o["gap_m"] - o["depth_m"]))
    sim = Simulation(door, obstacle, make_plant)
    extremes, crossings = Extremes(sim), Crossings(sim, gaps)
    sim.watchers = [extremes, crossings]
    sim.tick(before=lambda t: sim.controller.command(t, 1, "open"))
    c = sim.controller
    while True:
        t = sim.plant.t
        ended = c.state in ("closed", "stopped")
        since = c.t_arrival if c.state == "closed" else c.t_command
        if ended and t - since >= AFTER_CLOSED_S - SAME_TIME:
            break
        if t > LONGEST_RUN_S:
            raise RuntimeError(f"the door did not come to rest within {LONGEST_RUN_S} s")
        sim.tick()
    sim.sample(sim.plant.t)
    return sim, extremes, crossings.forks


def crossing_time(times, openings, level, start, rising):
    """Interpolated instant from tick `start` on at which the opening passes `level`; None if it never does."""
    sign = 1.0 if rising else -1.0
    for k in range(start, len(times)):
        if sign * (openings[k] - level) >= 0.0:
            if k == start:
                return times[k]
            before, after = openings[k - 1], openings[k]
            return times[k - 1] + (times[k] - times[k - 1]) * (level - before) / (after - before)
    return None


def least_time_over(times, openings, stretch):
    """Shortest time in which the opening falls by `stretch`, both ends interpolated between ticks; None if never."""
    best, k = None, 0
    n = len(times)

    def instant(level, k):
        """When the opening falls to `level`, and from which tick it is under it."""
        while k < n and openings[k] > level:
            k += 1
        if k >= n:
            return None, k
        if k == 0 or openings[k - 1] == openings[k]:
            return times[k], k
        part = (openings[k - 1] - level) / (openings[k - 1] - openings[k])
        return times[k - 1] + part * (times[k] - times[k - 1]), k

    levels = sorted({w for w in openings} | {w + stretch for w in openings}, reverse=True)
    k0 = k1 = 0
    for level in levels:
        if level > openings[0]:
            continue
        start, k0 = instant(level, k0)
        end, k1 = instant(level - stretch, k1)
        if end is None:
            break
        best = end - start if best is None else min(best, end - start)
    return best


def cycle_figures(door, sim, extremes):
    """The figures of a cycle, by name with the unit in each."""
    s, p = sim.samples, door.parameters
    times, w = s["t_s"], s["clear_opening_m"]
    tick = p["controller"]["tick_s"]
    commands = {e["what"]: e["t_s"] for e in sim.controller.log}
    f = {"opening_time_s": crossing_time(times, w, door.full - CLEAR, 0, True)}
    if "close" in commands:
        start = round(commands["close"] / tick)
        end = crossing_time(times, w, CLEAR, start, False)
        f["closing_time_s"] = None if end is None else end - commands["close"]
        f["closing_least_time_90pct_s"] = least_time_over(times[start:], w[start:], 0.9 * door.full)
    f["top_speed_opening_m_per_s"], f["top_speed_closing_m_per_s"] = extremes.top_speed[1], extremes.top_speed[-1]
    for name, record in (("leaf", extremes.leaf_energy), ("leaves", extremes.all_leaves_energy),
                         ("coupled", extremes.coupled_energy)):
        f[f"peak_energy_{name}_opening_j"], f[f"peak_energy_{name}_closing_j"] = record[1][0], record[-1][0]
        f[f"peak_energy_{name}_j"] = max(record[1][0], record[-1][0])
    f["least_strand_tension_n"], f["greatest_strand_tension_n"] = min(extremes.least), max(extremes.greatest)
    loads = [load for row in s["hanger_loads_n"] for load in row]
    f["least_hanger_load_n"], f["greatest_hanger_load_n"] = min(loads), max(loads)
    f["wheel_lift_time_s"] = extremes.lift_time
    f["slack_time_s"] = extremes.any_slack_time
    f["slack_time_of_each_s"] = extremes.slack_time
    f["peak_current_a"] = extremes.peak_current
    f.update(energy_figures(door, sim))
    return f


def energy_figures(door, sim):
    """Over the whole period: the cycle, then standing closed under the press current until the next one.
    A door that was stopped on its way, or that takes longer than its period, has no whole period. Where the period
    ends within the second after arrival, standing that was run beyond it is taken off again."""
    p = door.parameters
    period = 3600.0 / p["duty"]["cycles_per_hour"]
    if sim.controller.state != "closed" or period < sim.controller.t_arrival:
        return {}
    net, drawn, i2 = (sim.samples[name][-1] for name in ("energy_j", "drawn_j", "i2_a2_s"))
    rest = period - sim.plant.t
    voltage = max(-sim.supply.voltage, -door.r25 * p["controller"]["press_current_a"])
    current = voltage / door.resistance
    found = {"energy_per_cycle_j": net + voltage * current * rest,
             "energy_drawn_per_cycle_j": drawn + voltage * current * rest,
             "rms_current_a": math.sqrt(max(0.0, i2 + current**2 * rest) / period)}
    if sim.supply.moves:
        found["least_bus_voltage_v"], found["greatest_bus_voltage_v"] = sim.supply.least, sim.supply.greatest
    if sim.supply.battery and p["supply"]["capacity_a_s"]:
        from_the_battery = sim.supply.net + sim.supply.from_the_source(voltage * current) * rest
        found["battery_cycles"] = p["supply"]["capacity_a_s"] / (from_the_battery / sim.supply.own)
    return found | thermal.figures(door, sim.samples["t_s"], sim.samples["i2_a2_s"], current)


def stall_force(door, gap):
    """Greatest 50 ms mean within 2 s of a closing command from rest on the tester, no reaction, N."""
    each = gap / len(door.leaves)
    sim = Simulation(door)
    sim.plant.place(each)
    sim.plant.contact = Contact(gap, door.parameters["tester"]["stiffness_n_per_m"])
    sim.plant.contact.touched_at = 0.0
    sim.controller = Controller(door, each)
    sim.controller.react = False
    tick = door.parameters["controller"]["tick_s"]
    ticks, window = round(2.0 / tick), max(1, round(0.05 / tick))
    sim.tick(before=lambda t: sim.controller.command(t, -1, "close"))
    while sim.k < ticks:
        sim.tick()
    sim.sample(sim.plant.t)
    impulse = sim.samples["contact_impulse_n_s"]
    return max((b - a) / (window * tick) for a, b in zip(impulse, impulse[window:]))


def impact_forces(door, gap, fork):
    """Impact, residual and time above 150 N from the moment of touching, reaction as set."""
    t_touch, sim = fork
    plant = sim.plant
    plant.contact = Contact(gap, door.parameters["tester"]["stiffness_n_per_m"])
    plant.contact.touched_at = t_touch
    start = plant.y[2 * plant.n + 2]
    trace = [(0.0, 0.0, 0.0)]  # since touching, force, impulse

    def watch(t0, y0, t1, y1, at):
        trace.append((t1 - t_touch, plant.contact_force(y1)[0], y1[2 * plant.n + 2] - start))

    sim.watchers = [watch]
    sim.finish_tick()
    while plant.t < t_touch + 5.0:
        sim.tick()
    above = 0.0
    for (t0, f0, _), (t1, f1, _) in zip(trace, trace[1:]):
        above += part_above(f0, f1, 150.0) * max(0.0, min(t1, 5.0) - t0)
    return {"impact_force_n": max(f for t, f, _ in trace if t <= 0.75),
            "residual_force_n": (impulse_at(trace, 5.0) - impulse_at(trace, 4.95)) / 0.05,
            "time_above_150n_s": above,
            "touched_at_s": t_touch,
            "speed_at_touch_m_per_s": sim.speed_at_touch}


def part_above(a, b, level):
    """Share of a straight line from a to b that is above the level."""
    if a > level and b > level:
        return 1.0
    if a <= level and b <= level:
        return 0.0
    return (max(a, b) - level) / abs(a - b)


def impulse_at(trace, t):
    for (t0, _, j0), (t1, _, j1) in zip(trace, trace[1:]):
        if t0 <= t <= t1 and t1 > t0:
            return j0 + (j1 - j0) * (t - t0) / (t1 - t0)
    raise ValueError(f"the run ends before {t} s after touching")


def force_figures(door, gaps, forks):
    """The three forces at each gap; impact values are missing where the closing run never passes the gap."""
    out = []
    for gap in gaps:
        entry = {"gap_m": gap, "stall_force_n": stall_force(door, gap)}
        if gap in forks:
            t, sim = forks[gap]
            n = door.n
            sim.speed_at_touch = sum(sim.plant.y[n + b] for b in door.leaves)
            entry.update(impact_forces(door, gap, (t, sim)))
        out.append(entry)
    return out


def warm_figures(parameters, gaps, winding_c):
    """The same cycle and its stall forces with winding and magnet at this temperature."""
    warm = json.loads(json.dumps(parameters))
    warm["motor"]["winding_temperature_c"] = winding_c
    door = Door(warm)
    sim, extremes, _ = run_cycle(door)
    figures = cycle_figures(door, sim, extremes)
    return {"stall_force_n": max(stall_force(door, gap) for gap in gaps),
            "peak_energy_coupled_closing_j": figures["peak_energy_coupled_closing_j"],
            "closing_time_s": figures["closing_time_s"]}


def run(parameters, gaps=GAPS_M):
    """Everything: samples at every tick, figures, phases."""
    door = Door(parameters)
    gaps = [g for g in gaps if g < door.full]
    sim, extremes, forks = run_cycle(door, gaps)
    figures = cycle_figures(door, sim, extremes)
    figures["forces"] = force_figures(door, gaps, forks)
    warmth = figures.get("winding_temperature_c", 0.0)
    if warmth > WARM_FROM_C:
        figures["warm"] = warm_figures(parameters, gaps, warmth)
    return {"samples": sim.samples, "figures": figures, "phases": sim.controller.log}


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("resolved", help="what `tautleaf resolve FILE --json` printed")
    parser.add_argument("--json", action="store_true", help="print everything as JSON, not only the figures")
    parser.add_argument("--gaps", help="clear openings of the force test in m, comma between", default=None)
    parser.add_argument("--rtol", type=float, help="relative tolerance of the integrator", default=Plant.rtol)
    arguments = parser.parse_args()
    Plant.rtol = arguments.rtol
    with open(arguments.resolved, encoding="utf-8") as file:
        parameters = json.load(file)["parameters"]
    gaps = GAPS_M if arguments.gaps is None else [float(g) for g in arguments.gaps.split(",") if g]
    try:
        result = run(parameters, gaps)
    except NotCovered as left_out:
        sys.exit(f"not covered: {left_out}")
    if arguments.json:
        json.dump(result, sys.stdout)
    else:
        json.dump({k: result[k] for k in ("figures", "phases")}, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
