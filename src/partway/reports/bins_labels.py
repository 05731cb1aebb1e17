"""Labels to print and stick on bins: what is in it, how it is told, what can hurt."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from partway.ledger import standing
from partway.ledger.book import Book
from partway.reports.bins import Hazard, hazard
from partway.things.material import Grade


@dataclass(frozen=True, slots=True)
class Label:
    """One label. `qualifies` says what belongs in the bin, `magnet` how a magnet takes to it where that tells."""

    bin: str
    name: str
    grade: str
    grade_name: str
    qualifies: str
    magnet: str
    hazards: tuple[Hazard, ...]


def report_labels(book: Book, grades: dict[str, Grade], only: Collection[str] = ()) -> tuple[Label, ...]:
    """A label for each bin, or for `only` some of them."""
    chosen = [one for one in standing.bins(book).values() if not only or one.id in only]
    labels = []
    for one in chosen:
        grade = grades.get(one.grade)
        labels.append(
            Label(
                bin=one.id,
                name=one.name,
                grade=one.grade,
                grade_name=grade.name if grade else one.grade,
                qualifies=grade.qualifies if grade else "",
                magnet=(grade.magnet or "") if grade else "",
                hazards=tuple(hazard(name) for name in (grade.hazards if grade else ())),
            )
        )
    return tuple(labels)
