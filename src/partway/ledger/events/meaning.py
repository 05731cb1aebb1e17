"""What effects are made of, and what they add up to: the helpers of `ledger.events.kinds`, and the sums of the fold.

The words of an event are enough: masses that were in the ledger before stand in it as `was_mg`. Only recounts and
weighings of schema 2 assert what is there, whatever the ledger had (ledger.balance.asserting).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Context, Decimal, Inexact

from partway.ledger.events.effects import OUTSIDE, Effects, Entry, Fact, Move
from partway.ledger.events.event import Event

REGRADED = "regraded"  # material passes through here to change its grade; nothing stays
EXACT = Context(prec=60, traps=[Inexact])  # 10 digits before and 6 after the point, times a count: 22 digits


def effects_of(event: Event) -> Effects:
    """All that an event does, as long as it counts."""
    return event.what.effects(event)


def moves(*given: tuple[str, str, str, int]) -> tuple[Move, ...]:
    """Movements (source, target, grade, mg): those that move something."""
    return tuple(Move(*move) for move in given if move[3] > 0)


def difference(other: str, place: str, grade: str, was_mg: int, mass_mg: int) -> tuple[Move, ...]:
    """What a scale says now against what the ledger had: the difference comes from, or goes to, another place."""
    return moves((other, place, grade, mass_mg - was_mg), (place, other, grade, was_mg - mass_mg))


def settled(effects: Effects, was_mg: int) -> Effects:
    """Effects with the movement that an assertion comes to where the events before it leave `was_mg` in its place."""
    said = effects.asserted
    if said is None:
        return effects
    return replace(effects, moves=difference(said.other, said.place, said.grade, was_mg, said.mg))


def top_up(find: str, was_mg: int, out_mg: int) -> tuple[str, str, str, int]:
    """A find gives up no more than it had: what it was never weighed to hold came in with it, from outside."""
    return OUTSIDE, find, "", out_mg - was_mg


def closed(find: str, closes: bool) -> tuple[Fact, ...]:
    """The word that nothing of a find is left, where that is so."""
    return (Fact(find, "closed", "yes"),) if closes else ()


def entries(*given: tuple[str, Decimal, str]) -> tuple[Entry, ...]:
    """Postings (account, amount, tag): those that are not zero."""
    return tuple(Entry(*entry) for entry in given if entry[1])


def postings(moved: Iterable[Move]) -> dict[tuple[str, str], int]:
    """What moves add to each place and grade: the two ends of each, so they always sum to zero.

    Only bins and buyers hold grades; every other place holds mass, under the grade "". So a find that was opened into
    pieces of many grades ends empty, and so does `regraded`.
    """
    sums: dict[tuple[str, str], int] = {}
    for move in moved:
        for place, mg in ((move.source, -move.mg), (move.target, move.mg)):
            key = (place, move.grade if place.startswith(("bin:", "buyer:")) else "")
            sums[key] = sums.get(key, 0) + mg
    return sums
