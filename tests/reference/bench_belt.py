"""The belt at the workbench, a second time: what `tautleaf belt FILE --json` prints, from (30) and (31) of DEVELOPERS.md.

    run  sqrt(4 C^2 - (D - d)^2) + (D th_D + d th_d)/2     take-up  T run/(2 EA)     turns  take-up/thread pitch
    endless  round((run - 2 take-up)/p) teeth              cut  floor((run - gap)/p) - cut short, loop = cut p + gap
    tone  sqrt(T/m')/(2 l)     back  T = m' (2 l f)^2      clamp  min(1, teeth a side/7) x 0.004 EA
    pull  F = eta N K min(i_lim, V/R)/r, turned round N K i/(r (1 - lambda)), through spans that carry no compression

What the program chooses to show (which tensions beside the wanted one, which strand to pluck, which it calls too low) is
not calculated and is taken from its answer.
"""

import math

import numpy
from scipy.optimize import brentq

from course import teeth_in_mesh

ALLOWABLE_STRAIN = 0.004
FULL_STRENGTH_TEETH = 7
ROUNDING = 1e-9  # a run of 990 pitches holds 990, whatever the last bit says
PLACES = 100


def run_length(door, axes):
    """Pitch length of a belt that just touches both pulleys, m."""
    tilt = math.asin((door.r - door.r_back) / axes)
    straight = 2 * math.sqrt(axes**2 - (door.r - door.r_back) ** 2)
    return straight + door.r * (math.pi + 2 * tilt) + door.r_back * (math.pi - 2 * tilt)


def axes_for(door, length):
    """Centre distance at which a loop of this length just touches, m."""
    most = length / 2
    return brentq(lambda axes: run_length(door, axes) - length, most / 2, most, xtol=1e-12)


class Bench:
    """The belt of a door: its run, and what a tension does to it."""

    def __init__(self, door):
        p = door.parameters
        self.door, self.w, self.pitch = door, p["workbench"], p["belt"]["pitch_m"]
        self.per_metre = p["belt"]["specific_mass_kg_per_m2"] * p["belt"]["width_m"]
        self.run = run_length(door, p["belt"]["centre_distance_m"])
        self.wanted = door.t0 if self.w["wanted_tension_n"] is None else self.w["wanted_tension_n"]

    def take_up(self, tension):
        return tension * self.run / (2 * self.door.ea)

    def turns(self, tension):
        return self.take_up(tension) / self.w["thread_pitch_m"]

    def tone(self, tension, length):
        return math.sqrt(tension / self.per_metre) / (2 * length)

    def at_tension(self, tension, length):
        """What stands beside a tension, with the tone of a strand of this length."""
        return {"tension_n": tension, "strain": tension / self.door.ea, "take_up_m": self.take_up(tension),
                "turns": self.turns(tension), "shaft_load_n": 2 * tension, "tone_hz": self.tone(tension, length)}

    def loop(self, teeth, length):
        axes = axes_for(self.door, length)
        return {"teeth": teeth, "length_m": length, "axes_just_touching_m": axes,
                "axes_at_tension_m": axes + self.take_up(self.wanted)}

    def endless(self):
        teeth = round((self.run - 2 * self.take_up(self.wanted)) / self.pitch)
        return self.loop(teeth, teeth * self.pitch)

    def cut(self):
        """Open-ended: whole pitches that the run holds, less those that it is cut short by; its length without the gap."""
        teeth = math.floor((self.run - self.w["clamp_gap_m"]) / self.pitch + ROUNDING) - self.w["cut_short"]
        length = teeth * self.pitch + self.w["clamp_gap_m"]
        drawn = max(0.0, self.door.ea * (self.run - length) / length)
        return self.loop(teeth, length) | {"length_m": teeth * self.pitch, "tension_as_drawn_n": drawn}

    def strands(self):
        """{(span, leaf position): (length, tone at the wanted tension)}, door closed and open."""
        spans = [(number, x, span.base + span.sign * x) for x in (0.0, self.door.stroke)
                 for number, span in enumerate(self.door.spans)]
        return {(number, x): (length, self.tone(self.wanted, length)) for number, x, length in spans}

    def heard(self, tone, length):
        """(tension of a strand of this length that sounds so, turns from there to the wanted tension)."""
        tension = self.per_metre * (2 * length * tone) ** 2
        return tension, self.turns(self.wanted) - self.turns(tension)

    def clamp(self):
        strength = min(1.0, self.w["clamp_teeth"] / FULL_STRENGTH_TEETH)
        return {"teeth": self.w["clamp_teeth"], "strength": strength,
                "holds_n": strength * ALLOWABLE_STRAIN * self.door.ea}


