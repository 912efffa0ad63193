"""The program against the twin at the workbench: belt, hanging and tones of whole door files.

    python compare_workbench.py BIN SCENARIO... [--rows]

Runs `BIN belt`, `BIN hang` and `BIN tones` with `--json` and calculates each answer again from `BIN resolve` and the
equations (13), (14) and (30) to (33). These are closed forms on both sides, so they are asked for to a millionth. Three things
are not: the slope from which a door drifts is halved down to 1e-7, and where a tone meets another is known to one place of
the 4000 that the program looks at, between which it draws a straight line: the swings of a meeting may differ by 1 % and by
what the source makes over a fifth of a place. A meeting that lasts less than two swings and no longer than a place may be
seen by one side alone. Prints one line for each door and every row that fails, and leaves with 1 if one fails.
"""

import argparse
import json
import subprocess
import sys

import bench_belt
import bench_hang
import bench_tones
from compare import Table
from door import Door

EXACT, SMALL = 1e-6, 1e-9
BESIDE_A_CORNER = 1e-5  # of a force on an uneven rail: the program looks a nanometre beside the corner of a joint
HALVED_TO = 1e-7  # of a slope
PLACES, OF_A_PLACE, OF_SWINGS, HARDLY_SWINGS = 4000, 0.2, 0.01, 2.0
HEARD_HZ = 31.0


def answer(binary, *arguments):
    done = subprocess.run([binary, *arguments, "--json"], capture_output=True, check=True)
    return json.loads(done.stdout)


def exact(table, name, twin, program, within=EXACT):
    table.row(name, twin, program, within * abs(twin or 0.0) + SMALL)


def all_of(table, name, twin, program):
    """Every figure of the twin against what the program calls the same."""
    for key, value in twin.items():
        along_the_rail = key in ("drift_n", "opening_by_hand_n")
        exact(table, f"{name}: {key}", value, program[key], BESIDE_A_CORNER if along_the_rail else EXACT)


def compare_belt(table, door, told):
    bench = bench_belt.Bench(door)
    exact(table, "belt: run_m", bench.run, told["run_m"])
    all_of(table, "endless", bench.endless(), told["endless"])
    all_of(table, "cut", bench.cut(), told["cut"])
    all_of(table, "clamp", bench.clamp(), told["clamp"])
    all_of(table, "bears", bench_belt.bears(door, bench.wanted), told["bears"])
    exact(table, "belt: wanted tension, N", bench.wanted, told["wanted"]["tension_n"])
    for step in [told["wanted"]] + told["steps"]:
        all_of(table, f"at {step['tension_n']:.0f} N", bench.at_tension(step["tension_n"], told["to_pluck"]["length_m"]), step)
    strands = bench.strands()
    table.judge("belt: number of strands", len(strands), len(told["strands"]), len(told["strands"]) - len(strands), 0)
    for strand in told["strands"]:
        name = f"{strand['name']}, leaf at {strand['leaf_at_m']:g} m"
        all_of(table, name, dict(zip(("length_m", "tone_hz"), strands[strand["span"], strand["leaf_at_m"]])), strand)
    for heard in told["heard"]:
        strand = heard["strand"]
        again = bench.heard(heard["tone_hz"], strands[strand["span"], strand["leaf_at_m"]][0])
        all_of(table, f"heard on {strand['name']} at {strand['leaf_at_m']:g} m", dict(zip(("tension_n", "turns"), again)), heard)
    table.judge("belt: number of strands heard", len(strands), len(told["heard"]), len(told["heard"]) - len(strands), 0)


def compare_hang(table, parameters, told):
    for key, value in bench_hang.figures(parameters).items():
        if key == "drifts_from_m":
            table.row("hang: drifts_from_m", value, told[key], HALVED_TO * bench_hang.rail_length(parameters) + SMALL)
        else:
            exact(table, f"hang: {key}", value, told[key])
    again, cases = bench_hang.cases(parameters), {case["case"]: case for case in told["cases"]}
    table.judge("hang: number of cases", len(again), len(cases), len(cases) - len(again), 0)
    for name, changed in again.items():
        all_of(table, name, bench_hang.case(changed), cases[name])


