"""Components inside kinds, rests, hidden hazards and published means."""

from __future__ import annotations

from dataclasses import replace

import pytest
from small_catalogue import CAUTIONS, FILE, GRADES, MOTOR, Components, fan, read, refusal

from partway.catalogue.checks.hazards import hazard_flaws
from partway.catalogue.checks.masses import left_over, resized, sums, with_mean
from partway.things.estimate import Estimate


def test_a_like_piece_brings_the_component_with_it() -> None:
    text = fan(('id = "motor"', 'id = "motor"\n  like = "motor-small"'))
    anatomy = read(text, Components())["fan"]
    assert [p.id for p in anatomy.pieces] == ["whole", "motor", "motor.copper", "motor.iron", "shell"]
    assert anatomy.piece("motor").name == "Motor, shut"
    inner = anatomy.operations[-1]
    assert (inner.id, inner.on) == ("motor.open", "motor")
    assert [g.piece for g in inner.gives] == ["motor.copper", "motor.iron"]
    assert inner.cautions == ("springs", "mains")
    assert anatomy.cautions == ("springs",)
    assert anatomy.piece("motor.copper").mass.likely == pytest.approx(0.1)  # 0.08 of 0.8, at 1.0


def test_a_like_piece_keeps_what_it_says_itself() -> None:
    said = 'id = "motor"\n  like = "motor-small"\n  name = "Fan motor"'
    own = read(fan(('id = "motor"', said), ('sells = [ { grade = "motors" } ]', "sells = []")), Components())["fan"]
    assert own.piece("motor").name == "Fan motor"
    assert own.piece("motor").sells == ()
    silent = read(fan(('id = "motor"', said), ('sells = [ { grade = "motors" } ]', "")), Components())["fan"]
    assert [sale.grade for sale in silent.piece("motor").sells] == ["motors"]


def test_a_like_piece_without_a_mass_weighs_what_the_component_weighs() -> None:
    said = 'id = "motor"\n  like = "motor-small"'
    anatomy = read(fan(('id = "motor"', said), ("mass_kg = [0.8, 1.0, 1.4]", "")), Components())["fan"]
    assert anatomy.piece("motor").mass == Estimate(0.4, 0.8, 1.2)


@pytest.mark.parametrize(
    "mass",
    [Estimate(0.4, 0.8, 1.2), Estimate.exact(0.9), Estimate(0.1, 1.0, 1.0), Estimate(1.0, 1.0, 9.0)],
)
def test_a_component_at_another_size_still_adds_up(mass: Estimate) -> None:
    """At the likely masses and at the means, whatever the shape of the new range."""
    component = read(MOTOR)["motor-small"]
    masses = resized(component, mass)
    likely, mean = sums(component.operations[0], masses)
    assert likely == pytest.approx(mass.likely, rel=1e-9)
    assert mean == pytest.approx(mass.mean, rel=1e-9)
    assert all(part.low > 0 for part in masses.values())


def test_a_rest_whose_ends_cross_keeps_its_mean() -> None:
    """Many wide pieces: 10/12/14 less three of 2/3/4.5 leaves 4/3/0.5: no range, yet a mean of 2.75."""
    left = left_over(Estimate(10, 12, 14), [(Estimate(2, 3, 4.5), 3)])
    assert isinstance(left, Estimate)
    assert [left.low, left.likely, left.high] == pytest.approx([1.5, 3.0, 3.0])
    assert left.mean == pytest.approx(2.75)
    assert left_over(Estimate(1, 2, 3), [(Estimate(1, 2, 3), 1)]) == (0.0, 0.0, 0.0)


def test_a_range_that_cannot_have_a_mean_is_no_range() -> None:
    assert with_mean(1.0, 2.0, 2.0) == Estimate(1.0, 2.0, 3.0)
    assert with_mean(1.0, 6.0, 4.9) is None  # the low end would have to be below 0


def test_hidden_hazards_are_found() -> None:
    hidden = read(fan(('"motors" }', '"pack" }')))["fan"]
    (flaw,) = hazard_flaws(hidden, GRADES, CAUTIONS)
    assert flaw.piece == "whole"
    assert "li-ion" in flaw.given


@pytest.mark.parametrize(
    "change",
    [
        ("minutes", "required = true\n  minutes"),
        ('{ grade = "iron" }', '{ grade = "iron", before_required = true }'),
        ('{ grade = "iron" }', '{ grade = "pack" }'),
    ],
)
def test_a_hazard_that_is_named_or_taken_out_first_is_not_hidden(change: tuple[str, str]) -> None:
    anatomy = read(fan(('"motors" }', '"pack" }'), change))["fan"]
    assert list(hazard_flaws(anatomy, GRADES, CAUTIONS)) == []


def test_a_hazard_that_may_travel_is_not_reported() -> None:
    anatomy = read(fan(('"motors" }', '"pack" }')))["fan"]
    harmless = {name: replace(caution, out_first=False) for name, caution in CAUTIONS.items()}
    assert list(hazard_flaws(anatomy, GRADES, harmless)) == []


def test_a_published_mean_lies_within_the_range_or_says_why() -> None:
    def published(row: str) -> str:
        return fan(('kind = "fan"', f'kind = "fan"\npublished = [ {{ source = "s", {row} }} ]'))

    assert read(published("mean_kg = 4.9"))
    assert read(published('mean_kg = 6.0, why = "with a stand"'))
    refused = refusal(published("mean_kg = 6.0"))
    assert refused.where == f"{FILE}: anatomy[fan].published[s]"
    assert "6 kg (+1 kg outside)" in refused.given
    assert "2 to 5 kg" in refused.expected
