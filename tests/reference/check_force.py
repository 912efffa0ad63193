"""Checks of the force test of the twin against closed forms.

    python check_force.py RESOLVED.json

RESOLVED.json is of the reference door, scenarios/reference-glass.toml. Rigid leaves without friction meet the tester through
edges that end, one leaf, a pair and the rear edge; an edge is pressed flat and rests; the slow stall force is reached by a run
on a heavily damped edge, of one leaf, a pair, a slow leaf behind, on a slope and with a cold motor; and what is broken off
early is the same as what is followed to its end. Prints one line each and leaves with 1 if one fails.
"""

import copy
import json
import math
import sys

import force_test
from check_twin import without_friction
from door import Door
from edge import Edge, cold_factor
from equations import Contact, RearContact
from plant import Plant
from simulation import STANDING_M_PER_S
from twin import run_cycle

INF = math.inf
ALWAYS = {"leaf": None, "from_m": -INF, "to_m": INF, "start_s": 0.0, "end_s": INF, "constant_n": 0.0,
          "stiffness_n_per_m": 0.0, "rest_m": 0.0, "damping_n_s_per_m": 0.0, "drag_n": 0.0, "depth_m": 0.0}


class FinePlant(Plant):
    finest = 2e-5  # s; a peak of 70 rad/s that falls between two ends of steps is then missed by less than a millionth


def rigid(parameters, mass, edge, arrangement="away", pushed=0.0, rear=None):
    """A door of free leaves on a belt that bears nothing, each pushed towards open by `pushed`, N."""
    p = without_friction(parameters)
    p["arrangement"] = arrangement
    p["leaf"]["mass_kg"], p["leaf"]["second_mass_kg"] = mass, None
    p["rollers"]["viscous_n_s_per_m"] = 0.0
    p["belt"].update(specific_stiffness_n_per_m=1e-6, tension_n=0.0, specific_mass_kg_per_m2=1e-9)
    p["edge"].update(edge)
    p["rear"] = rear
    p["forces"] = [ALWAYS | {"constant_n": pushed}]
    return Door(p)


def greatest_force(door, place, velocity, contact, seconds=0.2):
    """Greatest force after leaves that all go at this velocity have met the tester at this place, N."""
    plant = FinePlant(door)
    plant.place(place)
    plant.contact, plant.open_winding = contact, True
    for body in door.fronts:
        plant.y[door.n + body] = velocity
    peak = 0.0

    def watch(t0, y0, t1, y1, at):
        nonlocal peak
        peak = max(peak, plant.contact_force(y1)[0])

    plant.advance(seconds, watch)
    return peak


def struck(parameters, mass, speed, edge, pushed=0.0, pair=False, k_t=500e3):
    """A closing leaf, or a pair, against the tester, N."""
    door = rigid(parameters, mass, edge, "bi-parting" if pair else "away", -pushed)
    return greatest_force(door, 0.3, -speed, Contact(0.3 * len(door.fronts), k_t))


def struck_behind(parameters, mass, speed, k, pushed=0.0, k_t=500e3):
    """An opening leaf against the tester behind it, N."""
    door = rigid(parameters, mass, {}, pushed=pushed, rear=hard_rear(k))
    return greatest_force(door, RearContact.place(door, 0.3), speed, RearContact(door.fronts[0], 0.3, k_t))


def hard_rear(k):
    return {"clearance_m": 0.1, "stiffness_n_per_m": k, "damping_n_s_per_m": 0.0, "depth_m": 1.15}


def ending(s, k_2, k_1=20e3, damping=0.0):
    return {"stiffness_n_per_m": k_1, "damping_n_s_per_m": damping, "travel_m": s, "hard_stiffness_n_per_m": k_2}


def pressed_flat(parameters, pushed, pair):
    """(compression of one edge, force), m and N, where damped edges that end have come to rest under this push each."""
    door = rigid(parameters, 100.0, ending(0.01, 500e3, damping=2000.0), "bi-parting" if pair else "away", -pushed)
    door.viscous = 2000.0
    plant = Plant(door)
    plant.place(0.3)
    plant.contact, plant.open_winding = Contact(0.3 * len(door.fronts), 500e3), True
    plant.advance(4.0, lambda *_: None)
    assert max(map(abs, plant.y[door.n:2 * door.n])) < 1e-6 > STANDING_M_PER_S, "not at rest"
    return plant.y[2 * door.n + 1] / len(door.fronts), plant.contact_force(plant.y)[0]


def slow_by_a_run(parameters, **changes):
    """(closed form, settled force of a stall on edges of 30 kN s/m, on which the leaf creeps and never swings), N. Breaking
    away is as easy as going, and nothing viscous is left."""
    p = copy.deepcopy(parameters)
    p["rollers"].update(breakaway=1.0, viscous_n_s_per_m=0.0)
    p["edge"].update(stiffness_n_per_m=2e3, damping_n_s_per_m=30e3)
    for section, change in changes.items():
        p[section] = (p[section] | change) if isinstance(change, dict) and p[section] else change
    door = Door(p)
    return force_test.slow_stall(door, 0.3), force_test.stall_forces(door, 0.3)[1]


def followed_to_the_end(parameters):
    """(greatest difference, over all that the force test tells, between runs that are broken off and the same not so; impact
    at 200 mm, N)."""
    p = copy.deepcopy(parameters)
    p["rear"] = hard_rear(200e3)
    door, gaps = Door(p), [0.2, 0.5, 0.9]
    worst, both = 0.0, []
    keep = force_test.is_over, force_test.rests, force_test.Steady.reached
    for whole in (False, True):
        if whole:
            force_test.is_over = force_test.rests = lambda *_: False
            force_test.Steady.reached = lambda _: False
        sim, extremes, forks = run_cycle(door, gaps, rear=force_test.rear_tests(door))
        known = force_test.Run(door, sim, extremes)
        both.append(force_test.force_figures(door, gaps, forks, known) + force_test.rear_figures(door, forks, known))
    force_test.is_over, force_test.rests, force_test.Steady.reached = keep
    for short, whole in zip(*both):
        assert short.keys() == whole.keys()
        worst = max([worst] + [abs(short[key] - whole[key]) for key in short if short[key] is not None])
    return worst, both[0][0]["impact_force_n"]


