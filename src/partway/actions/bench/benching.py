"""What the bench is asked for: the queue of finds, and what is left of one."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import replace

from partway.actions.bench.finds import condition
from partway.actions.bench.runs import yields
from partway.actions.recording import reading
from partway.actions.recording.heard import or_spoken
from partway.actions.recording.said_amounts import hours_said
from partway.actions.recording.zones import zone_here
from partway.catalogue import Catalogue
from partway.errors import BadQuantity, Refused
from partway.ledger.book import Book
from partway.ledger.days import day_of
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.planning.instance.room import with_room
from partway.quantities import shown
from partway.reports.bench.find import FindAtBench, report_find
from partway.reports.bench.queue import Queue, QueueLine, best_of_bench, report_queue
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario
from partway.things.traits import said_kind
from partway.valuing.finds.waiting import Unvalued, WaitingFind
from partway.valuing.known import catalogue_of
from partway.valuing.learned.odds import Odds, chance_of_find, odds_of
from partway.valuing.left import Before, before, untouched

KG = 1e-6  # of a milligram
HOURS_MOST = 168  # a week


def queue(book: Book, prices: Scenario, finds: Mapping[str, FindNow], hours: float | None = None) -> Queue:
    """Finds by money per bench hour at the prices of a day, within the hours given or set.

    `prices` is a scenario of the book without its finds. Raises Refused where no currency is set.
    """
    reading.currency(book, "bench")
    waiting, puzzles = sorted_out(book, finds, prices.on)
    return report_queue(bench_scenario(catalogue_of(book), prices, finds, hours), waiting, puzzles)


def best(book: Book, prices: Scenario, finds: Mapping[str, FindNow], few: int) -> tuple[QueueLine, ...]:
    """The few finds that an hour at the bench is best spent on; none where no currency is set."""
    if "currency" not in standing.settings(book):
        return ()
    waiting, _ = sorted_out(book, finds, prices.on)
    return best_of_bench(bench_scenario(catalogue_of(book), prices, finds), waiting, few)


def sorted_out(book: Book, finds: Mapping[str, FindNow], on: dt.date) -> tuple[list[WaitingFind], list[Unvalued]]:
    """Finds that can be reckoned with, and those that cannot."""
    touched, voided = book.subjects(("opened", "sold"), standing.OPEN), book.voided()
    zone = zone_here(book)
    known, odds, waiting, puzzles = catalogue_of(book), odds_of(book), [], []
    for now in finds.values():
        past = before(book, now, voided) if f"find:{now.id}" in touched and known.knows(now.kind) else untouched(now)
        found = waits(known, now, past, on, zone, odds)
        if isinstance(found, WaitingFind):
            waiting.append(found)
        else:
            puzzles.append(found)
    return waiting, puzzles


def at_bench(
    book: Book, prices: Scenario, now: FindNow, works: str | None = None, past: Before | None = None
) -> FindAtBench | Unvalued:
    """One find at the bench, as if it were in another condition where `works` says so. `past` is what was done to it
    where that is not what the ledger has now. Raises Refused.
    """
    reading.currency(book, "bench")
    known = catalogue_of(book)
    if past is None:
        past = before(book, now) if known.knows(now.kind) else untouched(now)
    found = waits(known, now, past, prices.on, zone_here(book), odds_of(book))
    if isinstance(found, Unvalued):
        return found
    scenario = bench_scenario(known, prices, {now.id: now})
    return report_find(scenario, found, bins_by_grade(book), condition(works) if works else None)


def bins_by_grade(book: Book) -> dict[str, tuple[str, ...]]:
    """Ids of the bins that hold each grade."""
    found: dict[str, tuple[str, ...]] = {}
    for bin_id, now in standing.bins(book).items():
        found[now.grade] = (*found.get(now.grade, ()), bin_id)
    return found


def bench_scenario(
    known: Catalogue, prices: Scenario, finds: Mapping[str, FindNow], hours: float | None = None
) -> Scenario:
    """The same prices with the anatomies of some finds, and perhaps other hours at the bench."""
    kinds = {now.kind for now in finds.values() if known.knows(now.kind)}
    at = prices.hours if hours is None else replace(prices.hours, bench=hours)
    return replace(with_room(prices), hours=at, anatomies={kind: known.anatomy(kind) for kind in kinds})


def waits(
    known: Catalogue, now: FindNow, past: Before, on: dt.date, zone: dt.tzinfo, odds: Odds | None = None
) -> WaitingFind | Unvalued:
    """A find as the queue takes it on a day of a zone: whole, or the pieces that are left."""
    if not known.knows(now.kind):
        return Unvalued(now.id, now.kind, said_kind(now.kind), "kind", now.conflict)
    anatomy = known.anatomy(now.kind)
    pieces = left_of(anatomy, past)
    if not pieces:
        return Unvalued(now.id, now.kind, anatomy.name, "rest", now.conflict)
    partly = pieces != ((anatomy.whole.id, past.whole),)
    each = 1 if partly else past.whole
    weighed = now.mg > 0 and (partly or not past.runs)
    return WaitingFind(
        find=now.id,
        kind=now.kind,
        works=now.works,
        count=each,
        mass_kg=now.mg * KG / each if weighed else None,
        days=max(0, (on - day_of(now.found, zone)).days),
        pieces=pieces,
        partly=partly,
        conflict=now.conflict,
        chance=None if odds is None else chance_of_find(odds, now),
    )


def left_of(anatomy: Anatomy, past: Before) -> tuple[tuple[str, int], ...]:
    """The pieces that are left of a find of a kind, and how many; nothing where nobody knows.

    What went to residue was not counted, so it still stands here.
    """
    if not past.known:
        return ()
    counts = {anatomy.whole.id: past.whole, **yields(anatomy, past.runs)}
    for run in past.runs:
        if run.piece != anatomy.whole.id:
            counts[run.piece] = counts.get(run.piece, 0) - run.times
    for piece, count in past.gone.items():
        if piece != anatomy.whole.id:
            counts[piece] = counts.get(piece, 0) - count
    return tuple((piece.id, counts[piece.id]) for piece in anatomy.pieces if counts.get(piece.id, 0) > 0)


def hours_given(text: str) -> float | None:
    """Hours at the bench: a plain number of hours, or a time such as "2 h 30"; None where nothing was said."""
    plain = text.strip()
    if not plain:
        return None
    if re.fullmatch(r"[0-9]{1,9}(?:[.,][0-9]{1,2})?", plain):
        hours = float(plain.replace(",", "."))
    else:
        refusal = BadQuantity(shown(plain), "hours, such as 3, 2.5 or 2 h 30", "hours")
        hours = float(or_spoken(refusal, lambda: hours_said(plain, "hours")))
    if hours > HOURS_MOST:
        raise Refused(shown(plain), f"at most {HOURS_MOST} hours", "hours")
    return hours
