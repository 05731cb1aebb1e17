"""What each kind of event does to mass, facts, money and minutes: one small function a payload.

The words of an event are enough: masses that were in the ledger before stand in it as `was_mg`. Only recounts and
weighings of schema 2 assert what is there, whatever the ledger had (ledger.balance.asserting).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Context, Decimal, Inexact
from typing import Any

from partway.ledger.events import payloads as p
from partway.ledger.events.codec import canonical, payload_text
from partway.ledger.events.effects import LOSS, OUTSIDE, PEOPLE, RESIDUE, Asserted, Effects, Entry, Fact, Move
from partway.ledger.events.event import FIRST, Event
from partway.ledger.events.shapes import decimal_text, time_text

REGRADED = "regraded"  # material passes through here to change its grade; nothing stays
EXACT = Context(prec=60, traps=[Inexact])  # 10 digits before and 6 after the point, times a count: 22 digits


def effects_of(event: Event) -> Effects:
    """All that an event does, as long as it counts."""
    return MEANINGS[type(event.what)](event.what, event)


def _found(what: p.Found, event: Event) -> Effects:
    """A find; weighed, its mass comes in from outside. What is empty is not known, and no fact."""
    facts = {
        "kind": what.kind,
        "count": str(what.count),
        "works": what.works,
        "source": what.source,
        "note": what.note,
        "photo": what.photo,
        "found": time_text(event.happened),
    }
    return Effects(
        moves=_moves((OUTSIDE, f"find:{what.find}", "", what.mass_mg or 0)),
        facts=tuple(Fact(f"find:{what.find}", name, value) for name, value in facts.items() if value),
    )


def _tested(what: p.Tested, _: Event) -> Effects:
    return Effects(facts=(Fact(f"find:{what.find}", "works", what.works),))


def _weighed(what: p.Weighed, event: Event) -> Effects:
    if event.schema > FIRST:
        return Effects(asserted=Asserted(f"find:{what.find}", "", what.mass_mg, OUTSIDE))
    return Effects(moves=_difference(OUTSIDE, f"find:{what.find}", "", what.was_mg, what.mass_mg))


def _opened(what: p.Opened, _: Event) -> Effects:
    find = f"find:{what.find}"
    out = sum(piece.mass_mg for piece in what.pieces) + what.residue_mg + what.loss_mg
    return Effects(
        moves=_moves(
            _top_up(find, what.was_mg, out),
            *((find, f"bin:{piece.bin}", piece.grade, piece.mass_mg) for piece in what.pieces),
            (find, RESIDUE, "", what.residue_mg),
            (find, LOSS, "", what.loss_mg),
        ),
        facts=_closed(find, what.closes),
        entries=_entries(("minutes:bench", Decimal(what.minutes), what.find)),
    )


def _binned(what: p.Binned, _: Event) -> Effects:
    capacity = "" if what.capacity_l is None else decimal_text(what.capacity_l)
    fields = {"grade": what.grade, "name": what.name, "capacity_l": capacity}
    return Effects(facts=tuple(Fact(f"bin:{what.bin}", name, value) for name, value in fields.items()))


def _recounted(what: p.Recounted, event: Event) -> Effects:
    other, place = OUTSIDE if what.opening else LOSS, f"bin:{what.bin}"
    if event.schema > FIRST:
        return Effects(asserted=Asserted(place, what.grade, what.mass_mg, other))
    return Effects(moves=_difference(other, place, what.grade, what.was_mg, what.mass_mg))


def _moved(what: p.Moved, _: Event) -> Effects:
    source, target = f"bin:{what.bin}", f"bin:{what.to_bin}"
    if what.grade == what.to_grade:
        return Effects(moves=_moves((source, target, what.grade, what.mass_mg)))
    return Effects(
        moves=_moves((source, REGRADED, what.grade, what.mass_mg), (REGRADED, target, what.to_grade, what.mass_mg))
    )


def _parted(what: p.Parted, _: Event) -> Effects:
    find = f"find:{what.find}"
    return Effects(
        moves=_moves(_top_up(find, what.was_mg, what.mass_mg), (find, PEOPLE, "", what.mass_mg)),
        facts=_closed(find, what.closes),
        entries=_entries(
            ("parts", EXACT.multiply(what.price, Decimal(what.count)), what.find),
            ("parts-fees", EXACT.minus(what.fee), what.find),
            ("parts-postage", EXACT.minus(what.postage), what.find),
            ("minutes:list", Decimal(what.minutes), what.find),
        ),
    )


def _discarded(what: p.Discarded, _: Event) -> Effects:
    find = f"find:{what.find}"
    return Effects(
        moves=_moves(_top_up(find, what.was_mg, what.mass_mg), (find, RESIDUE, "", what.mass_mg)),
        facts=_closed(find, True),
    )


def _traded(what: p.Traded, _: Event) -> Effects:
    return Effects(facts=(Fact(f"buyer:{what.buyer}", "terms", payload_text(what)),))


def _quoted(what: p.Quoted, _: Event) -> Effects:
    return Effects(facts=(Fact(f"quote:{what.buyer}:{what.grade}:{what.from_mg}", "heard", payload_text(what)),))


def _set(what: p.Set, _: Event) -> Effects:
    return Effects(facts=(Fact(f"setting:{what.name}", "value", what.value),))


def _hauled(what: p.Hauled, _: Event) -> Effects:
    """A haul; its minutes are paid once, when it is over."""
    known = {
        "status": what.status,
        "stops": canonical(list(what.stops)) if what.stops else "",
        "km": "" if what.km is None else decimal_text(what.km),
        "minutes": "" if what.minutes is None else str(what.minutes),
    }
    minutes = what.minutes if what.status == "finished" and what.minutes else 0
    return Effects(
        facts=tuple(Fact(f"haul:{what.haul}", name, value) for name, value in known.items() if value),
        entries=_entries(("minutes:haul", Decimal(minutes), what.haul)),
    )


def _ticketed(what: p.Ticketed, _: Event) -> Effects:
    """Each line takes one's own mass out of the bin: the yard's net to the buyer, the difference to loss or from it."""
    moves: list[tuple[str, str, str, int]] = []
    for line in what.lines:
        place = f"bin:{line.bin}"
        moves.append((place, f"buyer:{what.buyer}", line.grade, line.mass_mg))
        moves.append((place, LOSS, line.grade, line.own_mg - line.mass_mg))
        moves.append((LOSS, place, line.grade, line.mass_mg - line.own_mg))
    return Effects(
        moves=_moves(*moves),
        facts=(Fact(f"ticket:{what.ticket}", "printed", payload_text(what)),),
        entries=_entries(
            *((f"sales:{what.buyer}", line.amount, line.grade) for line in what.lines),
            *((f"deductions:{what.buyer}", EXACT.minus(taken.amount), taken.what) for taken in what.deductions),
        ),
    )


def _paid(what: p.Paid, _: Event) -> Effects:
    return Effects(entries=_entries((f"paid:{what.buyer}", what.amount, what.ticket or "")))


def _spent(what: p.Spent, _: Event) -> Effects:
    return Effects(entries=_entries((f"spent:{what.category}", EXACT.minus(what.amount), what.what)))


def _worked(what: p.Worked, _: Event) -> Effects:
    return Effects(entries=_entries((f"minutes:{what.activity}", Decimal(what.minutes), what.find or "")))


def _identified(_: p.Identified, __: Event) -> Effects:
    """Nothing stands or moves by it: what the test key learns is counted from the events themselves."""
    return Effects()


def _ruled(what: p.Ruled, _: Event) -> Effects:
    return Effects(facts=(Fact(f"rule:{what.card}", "here", payload_text(what)),))


def _corrected(_: p.Corrected, __: Event) -> Effects:
    """Nothing of its own: it takes back what another event did (ledger.events.voids)."""
    return Effects()


def _moves(*moves: tuple[str, str, str, int]) -> tuple[Move, ...]:
    """Those that move something."""
    return tuple(Move(*move) for move in moves if move[3] > 0)


def _difference(other: str, place: str, grade: str, was_mg: int, mass_mg: int) -> tuple[Move, ...]:
    """What a scale says now against what the ledger had: the difference comes from, or goes to, another place."""
    return _moves((other, place, grade, mass_mg - was_mg), (place, other, grade, was_mg - mass_mg))


def settled(effects: Effects, was_mg: int) -> Effects:
    """Effects with the movement that an assertion comes to where the events before it leave `was_mg` in its place."""
    said = effects.asserted
    if said is None:
        return effects
    return replace(effects, moves=_difference(said.other, said.place, said.grade, was_mg, said.mg))


def _top_up(find: str, was_mg: int, out_mg: int) -> tuple[str, str, str, int]:
    """A find gives up no more than it had: what it was never weighed to hold came in with it, from outside."""
    return OUTSIDE, find, "", out_mg - was_mg


def _closed(find: str, closes: bool) -> tuple[Fact, ...]:
    return (Fact(find, "closed", "yes"),) if closes else ()


def _entries(*entries: tuple[str, Decimal, str]) -> tuple[Entry, ...]:
    """Those that are not zero."""
    return tuple(Entry(*entry) for entry in entries if entry[1])


Meaning = Callable[[Any, Event], Effects]
MEANINGS: dict[type, Meaning] = {
    p.Found: _found,
    p.Tested: _tested,
    p.Weighed: _weighed,
    p.Opened: _opened,
    p.Binned: _binned,
    p.Recounted: _recounted,
    p.Moved: _moved,
    p.Parted: _parted,
    p.Discarded: _discarded,
    p.Traded: _traded,
    p.Quoted: _quoted,
    p.Set: _set,
    p.Hauled: _hauled,
    p.Ticketed: _ticketed,
    p.Paid: _paid,
    p.Spent: _spent,
    p.Worked: _worked,
    p.Identified: _identified,
    p.Ruled: _ruled,
    p.Corrected: _corrected,
}


def postings(moves: Iterable[Move]) -> dict[tuple[str, str], int]:
    """What moves add to each place and grade: the two ends of each, so they always sum to zero.

    Only bins and buyers hold grades; every other place holds mass, under the grade "". So a find that was opened into
    pieces of many grades ends empty, and so does `regraded`.
    """
    sums: dict[tuple[str, str], int] = {}
    for move in moves:
        for place, mg in ((move.source, -move.mg), (move.target, move.mg)):
            key = (place, move.grade if place.startswith(("bin:", "buyer:")) else "")
            sums[key] = sums.get(key, 0) + mg
    return sums
