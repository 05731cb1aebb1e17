"""Rows to weigh pieces in when a find is opened: what the steps give, where it may go, what it usually weighs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from partway.reports.bench.steps import BenchStep, Bins, Comes
from partway.reports.learned import LearnedLine, learned_lines
from partway.things.anatomy import Anatomy, Piece
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.valuing.finds.facts import OnlyIf, Question, condition_of

RESIDUE = "residue"
NOBODY = "residue, nobody takes it"


@dataclass(frozen=True, slots=True)
class PiecePlace:
    """Where a piece may go: a grade and a bin of it, no bin for one still to be made; residue goes to nobody.

    `answers` are those to the question about the piece that send it there.
    """

    grade: str
    name: str
    bin: str = ""
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One piece to weigh. `early`: it is opened again, or not touched, so it is only weighed where one stops there.

    `usual` is the mass of `count` of them in kg; `best` is where it sells best, None where nothing tells. A `part` is
    best kept in the find until somebody buys it. `note` is what decides where it goes. A piece that is asked about is
    weighed once: the answer to its `question` chooses the place, and `unasked` is the grade it goes as while nobody
    looked, empty where it has to be looked at. One that is there `only_if` a question is answered so is told for a
    find that has it. `learned` says how many of one's own its mass is from.
    """

    piece: str
    name: str
    count: int
    usual: Estimate
    places: tuple[PiecePlace, ...]
    best: PiecePlace | None
    early: bool
    part: bool = False
    note: str = ""
    question: Question | None = None
    asks: bool = False
    unasked: str = ""
    only_if: OnlyIf | None = None
    learned: LearnedLine | None = None


def weighing_rows(
    anatomy: Anatomy, steps: Iterable[BenchStep], left: Iterable[Comes], bins: Bins, grades: Mapping[str, Grade]
) -> tuple[PieceRow, ...]:
    """What comes out in the order of the steps, then what is opened again on the way, then all there is besides."""
    return _Rows(anatomy, tuple(steps), tuple(left), bins, grades).all()


@dataclass(frozen=True)
class _Rows:
    anatomy: Anatomy
    steps: tuple[BenchStep, ...]
    left: tuple[Comes, ...]
    bins: Bins
    grades: Mapping[str, Grade]

    def all(self) -> tuple[PieceRow, ...]:
        """What ends, then what is opened again, then what was in hand before, then all there is besides."""
        rows: dict[str, PieceRow] = {}
        came = [(c, step.only_if) for step in self.steps if step.question is None for c in step.gives]
        for one, condition in sorted(came, key=lambda it: self._again(it[0])):
            rows.setdefault(one.piece, self._row(one, self._again(one), condition))
        for one in self.left:
            rows.setdefault(one.piece, self._row(one, self._again(one) or (bool(came) and not one.asked)))
        for piece in self.anatomy.pieces:
            if piece.answer_to is None:
                rows.setdefault(piece.id, self._besides(piece))
        return tuple(sorted(rows.values(), key=lambda row: row.early))

    def _again(self, one: Comes) -> bool:
        """Whether a piece is opened again, whatever the answer where it is asked about."""
        if not one.asked:
            return one.way == "open"
        answers = [c for step in self.steps if step.question and step.piece == one.piece for c in step.gives]
        return all(answer.way == "open" for answer in answers)

    def _row(self, one: Comes, early: bool, condition: OnlyIf | None = None) -> PieceRow:
        piece, places = self.anatomy.piece(one.piece), self._places(one.piece)
        best = next((p for p in places if p.grade == one.grade and one.bin in ("", p.bin) and not one.bins), None)
        part = one.way == "part"
        row = PieceRow(piece.id, one.name, one.count, one.mass_kg, places, best, early, part, one.note, one.question)
        return self._said(row, piece, condition)

    def _besides(self, piece: Piece) -> PieceRow:
        name = self.anatomy.name if piece is self.anatomy.whole else piece.name
        row = PieceRow(piece.id, name, 1, piece.mass, self._places(piece.id), None, early=True, note=piece.note)
        return self._said(row, piece, condition_of(self.anatomy, piece.id))

    def _said(self, row: PieceRow, piece: Piece, condition: OnlyIf | None) -> PieceRow:
        seen = next((one for one in self._learned if one.of == piece.id and one.what == "mass"), None)
        asks, unasked = self._asks(piece), self._unasked(piece)
        return replace(row, asks=asks, unasked=unasked, only_if=condition, learned=seen)

    @cached_property
    def _learned(self) -> tuple[LearnedLine, ...]:
        return learned_lines(self.anatomy)

    def _asks(self, piece: Piece) -> bool:
        return bool(self.anatomy.answers_to(piece.id))

    def _unasked(self, piece: Piece) -> str:
        """The one grade of a piece by name, empty where there is a choice or none."""
        return self.grades[piece.sells[0].grade].name if len(piece.sells) == 1 else ""

    def _places(self, piece: str) -> tuple[PiecePlace, ...]:
        """Its grades, those of its answers before its own, each with the bins that hold it, and nobody at last."""
        own, answers = self.anatomy.piece(piece), self.anatomy.answers_to(piece)
        sold: dict[str, list[str]] = {}
        for one in (*answers, own):
            for sale in one.sells:
                if sale.grade != RESIDUE:
                    sold.setdefault(sale.grade, []).extend([one.answer] if one.answer and one is not own else [])
        places = [
            PiecePlace(grade, self.grades[grade].name, bin_id, tuple(dict.fromkeys(said)))
            for grade, said in sold.items()
            for bin_id in self.bins.get(grade, ()) or ("",)
        ]
        return (*places, PiecePlace(RESIDUE, NOBODY))


def any_place(bins: Bins, grades: Mapping[str, Grade]) -> Iterator[PiecePlace]:
    """Every grade, those with a bin first, and nobody at last."""
    for grade in sorted(grades, key=lambda grade: (grade not in bins, grades[grade].name)):
        if grade != RESIDUE:
            for bin_id in bins.get(grade, ()) or ("",):
                yield PiecePlace(grade, grades[grade].name, bin_id)
    yield PiecePlace(RESIDUE, NOBODY)
