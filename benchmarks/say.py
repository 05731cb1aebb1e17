"""How long reading what was said takes, sentence by sentence, over tests/references/sentences.

Each sentence is read on a new bench of the tests five times, with nothing remembered of the names near its own; its
middle counts. Seconds are of the processor.
"""

from __future__ import annotations

import statistics
import sys
import time
from contextlib import suppress
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from sentence_world import SENTENCES, bench, sentences

from partway.actions.saying.say import read_said
from partway.errors import Refused
from partway.reports.curb import slips

TIMES = 5


def seconds(said: str) -> float:
    """Processor time for one sentence, the middle of some."""
    taken = []
    for _ in range(TIMES):
        day = bench()
        context = day.context()
        for memory in (slips.slips, slips.slipped):
            memory.cache_clear()
        began = time.process_time()
        with suppress(Refused):
            read_said(day.book, context, said)
        taken.append(time.process_time() - began)
    return statistics.median(taken)


def main() -> None:
    """Read every sentence and print average and worst."""
    seconds("found a fan")  # the lexicons are made once
    halves = sorted(file.stem for file in SENTENCES.glob("*.toml"))
    found = sorted(((seconds(one.said), one.said) for half in halves for one in sentences(half)), reverse=True)
    times = [one for one, _ in found]
    print(f"{len(times)} sentences: {1000 * statistics.mean(times):.1f} ms on average, {sum(t > 0.01 for t in times)}"
          " of them above 10 ms")  # fmt: skip
    for taken, said in found[:5]:
        print(f"  {1000 * taken:.1f} ms: {said[:70]!r}")


if __name__ == "__main__":
    main()
