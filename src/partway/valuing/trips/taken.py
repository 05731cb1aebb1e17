"""What a haul took along, by what happened; and what is left in the bins for the next one."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from partway.ledger.book import Book
from partway.ledger.events.kinds import Hauled
from partway.ledger.fold import standing
from partway.things.material import Grade
from partway.valuing.planned_lots import PlannedLot, planned_in
from partway.valuing.trips.loads import TakenLot, as_planned, counting, loads


@dataclass(frozen=True, slots=True)
class FreeStock:
    """What is in the bins and with no haul under way, in milligrams by grade; `held` has what each haul has of one."""

    mg: Mapping[str, int]
    held: Mapping[str, tuple[tuple[str, int], ...]]


def planned_lots(book: Book, haul: str | None) -> tuple[PlannedLot, ...]:
    """The lots that a haul's note named when it set out; none where it named none."""
    told = counting(book, book.events(("hauled",), f"haul:{haul}")) if haul else []
    notes = [event.what.note for event in told if isinstance(event.what, Hauled)]
    return tuple(planned_in(notes[0])) if notes else ()


def taken(book: Book, haul: str, grades: Mapping[str, Grade], zone: dt.tzinfo | None) -> tuple[TakenLot, ...]:
    """What a haul took along. One that is over without a plan took what is on its tickets: nothing else is known."""
    under_way = loads(book, grades, zone).get(haul)
    return under_way.lots if under_way else tuple(map(as_planned, planned_lots(book, haul)))


def free_stock(book: Book, grades: Mapping[str, Grade], zone: dt.tzinfo | None) -> FreeStock:
    """What another haul may set out with."""
    held: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for load in loads(book, grades, zone).values():
        for grade, mg in load.left_mg().items():
            held[grade].append((load.haul, mg))
    there: Counter[str] = Counter()
    for now in standing.bins(book).values():
        there[now.grade] += max(0, now.mg)
    free = {grade: max(0, mg - sum(of for _, of in held.get(grade, ()))) for grade, mg in there.items()}
    return FreeStock(free, {grade: tuple(hauls) for grade, hauls in held.items()})
