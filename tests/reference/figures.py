"""Figures of a run, read off its samples and its extremes."""

import math

import thermal

CLEAR = 0.005  # m; open and closed are reached within this


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
    f = {}
    if "open" in commands:
        f["opening_time_s"] = crossing_time(times, w, door.full - CLEAR, 0, True)
        f["opening_time_80pct_s"] = crossing_time(times, w, 0.8 * door.full, 0, True)
    if "close" in commands:
        start = round(commands["close"] / tick)
        end = crossing_time(times, w, CLEAR, start, False)
        f["closing_time_s"] = None if end is None else end - commands["close"]
        f["closing_least_time_90pct_s"] = least_time_over(times[start:], w[start:], 0.9 * door.full)
    # a leaf that never goes towards closed has no speed of closing, rather than none at all
    f["top_speed_opening_m_per_s"], f["top_speed_closing_m_per_s"] = extremes.top_speed[1], extremes.top_speed[-1] or None
    f["peak_energy_leaf_j"], f["peak_energy_leaves_j"] = extremes.leaf_energy, extremes.all_leaves_energy
    f["peak_energy_coupled_j"] = extremes.coupled_energy
    f["peak_energy_coupled_closing_j"] = extremes.coupled_energy_closing or None
    f["peak_energy_leaf_closing_j"] = extremes.leaf_energy_closing or None
    f["peak_energy_leaf_coupled_closing_j"] = extremes.leaf_coupled_energy_closing or None
    f["top_motor_speed_rad_per_s"], f["greatest_supply_current_a"] = extremes.motor_speed, sim.supply.most_current
    if door.motor:
        f["gear_knock_speed_m_per_s"] = sim.plant.knock
    f["least_strand_tension_n"], f["greatest_strand_tension_n"] = min(extremes.least), max(extremes.greatest)
    f["greatest_shaft_load_n"] = max(max(row[0] + row[door.ring - 1], row[door.back - 1] + row[door.back]) for row in s["tension_n"])
    loads = [load for row in s["hanger_loads_n"] for load in row]
    f["least_hanger_load_n"], f["greatest_hanger_load_n"] = min(loads), max(loads)
    f["wheel_lift_time_s"] = extremes.lift_time
    f["slack_time_s"] = extremes.any_slack_time
    f["slack_time_of_each_s"] = extremes.slack_time
    f["peak_current_a"] = extremes.peak_current
    f.update(timeline_figures(door, sim))
    f.update(energy_figures(door, sim))
    return f


def timeline_figures(door, sim):
    """What someone who walks up finds, how far a leaf goes without power or after a beam trip, what is learned."""
    s, timeline, c = sim.samples, door.parameters["timeline"], sim.controller
    times, w = s["t_s"], s["clear_opening_m"]
    f = {"stopping_distance_m": sim.worst.stopping_distance() if sim.worst else None}
    if timeline["activation_depth_m"] is not None and timeline["run"] == "cycle":
        there = max(0.0, timeline["activation_depth_m"] / timeline["person_speed_m_per_s"] - timeline["sensor_delay_s"])
        k = next((k for k, t in enumerate(times) if t > there), len(times) - 1)
        part = (there - times[k - 1]) / (times[k] - times[k - 1])
        f["opening_at_person_m"] = max(0.0, w[k - 1] + part * (w[k] - w[k - 1]))
        wide = crossing_time(times, w, timeline["shoulder_width_m"], 0, True)
        f["person_waits_s"] = None if wide is None else max(0.0, wide - there)
    lost = next((e["t_s"] for e in c.log if e["state"] == "off"), None)
    if lost is not None:
        then = round(lost / sim.tick_s)
        places = s["leaf_positions_m"]
        f["coast_distance_m"] = max(abs(last - first) for first, last in zip(places[then], places[-1]))
        if w[then] < 0.8 * door.full:
            opened = crossing_time(times, w, 0.8 * door.full, then, True)
            f["opened_without_power_s"] = None if opened is None else opened - lost
    if len(c.ends) == 2:
        f["learned_stroke_m"] = c.ends[1] - c.ends[0]
    arrived = [e["t_s"] for e in c.log if e["state"] == "open"]
    if arrived:
        until = [e["t_s"] for e in c.log if e["what"] == "close" and e["t_s"] > arrived[0]]
        f["hold_open_s"] = until[0] - arrived[0] if until else None
        motion = next((e["t_s"] for e in c.log if 0.0 < e["t_s"] and e["state"] in ("opening", "closing")), times[-1])
        furthest = max(max(row) for t, row in zip(times, s["leaf_positions_m"]) if t <= motion)
        f["overshoot_open_m"] = max(0.0, furthest - door.opens)
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
