"""Plans of tiny scenarios of the odd kind against trying everything, in bulk.

.venv/bin/python benchmarks/brute.py [--first 0] [--count 3000] [--minutes 60]

One process. A run can be taken up again where it ended: --first takes the seed that the last line names. Prints each
disagreement as it is found and how many were enumerated, too large to enumerate, and wrong. Exits with 1 where any is.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

from tiny_odd import scenario
from tried_and_planned import compare

EVERY = 250  # scenarios from one line of progress to the next


def main() -> None:
    """Count, print, exit."""
    parser = argparse.ArgumentParser(description="plans of odd tiny scenarios against trying everything")
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--count", type=int, default=3000, help="how many seeds")
    parser.add_argument("--minutes", type=float, default=60.0, help="end after about so many minutes")
    given = parser.parse_args()
    until = time.monotonic() + 60.0 * given.minutes
    tried = large = wrong = doubted = 0
    seed = given.first
    while seed < given.first + given.count and time.monotonic() < until:
        both = compare(scenario(seed))
        if both is None:
            large += 1
        else:
            tried += 1
            doubted += bool(both.doubts)
            if not both.agree:
                wrong += 1
                print(f"seed {seed}: {both}", flush=True)
        seed += 1
        if (seed - given.first) % EVERY == 0:
            print(f"to seed {seed}: {tried} enumerated, {large} too large, {wrong} disagree", flush=True)
    print(
        f"seeds {given.first} to {seed - 1}: {tried} enumerated, {large} too large, {wrong} disagree, {doubted} doubted"
        f"; next --first {seed}"
    )
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
