#!/usr/bin/env python3
"""A tolerance study on many workers: parts of it handed out by Dask, joined by `tautleaf gather`.

    python tests/reference/spread_dask.py target/release/tautleaf scenarios/reference-glass.toml --runs 2000 --parts 8

Without --scheduler it starts workers on this machine. With it, the address of a Dask scheduler whose workers see the
same program, door file and folder by the same paths. What comes out is the same to the byte as one run of all.
"""

import argparse
import subprocess
from pathlib import Path

from dask.distributed import Client, as_completed


def run_part(program: str, door: str, runs: int, seed: int, part: int, parts: int, out: str) -> str:
    """One part, on one thread: Dask hands out as many as there are workers."""
    command = [program, "spread", door, "--runs", str(runs), "--seed", str(seed)]
    command += ["--part", f"{part}/{parts}", "--threads", "1", "--csv", out]
    subprocess.run(command, check=True, capture_output=True, text=True)
    return out


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("program")
    arguments.add_argument("door")
    arguments.add_argument("--runs", type=int, default=10_000)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--parts", type=int, default=20)
    arguments.add_argument("--workers", type=int, default=2)
    arguments.add_argument("--scheduler", help="address of a scheduler; left out: workers on this machine")
    arguments.add_argument("--folder", default="target/spread-parts", help="where the parts go")
    wanted = arguments.parse_args()

    folder = Path(wanted.folder)
    folder.mkdir(parents=True, exist_ok=True)
    here = {"n_workers": wanted.workers, "threads_per_worker": 1, "dashboard_address": None}
    with Client(wanted.scheduler) if wanted.scheduler else Client(**here) as client:
        program, door = str(Path(wanted.program).resolve()), str(Path(wanted.door))
        futures = [
            client.submit(
                run_part, program, door, wanted.runs, wanted.seed, part, wanted.parts,
                str(folder.resolve() / f"part-{part}.csv"), retries=2, pure=False,
            )
            for part in range(1, wanted.parts + 1)
        ]
        done = []
        for future, out in as_completed(futures, with_results=True):
            done.append(out)
            print(f"{len(done)} of {wanted.parts} parts, {out} by {client.who_has([future])[future.key]}", flush=True)
    whole = [str(folder / "whole.csv"), str(folder / "whole.json")]
    subprocess.run([program, "gather", *done, "--csv", whole[0], "--json", whole[1]], check=True)


if __name__ == "__main__":
    main()
