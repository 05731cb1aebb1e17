"""How a bin came to hold what it holds: age first in first out, mass by day, and the last changes."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.days import day_of, days_between
from partway.ledger.fold.history import Flow
from partway.ledger.fold.standing import BinNow
from partway.quantities import MG_PER_KG
from partway.valuing.origins import still_there

DAYS = 60  # that a bin's history goes back, and as far as the age of what is in it is looked up for all bins together
LAST, MORE = 64, 8  # arrivals of one bin that are read at first, and how many times as many where they do not tell


@dataclass(frozen=True, slots=True)
class DayFlow:
    """What went in and out of a bin on a day, and what it held at its end."""

    on: str
    in_kg: float
    out_kg: float
    held_kg: float


@dataclass(frozen=True, slots=True)
class BinHistory:
    """A bin's mass over so many days up to `on`: before them, at most, and now; `days` are those with movements."""

    on: dt.date
    span: int
    before_kg: float
    top_kg: float
    now_kg: float
    days: tuple[DayFlow, ...]


@dataclass(frozen=True, slots=True)
class BinChange:
    """One event in a bin: `what` opened, recounted, moved or ticketed; `change_kg` below 0 for what went out.

    `other` is where it came from or went: a find, a bin, a buyer, loss or outside.
    """

    on: str
    what: str
    change_kg: float
    other: str


def by_bin(flows: Iterable[Flow]) -> dict[str, list[Flow]]:
    """The flows of each bin; one between two bins counts for both."""
    found: dict[str, list[Flow]] = defaultdict(list)
    for flow in flows:
        for place in {flow.move.source, flow.move.target}:
            if place.startswith("bin:"):
                found[place[4:]].append(flow)
    return found


def age(flows: Sequence[Flow], bin_id: str, mg: int, now: dt.datetime) -> int | None:
    """Days since the oldest that is still in the bin went in, first in first out; None where that is longer ago."""
    return _age(reversed(flows), bin_id, mg, now)


def ages_from_last(
    book: Book, bins: Iterable[BinNow], now: dt.datetime, most: int | None = None
) -> dict[str, int | None]:
    """The same of each bin from the last things that came into it, no more of them than it takes; none that lie longer
    than `most` days. All bins that need as many are asked for together.
    """
    ages: dict[str, int | None] = {}
    asking, asked = {f"bin:{one.id}": one for one in bins}, LAST
    while asking:
        for place, came in book.arrivals(list(asking), asked).items():
            one = asking[place]
            days = _age(came, one.id, one.mg, now)
            late = days is not None and most is not None and days > most
            ages[one.id] = None if late else days
            past = most is not None and bool(came) and days_between(came[-1].happened, now, now.tzinfo) > most
            if days is not None or past or len(came) < asked:
                del asking[place]
        asked *= MORE
    return ages


def _age(latest_first: Iterable[Flow], bin_id: str, mg: int, now: dt.datetime) -> int | None:
    there = 0
    for flow, part in still_there(latest_first, bin_id, mg):
        there += part
        if there >= mg:
            return max(0, days_between(flow.happened, now, now.tzinfo))
    return None


def ages_of_bins(
    book: Book, bins: Iterable[BinNow], flows: Mapping[str, Sequence[Flow]], now: dt.datetime
) -> dict[str, int | None]:
    """The age of what is in each bin, from its `flows` of late where they tell, else from further back.

    None where it is empty, or where not even all of the ledger tells.
    """
    held = [one for one in bins if one.mg > 0]
    ages = {one.id: age(flows.get(one.id, []), one.id, one.mg, now) for one in held}
    return ages | ages_from_last(book, [one for one in held if ages[one.id] is None], now)


def history(flows: Sequence[Flow], bin_id: str, mg: int, now: dt.datetime, days: int = DAYS) -> BinHistory:
    """The mass of a bin that holds `mg` now over the last `days`, worked out backwards from it."""
    on, place = now.date(), f"bin:{bin_id}"
    ins, outs = _by_day(flows, place, now, on - dt.timedelta(days=days))
    held, end_of = mg, {}
    for back in range(days + 1):
        day = on - dt.timedelta(days=back)
        end_of[day] = held
        held -= ins.get(day, 0) - outs.get(day, 0)
    moved = sorted({*ins, *outs} & set(end_of))
    return BinHistory(
        on=on,
        span=days,
        before_kg=held / MG_PER_KG,
        top_kg=max(held, *(end_of[day] for day in moved), mg, 1) / MG_PER_KG,
        now_kg=mg / MG_PER_KG,
        days=tuple(
            DayFlow(day.isoformat(), ins[day] / MG_PER_KG, outs[day] / MG_PER_KG, end_of[day] / MG_PER_KG)
            for day in moved
        ),
    )


def _by_day(
    flows: Sequence[Flow], place: str, now: dt.datetime, since: dt.date
) -> tuple[dict[dt.date, int], dict[dt.date, int]]:
    ins: dict[dt.date, int] = defaultdict(int)
    outs: dict[dt.date, int] = defaultdict(int)
    for flow in flows:
        day = min(day_of(flow.happened, now.tzinfo), now.date())
        if day >= since:
            ins[day] += flow.move.mg if flow.move.target == place else 0
            outs[day] += flow.move.mg if flow.move.source == place else 0
    return ins, outs


def changes(flows: Sequence[Flow], bin_id: str, now: dt.datetime, most: int) -> tuple[BinChange, ...]:
    """The last changes, the latest first; what one event moved between the bin and another place is one change."""
    place, sums = f"bin:{bin_id}", defaultdict[tuple[dt.datetime, UUID, str, str], int](int)
    for flow in flows:
        into = flow.move.target == place
        other = flow.move.source if into else flow.move.target
        key = (flow.happened, flow.event, flow.kind, other)
        sums[key] += flow.move.mg if into else -flow.move.mg
    latest = sorted(sums, reverse=True)[:most]
    return tuple(
        BinChange(day_of(key[0], now.tzinfo).isoformat(), key[2], sums[key] / MG_PER_KG, key[3]) for key in latest
    )
