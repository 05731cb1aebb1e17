"""How long reading a price list takes, line by line, over the corpus of lists in tests/references/price_lists.

Every line is read alone, once with nothing remembered of its words and once again; seconds are of the processor. A line
that is said to take long is read four times more, each time with nothing remembered, and its middle counts.

`--one-more N` tries the law of one more word (tests/one_more.py) on N drawn lines and lists instead, and says which
words changed a price in silence or were dropped in silence.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
import tomllib
from collections import defaultdict
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


def one_more(count: int, seed: int) -> None:
    """Try the law of one more word on drawn lines, and print what it was broken by."""
    sys.path.insert(0, str(CORPUS.parent.parent))
    law = __import__("one_more")
    draw = random.Random(seed)
    broken: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for _ in range(count):
        tried = law.one_more(draw)
        if why := law.fault(tried):
            broken[tried.law, tried.place, why, tried.word].append(tried.text)
    print(f"{count} tried, {sum(map(len, broken.values()))} against the law")
    for key, texts in sorted(broken.items(), key=lambda pair: -len(pair[1])):
        print(f"{len(texts):4} {' | '.join(key)}: {texts[0]!r}")


def main() -> None:
    """Read every line and print average and worst; or try the law of one more word."""
    options = argparse.ArgumentParser()
    options.add_argument("--one-more", type=int, default=0, metavar="N")
    options.add_argument("--seed", type=int, default=0)
    said = options.parse_args()
    if said.one_more:
        one_more(said.one_more, said.seed)
        return
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
