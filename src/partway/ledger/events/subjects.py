"""What an event is about, so that all of a find's, a bin's or a buyer's events can be looked up."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from partway.ledger.events import payloads as p
from partway.ledger.events.event import Event


def subjects_of(event: Event) -> tuple[str, ...]:
    """The subjects an event names, each once, sorted.

    find:ID, bin:ID, buyer:ID, haul:ID, ticket:ID, setting:NAME, context:ID, rule:ID, and event:ID of what a correction
    corrects.
    """
    return named_in(event.what)


def named_in(what: p.Payload) -> tuple[str, ...]:
    """The same of a payload alone."""
    return tuple(sorted(set(NAMES[type(what)](what))))


def _ticket(what: p.Ticketed) -> list[str]:
    bins = [f"bin:{line.bin}" for line in what.lines]
    return [f"ticket:{what.ticket}", f"buyer:{what.buyer}", *bins, *_named("haul", what.haul)]


def _named(sort: str, name: str | None) -> list[str]:
    return [] if name is None else [f"{sort}:{name}"]


def _find(what: Any) -> list[str]:
    return [f"find:{what.find}"]


def _bin(what: Any) -> list[str]:
    return [f"bin:{what.bin}"]


def _buyer(what: Any) -> list[str]:
    return [f"buyer:{what.buyer}"]


NAMES: dict[type, Callable[[Any], list[str]]] = {
    p.Found: _find,
    p.Tested: _find,
    p.Weighed: _find,
    p.Opened: lambda what: _find(what) + [f"bin:{piece.bin}" for piece in what.pieces],
    p.Binned: _bin,
    p.Recounted: _bin,
    p.Moved: lambda what: [f"bin:{what.bin}", f"bin:{what.to_bin}"],
    p.Parted: _find,
    p.Discarded: _find,
    p.Traded: _buyer,
    p.Quoted: _buyer,
    p.Set: lambda what: [f"setting:{what.name}"],
    p.Hauled: lambda what: [f"haul:{what.haul}", *(f"buyer:{stop}" for stop in what.stops)],
    p.Ticketed: _ticket,
    p.Paid: lambda what: _buyer(what) + _named("ticket", what.ticket),
    p.Spent: lambda _: [],
    p.Worked: lambda what: _named("find", what.find),
    p.Identified: lambda what: [f"context:{what.context}"],
    p.Ruled: lambda what: [f"rule:{what.card}"],
    p.Corrected: lambda what: [f"event:{what.event}"],
}
