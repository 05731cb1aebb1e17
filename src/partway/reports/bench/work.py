"""An opening as sections to be worked one after another: an operation, its cards, and the pieces weighed after it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.catalogue.named import hazards_of, hazards_of_piece
from partway.reports.bench.steps import BenchStep
from partway.reports.bench.steps_rows import PieceRow
from partway.things.anatomy import Anatomy
from partway.things.material import Caution, Grade


@dataclass(frozen=True, slots=True)
class WorkSection:
    """One operation of the plan with what can hurt in it and in what it frees; None where nothing is taken apart: what
    is in hand already. `pieces` are weighed in it, by id.
    """

    step: BenchStep | None
    cards: tuple[CautionCard, ...]
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SpanInHand:
    """From which section on a piece is in hand, and in which one it is opened again: 0 for none."""

    since: int
    until: int


@dataclass(frozen=True, slots=True)
class WorkReport:
    """All sections; `rest` are the cards of all that may come up besides, `early` when pieces of the plan are in hand
    that it opens again.
    """

    sections: tuple[WorkSection, ...]
    rest: tuple[CautionCard, ...]
    early: Mapping[str, SpanInHand]


def report_work(
    anatomy: Anatomy,
    steps: Sequence[BenchStep],
    rows: Iterable[PieceRow],
    grades: Mapping[str, Grade],
    cautions: Mapping[str, Caution],
) -> WorkReport:
    """The sections of an opening by these steps, with the rows of its pieces."""
    placed: dict[int, list[str]] = {}
    for row in rows:
        if not row.early:
            placed.setdefault(_step_of(steps, row.piece), []).append(row.piece)
    found: list[tuple[BenchStep | None, list[str]]] = [(step, _hazards(anatomy, step, grades)) for step in steps]
    in_hand = placed.get(0, [])
    if in_hand:
        found.insert(0, (None, _of_pieces(anatomy, in_hand, grades)))
    told = {hazard for _, hazards in found for hazard in hazards}
    if found:  # what can hurt about the kind and is of no part of it comes with whatever is done first
        first = [hazard for hazard in anatomy.cautions if hazard not in told | _of_parts(anatomy, grades)]
        found[0] = (found[0][0], [*first, *found[0][1]])
        told |= set(first)
    sections = tuple(
        WorkSection(step, _cards(cautions, anatomy, hazards), tuple(placed.get(step.number, []) if step else in_hand))
        for step, hazards in found
    )
    rest = [hazard for hazard in hazards_of(anatomy, grades) if hazard not in told]
    return WorkReport(sections, _cards(cautions, anatomy, rest), _stretches(sections))


def _step_of(steps: Sequence[BenchStep], piece: str) -> int:
    """The step after which a piece is weighed: the one that asks what it is, else the one it comes out of."""
    asked = next((step.number for step in steps if step.question and step.piece == piece), 0)
    came = next((step.number for step in steps if any(one.piece == piece for one in step.gives)), 0)
    return asked or came


def _hazards(anatomy: Anatomy, step: BenchStep, grades: Mapping[str, Grade]) -> list[str]:
    freed = _of_pieces(anatomy, [one.piece for one in step.gives], grades)
    return list(dict.fromkeys([*(card.id for card in step.cautions), *freed]))


def _of_parts(anatomy: Anatomy, grades: Mapping[str, Grade]) -> set[str]:
    """Hazards that some operation or piece of a kind names: they come with it."""
    of_operations = {hazard for operation in anatomy.operations for hazard in operation.cautions}
    return of_operations | set(_of_pieces(anatomy, [piece.id for piece in anatomy.pieces], grades))


def _of_pieces(anatomy: Anatomy, pieces: Iterable[str], grades: Mapping[str, Grade]) -> list[str]:
    return list(dict.fromkeys(h for piece in pieces for h in hazards_of_piece(anatomy.piece(piece), grades)))


def _cards(cautions: Mapping[str, Caution], anatomy: Anatomy, hazards: Iterable[str]) -> tuple[CautionCard, ...]:
    return cards_by_hazard(cautions, [(anatomy.kind, tuple(dict.fromkeys(hazards)))])


def _stretches(sections: Sequence[WorkSection]) -> dict[str, SpanInHand]:
    """When a piece that a section frees is in hand, by the places of the sections from 1."""
    found: dict[str, SpanInHand] = {}
    for place, section in enumerate(sections, 1):
        step = section.step
        if step is None:
            continue
        if step.piece in found and not found[step.piece].until and step.question is None:
            found[step.piece] = replace(found[step.piece], until=place)
        for one in step.gives if step.question is None else ():
            found.setdefault(one.piece, SpanInHand(place, 0))
    return found
