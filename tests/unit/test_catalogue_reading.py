"""Anatomy tables: each rule of docs/catalogue-format.md with what it accepts and what it refuses."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_catalogue import CAUTIONS, FAN, FILE, GRADES, Components, fan, read, refusal

from partway.catalogue import check_anatomy, read_anatomies
from partway.errors import BadCatalogue
from partway.things.estimate import Estimate


def test_a_plain_file_is_read_with_its_defaults() -> None:
    anatomy = read(FAN)["fan"]
    assert anatomy.name == "Fan"
    assert [piece.id for piece in anatomy.pieces] == ["whole", "motor", "shell"]
    assert anatomy.whole.sells[0].share == 1.0
    rest = anatomy.piece("shell").mass
    assert [rest.low, rest.likely, rest.high] == pytest.approx([1.2, 2.0, 3.6])
    (operation,) = anatomy.operations
    assert (operation.id, operation.name, operation.loss) == ("open-whole", "open whole", 0.02)
    assert operation.minutes == Estimate(3.0, 5.0, 8.0)
    assert anatomy.works is None and anatomy.test_minutes is None


def test_operations_without_an_id_get_different_ones() -> None:
    again = FAN[FAN.index("  [[anatomy.operation]]") :]
    named = again.replace('on = "whole"', 'on = "whole"\n  id = "open-whole-2"')
    ids = [op.id for op in read(FAN + again + named)["fan"].operations]
    assert ids == ["open-whole", "open-whole-3", "open-whole-2"]


# Every rule that one table shows: what is replaced, and the parts of the message.
REFUSED = [
    ("mass of zero", [("[2.0, 3.0, 5.0]", "0")], "anatomy[fan].piece[whole].mass_kg", "got 0;", "above 0"),
    ("negative mass", [("[2.0, 3.0, 5.0]", "[-2, 3, 5]")], "piece[whole].mass_kg", "[-2, 3, 5]", "above 0"),
    (
        "mass out of order",
        [("[2.0, 3.0, 5.0]", "[3, 2, 5]")],
        "mass_kg",
        "[3, 2, 5]",
        "low <= likely <= high",
    ),
    ("mass of two numbers", [("[2.0, 3.0, 5.0]", "[3, 5]")], "mass_kg", "[3, 5]", "[low, likely, high]"),
    ("mass not a number", [("[2.0, 3.0, 5.0]", "[nan, 3, 5]")], "mass_kg", "[nan, 3, 5]", "one number or"),
    ("mass infinite", [("[2.0, 3.0, 5.0]", "inf")], "mass_kg", "got inf", "at most 10,000,000"),
    ("mass as text", [("[2.0, 3.0, 5.0]", '"3 kg"')], "mass_kg", '"3 kg"', 'or "rest"'),
    ("mass true", [("[2.0, 3.0, 5.0]", "true")], "mass_kg", "got true", "one number or"),
    ("no mass", [("mass_kg = [2.0, 3.0, 5.0]", "")], "piece[whole].mass_kg", "got nothing", '"rest"'),
    ("share of zero", [("share = 0.9", "share = 0")], "piece[shell].sells[iron].share", "got 0", "above 0"),
    ("share over one", [("share = 0.9", "share = 1.1")], "sells[iron].share", "got 1.1", "at most 1"),
    ("share as text", [("share = 0.9", 'share = "all"')], "sells[iron].share", '"all"', "one number or"),
    (
        "count of zero",
        [('piece = "motor" }', 'piece = "motor", count = 0 }')],
        "count",
        "got 0",
        "at least 1",
    ),
    (
        "count of half",
        [('piece = "motor" }', 'piece = "motor", count = 0.5 }')],
        "count",
        "0.5",
        "a whole number",
    ),
    ("minutes below 0", [("[3, 5, 8]", "[-1, 5, 8]")], "operation[#1].minutes", "[-1, 5, 8]", "at least 0"),
    (
        "loss of everything",
        [("minutes", "loss = 1.0\n  minutes")],
        "operation[#1].loss",
        "got 1.0",
        "below 1",
    ),
    ("no minutes", [("minutes = [3, 5, 8]", "")], "operation[#1].minutes", "got nothing", "a value"),
    ("nothing given", [('[ { piece = "motor" }, { piece = "shell" } ]', "[]")], "gives", "[]", "at least 1"),
    (
        "works above 1",
        [('kind = "fan"', 'kind = "fan"\nworks = 1.5')],
        "anatomy[fan].works",
        "1.5",
        "at most 1",
    ),
    ("date as text", [('kind = "fan"', 'kind = "fan"\non = "2026-03-01"')], ".on", '"2026', "without quotes"),
    ("required as text", [("minutes", 'required = "yes"\n  minutes')], ".required", '"yes"', "true or false"),
    ("misspelt field", [("mass_kg", "mas_kg")], "piece[whole].mas_kg", '"mas_kg"', 'did you mean "mass_kg"?'),
    (
        "odd field",
        [("mass_kg", "zzz = 1\n  mass_kg")],
        "piece[whole].zzz",
        '"zzz"',
        "a known field: id, name",
    ),
    (
        "control character in an id",
        [('id = "motor"', 'id = "mo\\u001btor"')],
        "piece[mo?tor].id",
        "mo?tor",
        "",
    ),
    ("piece twice", [('id = "motor"', 'id = "shell"')], "piece[shell]", '"shell" twice', "each piece once"),
    ("given twice", [('"shell" }', '"motor" }')], "gives", '"motor" twice', "with a count"),
    (
        "grade twice",
        [('{ grade = "iron" }', '{ grade = "iron" }, { grade = "iron" }')],
        "sells",
        "twice",
        "once",
    ),
    ("unknown grade", [('"motors"', '"motor"')], "piece[motor].sells", '"motor"', 'did you mean "motors"?'),
    ("unknown caution", [("minutes", 'cautions = ["main"]\n  minutes')], ".cautions", '"main"', '"mains"?'),
    (
        "unknown stop",
        [('id = "motor"', 'id = "motor"\n  stop = "spring"')],
        ".stop",
        '"spring"',
        '"springs"?',
    ),
    (
        "unknown kind caution",
        [('"fan"', '"fan"\ncautions = ["x"]')],
        "anatomy[fan].cautions",
        '"x"',
        "known caution",
    ),
    ("unknown piece given", [('"motor" }', '"moto" }')], "gives", '"moto"', 'did you mean "motor"?'),
    ("unknown piece opened", [('on = "whole"', 'on = "hole"')], ".on", '"hole"', 'did you mean "whole"?'),
    (
        "unknown component",
        [('id = "motor"', 'id = "motor"\n  like = "motor-smal"')],
        ".like",
        "smal",
        "motor-small",
    ),
    (
        "stop but opened",
        [('id = "whole"', 'id = "whole"\n  stop = "springs"')],
        ".on",
        "open-whole",
        "stays shut",
    ),
    (
        "unreachable",
        [(', { piece = "shell" }', ""), ('"rest"', "2.0")],
        "piece[shell]",
        '"shell"',
        "operation gives",
    ),
    (
        "a rest of nothing",
        [("[0.8, 1.0, 1.4]", "3.5")],
        "piece[shell].mass_kg",
        "a rest of -1.5 /",
        "more than 0 kg",
    ),
    ("a rest from nowhere", [("[2.0, 3.0, 5.0]", '"rest"')], "piece[whole]", '"rest"', "no operation leaves"),
    (
        "two rests",
        [("[0.8, 1.0, 1.4]", '"rest"')],
        "mass_kg",
        '"rest"',
        'one "rest" in operation "open-whole"',
    ),
    ("mass too much", [('"rest"', "2.1")], "operation[open-whole]", "3.1 kg (+0.1 kg, +3.3%)", "3 kg"),
    ("mass too little", [('"rest"', "1.9")], "operation[open-whole]", "2.9 kg (-0.1 kg, -3.3%)", "2.0% loss"),
]


@pytest.mark.parametrize(("rule", "changes", "where", "given", "expected"), REFUSED, ids=[r[0] for r in REFUSED])
def test_what_breaks_a_rule_is_refused(
    rule: str, changes: list[tuple[str, str]], where: str, given: str, expected: str
) -> None:
    refused = refusal(fan(*changes), Components())
    assert refused.where.startswith(f"{FILE}: anatomy")
    assert where in refused.where
    assert given in f"got {refused.given};"
    assert expected in refused.expected
    assert str(refused).isprintable()


ACCEPTED = [
    ("one number as a mass", [("[2.0, 3.0, 5.0]", "3"), ("[0.8, 1.0, 1.4]", "1"), ('"rest"', "2")]),
    ("within the loss", [('"rest"', "1.95")]),
    ("within rounding above", [('"rest"', "2.014")]),
    ("a stated loss", [('"rest"', "1.7"), ("minutes", "loss = 0.1\n  minutes")]),
    ("a piece that stays shut", [('id = "motor"', 'id = "motor"\n  stop = "springs"')]),
    ("two of a piece", [("[0.8, 1.0, 1.4]", "0.5"), ('piece = "motor" }', 'piece = "motor", count = 2 }')]),
    ("a rest shared out", [('piece = "shell" }', 'piece = "shell", count = 2 }')]),
    ("a date", [('kind = "fan"', 'kind = "fan"\non = 2026-03-01')]),
    ("spaces inside an id", [('kind = "fan"', 'kind = "window fan"')]),
    ("a hazard inside", [('"motors" }', '"pack" }')]),  # the planner bars its sale; the file is not wrong
]


@pytest.mark.parametrize("changes", [case[1] for case in ACCEPTED], ids=[case[0] for case in ACCEPTED])
def test_what_keeps_the_rules_is_accepted(changes: list[tuple[str, str]]) -> None:
    assert read(fan(*changes))


def test_a_kind_twice_in_one_file_is_refused() -> None:
    assert 'anatomy[fan]: got "fan" twice' in str(refusal(FAN + FAN))


def test_a_cycle_is_refused_and_named() -> None:
    circle = """
  [[anatomy.operation]]
  on = "motor"
  minutes = 1
  gives = [ { piece = "coil" } ]
  [[anatomy.operation]]
  on = "coil"
  minutes = 1
  gives = [ { piece = "motor" } ]
