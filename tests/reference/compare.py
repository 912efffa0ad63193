"""The program against the twin: position, tensions, current, times, energies and forces of whole door files.

    python compare.py BIN SCENARIO... [--rows]

Runs `BIN resolve SCENARIO --json` and `BIN run SCENARIO --json --csv FILE`, calculates the same door again with the
twin and lines both up at every command and every arrival. The program leaves out what happens while the door stands; only
its samples are compared. Tolerances: position 0.1 mm, tensions and current 1 % of their peaks, times 1 ms, peak
energies and forces 0.5 %. Prints one line for each door, every row that fails (`--rows`: every row) and
`N passed, M failed`; leaves with 1 if one fails.

Current: the encoder gives whole counts, so a difference of a nanometre can move a count by one tick, and one count
moves the current of that tick by (K_p + K_25 N/(r R_25)) count/(tau_f + T_s). No integrator can decide that. So the
current is asked for twice: its mean over 10 ms within 1 % of the peak, and at every tick within 1 % of the peak and
one count. A fine encoder leaves next to nothing of that count: doors/fine-encoder.toml.

Arrival: a door has arrived when the speed that the controller sees is below 5 mm/s, and one count a tick of the usual
encoder is 5 mm/s: it may dwell there for some ticks, and in which of them it arrives depends on less than a count. So the twin
is told the program's arrivals, and arrives with it where the speed that its own controller sees is within one count of
the arrival speed; else it arrives by itself, and the difference shows. doors/told-again.toml has a fine encoder, which
leaves nothing of that.

The gaps of the force test are those that the program tested. Which they should be, it finds from its closing run: in every
band that it names the twin's own closing run may nowhere be more than 0.5 % faster than at the gap that it calls the fastest.

    python compare.py BIN ../../scenarios/*.toml doors/*.toml

The files in doors/ run what the scenarios leave out: an obstacle met once and twice, stop instead of reverse, a
self-locking gear, listed forces, towards the drive on a slope, a quasi-static winding, an edge without damping, a jerk
limit, an obstacle that is pushed along, uneven rails under one leaf and under a pair, a supply at its limit.
"""

import argparse
import bisect
import csv
import itertools
import json
import math
import os
import subprocess
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor

import twin

POSITION_M, OF_PEAK, TIME_S, RELATIVE = 1e-4, 0.01, 1e-3 + 1e-9, 0.005
WARMTH_K = 0.2  # the program averages the losses over 50 ms
OF_STOPPING = 0.02  # the worst place for a beam trip is where it closes fastest, to 2 % of that speed
CURRENT_MEAN_S = 0.010
# An obstruction is seen from the tick on at which the filtered speed falls under its threshold. One count of the usual
# encoder in it is 1.25 mm/s, which at a deceleration of 0.6 m/s2 is two ticks.
COUNT_DELAYS_S = 0.002
# A run that ends stopped ends when its current has settled to 1 uA, and a last count, a tick earlier or later, fades from
# the filtered speed by a quarter each tick: from 0.2 A in about 45 ticks.
COUNT_FADES_S = 0.05
LAST_M = 0.05 + 1e-9
SMALL_J, SMALL_N = 1e-3, 0.1  # under this a relative difference says nothing

# Figures that both sides give under the same name, by tolerance.
TIMES = ("opening_time_s", "closing_time_s", "closing_least_time_90pct_s", "slack_time_s", "wheel_lift_time_s",
         "opening_time_80pct_s", "hold_open_s", "person_waits_s", "opened_without_power_s", "settling_open_s")
RELATIVES = ("top_speed_opening_m_per_s", "top_speed_closing_m_per_s", "peak_energy_leaf_j", "peak_energy_leaves_j",
             "peak_energy_coupled_j", "peak_energy_coupled_closing_j", "peak_energy_leaf_closing_j",
             "peak_energy_leaf_coupled_closing_j", "top_motor_speed_rad_per_s", "rms_current_a", "energy_per_cycle_j",
             "energy_drawn_per_cycle_j", "average_energy_closing_j", "top_speed_before_latch_check_m_per_s")
