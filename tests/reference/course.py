"""Figures of how a door goes: acceleration, jerk, ratcheting reserve, settling, latch check, energy of the average speed.

Their meanings are those that the program prints beside each figure and those of DEVELOPERS.md, "Figures":

    acceleration   greatest of a leaf, either sign, mean over a tick: at the corner of a rail joint it has no greatest
    jerk           speed v of a leaf through s^2 H(s), H a second-order Butterworth low pass of 10 Hz, as an analogue filter
                   between straight lines from tick to tick, which is exact for it
    ratcheting reserve    least of  min(T_ahead, T_behind)/(|T_ahead - T_behind|/teeth in mesh)  at the drive pulley
    settling       from arrival open until each leaf stays within 1 mm of where it is at the next command; none where a leaf went
                   at 1 mm/s or more within 50 ms before it
    latch check    how far from closed a closing leaf was last faster than 1.2 times its creep speed
    average energy (1/2) M v^2, M all that moves at the speed of the leaves, v their mean speed less 50 mm of clear opening at
                   each end (a pair: 25 mm a leaf)
    before check   greatest closing speed of a leaf down to 51 mm (2 in) of clear opening
"""

import math

import numpy
from scipy import signal

from simulation import STANDING_M_PER_S

JERK_HZ = 10.0
MOST_TEETH = 12.0
SETTLED_M = 1e-3
AT_REST_M_PER_S, AT_REST_S = 1e-3, 0.05  # a leaf that is slower for so long stands
SLOWER_THAN = 1.2  # times creep speed
LEFT_OUT_M = 0.05  # of the clear opening, at each end
LATCH_M = 0.0508


def teeth_in_mesh(door):
    """Teeth of the drive pulley that the belt lies on, and no more than share the pull."""
    wrap = math.pi + 2 * math.asin((door.r - door.r_back) / door.parameters["belt"]["centre_distance_m"])
    return min(MOST_TEETH, door.parameters["pulleys"]["teeth"] * wrap / (2 * math.pi))


class Course:
    """Watches the plant's own steps for what a tick would miss."""

    def __init__(self, simulation):
        self.sim, self.plant, self.door = simulation, simulation.plant, simulation.door
        self.teeth = teeth_in_mesh(self.door)
        self.ratcheting_reserve, self.speed_before_check = math.inf, 0.0

    def __call__(self, t0, y0, t1, y1, at):
        d, n = self.door, self.door.n
        tension = self.plant.tensions(y1)
        ahead, behind = tension[0], tension[d.ring - 1]
        if ahead != behind:
            self.ratcheting_reserve = min(self.ratcheting_reserve, min(ahead, behind) * self.teeth / abs(ahead - behind))
        if d.clear_opening(y1) >= LATCH_M:
            shutting = max(-y1[n + b] for b in d.leaves)
            self.speed_before_check = max(self.speed_before_check, shutting if shutting > STANDING_M_PER_S else 0.0)


def peak_acceleration(times, speeds):
    """Greatest mean acceleration from sample to sample, m/s2."""
    return float(numpy.max(numpy.abs(numpy.diff(speeds) / numpy.diff(times))))


def peak_jerk(times, speeds):
    """Greatest jerk, m/s3: s^2 w^2/(s^2 + sqrt(2) w s + w^2) of a speed that starts at rest."""
    w = 2 * math.pi * JERK_HZ
    _, jerk, _ = signal.lsim(([w * w, 0.0, 0.0], [1.0, math.sqrt(2) * w, w * w]), speeds, times)
    return float(numpy.max(numpy.abs(jerk)))


