"""The whole second calculation and the rigid-body engine, over every door there is.

    python everything.py BIN [--jobs N]

Runs compare.py (runs against the twin), compare_workbench.py (belt, hanging and tones) and side_by_side.py --brief (mechanics in
MuJoCo) over scenarios/*.toml and doors/*.toml, one after the other, and leaves with 1 if one of them found something.
"""

import argparse
import pathlib
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary", type=pathlib.Path)
    parser.add_argument("--jobs", help="doors calculated at the same time by compare.py")
    arguments = parser.parse_args()
    doors = sorted((HERE / "../../scenarios").resolve().glob("*.toml")) + sorted((HERE / "doors").glob("*.toml"))
    jobs = ["--jobs", arguments.jobs] if arguments.jobs else []
    failed = []
    for script, *options in (["compare.py", *jobs], ["compare_workbench.py"], ["side_by_side.py", "--brief"]):
        print(f"== {script} over {len(doors)} doors", flush=True)
        command = [sys.executable, HERE / script, *options, arguments.binary.resolve(), *doors]
        if subprocess.run(command, check=False).returncode != 0:
            failed.append(script)
    print(f"== {'all agree' if not failed else 'disagreements in ' + ', '.join(failed)}")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
