"""Ten thousand cycles of one door: the program's studies beside a plain loop over MuJoCo, in one run on this machine.

    python many_cycles.py BIN SCENARIO [--cycles 10000] [--threads 2] [--looped 5]

Rows: a study of the program without the force test, and judged as the door file asks; the same on one thread; then the cycle in
MuJoCo in a plain loop, its mechanics alone and with controller and forces in Python. The loop runs a few cycles and is counted
up: each of its cycles costs the same. Every row is wall time, and gives cycles a second and the time over that of the first.
"""

import argparse
import json
import subprocess
import tempfile
import time

import mujoco_door
from door import Door


def study_s(arguments, threads, *more):
    """Wall time of a study of the program, s; whether it ended as it should."""
    with tempfile.TemporaryDirectory() as folder:
        out = f"{folder}/study.json"
        command = [arguments.binary, "spread", arguments.scenario, "--runs", str(arguments.cycles),
                   "--threads", str(threads), "--json", out, *more]
        start = time.perf_counter()
        done = subprocess.run(command, capture_output=True, check=False)
        took = time.perf_counter() - start
        if done.returncode not in (0, 1):  # 1: a limit is over in some door, which is a result
            raise RuntimeError(done.stderr.decode())
        with open(out, encoding="utf-8") as file:
            json.load(file)
    return took


def looped_s(arguments):
    """Wall time of so many cycles in MuJoCo, counted up from a few: inside the engine alone, and all of it, s."""
    resolved = subprocess.run([arguments.binary, "resolve", arguments.scenario, "--json"], capture_output=True, check=True)
    door = Door(json.loads(resolved.stdout)["parameters"])
    start, inside = time.perf_counter(), 0.0
    for _ in range(arguments.looped):
        inside += mujoco_door.run_cycle(door)[1].stepping_s
    whole = time.perf_counter() - start
    return [arguments.cycles / arguments.looped * part for part in (inside, whole)]


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary")
    parser.add_argument("scenario")
    parser.add_argument("--cycles", type=int, default=10_000)
    parser.add_argument("--threads", type=int, default=2)
    parser.add_argument("--looped", type=int, default=5)
    arguments = parser.parse_args()
    unjudged = "--no-force-test"
    rows = [(f"study, no force test, {arguments.threads} threads", study_s(arguments, arguments.threads, unjudged)),
            (f"study, judged with the force test, {arguments.threads} threads", study_s(arguments, arguments.threads)),
            ("study, no force test, 1 thread", study_s(arguments, 1, unjudged))]
    inside, whole = looped_s(arguments)
    rows += [("MuJoCo in a plain loop, mechanics alone, 1 thread", inside),
             ("MuJoCo in a plain loop, controller in Python, 1 thread", whole)]
    print(f"{arguments.scenario}, {arguments.cycles} cycles; the loop counted up from {arguments.looped}\n")
    print(f"{'':56s} {'time':>9s} {'cycles/s':>9s} {'ratio':>7s}")
    for name, seconds in rows:
        print(f"{name:56s} {seconds:7.1f} s {arguments.cycles / seconds:9.1f} {seconds / rows[0][1]:7.1f}")


if __name__ == "__main__":
    main()
