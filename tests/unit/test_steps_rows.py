"""Rows to weigh in: everything that comes out once, each where it may go, nothing where nobody can tell."""

from __future__ import annotations

import pytest
from test_steps_report import oven

from partway.catalogue import shipped
from partway.reports.bench.steps import Working
from partway.reports.bench.steps_rows import RESIDUE, weighing_rows
from partway.valuing.finds.hand import Holding
from partway.valuing.finds.together import solved_alone

BINS = {"light-iron": ("light-iron",), "motors": ("shelf", "yard-side")}


@pytest.mark.parametrize("kind", shipped().kinds)
def test_every_piece_has_one_row_and_every_place_is_allowed(kind: str) -> None:
    """What the catalogue sells it or what it may turn out to be as, or residue; the best is one of the choices."""
    anatomy = shipped().anatomy(kind)
    rows = weighing_rows(anatomy, (), (), BINS, shipped().grades)
    assert [row.piece for row in rows] == [piece.id for piece in anatomy.pieces if piece.answer_to is None]
    for row in rows:
        may_be = [anatomy.piece(row.piece), *anatomy.answers_to(row.piece)]
        sold = {sale.grade for one in may_be for sale in one.sells} | {RESIDUE}
        assert {place.grade for place in row.places} == sold
        assert row.places[-1].grade == RESIDUE and row.best is None


def test_what_comes_out_stands_first_with_its_best_bin() -> None:
    it = oven(copper_2=9.0, copper_light=8.0, light_iron=0.25)
    here = solved_alone(it, Holding("microwave", "no", None, (("whole", 1),)))
    working = Working(here, BINS)
    steps = working.steps()
    rows = weighing_rows(it.anatomies["microwave"], steps, (), BINS, it.grades)
    late = [row for row in rows if not row.early]
    came = [c for s in steps for c in s.gives if c.way != "open" or c.asked]
    assert {row.piece for row in late} == {c.piece for c in came if not c.answer}
    assert rows[: len(late)] == tuple(late)
    cover = next(row for row in rows if row.piece == "cover")
    assert cover.best is not None and (cover.best.grade, cover.best.bin) == ("light-iron", "light-iron")


def test_of_several_bins_none_is_chosen() -> None:
    it = oven(motors=3.0, light_iron=0.25, copper_2=30.0)
    working = Working(solved_alone(it, Holding("microwave", "no", None, (("whole", 1),))), BINS)
    rows = weighing_rows(it.anatomies["microwave"], working.steps(), (), BINS, it.grades)
    fan = next(row for row in rows if row.piece == "turntable-motor")
    assert [(p.grade, p.bin) for p in fan.places[:2]] == [("motors", "shelf"), ("motors", "yard-side")]
    assert fan.best is None or fan.best.grade != "motors"
