"""Depth alone: 100,000 finds of 30 pieces at once, against one find after another in plain Python.

.venv/bin/python benchmarks/depth.py [finds]
"""

from __future__ import annotations

import datetime as dt
import sys
import time

import numpy as np

from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
PIECES = 30


def instance(rng: np.random.Generator) -> Instance:
    """One find of thirty pieces, three below each that opens, every piece with a price."""
    pieces = tuple(
        Piece(f"p{i}", f"p{i}", Estimate.exact(30.0 / (i + 1)), (SaleAs(f"g{i % 12}"),)) for i in range(PIECES)
    )
    operations = tuple(
        Operation(f"o{i}", f"o{i}", f"p{i}", Estimate(1.0, 2.0, 4.0), tuple(Gives(f"p{c}") for c in children))
        for i in range(PIECES)
        if (children := [c for c in range(3 * i + 1, 3 * i + 4) if c < PIECES])
    )
    quotes = tuple(Quote(f"g{g}", Estimate.exact(float(rng.uniform(0.1, 6.0))), DAY) for g in range(12))
    return build(
        Scenario(
            name="depth",
            currency="GBP",
            on=DAY,
            hours=Hours(1.0, 1.0, 12.0),
            vehicle=Vehicle(100.0),
            buyers=(Buyer("yard", "yard", km=1.0, quotes=quotes),),
            finds=(Find("kind"),),
            stock={},
            grades={f"g{g}": Grade(f"g{g}", f"g{g}", "demo", Estimate.exact(1.0)) for g in range(12)},
            anatomies={"kind": Anatomy("kind", "kind", pieces, operations)},
        )
    )


def main() -> None:
    """Print the seconds for all finds at once, and for a hundredth of them one by one, scaled up."""
    finds = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    rng = np.random.default_rng(1)
    one = instance(rng)
    programme = Programme(one)
    expected = DepthTerms.expected(one)
    size = rng.lognormal(0.0, 0.2, (PIECES, finds))
    terms = DepthTerms(size, expected.per_kg, expected.kept_per_kg, expected.hours, expected.income, expected.wage)
    programme.values(expected)
    began = time.perf_counter()
    values = programme.values(terms)
    at_once = time.perf_counter() - began
    few = finds // 100
    began = time.perf_counter()
    for i in range(few):
        draw = DepthTerms(size[:, i : i + 1], terms.per_kg, terms.kept_per_kg, terms.hours, terms.income, terms.wage)
        alone = programme.values(draw)
        if alone.worth[0, 0] != values.worth[0, i]:
            raise SystemExit("one find and many gave different answers")
    one_by_one = (time.perf_counter() - began) * finds / few
    print(f"{finds} finds of {PIECES} pieces: {at_once:.3f} s at once")
    print(f"one by one {one_by_one:.1f} s, {one_by_one / at_once:.0f} times as long")


if __name__ == "__main__":
    main()
