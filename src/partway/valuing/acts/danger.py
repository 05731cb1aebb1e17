"""What lies here too long for what it can do: batteries, fuel and gas in a bin, or in a find that nobody opened."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping

from partway.catalogue import Catalogue
from partway.catalogue.named import hazards_of
from partway.ledger.book import Book
from partway.ledger.days import days_between
from partway.ledger.fold.standing import BinNow, FindNow
from partway.things.material import Caution, Grade
from partway.valuing.acts.act import Act, Sort
from partway.valuing.bin_age import ages_from_last

YEAR = 365  # days: of what lies longer it is only said that it does
LONG = 30  # days that such a thing may lie before it is named first (common practice, no source)
FIRE = frozenset({"lithium-metal"})  # can burn by itself, though it may stay where it is when the rest is sold


def hazards_in_bins(
    book: Book,
    bins: Iterable[BinNow],
    grades: Mapping[str, Grade],
    cautions: Mapping[str, Caution],
    now: dt.datetime,
) -> tuple[Act, ...]:
    """The bins that hold something dangerous for long, as one act about the one that has held it longest."""
    pressing = {one.id: _pressing(grades[one.grade].hazards, cautions) for one in bins if one.grade in grades}
    held = [one for one in bins if one.mg > 0 and pressing.get(one.id)]
    ages = ages_from_last(book, held, now, YEAR)
    there = ((YEAR if (days := ages[one.id]) is None else days, one.id) for one in held)  # at most a year is said
    return _longest("hazard-bin", [(days, of, pressing[of]) for days, of in there if days >= LONG])


def hazards_in_finds(
    finds: Iterable[FindNow], known: Catalogue, cautions: Mapping[str, Caution], now: dt.datetime
) -> tuple[Act, ...]:
    """The same for finds that wait: by what their kind can hold."""
    by_kind: dict[str, tuple[str, ...]] = {}
    old: list[tuple[int, str, tuple[str, ...]]] = []
    for find in finds:
        days = days_between(find.found, now, now.tzinfo)
        if days < LONG or not known.knows(find.kind):
            continue
        if find.kind not in by_kind:
            by_kind[find.kind] = _pressing(hazards_of(known.anatomy(find.kind), known.grades), cautions)
        if by_kind[find.kind]:
            old.append((days, find.id, by_kind[find.kind]))
    return _longest("hazard-find", old)


def _pressing(hazards: Iterable[str], cautions: Mapping[str, Caution]) -> tuple[str, ...]:
    """Those that have to come out before anything is sold, or that can burn."""
    return tuple(h for h in dict.fromkeys(hazards) if h in FIRE or (h in cautions and cautions[h].out_first))


def _longest(sort: Sort, old: list[tuple[int, str, tuple[str, ...]]]) -> tuple[Act, ...]:
    if not old:
        return ()
    days, subject, hazards = min(old, key=lambda one: (-one[0], one[1]))
    return (Act(sort, subject, count=len(old), hazards=hazards, days=days),)
