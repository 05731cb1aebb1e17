"""Labels to print and stick on bins: what is in it, how it is told, what can hurt."""

from __future__ import annotations

import itertools
from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from urllib.parse import quote

from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.reports.bins.all import Hazard, hazard
from partway.things.material import Grade

SIZES = (("big", "1 across"), ("large", "2 across"), ("small", "3 across"))  # of labels, by how many share a sheet
BORDER = 4  # modules of light around a QR code (ISO/IEC 18004; from memory)


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code of `text`: a path to stroke one module wide, on a square of `size` modules that begins half a module
    above 0: whole numbers are the middles of rows.
    """

    text: str
    size: int
    path: str


@dataclass(frozen=True, slots=True)
class BinLabel:
    """One label. `qualifies` says what belongs in the bin, `magnet` how a magnet takes to it where that tells."""

    bin: str
    name: str
    grade: str
    grade_name: str
    qualifies: str
    magnet: str
    hazards: tuple[Hazard, ...]
    family: str = ""


def report_labels(book: Book, grades: dict[str, Grade], only: Collection[str] = ()) -> tuple[BinLabel, ...]:
    """A label for each bin, or for `only` some of them."""
    chosen = [one for one in standing.bins(book).values() if not only or one.id in only]
    labels = []
    for one in chosen:
        grade = grades.get(one.grade)
        labels.append(
            BinLabel(
                bin=one.id,
                name=one.name,
                grade=one.grade,
                grade_name=grade.name if grade else one.grade,
                qualifies=grade.qualifies if grade else "",
                magnet=(grade.magnet or "") if grade else "",
                hazards=tuple(hazard(name) for name in (grade.hazards if grade else ())),
                family=grade.family if grade else "",
            )
        )
    return tuple(labels)


def bin_address(app: str, bin_id: str) -> str:
    """Where a bin is opened in the app that answers at an address."""
    return f"{app}/bins/{quote(bin_id, safe='')}"


@lru_cache(maxsize=1000)
def code_of(text: str) -> Code:
    """The QR code of a text, with the light border that a reader needs; an eighth of it may be lost to dirt."""
    import segno

    drawn = [[bool(dark) for dark in row] for row in segno.make(text, error="m", boost_error=False, micro=False).matrix]
    rows = (_row(row, y + BORDER) for y, row in enumerate(drawn))
    return Code(text, len(drawn) + 2 * BORDER, "".join(rows))


def _row(row: list[bool], y: int) -> str:
    """The dark runs of one row, as strokes one module wide along its middle; from one to the next by a move."""
    runs: list[str] = []
    pen = -BORDER  # where the row begins, in modules of the code
    for dark, modules in itertools.groupby(enumerate(row), key=lambda one: one[1]):
        places = [x for x, _ in modules]
        if dark:
            runs.append(f"m{places[0] - pen} 0h{len(places)}" if runs else f"M{places[0] + BORDER} {y}h{len(places)}")
            pen = places[-1] + 1
    return "".join(runs)
