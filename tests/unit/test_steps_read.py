"""`after` in a catalogue file: what steps leave is named and weighed; what cannot hold is refused where it stands."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest

from partway.catalogue import check_anatomy, read_anatomies, shipped
from partway.catalogue.checks.anatomy import closure_flaws
from partway.catalogue.writing import anatomy_text
from partway.errors import BadCatalogue
from partway.things.anatomy import Anatomy
from partway.valuing.learned.minutes import with_minutes
from partway.valuing.learned.seen import KindSeen, WorkSeen

Table = dict[str, Any]
FAN: Table = {  # invented
    "kind": "fan",
    "piece": [
        {"id": "whole", "mass_kg": [4.0, 5.0, 6.0], "sells": [{"grade": "light-iron", "share": 0.8}]},
        {"id": "left", "name": "Left cover", "mass_kg": 0.5, "sells": [{"grade": "al-cast"}]},
        {"id": "right", "name": "Right cover", "mass_kg": 0.6, "sells": [{"grade": "al-cast"}]},
        {"id": "motor", "mass_kg": 2.0, "sells": [{"grade": "motors"}]},
        {"id": "frame", "mass_kg": "rest", "sells": [{"grade": "light-iron"}]},
    ],
    "operation": [
        {"id": "off-left", "on": "whole", "minutes": 2.0, "gives": [{"piece": "left"}]},
        {"id": "off-right", "on": "whole", "minutes": 3.0, "gives": [{"piece": "right"}]},
        {
            "id": "pull",
            "on": "whole",
            "after": ["off-left", "off-right"],
            "minutes": 4.0,
            "gives": [{"piece": "motor"}, {"piece": "frame"}],
        },
    ],
}


def alone(name: str) -> Anatomy:
    raise KeyError(name)


def read(table: Table) -> Anatomy:
    return read_anatomies([table], "fan.toml", alone)["fan"]


def changed(operation: str, **fields: Any) -> Table:
    """The fan with other fields of one operation."""
    table = copy.deepcopy(FAN)
    next(op for op in table["operation"] if op["id"] == operation).update(fields)
    return table


def refusal(table: Table) -> str:
    with pytest.raises(BadCatalogue) as refused:
        read(table)
    return str(refused.value)


def test_every_set_of_covers_off_leaves_a_piece_that_weighs_what_is_left() -> None:
    fan = read(FAN)
    left = {piece.id: piece for piece in fan.pieces if piece.id.startswith("whole.")}
    assert {name: round(piece.mass.likely, 9) for name, piece in left.items()} == {
        "whole.after-off-left": 4.5,
        "whole.after-off-right": 4.4,
        "whole.after-off-left+off-right": 3.9,
    }
    assert fan.piece("frame").mass.likely == pytest.approx(1.9)
    assert [piece.name for piece in left.values()][-1] == "Whole without left cover and right cover"
    assert {piece.sells for piece in left.values()} == {fan.whole.sells}
    check_anatomy(fan, shipped().grades, shipped().cautions, "fan.toml")
    assert not list(closure_flaws(fan, at_mean=True))


def test_one_cover_or_the_other_or_both_in_one_order_and_then_the_motor() -> None:
    fan = read(FAN)
    assert [(op.id, op.on, op.minutes.likely) for op in fan.operations] == [
        ("off-left", "whole", 2.0),
        ("off-right", "whole", 3.0),
        ("off-right.after-off-left", "whole.after-off-left", 3.0),
        ("pull", "whole.after-off-left+off-right", 4.0),
    ]


def test_what_is_left_is_no_working_machine_and_goes_by_a_row_of_its_own_where_there_is_one() -> None:
    table = copy.deepcopy(FAN)
    table["piece"][0]["parts"] = [{"price": 20.0, "chance": 0.5, "minutes": 10.0}]
    table["piece"].append({"id": "whole.after-off-left", "mass_kg": "rest", "sells": [{"grade": "heavy-melt-1"}]})
    fan = read(table)
    assert [piece.id for piece in fan.pieces if piece.parts] == ["whole"]
    own = fan.piece("whole.after-off-left")
    assert [sale.grade for sale in own.sells] == ["heavy-melt-1"] and own.mass.likely == pytest.approx(4.5)


def test_nothing_is_sold_as_untouched_once_what_is_required_is_out() -> None:
    """Both steps are required: after one of them the other still comes before any sale."""
    table = changed("off-left", required=True)
    table["operation"][1]["required"] = True
    table["piece"][0]["sells"].append({"grade": "e-scrap-mixed", "before_required": True})
    fan = read(table)
    sold = {piece.id: [sale.grade for sale in piece.sells] for piece in fan.pieces if piece.id.startswith("whole")}
    assert sold["whole.after-off-left"] == ["light-iron", "e-scrap-mixed"]
    assert sold["whole.after-off-left+off-right"] == ["light-iron"]
    assert [op.required for op in fan.operations] == [True, True, True, True, False]


def test_an_answer_to_a_question_may_be_opened_in_steps() -> None:
    table = copy.deepcopy(FAN)
    either = [{"answer": name, "name": name, "chance": 0.5} for name in ("old", "new")]
    table["piece"][0] |= {"ask": "old or new?", "either": either}
    for op in table["operation"]:
        op["on"] = "whole.old"
    fan = read(table)
    assert fan.piece("whole.old.after-off-left").share == 0.5
    assert fan.piece("frame").share == 0.5
    assert read(tomllib.loads(anatomy_text(fan))["anatomy"][0]) == fan


def test_a_component_in_steps_takes_them_along_into_the_kind() -> None:
    def component(name: str) -> Anatomy:
        return read(FAN)

    kind = {
        "kind": "cooler",
        "piece": [{"id": "whole", "mass_kg": 9.0}, {"id": "blower", "like": "fan", "mass_kg": 5.0}],
        "operation": [{"on": "whole", "minutes": 1.0, "gives": [{"piece": "blower"}]}],
    }
    cooler = read_anatomies([kind], "cooler.toml", component)["cooler"]
    assert cooler.piece("blower.after-off-left").mass.likely == pytest.approx(4.5)
    assert [op.on for op in cooler.operations if op.id == "blower.pull"] == ["blower.after-off-left+off-right"]


def with_operations(*more: Table, required: tuple[str, ...] = (), **after: list[str]) -> Table:
    """The fan with some operations required, some that come after others, and further ones."""
    table = copy.deepcopy(FAN)
    for op in table["operation"]:
        op["required"] = op["id"] in required
        op["after"] = after.get(op["id"], op.get("after", []))
    table["operation"] += more
    return table


def other(name: str, **fields: Any) -> Table:
    """One more operation on the fan."""
    return {"id": name, "on": "whole", "minutes": 1.0, "gives": [{"piece": "motor"}], **fields}


DRAIN = other("drain", after=["off-left"], required=True)
SMASH = other("smash", after=["off-right"])
ALL = ("off-left", "off-right", "pull")
REFUSED = [
    (changed("pull", after=["off-lft"]), 'operation[pull].after: got "off-lft"', 'did you mean "off-left"?'),
    (changed("pull", after=["off-left", "off-left"]), "operation[pull].after", "each operation once"),
    (changed("pull", after=["pull"]), "operation[pull].after: got pull after pull", "comes after itself"),
    (changed("off-left", after=["pull"]), ".after: got", "no operation that comes after itself"),
    (
        changed("off-left", on="motor", gives=[{"piece": "left"}]),
        'operation[pull].after: got "off-left", which is done to "motor"',
        'an operation on "whole" as well',
    ),
    (changed("pull", required=True), "operation[pull].after", '"off-left" required as well: it comes before "pull"'),
    (
        changed("off-right", required=True, after=["off-left"]),
        "operation[off-right].after",
        '"off-left" required as well: it comes before "off-right"',
    ),
    (
        with_operations(SMASH, required=("off-right",), pull=["off-left"]),
        'operation[pull].after: got "off-left"',
        'also "off-right", since the required steps come before it',
    ),
    (
        with_operations(DRAIN, required=ALL),
        'operation[drain].after: got "off-left"',
        'also "off-right", since all steps come before it',
    ),
    (
        changed("off-left", gives=[{"piece": "frame"}]),
        'operation[off-left].gives: got "rest"',
        'a mass in kg of "frame": what a step leaves is worked out',
    ),
    (with_operations(other("off-left")), "operation[off-left]", "each operation once"),
    (changed("off-left", gives=[{"piece": "lft"}]), 'operation[off-left].gives: got "lft"', 'did you mean "left"?'),
    (changed("pull", on="whle", after=[]), 'operation[pull].on: got "whle"', 'did you mean "whole"?'),
]


@pytest.mark.parametrize(("table", "where", "expected"), REFUSED)
def test_what_cannot_hold_is_refused_where_it_stands(table: Table, where: str, expected: str) -> None:
    said = refusal(table)
    assert said.startswith("fan.toml: anatomy[fan]") and where in said and expected in said, said


def test_steps_that_weigh_more_than_the_piece_are_refused_by_their_numbers() -> None:
    table = copy.deepcopy(FAN)
    table["piece"][1]["mass_kg"] = 5.5
    said = refusal(table)
    assert "piece[whole.after-off-left].mass_kg" in said and "more than 0 kg left" in said, said


def test_pieces_that_do_not_add_up_to_what_steps_leave_are_told_by_the_operation() -> None:
    table = copy.deepcopy(FAN)
    table["piece"][-1]["mass_kg"] = 3.0
    with pytest.raises(BadCatalogue, match=r"operation\[pull\].*3\.9 kg, less at most"):
        check_anatomy(read(table), shipped().grades, shipped().cautions, "fan.toml")


def test_too_many_steps_and_too_long_names_are_refused() -> None:
    table = copy.deepcopy(FAN)
    for i in range(4):
        table["piece"].append({"id": f"foot{i}", "mass_kg": 0.01})
        table["operation"].append({"id": f"foot{i}", "on": "whole", "minutes": 1.0, "gives": [{"piece": f"foot{i}"}]})
        table["operation"][2]["after"].append(f"foot{i}")
    assert "6 steps that leave more than 32 different pieces" in refusal(table)
    long = changed("off-left", id="x" * 75)
    long["operation"][2]["after"] = ["x" * 75, "off-right"]
    assert "at most 80 characters together" in refusal(long)


def test_steps_on_a_piece_like_a_component_belong_into_its_file() -> None:
    table = copy.deepcopy(FAN)
    table["piece"][0] = {"id": "whole", "like": "motor-small"}
    assert 'steps on a piece like "motor-small"' in refusal(table)


def test_a_question_is_no_step() -> None:
    table = copy.deepcopy(FAN)
    either = [{"answer": name, "name": name, "chance": 0.5} for name in ("old", "new")]
    table["piece"][0] |= {"ask": "old or new?", "either": either}
    table["operation"][2]["after"] = ["whole.tell"]
    assert "an operation of this anatomy that is no question" in refusal(table)


def test_minutes_of_a_step_are_learned_whatever_was_done_before_it() -> None:
    """Right covers timed in both ways: alone, and behind the left one. Twice as long as estimated, again and again."""
    fan = read(FAN)
    alone_, behind = WorkSeen((("off-right", 1),), 6.0), WorkSeen((("off-right.after-off-left", 1),), 6.0)
    both = with_minutes(fan, KindSeen(work=(alone_, behind) * 4))
    same = with_minutes(fan, KindSeen(work=(alone_,) * 8))
    minutes = {op.id: op.minutes for op in both.operations}
    assert minutes["off-right"] == minutes["off-right.after-off-left"] != fan.operations[1].minutes
    assert minutes["off-left"] == fan.operations[0].minutes
    assert both.operations == same.operations
