"""How long reading a price list takes, line by line, over the corpus of lists in tests/references/price_lists.

Every line is read alone, once with nothing remembered of its words and once again; seconds are of the processor. A line
that is said to take long is read four times more, each time with nothing remembered, and its middle counts.
"""

from __future__ import annotations

import statistics
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path

from partway.catalogue import shipped
from partway.pricelist import read_price_list
from partway.pricelist.lexicon import lexicon_of

CORPUS = Path(__file__).parent.parent / "tests" / "references" / "price_lists"
AGAIN, SLOW = 4, 0.004  # seconds from which a line is read again
GRADES = shipped().grades


def lines() -> Iterator[tuple[str, str, str, bool]]:
    """Each line of the corpus: text, currency, unit, whether decimals come after a comma."""
    for file in sorted(CORPUS.glob("*.toml")):
        for one in tomllib.loads(file.read_text(encoding="utf-8"))["list"]:
            for line in one["text"].strip().splitlines():
                if line.strip():
                    unit = one.get("unit", "lb").replace("each", "lb")
                    yield line, one.get("currency", "CAD"), unit, one.get("comma", False)


def seconds(line: tuple[str, str, str, bool], *, cold: bool) -> float:
    """Processor time for one line."""
    if cold:
        for memory in ("_alike", "_matched"):
            getattr(lexicon_of(GRADES), memory, {}).clear()
    text, currency, unit, comma = line
    began = time.process_time()
    read_price_list(text, GRADES, currency, unit, {}, comma=comma)
    return time.process_time() - began


def main() -> None:
    """Read every line and print average and worst."""
    seconds(("copper 4.10", "CAD", "lb", False), cold=False)  # the lexicon is made once
    taken: list[tuple[float, str]] = []
    warm: list[float] = []
    for line in lines():
        first = seconds(line, cold=True)
        if first > SLOW:
            first = statistics.median([first, *(seconds(line, cold=True) for _ in range(AGAIN))])
        taken.append((first, line[0]))
        warm.append(seconds(line, cold=False))
    worst, text = max(taken)
    print(f"{len(taken)} lines, nothing remembered: {1000 * statistics.mean(t for t, _ in taken):.2f} ms on average")
    print(f"worst {1000 * worst:.1f} ms: {text[:60]!r}")
    print(f"read again: {1000 * statistics.mean(warm):.2f} ms on average, worst {1000 * max(warm):.1f} ms")


if __name__ == "__main__":
    main()
