"""What was kept out of the landfill and what that spared: by one named factor set, with what it cannot say."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from partway.catalogue import Catalogue
from partway.catalogue.factors import FactorSet
from partway.ledger.balance.sheet import sheet, tips_in
from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.events.kinds import Opened
from partway.ledger.fold.standing import settings
from partway.reports.books.conflicts import in_doubt
from partway.things.material import Grade
from partway.things.traits import said_kind
from partway.valuing.ends.diverted import ends_so_far
from partway.valuing.ends.impact import BURIED, KG, Impact, careful_pieces, impact_of
from partway.valuing.window import Window

CAREFUL = "careful"  # the family of what is handed on with care, whatever state it is in
KEPT = (
    "Kept out of the landfill: what was sold to be used again, and what recyclers took.",
    "Spared emissions are an estimate for what recyclers took. Figures of another set cannot be added to these.",
    "What was used again spares more than its metal; no figure for that is in the set, and none is given.",
)
NOT_SAID = (
    "All that was handled is not what happened because of you: much of it somebody else would have recycled. How much"
    " would have been buried is for you to say (setting: buried)."
)


@dataclass(frozen=True, slots=True)
class SparedLine:
    """A category of the set. `published` is its factor as the set prints it, in the report's `unit`."""

    category: str
    name: str
    grades: tuple[str, ...]
    kg: float
    published: float
    kg_co2e: float
    proxy: str


@dataclass(frozen=True, slots=True)
class UncountedLine:
    """What recyclers took that the set has no category for."""

    name: str
    kg: float


@dataclass(frozen=True, slots=True)
class CarefulLine:
    """Pieces of a grade that can hurt, taken out of finds; and the kilograms of it that buyers took."""

    grade: str
    name: str
    hazards: tuple[str, ...]
    pieces: int
    out_kg: float
    handed_kg: float


@dataclass(frozen=True, slots=True)
class ImpactReport:
    """The figures of a stretch, null `since` for the whole ledger; masses in kg, emissions in kg CO2e.

    `kg_co2e` is of all that was handled; `additional_kg_co2e` of what would else have been buried, null where nobody
    said how much that is. `loss_kg` is what got lost and what two scales differ by, below zero where more was found.
    `doubt` says why masses may be wrong.
    """

    since: dt.date | None
    set: str
    called: str
    counts: str
    unit: str
    came_kg: float
    reused_kg: float
    recycled_kg: float
    residue_kg: float
    loss_kg: float
    stock_kg: float
    kg_co2e: float
    additional_kg_co2e: float | None
    spared: tuple[SparedLine, ...]
    counted_kg: float
    uncounted_kg: float
    uncounted: tuple[UncountedLine, ...]
    careful: tuple[CarefulLine, ...]
    notes: tuple[str, ...]
    doubt: tuple[str, ...]


def report_impact(
    book: Book, known: Catalogue, grades: Mapping[str, Grade], window: Window, factors: FactorSet
) -> ImpactReport:
    """The impact of a window that ends now, by one factor set; its masses are those of `valuing.ends.diverted`."""
    stock = ends_so_far(sheet(book.summed(), tips_in(book.facts("buyer:", "terms")))).stock
    found = impact_in(book, grades, window, factors, stock)
    notes = KEPT if found.buried is not None else (*KEPT, NOT_SAID)
    return _said(found, window, _Names(known, grades), notes, in_doubt(book.conflicts()))


def impact_in(book: Book, grades: Mapping[str, Grade], window: Window, factors: FactorSet, stock: int = 0) -> Impact:
    """The figures of a window; `stock` in mg at its end, for whoever asks what is still there."""
    tips, said = tips_in(book.facts("buyer:", "terms")), settings(book).get(BURIED)
    careful = careful_pieces(_opened(book, window), lambda grade: grade in grades and hurts(grades[grade]))
    return impact_of(window.moved, tips, stock, factors, careful, None if said is None else float(said))


def _said(found: Impact, window: Window, names: _Names, notes: tuple[str, ...], doubt: tuple[str, ...]) -> ImpactReport:
    ends, factors = found.ends, found.factors
    return ImpactReport(
        since=window.since,
        set=factors.id,
        called=factors.called,
        counts=factors.counts,
        unit=factors.unit,
        came_kg=ends.came * KG,
        reused_kg=ends.reused * KG,
        recycled_kg=ends.recycled * KG,
        residue_kg=ends.wasted * KG,
        loss_kg=ends.lost * KG,
        stock_kg=ends.stock * KG,
        kg_co2e=found.kg_co2e,
        additional_kg_co2e=found.additional,
        spared=tuple(
            SparedLine(
                line.category,
                line.name,
                tuple(names(grade) for grade in line.grades),
                line.mg * KG,
                factors.factors[line.category].published,
                line.kg_co2e,
                line.proxy,
            )
            for line in found.spared
        ),
        counted_kg=found.mapped_mg * KG,
        uncounted_kg=found.unmapped_mg * KG,
        uncounted=tuple(UncountedLine(names(place), mg * KG) for place, mg in found.unmapped),
        careful=tuple(
            CarefulLine(
                line.grade,
                names(line.grade),
                names.grades[line.grade].hazards,
                line.pieces,
                line.out_mg * KG,
                line.handed_mg * KG,
            )
            for line in found.careful
        ),
        notes=notes,
        doubt=doubt,
    )


def hurts(grade: Grade) -> bool:
    """Whether pieces of a grade are counted one by one: batteries, capacitors, mercury, and what else can hurt."""
    return bool(grade.hazards) or grade.family == CAREFUL


def _opened(book: Book, window: Window) -> Iterator[tuple[str, int, int]]:
    """Grade, pieces and milligrams of all that came out of finds and counts."""
    for event in counting(book, ("opened",), since=window.steps[0].since, until=window.end):
        what = event.what
        if isinstance(what, Opened):
            yield from ((piece.grade, piece.count, piece.mass_mg) for piece in what.pieces)


@dataclass(frozen=True, slots=True)
class _Names:
    """What is called what: a grade, or a find that went on whole."""

    known: Catalogue
    grades: Mapping[str, Grade]

    def __call__(self, place: str) -> str:
        sort, _, kind = place.partition(":")
        if sort == "find":
            return f"{self.known.anatomy(kind).name if self.known.knows(kind) else said_kind(kind)}, whole"
        return self.grades[place].name if place in self.grades else place