DISTANCES = ("opening_at_person_m", "coast_distance_m", "learned_stroke_m", "overshoot_open_m", "latch_check_m")
OF_PROPORTION = ("least_bus_voltage_v", "greatest_bus_voltage_v", "battery_cycles")
OF_WARMTH = ("winding_temperature_c", "housing_temperature_c", "winding_rise_k", "insulation_margin_k")
OF_LOAD = ("least_hanger_load_n", "greatest_hanger_load_n")
OF_TENSION = ("least_strand_tension_n", "greatest_strand_tension_n", "greatest_shaft_load_n")
OF_CURRENT = ("peak_current_a", "greatest_supply_current_a")
BY_HAND = ("manual_opening_force_n", "manual_opening_force_shorted_n", "drift_force_n")
OF_TWO_TENSIONS = ("peak_acceleration_m_per_s2", "peak_jerk_m_per_s3", "ratcheting_reserve")
FORCES = ("stall_force_n", "impact_force_n", "force_after_750ms_n", "residual_force_n")
CLOSED_FORM = 1e-6
STALLS = ("stall_force_settled_n", "stall_force_slow_n")
PRESSED = ("edge_travel_used",)
REAR_FIGURES = {"rear_stall_force_n": "stall_force_n", "rear_impact_force_n": "impact_force_n",
                "rear_touch_speed_m_per_s": "touch_speed_m_per_s", "rear_time_above_150n_s": "time_above_150n_s",
                "rear_residual_force_n": "residual_force_n"}
COMPARED_APART = {"stall_force_greatest_n", "time_above_150n_s", "stopping_distance_m", "gear_knock_speed_m_per_s", "edge_flat_speed_m_per_s", "stall_force_last_50mm_n"}
# What the program gives and the twin does not, with the reason.
LEFT_OUT = {"stop_speed_over_creep": "the twin follows a leaf into its stop, and notes no moment of it"}
FASTER_BY = 0.005  # share by which a band may be faster elsewhere than where the program tested it


class Table:
    """Rows of facts, how many passed, and which came nearest to its tolerance."""

    def __init__(self, title):
        self.passed = self.failed = 0
        self.title, self.rows = title, []
        self.nearest = (0.0, "nothing")

    def row(self, fact, theirs, ours, tolerance):
        if theirs is None and ours is None:
            return
        known = theirs is not None and ours is not None
        difference = ours - theirs if known else float("nan")
        self.judge(fact, theirs, ours, difference, tolerance)

    def judge(self, fact, theirs, ours, difference, tolerance):
        ok = abs(difference) <= tolerance  # false for nan
        self.passed, self.failed = self.passed + ok, self.failed + (not ok)
        if ok and tolerance > 0.0:
            self.nearest = max(self.nearest, (abs(difference) / tolerance, fact))
        shown = ["-" if x is None else f"{x:.6g}" for x in (theirs, ours)]
        self.rows.append((ok, f"  {fact:44s} {shown[0]:>13s} {shown[1]:>13s} {difference:11.3g} {tolerance:10.3g}  "
                              f"{'ok' if ok else 'FAIL'}"))

    def text(self, every_row):
        share, fact = self.nearest
        lines = [f"{self.title}: {self.passed} passed, {self.failed} failed; nearest to its tolerance, "
                 f"{100 * share:.0f} % of it: {fact}"]
        shown = [text for ok, text in self.rows if every_row or not ok]
        if shown:
            lines.append(f"  {'fact':44s} {'twin':>13s} {'program':>13s} {'difference':>11s} {'tolerance':>10s}  ok")
        return "\n".join(lines + shown)