def main():
    failed = 0

    def judge(what, value, expected, bound):
        nonlocal failed
        ok = abs(value - expected) <= bound
        failed += not ok
        print(f"{'ok  ' if ok else 'FAIL'} {what}: {value:.7g}, expected {expected:.7g} to {bound:.2g}", flush=True)

    p = PARAMETERS
    # The page's table to its last digit, and the closed form to a hundred-thousandth.
    hard = ending(0.01, 500e3)
    for what, stated, pair, pushed, edge in (
            ("one leaf", 721.1, False, 0.0, hard), ("one leaf, 1 m of travel", 277.4, False, 0.0, ending(1.0, 500e3)),
            ("one leaf, pushed by 50 N", 923.2, False, 50.0, hard), ("a pair", 832.7, True, 0.0, hard)):
        found = struck(p, 100.0, 0.2, edge, pushed, pair)
        exact = Edge(20e3, 0.0, 2 if pair else 1, edge["travel_m"], 500e3).impact(100.0, 0.2, pushed, 500e3)
        judge(f"{what}, 100 kg at 0.2 m/s, N", found, stated, 0.05)
        judge(f"{what}, as above against the closed form", found / exact, 1.0, 1e-5)
    for s, stated in ((30, 488.0), (20, 947.0), (15, 1208.0), (10, 1356.0), (5, 1427.0)):
        judge(f"115 kg at 0.3 m/s, pushed by 40 N, travel {s} mm, N",
              struck(p, 115.0, 0.3, ending(s / 1000, 300e3), 40.0), stated, 0.5)
    judge("the same, 10 mm: pressed flat above, m/s", Edge(20e3, 0.0, 1, 0.01, 300e3).flat_speed(115.0, 40.0, 500e3), 0.104, 5e-4)
    for pair, n in ((False, 1), (True, 2)):
        speed = Edge(20e3, 0.0, n, 0.01, 500e3).flat_speed(100.0, 50.0, 500e3)
        judge(f"just pressed flat at that speed, n = {n}, N", struck(p, 100.0, speed, hard, 50.0, pair), 200.0, 0.01)
    for n in (1, 2):
        k = 1.0 / (n / 20e3 + 1.0 / 500e3)
        judge(f"k_2 = k_1, n = {n}, against F_0 + sqrt(F_0^2 + n k m v^2)",
              Edge(20e3, 0.0, n, 0.001, 20e3).impact(100.0, 0.2, 50.0, 500e3),
              50.0 + math.sqrt(50.0**2 + n * k * 100.0 * 0.2**2), 1e-9 * 300)
    found = struck(p, 100.0, 0.2, ending(0.001, 20e3), 50.0)
    judge("k_2 = k_1 through a run, the same", found / (50.0 + math.sqrt(2500.0 + 4.0 / (1 / 20e3 + 1 / 500e3))), 1.0, 1e-6)
    for pair in (False, True):
        z, force = pressed_flat(p, 400.0, pair)
        judge(f"{'a pair' if pair else 'one leaf'} at rest on damped edges, each pushed by 400 N: each edge gives, mm", 1000 * z, 10.4, 1e-3)
        judge("  and bears, N", force, 400.0, 0.05)
    judge("a rear edge, 100 kg at 0.5 m/s, N", struck_behind(p, 100.0, 0.5, 500e3), 2500.0, 0.05)
    judge("the same, pushed by 100 N", struck_behind(p, 100.0, 0.5, 500e3, 100.0), 2602.0, 0.05)
    judge("an edge of 0.01/K at -10 C is stiffer by", cold_factor(0.01, -10.0), math.exp(0.3), 1e-12)
    judge("and at 35 C", cold_factor(0.01, 35.0), 1.0, 0.0)
    judge("slow stall of the reference, N", force_test.slow_stall(Door(p), 0.3), (109.96 - 4.50) / 1.33333 - 1.36 - 16.22, 0.02)
    slow_leaf = {"mass_kg": 60.0, "belt_width_m": 0.015, "belt_length_m": 1.6, "tension_n": 200.0}
    for what, changes in (("one leaf", {}), ("a pair", {"arrangement": "bi-parting"}), ("a slow leaf behind", {"telescope": slow_leaf}),
                          ("a pair with slow leaves", {"arrangement": "bi-parting", "telescope": slow_leaf}),
                          ("towards the drive, on a slope", {"arrangement": "towards", "rail": {"slope": 0.005}}),
                          ("a motor at -15 C", {"motor": {"winding_temperature_c": -15.0}}),
                          ("a guide under wind", {"weather": {"wind_m_per_s": 8.0}}),
                          ("a closing weight", {"forces": [ALWAYS | {"constant_n": -15.0, "drag_n": 4.0}]})):
        closed_form, by_a_run = slow_by_a_run(p, **changes)
        judge(f"slow stall, {what}: by a run, N", by_a_run, closed_form, 0.005 * closed_form)
    worst, at_200_mm = followed_to_the_end(p)
    judge("the reference at 200 mm, on an edge without end, N", at_200_mm, 472.0, 0.5)
    judge("broken off early, against followed to the end, N, s or share", worst, 0.0, 1e-6)
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    with open(sys.argv[1], encoding="utf-8") as file:
        PARAMETERS = json.load(file)["parameters"]
    main()
