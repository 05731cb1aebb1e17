"""Names with commas between them in one row and one price behind: "washers, dryers, stoves: free"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from partway.pricelist.lexicon import Lexicon
from partway.pricelist.lines import Item
from partway.spoken.tongue import english

SHARED_FROM = 3  # names in a row of which the last one's price is surely that of all


def listed(items: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    """The items, each of such names with the price; what only describes a name is none: "motherboards, any colour"."""
    found: list[Item] = []
    waiting: list[Item] = []
    for item in items:
        if waiting and not _goes_on(waiting[-1], item):
            found += waiting
            waiting = []
        waiting.append(item)
        if not item.bare or item.heads:
            found += _together(waiting, lexicon)
            waiting = []
    return found + waiting


def _goes_on(before: Item, item: Item) -> bool:
    return item.row == before.row and item.named and item.fresh and not (item.cell or item.stopped)


def _together(row: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    *names, last = row
    if not names or not (last.prices or last.refuses) or last.refuses_first:
        return list(row)
    found = [names[0]]
    for item in (*names[1:], last):
        merged = _merged(found[-1], item, lexicon)
        found[-1:] = [merged] if merged is not None else [found[-1], item]
    *names, last = found
    grades = [one.exact or lexicon.surely(one.words) for one in found]
    shares = last.drawn or last.shared or len(found) >= SHARED_FROM
    if not names or not all(grades) or not shares:
        return found
    others = {grade: one for grade, one in zip(grades, names, strict=False) if grade != grades[-1]}
    shared = (replace(last, words=one.words, exact=one.exact, start=one.start, end=one.end) for one in others.values())
    return [*shared, last if others else replace(last, start=row[0].start)]


def _merged(before: Item, item: Item, lexicon: Lexicon) -> Item | None:
    """Both as one, where the second only describes the first, or where only both together are a name."""
    if before.exact or item.exact or not item.words:
        return None
    together = (*before.words, *item.words)
    describes = not lexicon.knows(item.words) or item.words[0] in english().describes
    if describes and lexicon.surely(before.words):
        return replace(item, words=before.words, start=before.start, cuts=(), gaps=(), fresh=before.fresh)
    apart = lexicon.surely(before.words) and lexicon.surely(item.words)
    if not apart and lexicon.surely(together):
        return replace(item, words=together, start=before.start, cuts=(), gaps=(), fresh=before.fresh)
    return None
