"""Hauls: set out on, finished, with the distance and minutes of the whole trip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from partway.actions.buyers.buyers import buyer_named
from partway.actions.haul.promised import check_free
from partway.actions.haul.results import HaulResult
from partway.actions.home.distances import km as km_typed
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.naming import next_name, tell_haul, thing_named
from partway.catalogue import shipped
from partway.catalogue.cards import cards_of_grades
from partway.errors import Hint, Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import Hauled
from partway.reports.haul.expected_ticket import haul_sheet
from partway.valuing.planned_lots import planned_in
from partway.valuing.trips.taken import taken

KM_MOST = Decimal(20_000)
NOTE_MOST = 2000  # a planned haul names its lots there


@decides(shipped)
def start(book: Book, context: Context, stops: Sequence[str], note: str = "") -> Recorded[HaulResult]:
    """Set out on a haul to some buyers, in this order. Lots that its note names are taken along (`Planned: ...`)."""
    return set_out(book, context, stops, note)


@decides(shipped)
def set_out(
    book: Book, context: Context, stops: Sequence[str], note: str = "", coming_kg: Mapping[str, float] | None = None
) -> Recorded[HaulResult]:
    """The same; `coming_kg` of a grade come out of finds that are not opened yet.

    Raises Refused where another haul under way has what the note names.
    """
    if not stops:
        raise Refused("no stop", "at least one buyer to go to", "haul")
    visited = []
    for stop in stops:
        buyer = buyer_named(book, stop, "stop")
        if buyer.kind == "mail-in":
            raise Refused(f"{buyer.buyer}, a mail-in", "buyers that are driven to", "stop")
        visited.append(buyer.buyer)
    check_free(book, planned_in(note), context.clock().tzinfo, coming_kg)
    haul = next_name(book, "haul", f"haul-{context.mark}")
    hauled = Hauled(haul, "started", tuple(visited), note=reading.text(note, "note", NOTE_MOST))
    done = record(book, context, [hauled], None)
    lots = taken(book, haul, shipped().grades, context.clock().tzinfo)
    result = HaulResult(haul, "started", hauled.stops, took=lots, cautions=cards_of_grades(lot.grade for lot in lots))
    return Recorded(done.events, result, done.undo, done.clock)


@decides(shipped)
def finish(
    book: Book,
    context: Context,
    haul: str | None = None,
    km: str | None = None,
    minutes: str | int | None = None,
    note: str = "",
) -> Recorded[HaulResult]:
    """Finish a haul, by default the one under way; `km` and `minutes` of the whole way."""
    now = under_way(book, haul, exact=context.exact)
    hauled = Hauled(
        now.id,
        "finished",
        now.stops,
        None if km is None else km_typed(book, km, "km", KM_MOST),
        None if minutes is None else reading.minutes(minutes, "minutes"),
        reading.text(note, "note"),
    )
    done = record(book, context, [hauled], None)
    sheet = haul_sheet(book, now.id, shipped().grades, context.clock())
    after = sheet.after if sheet else None
    result = HaulResult(now.id, "finished", now.stops, hauled.km, hauled.minutes, after)
    return Recorded(done.events, result, done.undo, done.clock)


def under_way(book: Book, haul: str | None = None, *, exact: bool = False) -> trading.HaulNow:
    """The haul that a text names, or the only one under way. Raises Refused."""
    known = trading.hauls(book)
    going = {name: now for name, now in known.items() if now.status == "started"}
    if haul is None:
        if len(going) != 1:
            expected = f"one of {', '.join(going)}" if going else "one that is under way"
            raise Refused(f"{len(going)} hauls under way", expected, "haul", hint=None if going else Hint("start-haul"))
        return next(iter(going.values()))
    name = thing_named(haul, known, "haul", "haul", lambda key: tell_haul(book, key), exact)
    if name not in going:
        raise Refused(f"{name}, which is finished", "a haul that is under way", "haul")
    return going[name]