def compare_tones(table, door, told):
    tones = bench_tones.Tones(door)
    sources = {source["name"]: source for source in told["sources"]}
    answers = {one["name"]: one for one in told["answers"]}
    exact(table, "tones: swings to sing", bench_tones.SWINGS_TO_SING, told["swings_to_sing"])
    for name in sources | tones.sources:
        swings, source = tones.sources.get(name), sources.get(name, {})
        exact(table, f"{name}: swings a metre", swings, source.get("swings_per_m"))
        for way, (_, settings) in tones.ways.items():
            exact(table, f"{name}: {way}, Hz", swings and swings * settings["speed_m_per_s"], source.get(f"{way}_hz"))
    for name in answers | tones.answers:
        for place, x in (("closed", 0.0), ("open", door.opens)):
            again = tones.at_rest(name, x) if name in tones.answers else None
            exact(table, f"{name}: {place}, Hz", again, answers.get(name, {}).get(f"{place}_hz"))
    compare_meetings(table, tones, told["meetings"])


def compare_meetings(table, tones, told):
    theirs, ours, place = tones.meetings(), {}, tones.opens / PLACES
    for meeting in told:
        ours.setdefault((meeting["source"], meeting["answer"], meeting["way"]), []).append(meeting)
    for key in sorted(theirs | ours):
        swings = tones.sources.get(key[0])
        lasting = [ends for ends in theirs.get(key, []) if swings is not None]
        found = sorted(ours.get(key, []), key=lambda m: m["from_m"] * (1 if key[2] == "opening" else -1))
        lasting, found = pair_up(lasting, found, swings, place)
        name = f"{key[2]}: {key[0]}, {key[1]}"
        table.judge(f"{name}: meetings", len(lasting), len(found), len(found) - len(lasting), 0)
        for (begin, end), meeting in zip(lasting, found):
            table.row(f"{name}: from, m", begin, meeting["from_m"], place + SMALL)
            table.row(f"{name}: to, m", end, meeting["to_m"], place + SMALL)
            made = swings * abs(end - begin)
            table.row(f"{name}: swings", made, meeting["swings"], OF_SWINGS * made + OF_A_PLACE * place * swings)
            sings = made >= bench_tones.SWINGS_TO_SING
            table.judge(f"{name}: sings", sings, meeting["sings"], meeting["sings"] - sings, 0)


def pair_up(lasting, found, swings, place):
    """Both without those meetings that are hardly one and that the other side has not."""
    def near(ends, meeting):
        return abs(ends[0] - meeting["from_m"]) <= 2 * place and abs(ends[1] - meeting["to_m"]) <= 2 * place

    ours = [m for m in found if m["swings"] >= HARDLY_SWINGS or any(near(ends, m) for ends in lasting)]
    theirs = [ends for ends in lasting if abs(ends[1] - ends[0]) > place or swings * abs(ends[1] - ends[0]) >= HARDLY_SWINGS
              or any(near(ends, m) for m in found)]
    return theirs, ours


def compare(binary, scenario):
    """One door file, both ways. Returns its table."""
    parameters = answer(binary, "resolve", scenario)["parameters"]
    table, door = Table(scenario), Door(parameters)
    compare_belt(table, door, answer(binary, "belt", scenario, "--heard", f"{HEARD_HZ:g} Hz"))
    compare_hang(table, parameters, answer(binary, "hang", scenario))
    compare_tones(table, door, answer(binary, "tones", scenario))
    return table


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary")
    parser.add_argument("scenarios", nargs="+")
    parser.add_argument("--rows", action="store_true", help="print every row, not only those that fail")
    arguments = parser.parse_args()
    passed = failed = 0
    for scenario in arguments.scenarios:
        table = compare(arguments.binary, scenario)
        passed, failed = passed + table.passed, failed + table.failed
        print(table.text(arguments.rows), flush=True)
    print(f"\n{passed} passed, {failed} failed")
    sys.exit(0 if passed and not failed else 1)  # nothing compared is no agreement


if __name__ == "__main__":
    main()