def pulls(door):
    """({way: pull}, {way: pull turned round}) of the drive at the current limit, 1 open and -1 closed, N. What turns a leaf
    round is either limit, that of the way it goes when it brakes and that of the other when it is told to come back, and
    its own motion drives the current whatever the voltage. A gear that locks: None."""
    limits = {way: door.parameters[name]["current_limit_a"] for way, name in ((1, "opening"), (-1, "closing"))}
    efficiency, back = door.parameters["gear"]["efficiency"], 1.0 - door.gear_loss
    driving = {way: efficiency * door.k_rim * min(i, door.bus_v / door.resistance) for way, i in limits.items()}
    turned = {way: door.k_rim * max(limits.values()) / back for way in limits} if back > 0.0 else None
    return driving, turned


def spread_over_spans(door, x, pull, tension):
    """Tension of each span with the drive locked and `pull` on the leaves, shared by their masses, in a belt tightened to
    `tension` (None: a belt that could push), N. A span that would push carries nothing, and the rest is found again."""
    n = door.ring
    carried = [door.m_leaf[b] if b in door.fronts else 0.0 for b in range(n)]
    for slow, front in door.links:  # at half the way and half the acceleration
        carried[front] += door.m_leaf[slow] / 4
    force = numpy.array([pull * m / sum(carried) for m in carried])
    stiffness = [door.ea / (s.base + s.sign * x) for s in door.spans]
    t0, active = tension or 0.0, [True] * n
    for _ in range(n):
        k, f = numpy.zeros((n, n)), force.copy()
        for s, ki, on in zip(door.spans, stiffness, active):
            if not on:
                continue
            k[s.i, s.i] += ki
            k[s.j, s.j] += ki
            k[s.i, s.j] -= ki
            k[s.j, s.i] -= ki
            f[s.i] += t0
            f[s.j] -= t0
        q = numpy.zeros(n)
        q[1:] = numpy.linalg.solve(k[1:, 1:], f[1:])
        found = [t0 + ki * (q[s.j] - q[s.i]) if on else 0.0 for s, ki, on in zip(door.spans, stiffness, active)]
        if tension is None or min(found) >= -1e-9:
            return found
        active[int(numpy.argmin(found))] = False
    raise RuntimeError("every span is slack")


def cases(door, pull, tension):
    """(pull, what it adds to each span of a belt that could push, tensions in a belt of this tension) both ways along the
    stroke, N."""
    for x in (door.stroke * k / PLACES for k in range(PLACES + 1)):
        for way in (1, -1):
            held = -way * pull[way]  # a leaf that is pulled one way pulls the belt the other way
            yield pull[way], spread_over_spans(door, x, held, None), spread_over_spans(door, x, held, tension)


def bears(door, tension):
    """What the greatest pulls do to a belt of this tension, worst way, worst place; where the gear locks nothing is turned
    round."""
    driving, turned = pulls(door)
    slack_below = max(-min(added) for _, added, _ in cases(door, driving, tension))
    worse, teeth = list(cases(door, turned or driving, tension)), teeth_in_mesh(door)
    shaft = [max(spans[0] + spans[-1], spans[door.back] + spans[door.back - 1]) for _, _, spans in worse]
    margins = [max(0.0, tension + min(added[0], added[-1])) * teeth / pull for pull, added, _ in worse]
    return {"allowable_tension_n": ALLOWABLE_STRAIN * door.ea, "full_pull_n": max(driving.values()),
            "full_braking_n": max(turned.values()) if turned else None, "slack_below_n": max(0.0, slack_below),
            "slack_below_braking_n": max(0.0, *(-min(added) for _, added, _ in worse)) if turned else None,
            "tightest_strand_n": max(max(spans) for _, _, spans in worse), "shaft_load_n": max(shaft),
            "ratcheting_reserve": min(margins)}
