"""What stands now: open finds, bins, grades to choose from, and hauls under way with their load."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain

from partway.catalogue import Catalogue
from partway.catalogue.cards import cards_of_grades
from partway.errors import Refused
from partway.ledger.events.kinds import Traded
from partway.ledger.fold.standing import FindNow
from partway.reports.bins.all import BinLine
from partway.reports.called import running
from partway.reports.curb.report import cautions_at_curb
from partway.reports.haul.expected_ticket import ExpectedLine, HaulSheet, StopNow
from partway.reports.pocket.shape import PocketBin, PocketGrade, PocketHaul, PocketItem, PocketLot, PocketStop
from partway.things.material import Grade
from partway.things.scenario import Scenario
from partway.web.pocket.carried.kinds import folded
from partway.web.show import Show

TESTED = {"yes": "works", "no": "does not work", "unknown": "not tested"}


def pocket_finds(
    finds: Mapping[str, FindNow], known: Catalogue, scenario: Scenario, show: Show
) -> tuple[PocketItem, ...]:
    """Finds that are not closed, those found last first."""
    latest = sorted(finds.values(), key=lambda now: (now.found, now.id), reverse=True)
    return tuple(
        PocketItem(now.id, show.capital(show.find(now.id)), _find_words(now, show), _hazards(now, known, scenario))
        for now in latest
    )


def _find_words(now: FindNow, show: Show) -> str:
    many = [f"{now.count} alike"] if now.count > 1 else []
    mass = show.mg(now.mg) if now.mg else "not weighed"
    doubt = [show.conflict(now.conflict)] if now.conflict else []
    return ", ".join([*many, TESTED[now.works], mass, f"found {show.called.day(now.found)}", *doubt])


def _hazards(now: FindNow, known: Catalogue, scenario: Scenario) -> tuple[str, ...]:
    """Ids of the cards of its kind; none where nobody here knows it any more."""
    try:
        anatomy = known.anatomy(now.kind) if known.knows(now.kind) else None
    except Refused:
        anatomy = None
    return () if anatomy is None else tuple(card.id for card in cautions_at_curb(scenario, anatomy))


def pocket_bins(lines: Iterable[BinLine], show: Show) -> tuple[PocketBin, ...]:
    """All bins, most valuable first, as their page has them."""
    return tuple(
        PocketBin(one.bin, show.bin(one.bin), one.grade, _bin_words(one, show), tuple(h.id for h in one.hazards))
        for one in lines
    )


def _bin_words(one: BinLine, show: Show) -> str:
    """What is in it, with the grade where the bin's name does not say it already."""
    of = f"{one.grade_name}: " if show.bin(one.bin) != one.grade_name else ""
    if one.mass_kg <= 0 and not one.short:
        return f"{of}empty" if of else "Empty"
    doubt = f" {show.capital(show.conflict(one.conflict))}." if one.conflict else ""
    return f"{of}{show.kg(one.mass_kg)}, {_worth(one, show)}.{doubt}"


def _worth(one: BinLine, show: Show) -> str:
    if one.best is None:
        return "nobody takes it today"
    if one.value is None:
        return f"{show.kg(one.best.short_kg)} short of a lot for {one.best.name}"
    fee = f", less {show.money(one.best.ticket_fee)} a ticket" if one.best.ticket_fee else ""
    return f"{show.money(one.value)} at {one.best.name}{fee}, heard {show.day(one.best.price.on)}"


def pocket_grades(grades: Iterable[Grade]) -> tuple[PocketGrade, ...]:
    """All grades, by name."""
    by_name = sorted(grades, key=lambda grade: grade.name.casefold())
    return tuple(PocketGrade(one.id, one.name, folded([one.name, one.id])) for one in by_name)


def pocket_haul(sheet: HaulSheet, buyers: Mapping[str, Traded], show: Show) -> PocketHaul:
    """A haul under way: each stop with what is handed over there."""
    grades = [line.grade for line in chain.from_iterable(stop.lines for stop in sheet.stops)]
    started = f"set out {show.called.day(sheet.started)}"
    return PocketHaul(
        id=sheet.haul,
        name=show.capital(show.haul(sheet.haul)),
        words=f"{show.capital(started)}, should come to {show.money(sheet.expected)}.",
        hazards=tuple(card.id for card in cards_of_grades(grades)),
        stops=tuple(_stop(stop, buyers.get(stop.buyer), show) for stop in sheet.stops),
    )


def _stop(stop: StopNow, terms: Traded | None, show: Show) -> PocketStop:
    tickets = [f"{show.capital(show.ticket(seen.ticket))}: {show.money(seen.total)}." for seen in stop.tickets]
    lines = tuple(PocketLot(f"{stop.turn}-{one.grade}", _lot_words(one, show)) for one in stop.lines)
    words = " ".join([f"Should come to {show.money(stop.expected)}.", *tickets])
    return PocketStop(stop.buyer, stop.name, words, lines, terms.phone if terms else "", stop.geo)


def _lot_words(one: ExpectedLine, show: Show) -> str:
    """What is handed over, what can hurt about it first."""
    careful = f"{show.capital(', '.join(one.hazards))}! " if one.hazards else ""
    bin_ = f" from {show.bin(one.bin)}" if one.bin and show.bin(one.bin) != one.name else ""
    price = f" at {show.as_said(one.price, one.unit)}" if one.price is not None else ", no price heard"
    amount = f": {show.money(one.amount)}" if one.amount is not None else ""
    short = f". {show.mg(one.short_mg)} more are with {', '.join(map(show.haul, one.held_by))}" if one.short_mg else ""
    return f"{careful}{show.mg(one.took_mg)} of {running(one.name)}{bin_}{price}{amount}{short}"
