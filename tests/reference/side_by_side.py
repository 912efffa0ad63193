"""One whole cycle of one door, timed side by side on this machine, in one run.

    python side_by_side.py BIN SCENARIO... [--bench | --brief]

Rows: the program as a whole process; with --bench its cycle alone from `cargo bench` (always the reference door);
this twin on SciPy's DOP853 at its tight tolerance and at a loose one; and the mechanics alone in MuJoCo. Each row
says what it includes, its step, and how far its clear opening is from the tight twin at worst, so that speed is not
compared without accuracy. Times are the least of several runs (one for the twin). With --brief nothing is timed, the
twin is left out, and each door is one line: how far MuJoCo is from the program, and the greatest force on an obstacle.
"""

import argparse
import os
import platform
import re
import resource
import subprocess
import sys
import time

import mujoco
import scipy

import mujoco_door
from compare import at, commands, program, program_commands
from door import Door
from plant import Plant
from twin import run_cycle

PROCESS_RUNS, MUJOCO_RUNS = 10, 2

# How far the clear opening may be apart. The program: as in compare.py. MuJoCo: what falls on a tick may fall on the next one,
# which at the usual closing speed, 0.3 m/s, is 0.3 mm, for each leaf that adds to the clear opening. Force on an obstacle: 1 %.
# A gear that locks is slowed by the little that its friction is greater than what turns it, for half a second: MuJoCo, which is
# told its bound of a step ago, runs on a little further, a quarter as far with four times the steps.
PROGRAM_M, MUJOCO_M, LOCKED_M, OF_FORCE = 1e-4, 3e-4, 1e-3, 0.01


class LoosePlant(Plant):
    """As few steps as DOP853 needs for about a micrometre: one a tick at least."""

    rtol, atol, finest = 1e-5, 1e-7, 1.000001e-3