"""
    coil = '  [[anatomy.piece]]\n  id = "coil"\n  mass_kg = 1.0\n  [[anatomy.operation]]\n  on = "whole"'
    refused = refusal(fan(('  [[anatomy.operation]]\n  on = "whole"', coil)) + circle)
    assert refused.given in ("motor -> coil -> motor", "coil -> motor -> coil")
    assert "contains itself" in refused.expected


def test_a_first_piece_that_comes_out_of_another_is_refused() -> None:
    """Without the operation that opens the whole, nothing is a cycle; the whole is still no inner piece."""
    refused = refusal(fan(('on = "whole"', 'on = "motor"'), ('{ piece = "motor" }', '{ piece = "whole" }')))
    assert refused.given == '"whole"'
    assert "come out of no operation" in refused.expected


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5) | st.sampled_from(["rest", "whole"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=2),
    max_leaves=5,
)


@given(st.data())
def test_any_value_anywhere_is_read_or_refused_in_one_line(data: st.DataObject) -> None:
    """One value of a sound file, at any depth, becomes anything at all."""
    tables = tomllib.loads(FAN)["anatomy"]
    here: Any = tables
    while isinstance(here, (list, dict)) and here:
        key = data.draw(st.sampled_from(range(len(here)) if isinstance(here, list) else sorted(here)))
        if not isinstance(here[key], (list, dict)) or not here[key] or data.draw(st.booleans()):
            here[key] = data.draw(VALUES)
            break
        here = here[key]
    try:
        for anatomy in read_anatomies(tables, FILE, Components()).values():
            check_anatomy(anatomy, GRADES, CAUTIONS, FILE)
    except BadCatalogue as refused:
        assert str(refused).isprintable()
        assert refused.where.startswith(FILE)
