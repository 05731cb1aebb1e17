"""What it costs as years, waiting finds, kinds and buyers grow, on SQLite and on PostgreSQL, in one run: docs/scale.md.

.venv/bin/python benchmarks/scale.py [--axes years,waiting,kinds,buyers] [--results FILE] [--most 3]
.ci/postgres with .venv/bin/python benchmarks/scale.py     on PostgreSQL, too

Each town has a process of its own. Seconds are of the processor, so a busy machine tells the same story. "grows" is
the slope of the line through the last three points, both axes logarithmic: 0 does not grow, 1 is in proportion, 2 is
square.
With `--results` a stopped run goes on.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path

import numpy as np
import results
from scale_towns import Town

RUNNER = Path(__file__).with_name("scale_measure.py")
POSTGRES = "PARTWAY_TEST_POSTGRES"
YEARS = (1 / 12, 1.0, 3.0, 10.0)
TOWNS: dict[str, dict[float, Town]] = {
    "years": {round(years, 2): Town(years=years, waiting=round(200 * years)) for years in YEARS},
    "waiting": {n: Town(waiting=n) for n in (100, 1000, 5000, 20_000)},
    "kinds": {n: Town(kinds=n) for n in (50, 200, 1000)},
    "buyers": {n: Town(buyers=n) for n in (3, 12, 25, 50)},
}
STEPS = {"years": "pages,carry,plan", "waiting": "pages,plan", "kinds": "pages,plan", "buyers": "pages,plan"}
NOISE = 0.004  # seconds: below this a slope says nothing
Costs = dict[str, float]


def cost(axis: str, town: Town, kind: str, kept: Path | None) -> Costs:
    """What a town costs; from the file where it is there already."""
    key = {"town": asdict(town), "store": kind, "steps": STEPS[axis], "commit": results.commit()}
    known = results.kept(kept, key)
    if known is None:
        command = [sys.executable, str(RUNNER), json.dumps(asdict(town)), kind, STEPS[axis]]
        done = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True)
        known = json.loads(done.stdout.splitlines()[-1])
        results.keep(kept, key, known)
    return known


def slope(sizes: Sequence[float], costs: Sequence[float]) -> float | None:
    """How a cost grows with the size, by the last three points; None where it is too little to say."""
    sizes, costs = sizes[-3:], costs[-3:]
    if len(sizes) < 2 or min(costs) < NOISE:
        return None
    return float(np.polyfit(np.log(sizes), np.log(costs), 1)[0])


def table(axis: str, kind: str, found: dict[float, Costs]) -> str:
    """All costs along an axis, one a line, in the way Markdown writes tables."""
    sizes = list(found)
    lines = ["", f"| {axis}, {kind} | " + " | ".join(f"{size:g}" for size in sizes) + " | grows |"]
    lines.append("|---" * (len(sizes) + 2) + "|")
    for name in found[sizes[-1]]:
        costs = [one.get(name, float("nan")) for one in found.values()]
        grows = slope(sizes, costs)
        shown = " | ".join(_figure(name)(value) for value in costs)
        lines.append(f"| {name} | {shown} | {'' if grows is None else f'{grows:.1f}'} |")
    return "\n".join(lines)


def _figure(name: str) -> Callable[[float], str]:
    if "MB" in name or "kB" in name or "memory" in name or name in ("events", "columns"):
        return lambda value: f"{value:,.0f}" if value >= 10 else f"{value:.1f}"
    if name == "gap":
        return lambda value: f"{value:.1e}"
    return lambda value: f"{value:.2f} s" if value >= 1 else f"{1000 * value:.0f} ms" if value >= NOISE else "< 4 ms"


def main() -> None:
    parser = argparse.ArgumentParser(description="what it costs as a ledger grows")
    parser.add_argument("--axes", default=",".join(TOWNS))
    parser.add_argument("--most", type=int, default=9, help="towns of each axis, from the smallest")
    parser.add_argument("--stores", default="sqlite,postgres" if os.environ.get(POSTGRES) else "sqlite")
    parser.add_argument("--results", type=Path, help="a file that keeps the costs of each town as they come")
    given = parser.parse_args()
    print(f"commit {results.commit()}, load {os.getloadavg()[0]:.1f}")
    for axis in given.axes.split(","):
        for kind in given.stores.split(","):
            towns = list(TOWNS[axis].items())[: given.most]
            print(table(axis, kind, {size: cost(axis, town, kind, given.results) for size, town in towns}), flush=True)


if __name__ == "__main__":
    main()