def children_time():
    """Processor time of all processes that were started and have ended, s."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def least_time(run, times, clock=time.process_time):
    """In processor time, so that what else runs on the machine does not count."""
    best, result = float("inf"), None
    for _ in range(times):
        start = clock()
        result = run()
        best = min(best, clock() - start)
    return best, result


def farthest(reference, starts, times, openings, other_starts):
    """Greatest difference of the clear opening, phase by phase, m."""
    ends = [t for _, t in other_starts[1:]] + [float("inf")]
    worst = 0.0
    for (_, t_ref), (_, t_own), end in zip(starts, other_starts, ends):
        shift = t_ref - t_own
        for t, w in zip(times, openings):
            if t_own <= t < end and 0.0 <= t + shift <= reference["t_s"][-1]:
                worst = max(worst, abs(w - at(reference["t_s"], reference["clear_opening_m"], t + shift)))
    return worst


def allowed_by_mujoco(door):
    return (LOCKED_M if mujoco_door.locks(door) else MUJOCO_M) * len(door.fronts)


def brief(arguments, scenario):
    """One line of one door; whether both agree. A door that the MuJoCo model leaves out is said to be."""
    resolved, result, samples = program(arguments.binary, scenario)
    door = Door(resolved["parameters"])
    try:
        openings, plant, log = mujoco_door.run_cycle(door)
    except mujoco_door.NotCovered as why:
        print(f"{scenario}: not in the MuJoCo model: {why}", flush=True)
        return True
    starts, own = program_commands(result["events"]), commands(log)
    apart, allowed = farthest(samples, starts, [k * plant.tick for k in range(len(openings))], openings, own), allowed_by_mujoco(door)
    theirs = max(samples["contact_force_n"])
    ours = plant.edge.greatest if plant.edge else 0.0
    told = f", obstacle {theirs:.1f} N, MuJoCo {ours:.1f} N" if plant.edge else ""
    ok = apart <= allowed and abs(ours - theirs) <= OF_FORCE * theirs and len(starts) == len(own)
    print(f"{scenario}: MuJoCo off by {1e6 * apart:.0f} um of {1e6 * allowed:.0f}{told}: {'ok' if ok else 'FAIL'}", flush=True)
    return ok


def bench_seconds():
    """Middle estimate of the bench `reference/cycle`, s."""
    root = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..")
    command = ["cargo", "bench", "-q", "-p", "tautleaf-tests", "--bench", "cycle", "--", "reference/cycle$"]
    text = subprocess.run(command, cwd=root, capture_output=True, check=True, text=True).stdout
    number, unit = re.search(r"time:\s+\[\S+ \S+ (\S+) (\S+)", text).groups()
    return float(number) * {"ns": 1e-9, "µs": 1e-6, "us": 1e-6, "ms": 1e-3, "s": 1.0}[unit]


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary")
    parser.add_argument("scenarios", nargs="+")
    parser.add_argument("--bench", action="store_true", help="also run `cargo bench` for the cycle alone")
    parser.add_argument("--brief", action="store_true", help="one line a door, nothing timed")
    arguments = parser.parse_args()
    one = brief if arguments.brief else beside
    outcomes = [one(arguments, scenario) for scenario in arguments.scenarios]
    sys.exit(0 if all(outcomes) else 1)


def beside(arguments, scenario):
    """One door by all of them; whether they agree. A door that the MuJoCo model leaves out is said to be, and passed over."""
    resolved, result, samples = program(arguments.binary, scenario)
    door = Door(resolved["parameters"])
    try:
        mujoco_s, (openings, plant, log) = least_time(lambda: mujoco_door.run_cycle(door), MUJOCO_RUNS)
    except mujoco_door.NotCovered as why:
        print(f"{scenario}: not in the MuJoCo model: {why}\n")
        return True

    tight_s, (tight, _, _) = least_time(lambda: run_cycle(door), 1)
    starts, reference = commands(tight.controller.log), tight.samples
    allowed = allowed_by_mujoco(door)
    loose_s, (loose, _, _) = least_time(lambda: run_cycle(door, make_plant=LoosePlant), 1)
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    process_s, _ = least_time(lambda: subprocess.run([arguments.binary, "run", scenario, "--json"],
                                                     check=False, **quiet), PROCESS_RUNS, children_time)
    own = farthest(reference, starts, samples["t_s"], samples["clear_opening_m"], program_commands(result["events"]))
    tick = resolved["parameters"]["controller"]["tick_s"]
    by_mujoco = farthest(reference, starts, [k * tick for k in range(len(openings))], openings, commands(log))
    rows = [("program, whole process", process_s, own,
             f"start, file, cycle, force test at {len(result['force'])} gaps, verdicts, advice; "
             f"{result['provenance']['substeps']} steps a tick")]
    if arguments.bench:
        rows.append(("program, cycle alone (cargo bench)", bench_seconds(), None,
                     "controller, winding, belt, friction, stops, figures; the reference door"))
    rows += [
        ("twin, SciPy DOP853, tight", tight_s, 0.0, f"the same without force test; rtol {Plant.rtol:g}, "
         f"at most {1e3 * Plant.finest:g} ms, events located"),
        ("twin, SciPy DOP853, loose", loose_s,
         farthest(reference, starts, loose.samples["t_s"], loose.samples["clear_opening_m"],
                  commands(loose.controller.log)),
         f"the same; rtol {LoosePlant.rtol:g}, at most {1e3 * LoosePlant.finest:g} ms"),
        ("MuJoCo, mechanics alone", plant.stepping_s,
         by_mujoco,
         "bodies, belt, soft friction (controller, winding, forces: not timed); Runge-Kutta, "
         f"{1e3 * plant.step_s:g} ms"),
        ("MuJoCo with controller in Python", mujoco_s, None, "the run that the row above was timed in"),
    ]
    print(f"{scenario}: {tight.plant.t:.2f} s of door time, {platform.machine()}, "
          f"SciPy {scipy.__version__}, MuJoCo {mujoco.__version__}, Python {platform.python_version()}\n")
    base = min(seconds for name, seconds, _, _ in rows if name.startswith("program"))
    print(f"{'':36s} {'time':>10s} {'ratio':>8s} {'off by':>10s}  includes")
    for name, seconds, off, includes in rows:
        shown = "" if off is None else f"{1e6 * off:.2f} um"
        print(f"{name:36s} {1e3 * seconds:7.1f} ms {seconds / base:8.1f} {shown:>10s}  {includes}")
    within = own <= PROGRAM_M and by_mujoco <= allowed
    print(f"\nprogram within {1e3 * PROGRAM_M:g} mm, MuJoCo within {1e3 * allowed:g} mm of the twin: "
          f"{'yes' if within else 'NO'}\n")
    return within


if __name__ == "__main__":
    main()