def program(binary, scenario):
    """What the program says: resolved parameters, result, samples as columns by name."""
    resolved = subprocess.run([binary, "resolve", scenario, "--json"], capture_output=True, check=True)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "samples.csv")
        result = subprocess.run([binary, "run", scenario, "--json", "--csv", path], capture_output=True, check=False)
        if result.returncode not in (0, 1):  # 1: a limit is over, which is a result
            raise RuntimeError(f"{binary} run {scenario} failed:\n{result.stderr.decode()}")
        with open(path, encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
    columns = {name: [row[name] for row in rows] for name in rows[0]}
    samples = {name: list(map(float, cells)) for name, cells in columns.items() if name != "state"}
    return json.loads(resolved.stdout), json.loads(result.stdout), samples


def commands(log):
    """When each phase of the twin began: every command and every arrival."""
    return [(e["state"], e["t_s"]) for e in log]


def program_commands(events):
    """The same of the program, from its events."""
    states = {"command-open": "opening", "command-close": "closing", "reversed": "reversed", "stopped": "stopped",
              "arrived-open": "open", "arrived-closed": "closed", "power-lost": "off", "end-found": "end found"}
    found = [(states[e["event"]], e["t_s"]) for e in events if e["event"] in states]
    learns = any(state == "end found" for state, _ in found)
    return [("learning", 0.0)] * learns + found  # a learning run sets out by itself


def at(times, values, t):
    """Straight between the neighbouring ticks."""
    k = min(max(bisect.bisect_right(times, t), 1), len(times) - 1)
    t0, t1 = times[k - 1], times[k]
    return values[k - 1] + (values[k] - values[k - 1]) * (t - t0) / (t1 - t0)


def worst(times, theirs, our_times, ours, shift, span):
    """Greatest difference within a phase, as (theirs, ours, difference) at that instant."""
    found = (0.0, 0.0, 0.0)
    for t, value in zip(our_times, ours):
        if span[0] <= t < span[1] and times[0] <= t + shift <= times[-1]:
            other = at(times, theirs, t + shift)
            if abs(value - other) >= abs(found[2]):
                found = (other, value, value - other)
    return found


def worst_load(times, theirs, our_times, ours, shift, span):
    """As `worst`, but a load jumps where a leaf stops or meets a stop, or a wheel a step, and that may fall on either side
    of a tick: from the nearest value between the ticks before and after, each side of the jump run straight on to it."""
    found = (0.0, 0.0, 0.0)
    tick = times[1] - times[0]
    for t, value in zip(our_times, ours):
        if span[0] <= t < span[1] and times[0] <= t + shift <= times[-1]:
            before2, before, here, after, after2 = (at(times, theirs, t + shift + k * tick) for k in (-2, -1, 0, 1, 2))
            near = (before, here, after, 2 * before - before2, 2 * after - after2)
            other = min(max(value, min(near)), max(near))
            if abs(value - other) >= abs(found[2]):
                found = (other, value, value - other)
    return found


def worst_mean(times, theirs, our_times, ours, shift, span, width):
    """Greatest difference within a phase between means over `width` seconds of samples that follow each other."""
    pairs = [(t, at(times, theirs, t + shift), value) for t, value in zip(our_times, ours)
             if span[0] <= t < span[1] and times[0] <= t + shift <= times[-1]]
    sums = [(0.0, 0.0)]
    for (t0, a0, b0), (t1, a1, b1) in zip(pairs, pairs[1:]):
        dt = t1 - t0
        sums.append((sums[-1][0] + 0.5 * dt * (a0 + a1), sums[-1][1] + 0.5 * dt * (b0 + b1)))
    found, k = (0.0, 0.0, 0.0), 0
    for j, (t, _, _) in enumerate(pairs):
        while k + 1 < j and t - pairs[k + 1][0] >= width - 1e-9:
            k += 1
        length = t - pairs[k][0]
        if width - 1e-9 <= length < 2 * width:
            a, b = ((sums[j][side] - sums[k][side]) / length for side in (0, 1))
            if abs(b - a) >= abs(found[2]):
                found = (a, b, b - a)
    return found


def one_count_a(p):
    """What one count of the encoder, a tick earlier or later, does to the current, A."""
    c, motor = p["controller"], p["motor"]
    turn = p["pulleys"]["teeth"] * p["belt"]["pitch_m"]
    count = turn / (p["gear"]["ratio"] * c["counts_per_turn"])
    back_emf = motor["torque_constant_n_m_per_a"] * p["gear"]["ratio"] * 2 * math.pi / turn
    gain = c["proportional_gain_a_s_per_m"] + back_emf / motor["resistance_ohm"]
    return gain * count / (c["speed_filter_s"] + c["tick_s"])


def compare_course(table, again, events, ours, parameters):
    """Position, tensions and current over time, phase by phase."""
    s, times = again["samples"], again["samples"]["t_s"]
    columns = {"clear opening, m": (s["clear_opening_m"], ours["clear_opening_m"], POSITION_M),
               "drive position, m": (s["drive_position_m"], ours["drive_position_m"], POSITION_M)}
    for number in range(len(s["leaf_positions_m"][0])):
        columns[f"leaf {number + 1} position, m"] = (
            [row[number] for row in s["leaf_positions_m"]], ours[f"leaf_{number + 1}_position_m"], POSITION_M)
    peak = max(max(row) for row in s["tension_n"])
    for number in range(len(s["tension_n"][0])):
        columns[f"tension {number + 1}, N"] = (
            [row[number] for row in s["tension_n"]], ours[f"tension_{number + 1}_n"], OF_PEAK * peak)
    loads = [[row[column] for row in s["hanger_loads_n"]] for column in range(len(s["hanger_loads_n"][0]))]
    peak = max(abs(load) for column in loads for load in column)
    for column, theirs in enumerate(loads):
        name = f"hanger_{('leading', 'trailing')[column % 2]}_{column // 2 + 1}_n"
        columns[name] = (theirs, ours[name], OF_PEAK * peak)
    of_current = OF_PEAK * max(map(abs, s["current_a"]))
    columns["current, A"] = (s["current_a"], ours["current_a"], of_current + one_count_a(parameters))
    their, our = commands(again["phases"]), program_commands(events)
    table.judge("number of phases", len(their), len(our), len(our) - len(their), 0)
    for number, ((state, t_theirs), (_, t_ours)) in enumerate(zip(their, our)):
        table.row(f"{state}: from, s", t_theirs, t_ours, TIME_S)
        lasts = [log[number + 1][1] - log[number][1] for log in (their, our) if number + 1 < len(log)]
        end = t_ours + min(lasts, default=float("inf"))
        for name, (theirs, values, tolerance) in columns.items():
            apart = worst_load if name.startswith("hanger") else worst
            found = apart(times, theirs, ours["t_s"], values, t_theirs - t_ours, (t_ours, end))
            table.judge(f"{state}: {name}, at worst", *found, tolerance)
        found = worst_mean(times, s["current_a"], ours["t_s"], ours["current_a"], t_theirs - t_ours, (t_ours, end),
                           CURRENT_MEAN_S)
        table.judge(f"{state}: current, A, mean of 10 ms, at worst", *found, of_current)


def compare_end(table, again, ours):
    """When the run ends, and how much longer a wheel may stay off or a span slack on one side because its run is longer."""
    s, state = again["samples"], again["phases"][-1]["state"]
    ends = s["t_s"][-1], ours["t_s"][-1]
    table.row("run ends, s", *ends, TIME_S if state == "closed" else COUNT_FADES_S)
    apart = abs(ends[1] - ends[0])
    return {"wheel_lift_time_s": apart * (min(s["hanger_loads_n"][-1]) < 0.0),
            "slack_time_s": apart * (min(s["tension_n"][-1]) == 0.0)}


def compare_figures(table, again, result, longer):
    f, ours = again["figures"], result["figures"]
    for name in TIMES:
        table.row(name, f.get(name), ours.get(name), TIME_S + longer.get(name, 0.0))
    for name in RELATIVES:
        value = f.get(name)
        table.row(name, value, ours.get(name), RELATIVE * abs(value or 0.0) + (SMALL_J if name.endswith("_j") else 0.0))
    for name in DISTANCES:
        table.row(name, f.get(name), ours.get(name), POSITION_M)
    distance = f.get("stopping_distance_m")
    table.row("stopping_distance_m", distance, ours.get("stopping_distance_m"), POSITION_M + OF_STOPPING * (distance or 0.0))
    knock = f.get("gear_knock_speed_m_per_s")
    table.row("gear_knock_speed_m_per_s", knock, ours.get("gear_knock_speed_m_per_s"), OF_PEAK * (knock or 0.0))
    for name in OF_PROPORTION:
        table.row(name, f.get(name), ours.get(name), RELATIVE * abs(f.get(name) or 0.0))
    for name in OF_WARMTH:
        table.row(name, f.get(name), ours.get(name), WARMTH_K)
    for name, value in f.get("warm", {}).items():
        tolerance = TIME_S if name in TIMES else RELATIVE * abs(value)
        table.row(f"warm run: {name}", value, result["warm"].get(name), tolerance)
    for name in OF_TENSION:
        table.row(name, f[name], ours.get(name), OF_PEAK * f["greatest_strand_tension_n"])
    for name in OF_LOAD:
        table.row(name, f[name], ours.get(name), OF_PEAK * f["greatest_hanger_load_n"])
    for name in OF_TWO_TENSIONS:
        table.row(name, f.get(name), ours.get(name), 2 * OF_PEAK * abs(f.get(name) or 0.0))
    for name in BY_HAND:
        table.row(name, f[name], ours[name], RELATIVE * abs(f[name] or 0.0) + SMALL_N)
    for name in OF_CURRENT:
        table.row(name, f[name], ours.get(name), OF_PEAK * f[name])


def compare_names(table, result):
    """Every figure of the program is compared here, or left out for a reason: a new one that is in no list fails."""
    known = set(TIMES + RELATIVES + DISTANCES + OF_PROPORTION + OF_WARMTH + OF_LOAD + OF_TENSION + OF_CURRENT + BY_HAND
                + OF_TWO_TENSIONS + FORCES + STALLS + PRESSED) | set(REAR_FIGURES) | COMPARED_APART | set(LEFT_OUT)
    forgotten = [name for name in result["figures"] if name not in known]
    table.judge(f"figures in no list: {', '.join(forgotten) or 'none'}", 0, len(forgotten), len(forgotten), 0)


def compare_forces(table, again, result):
    ours = {round(g["gap_m"], 9): g for g in result["force"]}
    compare_worst_gaps(table, again, result["figures"], ours)
    for entry in again["figures"]["forces"]:
        compare_test(table, f"{1000 * entry['gap_m']:.1f} mm: ", entry, ours.get(round(entry["gap_m"], 9), {}),
                     FORCES + STALLS + PRESSED)
    compare_rear(table, again, result)
    flat = again["figures"]["edge_flat_speed_m_per_s"]
    table.row("edge_flat_speed_m_per_s", flat, result["figures"].get("edge_flat_speed_m_per_s"), CLOSED_FORM)


def force_tolerance(name, value, apart=0.0):
    """How far a force may be apart, N, or a share of a travel; `apart`: what is to be added."""
    if name == "stall_force_slow_n":
        return CLOSED_FORM * max(1.0, abs(value or 0.0))
    small = 1e-3 if name == "edge_travel_used" else SMALL_N
    return RELATIVE * abs(value or 0.0) + small + apart


def timed(entry, name):
    """What a force at the end of the five seconds may be apart for the time at which a leaf came back, N."""
    return TIME_S * entry.get("ends_changing_n_per_s", 0.0) if name == "force_after_750ms_n" else 0.0


def compare_test(table, where, entry, other, names):
    """One test of the force, at a gap or behind a leaf."""
    for name in names:
        value = entry.get(name)
        table.row(where + name, value, other.get(name), force_tolerance(name, value, timed(entry, name)))
    touched = entry.get("touched_at_s"), other.get("touched_at_s")
    table.row(where + "touched at, s", *touched, TIME_S)
    acts = entry.get("acts_after_s"), other.get("acts_after_s")
    may = TIME_S + COUNT_DELAYS_S + (abs(touched[0] - touched[1]) if None not in touched else 0.0)  # it acts on a tick
    table.row(where + "acts after, s", *acts, may)
    # the force falls once it acts: as much later as that
    later = min(abs(acts[0] - acts[1]), may) if None not in acts else 0.0
    table.row(where + "time_above_150n_s", entry.get("time_above_150n_s"), other.get("time_above_150n_s"), TIME_S + later)
    speed = entry.get("touch_speed_m_per_s")
    table.row(where + "speed on touching, m/s", speed, other.get("touch_speed_m_per_s"), RELATIVE * (speed or 0.0))


def reacts_later(entry, other):
    """How much later one side may react, s: by the count of the encoder that both wait for."""
    acts = entry.get("acts_after_s"), other.get("acts_after_s")
    return min(abs(acts[0] - acts[1]), TIME_S + COUNT_DELAYS_S) if None not in acts else 0.0


def compare_worst_gaps(table, again, figures, ours):
    """What the program gives as the greatest over all gaps, and over those of 50 mm and less."""
    forces = again["figures"]["forces"]
    near = [entry for entry in forces if entry["gap_m"] <= LAST_M]
    names = FORCES + STALLS + PRESSED
    for name, entries in [(name, forces) for name in names] + [("stall_force_last_50mm_n", near)]:
        values = [entry.get(name.replace("_last_50mm", "")) for entry in entries]
        worst_of_them = max((value for value in values if value is not None), default=None)
        apart = max((timed(entry, name) for entry in entries if entry.get(name) == worst_of_them), default=0.0)
        table.row(f"worst gap: {name}", worst_of_them, figures.get(name), force_tolerance(name, worst_of_them, apart))
    stalls = [entry[name] for entry in forces for name in ("stall_force_n",) + STALLS if entry.get(name) is not None]
    greatest = max(stalls, default=None)
    table.row("worst gap: stall_force_greatest_n", greatest, figures.get("stall_force_greatest_n"),
              force_tolerance("stall_force_n", greatest))
    later = [reacts_later(entry, ours.get(round(entry["gap_m"], 9), {})) for entry in forces]
    above = max((entry["time_above_150n_s"] for entry in forces if "time_above_150n_s" in entry), default=None)
    table.row("worst gap: time_above_150n_s", above, figures.get("time_above_150n_s"), TIME_S + max(later, default=0.0))


def compare_rear(table, again, result):
    """The opening movement against what stands behind each leaf: the same tests, none more, and the worst of them."""
    ours = {(entry["leaf"], round(entry["gap_m"], 9)): entry for entry in result["rear_force"]}
    tests = again["figures"]["rear_forces"]
    # where the door opened and no leaf came as near to the next part as a tester stands, nothing is met
    opened = any(phase["state"] == "open" for phase in again["phases"])
    nothing_behind = 0.0 if opened and again["figures"]["rear_known"] else None
    later = []
    for entry in tests:
        other = ours.pop((entry["leaf"], round(entry["gap_m"], 9)), {})
        compare_test(table, f"behind leaf {entry['leaf']}, {1000 * entry['gap_m']:.1f} mm: ", entry, other, FORCES)
        later.append(reacts_later(entry, other))
    touched = [key for key, entry in ours.items() if entry["touched_at_s"] is not None]
    table.judge("behind the leaves: tests that should not be", 0, len(touched), len(touched), 0)
    for figure, name in REAR_FIGURES.items():
        value = max((entry[name] for entry in tests if entry.get(name) is not None), default=nothing_behind)
        may = (TIME_S + max(later, default=0.0) if name == "time_above_150n_s" else
               RELATIVE * (value or 0.0) if name == "touch_speed_m_per_s" else force_tolerance(name, value))
        table.row(figure, value, result["figures"].get(figure), may)


def closing_samples(again):
    """(clear opening, how fast it grows less), m and m/s, at every tick of each closing, as one list each."""
    s, phases = again["samples"], commands(again["phases"])
    ends = [t for _, t in phases[1:]] + [float("inf")]
    for (state, start), end in zip(phases, ends):
        if state == "closing":
            yield [(w, -v) for t, w, v in zip(s["t_s"], s["clear_opening_m"], s["speed_m_per_s"]) if start <= t <= end + 1e-9]


def compare_tested(table, again, result):
    """Whether each band was tested where the leaf is fastest in it. Within 0.1 mm of its ends a sample may be on either side."""
    runs = list(closing_samples(again))
    for band in result.get("tested", []):
        low, high = band["above_m"], min(again["full_m"], band["to_m"] or float("inf"))
        found = [(v, w) for run in runs for w, v in run if low + POSITION_M < w < high - POSITION_M and v > 0.0]
        fastest, where = max(found, default=(None, None))
        name, gap = f"band above {1000 * low:.0f} mm: fastest, m/s", band["fastest_gap_m"]
        if gap is None or fastest is None:
            table.row(name, fastest, None if gap is None else 0.0, 0.0)
            continue
        there = max((v0 + (v1 - v0) * (w0 - gap) / (w0 - w1) for run in runs for (w0, v0), (w1, v1) in zip(run, run[1:])
                     if w1 <= gap <= w0 and w1 < w0), default=0.0)
        # a closing that is cut short, as where power is lost, may be fastest in its last sample, which no pair goes beyond
        there = max([there] + [v for run in runs for w, v in run[-1:] if abs(w - gap) <= fastest * TIME_S + POSITION_M])
        inside = low < gap <= high
        table.judge(f"{name}, at {1000 * where:.1f} mm", fastest, there if inside else None,
                    min(0.0, there - fastest) if inside else float("nan"), FASTER_BY * fastest)


def compare(binary, scenario):
    """One door file, both ways. Returns its table."""
    resolved, result, samples = program(binary, scenario)
    table = Table(scenario)
    gaps = [g["gap_m"] for g in result["force"]]
    stalls = [g["gap_m"] for g in result["force"] if g["stall_force_n"] is not None]
    arrivals = [t for state, t in program_commands(result["events"]) if state in ("open", "closed")]
    again = twin.run(resolved["parameters"], gaps, arrivals, stalls)
    compare_course(table, again, result["events"], samples, resolved["parameters"])
    compare_figures(table, again, result, compare_end(table, again, samples))
    compare_names(table, result)
    compare_forces(table, again, result)
    compare_tested(table, again, result)
    return table


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary")
    parser.add_argument("scenarios", nargs="+")
    parser.add_argument("--rows", action="store_true", help="print every row, not only those that fail")
    parser.add_argument("--jobs", type=int, default=os.cpu_count(), help="doors calculated at the same time")
    arguments = parser.parse_args()
    passed = failed = 0
    with ProcessPoolExecutor(arguments.jobs) as pool:
        tables = pool.map(compare, itertools.repeat(arguments.binary), arguments.scenarios)
        for scenario, table in zip(arguments.scenarios, tables):
            passed, failed = passed + table.passed, failed + table.failed
            print(table.text(arguments.rows), flush=True)
    print(f"\n{passed} passed, {failed} failed")
    sys.exit(0 if passed and not failed else 1)  # nothing compared is no agreement


if __name__ == "__main__":
    main()
