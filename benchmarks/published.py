"""Instances that others published: what they found, what the search finds and proves, in processor seconds.

.venv/bin/python benchmarks/published.py [FILE or FOLDER ...] [--seconds 60]

Without a file those of tests/references/trips. The others are not ours to hand on: fetch TPPLIB or OPLib and name the
folder. Each instance is read by `published_sets`, its best value by published_best.toml; every plan is checked by
`verify`, without the solver.
"""

from __future__ import annotations

import argparse
import math
import time
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from published_sets import Published, Unread, read

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search

HERE = Path(__file__).parent
CARRIED = HERE.parent / "tests" / "references" / "trips"
ENDINGS = {".tpp", ".oplib", ".vrp", ".txt"}
GAP = 1e-6
WHOLE = 0.01  # published figures are whole numbers
HEAD = f"{'instance':24} {'best':>8} {'ours':>9} {'bound':>9} {'gap':>8} {'first, s':>9} {'first':>9} {'seconds':>8}"


@dataclass(frozen=True)
class Result:
    """What the search made of one instance, in its published figure; seconds are of the processor."""

    ours: float
    bound: float
    proven: bool
    first: float
    first_seconds: float
    seconds: float


def solved(one: Published, seconds: float) -> Result:
    """Search for so many seconds on the wall."""
    instance = build(one.scenario)
    heard: list[tuple[float, float]] = []
    began = time.process_time()

    def told(worth: float, _: float) -> None:
        if not heard or heard[0][1] <= 0.0:  # a plan that stays at home is not counted as the first
            heard[:] = [(time.process_time() - began, worth)]

    found = search(instance, seconds, GAP, told)
    took = time.process_time() - began
    worth = verify(instance, found.decision).money.total
    when, first = heard[0]
    return Result(one.figure(worth), one.figure(found.bound), found.optimal, one.figure(first), when, took)


def line(one: Published, best: float | None, result: Result) -> str:
    """One row of the table. The gap is to the bound; a figure better than the best one is marked."""
    gap = abs(result.bound - result.ours) / max(1.0, abs(result.ours))
    shown = "proven" if result.proven else f"{gap:.1e}"
    known = "-" if best is None else f"{best:g}"
    better = best is not None and (result.ours > best + WHOLE if one.most else result.ours < best - WHOLE)
    return (
        f"{one.name:24} {known:>8} {result.ours:9.2f} {result.bound:9.2f} {shown:>8}"
        f" {result.first_seconds:9.2f} {result.first:9.2f} {result.seconds:8.2f}{'  better' if better else ''}"
    )


def best_values() -> dict[str, float]:
    """The best published value of each instance."""
    tables = tomllib.loads((HERE / "published_best.toml").read_text(encoding="utf-8"))["from"]
    return {name: float(value) for table in tables for name, value in table["values"].items()}


def files(given: list[Path]) -> Iterator[Path]:
    """The instances named, and those in the folders named."""
    for path in given or [CARRIED]:
        yield from sorted(p for p in path.iterdir() if p.suffix in ENDINGS) if path.is_dir() else [path]


def main() -> None:
    """Read the arguments and print the table."""
    parser = argparse.ArgumentParser(description="the search on instances that others published")
    parser.add_argument("paths", nargs="*", type=Path, help="files or folders of TPPLIB, OPLib or CVRPLIB")
    parser.add_argument("--seconds", type=float, default=60.0, help="on the wall, for each instance")
    asked = parser.parse_args()
    best, missed = best_values(), []
    print(HEAD)
    for path in files(asked.paths):
        try:
            one = read(path)
        except (Unread, OSError, KeyError, ValueError) as error:
            print(f"{path.name:24} not read: {error}")
            continue
        result = solved(one, asked.seconds)
        print(line(one, best.get(one.name), result), flush=True)
        missed.append(math.inf if not result.proven else 0.0)
    print(f"{missed.count(0.0)} of {len(missed)} proven")


if __name__ == "__main__":
    main()
