"""Emissions spared, against the published factors (reference checks 19 and 20), and the sets that ship.

19: US EPA, Waste Reduction Model, version 15, recycling, MTCO2E per short ton. 20: UK government conversion factors for
company reporting, 2025, material use: primary less closed loop, kg CO2e per tonne.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from partway.catalogue import shipped
from partway.catalogue.factors import chosen_set, factor_sets, read_set
from partway.errors import BadCatalogue, BadQuantity, Refused
from partway.formulas.emissions import avoided

SHORT_TON = 907.18474  # kg, exactly: 2000 lb of .45359237 kg (the international pound, 1959)
WARM = {
    "copper-wire": -4.489,
    "aluminium-cans": -9.127,
    "aluminium-ingot": -7.204,
    "steel-cans": -1.832,
    "desktop-computers": -1.487,
    "portable-electronics": -1.062,
    "mixed-electronics": -0.785,
    "mixed-plastics": -0.925,
    "glass": -0.276,
}
WARM_LANDFILL = 0.0203
UK = {"aluminium": 8120.82, "scrap-metal": 1766.70, "steel-cans": 1040.00}


@pytest.mark.parametrize("category", WARM)
def test_a_short_ton_spares_what_the_epa_prints(category: str) -> None:
    found = factor_sets()["epa-warm-15"]
    spared = avoided(SHORT_TON, found.factors[category].recycled, found.landfill)
    assert spared / 1000.0 == pytest.approx(WARM_LANDFILL - WARM[category], abs=5e-7)


@pytest.mark.parametrize("category", UK)
def test_a_tonne_spares_what_the_uk_prints(category: str) -> None:
    found = factor_sets()["uk-2025"]
    assert avoided(1000.0, found.factors[category].recycled, found.landfill) == pytest.approx(UK[category], abs=1e-9)


def test_no_category_is_left_unchecked() -> None:
    assert factor_sets()["epa-warm-15"].factors.keys() == WARM.keys()
    assert factor_sets()["uk-2025"].factors.keys() == UK.keys()


def test_what_is_uncounted_is_so_in_words_not_by_a_slip() -> None:
    """Mixed and insulated things have no category: their metal is not all of them. Nothing that can hurt has one."""
    for one in factor_sets().values():
        for grade in one.of:
            assert not grade.startswith(("wire-", "motors", "board", "transformer")), grade
        assert not {"lead-acid", "li-ion", "capacitors", "mercury", "residue"} & one.of.keys()
        assert one.of.keys() <= shipped().grades.keys()


def test_one_set_at_a_time_by_name_or_by_currency() -> None:
    assert chosen_set("", "GBP").id == "uk-2025"
    assert chosen_set("", "CAD").id == chosen_set("", "").id == "epa-warm-15"
    assert chosen_set("uk-2025", "CAD").id == "uk-2025"
    with pytest.raises(Refused, match="uk-2025"):
        chosen_set("uk", "GBP")


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0])
def test_a_mass_that_is_none_is_refused(value: float) -> None:
    with pytest.raises(BadQuantity):
        avoided(value, -1.0)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('id = "uk-2025"', 'id = "uk-2024"'),
        ('"al-cans", ', '"al-cans", "copper-1", '),
        ('"al-cans"', '"al-tins"'),
        ("landfill = 0.0\n", ""),
    ],
    ids=["another name", "a grade twice", "no such grade", "a line less"],
)
def test_a_set_that_does_not_hold_together_is_refused(tmp_path: Path, old: str, new: str) -> None:
    shipped_text = (Path(read_set.__code__.co_filename).parent / "data" / "factors" / "uk-2025.toml").read_text("utf-8")
    assert old in shipped_text
    (tmp_path / "uk-2025.toml").write_text(shipped_text.replace(old, new, 1), "utf-8")
    with pytest.raises(BadCatalogue):
        read_set(tmp_path / "uk-2025.toml")
