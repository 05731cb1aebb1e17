"""Names with commas between them in one row and one price behind: "washers, dryers, stoves: free"."""

from __future__ import annotations

from collections.abc import Sequence

from partway.pricelist.copying import replace
from partway.pricelist.layout.conditions import more_than_clean
from partway.pricelist.lexicon import Lexicon
from partway.pricelist.lines import Item
from partway.pricelist.names import idle, plain_words, states
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
    if (one := _all_one(row, lexicon)) is not None:
        return [one]
    found = [names[0]]
    for item in (*names[1:], last):
        merged = _merged(found[-1], item, lexicon)
        found[-1:] = [merged] if merged is not None else [found[-1], item]
    *names, last = found = _of_one_family(found, lexicon)
    grades = [one.exact or lexicon.surely(one.words) for one in found]
    shares = last.drawn or last.shared or len(found) >= SHARED_FROM
    if not names or not all(grades) or not shares:
        return found
    others = {grade: one for grade, one in zip(grades, names, strict=False) if grade != grades[-1]}
    shared = (replace(last, words=one.words, exact=one.exact, start=one.start, end=one.end) for one in others.values())
    return [*shared, last if others else replace(last, start=row[0].start)]


def _all_one(row: Sequence[Item], lexicon: Lexicon) -> Item | None:
    """The row as one item, where only all of its words are a name, "copper, bare, shiny", or all mean the same."""
    *names, last = row
    grades = {one.exact or lexicon.surely(one.words) for one in row}
    if len(grades) == 1 and "" not in grades:
        return replace(last, start=row[0].start, fresh=row[0].fresh)  # "brass taps, chromed"
    together = tuple(word for one in row for word in one.words)
    if any(one.exact for one in row) or any(lexicon.surely(one.words) for one in names) or len(row) < SHARED_FROM:
        return None
    whole = lexicon.surely(together) and not lexicon.surely(last.words)
    return replace(last, words=together, start=row[0].start, cuts=(), gaps=(), fresh=row[0].fresh) if whole else None


def _of_one_family(row: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    """The names, an open one as what it is in the family of the last: "cans, sheet, cast aluminium 55 cents"."""
    last = row[-1].exact or lexicon.surely(row[-1].words)
    if not last:
        return list(row)

    def told(item: Item) -> Item:
        for word in row[-1].words:  # what the last name says of all: "sheet" and "cast aluminium"
            if not lexicon.surely(item.words) and lexicon.surely((*item.words, word)):
                return replace(item, words=(*item.words, word), cuts=())
        scores, whole = lexicon.match(item.words)
        left = [grade for grade, _ in scores if lexicon.families[grade] == lexicon.families[last]]
        return replace(item, exact=left[0], called=item.words) if whole and len(scores) > 1 and len(left) == 1 else item

    return [item if item.exact else told(item) for item in row]


def _merged(before: Item, item: Item, lexicon: Lexicon) -> Item | None:
    """Both as one, where the second only describes the first, or where only both together are a name."""
    if item.exact or not item.words:
        return None
    together = (*before.words, *item.words)
    idles = all(word in idle() | states() for word in plain_words(item.words))  # "laptops or towers, complete"
    describes = idles or not lexicon.knows(item.words) or item.words[0] in english().describes
    if describes and (before.exact or before.cuts or lexicon.match(before.words)[1]):
        return replace(
            item,
            words=before.words,
            exact=before.exact,
            start=before.start,
            cuts=before.cuts,
            gaps=(),
            fresh=before.fresh,
            left=(*before.left, *more_than_clean(item.words), *item.left),
        )
    sort = not before.exact and lexicon.surely(together)
    if _as_it_comes(item.words) and not sort and (before.exact or lexicon.surely(before.words)):
        named = replace(item, words=before.words, exact=before.exact, cuts=before.cuts)
        return replace(named, start=before.start, gaps=(), fresh=before.fresh)
    if before.exact:
        return None
    first = lexicon.surely(before.words)
    same = bool(first) and lexicon.surely(together) == first  # "memory, gold fingers" is memory
    apart = first and lexicon.surely(item.words) and not same
    if not apart and lexicon.surely(together):
        return replace(item, words=together, start=before.start, cuts=(), gaps=(), fresh=before.fresh)
    return None


def _as_it_comes(words: Sequence[str]) -> bool:
    """Whether words only say what is on a thing as it mostly comes: "hard drives, board attached: .90"."""
    tongue = english()
    fits = tongue.fitted.intersection(words)
    return bool(fits) and tongue.fittings | tongue.fitted >= set(words)
