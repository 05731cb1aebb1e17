"""Which test to ask next: ours against the fixed order, against magnet and file alone, and the best possible order.

.venv/bin/python benchmarks/identify.py [pieces]

Everything is in kg of No. 2 copper, by the catalogue's ratios; pieces of half a kilogram, drawn from its tables.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from drawn_pieces import (
    Exhaustive,
    Policy,
    by_gain,
    case_of,
    drawn,
    in_order,
    magnet_and_file,
    scored,
)

CONTEXTS = ("loose", "screws", "wire", "components", "taps", "plastics")
WAGES = (0.0, 1.5)  # kg of No. 2 copper an hour
SEED = 20260314


def main(pieces: int) -> None:
    print("context     wage  way              right  tests  minutes  lost/piece  all costs  against the fixed order")
    for context in CONTEXTS:
        for wage in WAGES:
            compare(context, wage, pieces)
    print("\ncontext    wage  of what testing can bring, ours gets   states tried in s")
    for context in ("wire", "screws", "plastics"):
        for wage in (0.0, 0.5, 4.0):
            exhaust(context, wage)


def compare(context: str, wage: float, pieces: int) -> None:
    """The same pieces, one way after another."""
    case, rng = case_of(context, wage=wage), random.Random(f"{context} {SEED}")
    drawn_ones = [drawn(case, rng) for _ in range(pieces)]
    ways: tuple[Policy, ...] = (in_order, by_gain, magnet_and_file)
    fixed = None
    for way in ways[: 2 if context == "plastics" else 3]:
        score = scored(case, drawn_ones, way)
        minutes = score.minutes / pieces
        cost = score.mean_lost + minutes * wage / 60.0
        fixed = fixed or (score.mean_tests, cost)
        ratios = f"tests {score.mean_tests / fixed[0]:.2f}, costs {cost / fixed[1]:.2f}"
        print(
            f"{context:10} {wage:5.1f}  {way.__name__:15} {score.accuracy:6.1%} {score.mean_tests:6.2f} {minutes:8.2f}"
            f" {score.mean_lost:11.4f} {cost:10.4f}  {ratios}"
        )


def exhaust(context: str, wage: float) -> None:
    """Ours against the best of all orders, exactly."""
    began = time.monotonic()
    tried = Exhaustive(case_of(context, mass=40.0 if context == "plastics" else 2.0, wage=wage))
    nothing, ours, best = tried.stopped(()), tried.ours(()), tried.best(())
    print(f"{context:10} {wage:4.1f}  {(ours - nothing) / (best - nothing):.4f}  {time.monotonic() - began:30.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
