"""A piece that is asked about, as it lies in the hand: whole masses, minutes and money, and what asking is worth.

Figures by hand stand in tests/winding.py. What is opened further is worked from the component's own file.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from winding import WHOLE, scenario

from partway.actions.bench.depths import depth
from partway.actions.curb.curb import curb
from partway.catalogue import shipped
from partway.catalogue.checks.masses import prefixed
from partway.planning.instance.build import build
from partway.reports.bench.limbs import Limb, tree_of
from partway.reports.bench.report_depth import report_depth
from partway.reports.bench.steps import BenchStep, Working
from partway.reports.bench.steps_rows import PieceRow, weighing_rows
from partway.things.scenario import Find, Scenario
from partway.valuing.finds.hand import Holding, ValuedHolding
from partway.valuing.finds.hands import HoldingValues
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.questions import questions_worth_it
from partway.valuing.finds.together import solved_alone
from partway.web.drawings.anatomy import anatomy_picture
from partway.web.drawings.limbs import small_ones_together

COPPER = 8.0  # a kilogram of No. 2 copper where the transformer is opened


def hand(it: Scenario, *pieces: tuple[str, int]) -> ValuedHolding:
    return solved_alone(it, Holding("oven", "no", None, pieces or (("whole", 1),)))


def steps(it: Scenario) -> tuple[BenchStep, ...]:
    return Working(hand(it), {}).steps()


def rows(it: Scenario, **bins: tuple[str, ...]) -> dict[str, PieceRow]:
    working = Working(hand(it), bins)
    found = weighing_rows(it.anatomies["oven"], working.steps(), working.left_as_it_is(), bins, it.grades)
    assert len({row.piece for row in found}) == len(found)
    return {row.piece: row for row in found}


def limbs(of: tuple[Limb, ...]) -> dict[str, Limb]:
    return {piece: limb for one in of for piece, limb in {one.piece: one, **limbs(one.limbs)}.items()}


# --- what asking is worth ---


def test_the_worth_of_a_question_by_hand(tmp_path: Path) -> None:
    ask = steps(scenario(tmp_path, WHOLE))[1]
    assert (ask.operation, ask.name) == ("transformer.tell", "scratch the winding: red or silver?")
    assert ask.question is not None
    assert ask.question.worth == pytest.approx(2.04 - 0.06 - 0.60)
    assert [(a.answer, a.chance, a.grade) for a in ask.question.answers] == [
        ("wound with copper", 0.6, "transformer-cu"),
        ("wound with aluminium", 0.4, "transformer-al"),
    ]
    assert [a.value for a in ask.question.answers] == pytest.approx([3.00, 0.60])
    assert ask.question.unasked.grade == "transformer-al"


def test_a_question_is_worth_as_much_for_each_of_two(tmp_path: Path) -> None:
    """Two transformers of one oven: each is asked about, and each gains 1.38."""
    two = ('gives = [ { piece = "transformer" }', 'gives = [ { piece = "transformer", count = 2 }')
    out, ask = steps(scenario(tmp_path, WHOLE, two))
    assert ask.question is not None
    assert (ask.times, ask.question.count) == (2, 2)
    assert ask.question.worth == pytest.approx(1.38)
    assert [c.count for c in out.gives if c.piece == "transformer"] == [2]


def test_a_question_that_gains_nothing_is_no_step_and_not_told(tmp_path: Path) -> None:
    """Both answers at one price: looking only costs its minutes."""
    (out,) = steps(scenario(tmp_path, WHOLE, ("1.00 /kg", "0.20 /kg")))
    transformer = next(c for c in out.gives if c.piece == "transformer")
    assert (transformer.grade, transformer.asked, transformer.question) == ("transformer-al", False, None)
    assert transformer.why is not None and transformer.why.sort == "end"


def test_a_question_that_danger_hangs_on_is_told_whatever_it_is_worth(tmp_path: Path) -> None:
    """A piece that goes into no bin before somebody looked, where nobody quotes what it may turn out to be."""
    unquoted = ('grade = "transformer-cu"\nprice', 'grade = "glass"\nprice')
    none = ('sells = [ { grade = "transformer-al" } ]\n  ask', "sells = []\n  ask")
    of_al = ('grade = "transformer-al"\nprice', 'grade = "lamps"\nprice')
    of_copper = ('grade = "copper-2"\nprice', 'grade = "plastics-mixed"\nprice')
    iron = ('grade = "light-iron"\nprice', 'grade = "tube-whole"\nprice')  # as which either may be sold as well
    it = scenario(tmp_path, unquoted, none, of_al, of_copper, iron)
    (left,) = Working(hand(it, ("transformer", 1)), {}).left_as_it_is()
    assert left.question is not None and not left.question.pays


# --- masses, minutes and money are of the whole piece ---


def test_answers_weigh_and_bring_what_the_piece_in_hand_does(tmp_path: Path) -> None:
    out, ask = steps(scenario(tmp_path, WHOLE))
    assert [(c.answer, c.chance, c.grade) for c in ask.gives] == [
        ("wound with copper", 0.6, "transformer-cu"),
        ("wound with aluminium", 0.4, "transformer-al"),
    ]
    assert [c.mass_kg.likely for c in ask.gives] == pytest.approx([3.0, 3.0])
    assert [c.value for c in ask.gives] == pytest.approx([3.00, 0.60])
    transformer = next(c for c in out.gives if c.piece == "transformer")
    assert (transformer.way, transformer.asked) == ("open", True)
    assert transformer.mass_kg.likely == pytest.approx(3.0)


def test_an_answer_that_is_opened_takes_the_minutes_of_its_file(tmp_path: Path) -> None:
    it = scenario(tmp_path)
    found = [step for step in steps(it) if step.only_if]
    assert found, "at 8.00 a kilogram of copper the transformer is opened where it is wound with it"
    component = shipped().component("transformer-cu")
    for step in found:
        assert step.only_if is not None
        assert (step.only_if.answer, step.only_if.share) == ("wound with copper", 0.6)
        own = next(op for op in component.operations if step.operation == f"transformer.copper.{op.id}")
        assert step.minutes == own.minutes
        for one in step.gives:
            piece = it.anatomies["oven"].piece(one.piece)
            assert one.mass_kg.likely == pytest.approx(piece.mass.likely * one.count)
            if one.grade == "copper-2":
                assert one.value == pytest.approx(piece.mass.mean * COPPER * one.count)


def test_depth_tells_steps_in_the_hand_and_ends_that_add_up(tmp_path: Path) -> None:
    it = scenario(tmp_path)
    report = depth(it, "oven", "no", None)
    copper = [step for step in report.steps if step.only_if and step.only_if.answer == "wound with copper"]
    own = {op.id: op.minutes.mean for op in it.anatomies["oven"].operations}
    chosen = [step for step in copper if step.chosen]
    assert [step.minutes for step in chosen] == pytest.approx([own[step.operation] for step in chosen])
    assert len(chosen) == 1
    (ask,) = [step for step in report.steps if step.question]
    assert ask.question == next(step.question for step in steps(it) if step.question)
    brings = sum(end.value for end in report.ends)
    assert brings - report.minutes / 60.0 * report.wage == pytest.approx(report.value)
    assert sum(end.mass_kg for end in report.ends) == pytest.approx(10.0, rel=0.03)  # what one operation loses
    assert {end.only_if.answer for end in report.ends if end.only_if} == {"wound with copper", "wound with aluminium"}


def test_at_the_curb_the_ends_add_up_to_the_money(tmp_path: Path) -> None:
    for change in ([WHOLE], []):
        it = curb(scenario(tmp_path, *change), "oven", "no")
        assert it.shown is not None and it.way_if_not is not None
        assert sum(end.value for end in it.way_if_not.ends) == pytest.approx(it.shown.money.expected)


def test_the_curb_names_a_question_worth_more_than_some_minutes(tmp_path: Path) -> None:
    """Five minutes at 12 an hour are 1.00, less than the 1.38; at 24 an hour 2.00, more than 2.04 - 0.12 - 0.60."""
    (ask,) = curb(scenario(tmp_path, WHOLE), "oven", "no").questions
    assert ask.piece == "transformer"
    assert ask.worth == pytest.approx(1.38)
    assert curb(scenario(tmp_path, WHOLE, ("wage = 12.0", "wage = 24.0")), "oven", "no").questions == ()


def test_an_answer_that_stays_shut_does_not_send_every_find_whole_to_a_depot(tmp_path: Path) -> None:
    """Most of the find, but only in 4 of 10."""
    heavy = ("mass_kg = 3.0", "mass_kg = 6.0")
    shut = ('chance = 0.4, sells = [ { grade = "transformer-al" } ]', 'chance = 0.4, stop = "mercury"')
    it = curb(scenario(tmp_path, WHOLE, heavy, shut), "oven", "no")
    assert (it.verdict, it.shut) == ("take", "")


def test_the_drawing_counts_answers_by_their_share_and_names_them_by_what_they_say(tmp_path: Path) -> None:
    tree = tree_of(Working(hand(scenario(tmp_path, WHOLE)), {}))
    found = limbs(tree)
    assert found["transformer"].asks
    assert found["transformer"].measure("mass") == pytest.approx(3.0)
    assert found["transformer.copper"].mass_kg == pytest.approx(3.0)
    assert found["transformer.copper"].measure("mass") == pytest.approx(1.8)
    assert tree[0].measure("mass") == pytest.approx(10.0)
    assert tree[0].measure("value") == pytest.approx(2.04 + 0.70)
    drawn = anatomy_picture(tree, "mass")
    boxes = {box.piece: box for box in drawn.boxes}
    assert boxes["transformer.copper"].name == "Wound with copper"
    assert boxes["transformer"].asks and boxes["transformer.aluminium"].chance == pytest.approx(0.4)
    # To scale the two are 3 to 2 (test_anatomy_picture.py); the least height for a finger makes small ones alike.
    assert boxes["transformer.copper"].height >= boxes["transformer.aluminium"].height


def test_answers_are_never_put_together_as_small_pieces(tmp_path: Path) -> None:
    tree = tree_of(Working(hand(scenario(tmp_path, WHOLE, ("mass_kg = 10.0", "mass_kg = 200.0"))), {}))
    drawn = limbs(small_ones_together(tree, "mass"))
    assert {"transformer.copper", "transformer.aluminium"} <= set(drawn)


# --- what is left in hand ---


def test_what_came_out_of_an_answer_is_there_for_sure(tmp_path: Path) -> None:
    """Copper out of a scratched transformer lies on the bench: its whole mass counts, in every draw."""
    it = scenario(tmp_path)
    piece = it.anatomies["oven"].piece("transformer.copper.copper")
    here = hand(it, (piece.id, 1))
    assert here.brings == pytest.approx(piece.mass.mean * COPPER)
    money, _ = here.draws()
    assert np.all(money > 0.0)
    assert np.mean(money) == pytest.approx(here.brings, rel=0.02)  # five standard errors of 2000 draws of such a mass
    (left,) = Working(here, {}).left_as_it_is()
    assert left.mass_kg.likely == pytest.approx(piece.mass.likely)
    assert left.value == pytest.approx(here.brings)


def test_a_holding_is_valued_alike_alone_and_with_others(tmp_path: Path) -> None:
    it = scenario(tmp_path)
    whole, part = (Holding("oven", "no", None, ((p, 1),)) for p in ("whole", "transformer.copper.copper"))
    values = HoldingValues.at(it).of([whole, part])
    assert values[part].brings == pytest.approx(hand(it, ("transformer.copper.copper", 1)).brings)
    assert values[whole].brings == pytest.approx(hand(it).brings)


def test_a_transformer_in_hand_is_asked_about_before_it_goes_into_a_bin(tmp_path: Path) -> None:
    it = scenario(tmp_path, WHOLE)
    here = hand(it, ("transformer", 1))
    assert [one.worth for one in questions_worth_it(here)] == pytest.approx([1.38])
    working = Working(here, {})
    assert [step.operation for step in working.steps()] == ["transformer.tell"]
    (left,) = working.left_as_it_is()
    assert left.asked and left.question is not None
    found = weighing_rows(it.anatomies["oven"], working.steps(), working.left_as_it_is(), {}, it.grades)
    assert [row.piece for row in found if not row.early] == ["transformer"]


# --- weighed once ---


def test_a_piece_is_weighed_once_and_the_answer_chooses_its_place(tmp_path: Path) -> None:
    row = rows(scenario(tmp_path, WHOLE))["transformer"]
    assert not row.early and row.asks and row.best is None and row.question is not None
    assert [(place.grade, place.answers) for place in row.places] == [
        ("transformer-cu", ("wound with copper",)),
        ("transformer-al", ("wound with aluminium",)),
        ("residue", ()),
    ]
    assert row.unasked == "Transformer, aluminium"


def test_no_answer_is_a_row_and_what_is_inside_one_says_so(tmp_path: Path) -> None:
    found = rows(scenario(tmp_path))
    assert not {piece.id for piece in scenario(tmp_path).anatomies["oven"].answers_to("transformer")} & set(found)
    inside = [row for name, row in found.items() if name.startswith("transformer.copper.")]
    assert inside and all(row.only_if and row.only_if.answer == "wound with copper" for row in inside)
    assert found["shell"].only_if is None


def test_a_component_brings_its_question_along(tmp_path: Path) -> None:
    """The question of a component is one of each piece that is like it, under that piece's name."""
    oven = scenario(tmp_path).anatomies["oven"]
    pieces, operations = prefixed("inner", oven, oven.whole.mass)
    assert {p.answer_to for p in pieces if p.id.startswith("inner.transformer.") and p.answer} == {"inner.transformer"}
    assert [op.on for op in operations if op.asks] == ["inner.transformer"]
    made = replace(oven, kind="box", pieces=(replace(oven.whole, id="inner"), *pieces), operations=tuple(operations))
    assert made.in_hand("inner.transformer.copper").id == "inner.transformer"
    found = made.answer_of("inner.transformer.copper.copper")
    assert found is not None and found.id == "inner.transformer.copper"


def test_the_report_of_a_solved_find_is_that_of_the_action(tmp_path: Path) -> None:
    it = scenario(tmp_path, WHOLE)
    solved = Solved.of(build(replace(it, finds=(Find("oven", 1, "no", None),))))
    assert report_depth(solved).steps == depth(it, "oven", "no", None).steps