def settling(door, samples, log):
    """s; None where the door never arrives open, or where a leaf still moves over the last 50 ms before the next command."""
    arrived = next((e["t_s"] for e in log if e["state"] == "open"), None)
    if arrived is None:
        return None
    until = next((e["t_s"] for e in log if e["t_s"] > arrived), samples["t_s"][-1])
    first, last = (round(t / door.parameters["controller"]["tick_s"]) for t in (arrived, until))
    last = min(last, len(samples["t_s"]) - 1)
    lately = range(max(first + 1, last - round(AT_REST_S / door.parameters["controller"]["tick_s"])), last + 1)
    if any(abs(speed) >= AT_REST_M_PER_S for k in lately for speed in samples["leaf_speeds_m_per_s"][k]):
        return None
    rest, found = samples["leaf_positions_m"][last], 0.0
    for number, place in enumerate(rest):
        off = [abs(row[number] - place) for row in samples["leaf_positions_m"][first:last + 1]]
        beyond = [k for k, far in enumerate(off) if far > SETTLED_M]
        if beyond:
            k = beyond[-1]
            part = (off[k] - SETTLED_M) / (off[k] - off[k + 1])
            found = max(found, (k + part) * door.parameters["controller"]["tick_s"])
    return found


def latch_check(door, samples, log):
    """m; of the leaf that goes fast nearest to closed; None where the door does not arrive closed."""
    closed = [e["t_s"] for e in log if e["state"] == "closed"]
    if not closed:
        return None
    set_off = max(e["t_s"] for e in log if e["state"] == "closing" and e["t_s"] < closed[0])
    tick = door.parameters["controller"]["tick_s"]
    first, last = round(set_off / tick), round(closed[0] / tick)
    creep, found = SLOWER_THAN * door.parameters["closing"]["creep_speed_m_per_s"], math.inf
    for number, body in enumerate(door.leaves):
        if body not in door.fronts:
            continue
        place = [row[number] for row in samples["leaf_positions_m"]]
        speed = [-row[number] for row in samples["leaf_speeds_m_per_s"]]
        fast = [k for k in range(first, last) if speed[k] > creep]
        if fast:
            k = fast[-1]
            part = (speed[k] - creep) / (speed[k] - speed[k + 1])
            found = min(found, place[k] + part * (place[k + 1] - place[k]))
        else:
            found = min(found, place[first])
    return found


def average_energy(door, samples, log):
    """J, of the closing that arrives."""
    closed = [e["t_s"] for e in log if e["state"] == "closed"]
    if not closed or door.full <= 2 * LEFT_OUT_M:
        return None
    set_off = max(e["t_s"] for e in log if e["state"] == "closing" and e["t_s"] < closed[0])
    k = round(set_off / door.parameters["controller"]["tick_s"])
    times, w = samples["t_s"], samples["clear_opening_m"]

    def falls_to(level):
        j = next(j for j in range(k, len(w)) if w[j] <= level)
        if j == k:
            return times[j]
        return times[j - 1] + (times[j] - times[j - 1]) * (w[j - 1] - level) / (w[j - 1] - w[j])

    speed = (door.full - 2 * LEFT_OUT_M) / (falls_to(LEFT_OUT_M) - falls_to(door.full - LEFT_OUT_M)) / len(door.fronts)
    slow = {body for body, _ in door.links}
    return sum(0.5 * mass * (speed / 2 if body in slow else speed) ** 2 for body, mass in enumerate(door.mass))


def figures(door, simulation, course):
    """By the program's names, with the unit in each."""
    s, log = simulation.samples, simulation.controller.log
    count = range(len(door.leaves))
    speeds = [[row[k] for row in s["leaf_speeds_m_per_s"]] for k in count]
    return {"peak_acceleration_m_per_s2": max(peak_acceleration(s["t_s"], speed) for speed in speeds),
            "peak_jerk_m_per_s3": max(peak_jerk(s["t_s"], speed) for speed in speeds),
            "ratcheting_reserve": course.ratcheting_reserve,
            "top_speed_before_latch_check_m_per_s": course.speed_before_check or None,
            "settling_open_s": settling(door, s, log),
            "latch_check_m": latch_check(door, s, log),
            "average_energy_closing_j": average_energy(door, s, log)}
