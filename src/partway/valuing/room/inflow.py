"""How much of each grade comes into the bins in a week, as the ledger has it."""

from __future__ import annotations

import datetime as dt

from partway.ledger.book import Book
from partway.quantities import MG_PER_KG

WEEKS = 8  # looked back: long enough for the odd quiet week, short enough to follow the season


def measured_inflow(book: Book, on: dt.date) -> dict[str, float]:
    """Kilograms a week by grade over the last eight weeks, or since the ledger began; nothing of a first week.

    What changes its bin or its grade, and what a scale finds more of, did not come in.
    """
    end = dt.datetime.combine(on, dt.time.max, dt.UTC)
    first = next(iter(book.recorded()), None)
    if first is None:
        return {}
    since = max(end - dt.timedelta(weeks=WEEKS), first.happened)
    weeks = (end - since) / dt.timedelta(weeks=1)
    if weeks < 1.0:
        return {}
    came: dict[str, int] = {}
    for (source, target, grade), mg in book.moved(since, end).items():
        if target == "bin" and source.startswith("find:"):
            came[grade] = came.get(grade, 0) + mg
    return {grade: float(mg / MG_PER_KG) / weeks for grade, mg in sorted(came.items())}
