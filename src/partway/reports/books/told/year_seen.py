"""A year in a few figures that a person would show somebody: what was kept out of the landfill, and what it took."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from partway.catalogue.factors import FactorSet
from partway.ledger.balance.sheet import tips_in
from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.events.kinds import Found, Parted
from partway.ledger.fold.standing import settings
from partway.reports.books.conflicts import in_doubt
from partway.reports.books.impact import impact_in
from partway.things.material import Grade
from partway.valuing.earned import Earned, earned_in
from partway.valuing.ends.diverted import ends_of
from partway.valuing.window import Window, year_of

HEAVIEST = 6  # grades that are named


@dataclass(frozen=True, slots=True)
class YearSeen:
    """A year up to `until`. `months` has milligrams kept out of the landfill by the first of each month, `grades` the
    heaviest that recyclers took, `careful` what can hurt and was taken out by the piece.
    """

    year: int
    until: dt.date
    name: str
    came_mg: int
    recycled_mg: int
    reused_mg: int
    wasted_mg: int
    months: tuple[tuple[dt.date, int], ...]
    grades: tuple[tuple[str, int], ...]
    careful: tuple[tuple[str, int], ...]
    finds: int
    opened: int
    sold: int
    earned: Earned
    kg_co2e: float
    factors: str
    doubt: tuple[str, ...]

    @property
    def kept_mg(self) -> int:
        """Kept out of the landfill."""
        return self.recycled_mg + self.reused_mg


def report_year_seen(
    book: Book, grades: Mapping[str, Grade], year: int, now: dt.datetime, factors: FactorSet
) -> YearSeen:
    """The figures of a year in the zone of `now`; of one that is not over, what there is so far."""
    window, tips = year_of(book, now, year), tips_in(book.facts("buyer:", "terms"))
    impact = impact_in(book, grades, window, factors)
    ends, took = impact.ends, Counter(impact.took)
    count = _counted(book, window)
    return YearSeen(
        year=year,
        until=window.now.date(),
        name=settings(book).get("name", ""),
        came_mg=ends.came,
        recycled_mg=ends.recycled,
        reused_mg=ends.reused,
        wasted_mg=ends.wasted,
        months=tuple((step.first, ends_of(step.moved, tips, 0).diverted) for step in window.steps),
        grades=tuple((grades[grade].name, mg) for grade, mg in took.most_common() if grade in grades and mg > 0)[
            :HEAVIEST
        ],
        careful=tuple((grades[one.grade].name, one.pieces) for one in impact.careful),
        finds=count["found"],
        opened=count["opened"],
        sold=count["sold"],
        earned=earned_in(window.posted),
        kg_co2e=impact.kg_co2e,
        factors=factors.called,
        doubt=in_doubt(book.conflicts()),
    )


def _counted(book: Book, window: Window) -> Counter[str]:
    """Finds that were found, openings, and parts and whole things sold; of events that count."""
    count: Counter[str] = Counter(opened=sum(window.openings.values()))
    for event in counting(book, ("found", "sold"), since=window.steps[0].since, until=window.end):
        if isinstance(event.what, Found | Parted):
            count[event.kind] += event.what.count
    return count
