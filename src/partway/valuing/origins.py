"""Where what is in a bin came from: first in first out, as its age is reckoned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from partway.ledger.days import day_of
from partway.ledger.fold.history import Flow


@dataclass(frozen=True, slots=True)
class CameFrom:
    """Milligrams that came from one place between two days."""

    source: str
    first: dt.date
    last: dt.date
    mg: int


def still_there(latest_first: Iterable[Flow], bin_id: str, mg: int) -> Iterator[tuple[Flow, int]]:
    """The flows of which some is still in a bin that holds `mg`, the latest first, and how much of each."""
    left, place = mg, f"bin:{bin_id}"
    for flow in latest_first:
        if left <= 0:
            return
        if flow.move.target == place:
            yield flow, min(left, flow.move.mg)
            left -= flow.move.mg


def origins(flows: Sequence[Flow], bin_id: str, mg: int, zone: dt.tzinfo | None) -> tuple[tuple[CameFrom, ...], int]:
    """What a bin that holds `mg` came from, the earliest first, and the milligrams of which the flows do not tell."""
    found: dict[str, list[tuple[dt.date, int]]] = {}
    for flow, part in still_there(reversed(flows), bin_id, mg):
        found.setdefault(flow.move.source, []).append((day_of(flow.happened, zone), part))
    each = [
        CameFrom(source, min(day for day, _ in of), max(day for day, _ in of), sum(part for _, part in of))
        for source, of in found.items()
    ]
    return tuple(sorted(each, key=lambda one: (one.first, one.source))), max(mg, 0) - sum(one.mg for one in each)
