"""The twin: one door cycle and its force test, calculated a second time from the same equations.

    python twin.py RESOLVED.json [--json] [--gaps 0.05,0.3,0.5] [--rtol 1e-9]

RESOLVED.json is what `tautleaf resolve FILE --json` prints. Written from the equations, not from the program, and
integrated by SciPy's DOP853 with located events at a relative tolerance of 1e-9, so that an error of either side
shows as a difference. SI units; one cycle takes some tens of seconds.

Everything that a door file can say is covered; what figures are left out stands in DEVELOPERS.md.
Cycle: open command at tick 0, close command hold_open_s after arrival, end 1 s after arrival closed, or once everything
rests after a stop, a learning run or without power.
"""

import argparse
import json
import sys

import by_hand
import course
from door import Door
from equations import Contact
from figures import cycle_figures
from force_test import Run, edge_flat_speed, force_figures, rear_figures, rear_tests, stall_force
from plant import Plant
from simulation import ClosingCrossings, Extremes, OpeningCrossings, Simulation, WorstPlace

AFTER_CLOSED_S = 1.0
SETTLED_A = 1e-6
LONGEST_RUN_S = 600.0
GAPS_M = (0.05, 0.3, 0.5)
SAME_TIME = 1e-9
WARM_FROM_C = 60.0  # from here on the cycle is run again with a warm motor


def run_cycle(door, gaps=(), make_plant=Plant, stopping=False, arrivals=(), rear=()):
    """One whole run. Returns the simulation, its extremes and the forks of the force test: at each gap passed while closing, by
    gap, and of `rear`, at each (body, gap) that a leaf first leaves behind itself while opening. `stopping`: one for the
    stopping distance too; `arrivals`: see the controller."""
    o = door.parameters["obstacle"]
    obstacle = o and Contact(o["gap_m"], o["stiffness_n_per_m"], o["stays_s"], o["mass_kg"],
                             max(0.0, o["gap_m"] - o["depth_m"]))
    sim = Simulation(door, obstacle, make_plant)
    extremes, closing, opening = Extremes(sim), ClosingCrossings(sim, gaps), OpeningCrossings(sim, rear)
    sim.course = course.Course(sim)
    sim.watchers = [extremes, closing, opening, sim.course]
    learns = door.parameters["timeline"]["run"] == "learning"
    sim.worst = WorstPlace() if stopping and not learns else None
    c = sim.controller
    c.arrivals = list(arrivals)
    sim.tick(before=lambda t: c.learn(t, -1) if learns else c.command(t, 1, "open"))
    while not has_ended(sim):
        if sim.plant.t > LONGEST_RUN_S:
            raise RuntimeError(f"the door did not come to rest within {LONGEST_RUN_S} s")
        sim.tick()
    sim.sample(sim.plant.t)
    return sim, extremes, closing.forks | opening.forks


def has_ended(sim):
    """Whether the run is over: closed for a second, or stopped or without power and at rest for good."""
    c, plant = sim.controller, sim.plant
    if c.state == "closed":
        return plant.t - c.t_arrival >= AFTER_CLOSED_S - SAME_TIME
    later = [cut for cut in plant.cuts if plant.t < cut < LONGEST_RUN_S]
    if c.state not in ("stopped", "off") or c.told or (later and c.state == "off"):
        return False
    held = not any(plant.slide) and not any(plant.y[plant.n:2 * plant.n])
    stays = 0.0 if plant.open_winding else plant.voltage / sim.door.resistance
    return held and abs(plant.current(plant.y) - stays) < SETTLED_A


def warm_figures(parameters, gaps, winding_c):
    """The same cycle and its stall forces with winding and magnet at this temperature."""
    warm = json.loads(json.dumps(parameters))
    warm["motor"]["winding_temperature_c"] = winding_c
    door = Door(warm)
    sim, extremes, _ = run_cycle(door)
    figures = cycle_figures(door, sim, extremes)
    return {"stall_force_n": max((stall_force(door, gap) for gap in gaps), default=None),
            "peak_energy_coupled_closing_j": figures["peak_energy_coupled_closing_j"],
            "closing_time_s": figures["closing_time_s"]}


def run(parameters, gaps=GAPS_M, arrivals=(), stalls=None):
    """Everything: samples at every tick, figures, phases. `arrivals`: see the controller; `stalls`: the gaps at which the stall
    is tested, all of them if None."""
    door = Door(parameters)
    gaps = [g for g in gaps if g < door.full]
    stalls = gaps if stalls is None else [g for g in gaps if g in stalls]
    sim, extremes, forks = run_cycle(door, gaps, stopping=True, arrivals=arrivals, rear=rear_tests(door))
    figures = cycle_figures(door, sim, extremes)
    figures |= course.figures(door, sim, sim.course) | by_hand.figures(door)
    known = Run(door, sim, extremes)
    figures["forces"] = force_figures(door, gaps, forks, known, stalls)
    figures["rear_forces"], figures["rear_known"] = rear_figures(door, forks, known), door.rear_clearance is not None
    figures["edge_flat_speed_m_per_s"] = edge_flat_speed(door, figures["forces"])
    warmth = figures.get("winding_temperature_c", 0.0)
    if warmth > WARM_FROM_C:
        figures["warm"] = warm_figures(parameters, stalls, warmth)
    return {"samples": sim.samples, "figures": figures, "phases": sim.controller.log, "full_m": door.full}


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
    result = run(parameters, gaps)
    if arguments.json:
        json.dump(result, sys.stdout)
    else:
        json.dump({k: result[k] for k in ("figures", "phases")}, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
