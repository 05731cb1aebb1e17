"""Grade tables: overlays, and each rule with what it accepts and what it refuses."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from small_catalogue import CAUTIONS, FILE, GRADES

from partway.catalogue import check_grades, read_grades
from partway.catalogue.checks.graph import first_cycle
from partway.errors import BadCatalogue
from partway.things.estimate import Estimate
from partway.things.material import Grade


def grades_of(text: str, known: Mapping[str, Grade] = GRADES) -> dict[str, Grade]:
    tables: list[dict[str, Any]] = tomllib.loads(text)["grade"]
    grades = read_grades(tables, FILE, known, {})
    check_grades(grades, CAUTIONS, FILE)
    return grades


def grade_refusal(text: str) -> BadCatalogue:
    with pytest.raises(BadCatalogue) as refused:
        grades_of(text)
    return refused.value


def test_a_known_grade_changes_only_in_the_fields_given() -> None:
    before = GRADES["pack"]
    after = grades_of('[[grade]]\nid = "pack"\ndensity = 1.2\n')["pack"]
    assert after == replace(before, density=Estimate.exact(1.2))
    assert grades_of('[[grade]]\nid = "pack"\nhazards = []\n')["pack"].hazards == ()


def test_a_new_grade_needs_at_least_a_density() -> None:
    grade = grades_of('[[grade]]\nid = "my-own"\ndensity = [0.1, 0.2, 0.4]\n')["my-own"]
    assert (grade.name, grade.ratio, grade.downgrades) == ("My own", None, ())
    refused = grade_refusal('[[grade]]\nid = "my-own"\n')
    assert refused.where == f"{FILE}: grade[my-own].density"
    assert "bulk density in kg/L" in refused.expected


def test_what_holds_for_the_file_holds_for_rows_that_say_nothing() -> None:
    rows = [{"id": "a", "density": 1.0}, {"id": "b", "density": 1.0, "source": "measured"}]
    grades = read_grades(rows, FILE, {}, {"source": "practice"})
    assert (grades["a"].source, grades["b"].source) == ("practice", "measured")


@pytest.mark.parametrize(
    ("text", "where", "given", "expected"),
    [
        ('id = "iron"\ndensity = 0', "grade[iron].density", "0", "above 0"),
        ('id = "iron"\ndensity = "heavy"', "grade[iron].density", '"heavy"', "kg/L"),
        ('id = "iron"\nmagnet = "yes"', "grade[iron].magnet", '"yes"', "'strong', 'weak' or 'none'"),
        ('id = "iron"\ndensty = 1', "grade[iron].densty", '"densty"', 'did you mean "density"?'),
        ("id = 5", "grade[#1].id", "5", "text in quotes"),
        ("density = 1.0", "grade[#1].id", "nothing", "a value"),
        ('id = "iron"\ndowngrades = ["coper-2"]', "grade[iron].downgrades", '"coper-2"', '"copper-2"?'),
        ('id = "iron"\nhazards = ["liion"]', "grade[iron].hazards", '"liion"', 'did you mean "li-ion"?'),
        ('id = "iron"\ndowngrades = ["iron"]', "grade[iron].downgrades", "iron -> iron", "downwards"),
        ('id = "pack"\ndowngrades = ["iron"]', "grade[pack].downgrades", '"iron"', "the same hazard: li-ion"),
        ('id = "iron"\n[[grade]]\nid = "iron"', "grade[iron]", '"iron" twice', "each grade once"),
    ],
)
def test_bad_grades_are_refused(text: str, where: str, given: str, expected: str) -> None:
    refused = grade_refusal(f"[[grade]]\n{text}\n")
    assert refused.where == f"{FILE}: {where}"
    assert refused.given == given
    assert expected in refused.expected


def test_cyclic_downgrades_are_refused_and_named() -> None:
    text = "".join(
        f'[[grade]]\nid = "{grade}"\ndowngrades = ["{lower}"]\n'
        for grade, lower in (
            ("copper-1", "copper-2"),
            ("copper-2", "copper-light"),
            ("copper-light", "copper-1"),
        )
    )
    refused = grade_refusal(text)
    assert sorted(set(refused.given.split(" -> "))) == ["copper-1", "copper-2", "copper-light"]
    assert "copper-1 -> copper-2" in refused.given  # along the downgrades, not against them


def test_cycles_are_told_from_diamonds() -> None:
    assert first_cycle({"a": ["b", "c"], "b": ["d"], "c": ["d"], "d": []}) is None
    deep = {str(i): [str(i + 1)] for i in range(5000)}
    assert first_cycle(deep) is None
    assert first_cycle(deep | {"5000": ["0"]}) is not None
