"""What shows only in the hand is asked about, and the dangers named where they are. Common practice, except as said."""

from __future__ import annotations

import pytest

from partway.catalogue import shipped
from partway.things.anatomy import Anatomy

WOUND = [
    *(("microwave", "transformer"), ("washer-top", "motor"), ("washer-front", "motor"), ("dryer", "motor")),
    *(("dishwasher", "pump-motor"), ("fan", "motor"), ("dehumidifier", "fan-motor")),
]
PACKS = [("cordless-drill", "pack", {"li-ion-lfp", "nicd", "nimh"}), ("robot-cleaner", "battery", {"li-ion", "nimh"})]
# Switches and sensors with mercury: California DTSC, fact sheet of March 2005 and guide for appliance recyclers, 2004.
MERCURY = (
    *("washer-top", "fridge", "fan-heater", "oil-heater", "oil-heater-old", "dryer", "water-heater", "microwave"),
    "fluorescent-fitting",
)
MAGNETS = ("cordless-drill", "hair-dryer", "inkjet-printer", "laser-printer", "robot-cleaner")


def grades(anatomy: Anatomy, piece: str) -> dict[str, set[str]]:
    """By answer: what it sells as; of one that is a motor, what it goes as unopened."""
    return {answer.id.rpartition(".")[2]: {s.grade for s in answer.sells} for answer in anatomy.answers_to(piece)}


@pytest.mark.parametrize(("kind", "piece"), WOUND)
def test_a_winding_is_scratched_and_goes_as_aluminium_while_nobody_looked(kind: str, piece: str) -> None:
    anatomy = shipped().anatomy(kind)
    told, unasked = grades(anatomy, piece), {s.grade for s in anatomy.piece(piece).sells}
    assert set(told) == {"copper", "aluminium"} and unasked == told["aluminium"]
    ratios = {name: max(g.likely for s in sold if (g := shipped().grades[s].ratio)) for name, sold in told.items()}
    assert ratios["copper"] > 1.5 * ratios["aluminium"]


@pytest.mark.parametrize(("kind", "piece", "packs"), PACKS)
def test_a_pack_is_read_and_counts_as_lithium_while_nobody_did(kind: str, piece: str, packs: set[str]) -> None:
    anatomy = shipped().anatomy(kind)
    assert set().union(*grades(anatomy, piece).values()) == packs
    assert all(answer.stop for answer in anatomy.answers_to(piece))
    assert {h for s in anatomy.piece(piece).sells for h in shipped().grades[s.grade].hazards} == {"li-ion"}


def test_a_ballast_without_a_mark_counts_as_pcb() -> None:
    fitting = shipped().anatomy("fluorescent-fitting")
    assert {s.grade for s in fitting.piece("ballast").sells} == {"pcb-capacitors"}
    assert {a.id.rpartition(".")[2]: a.stop for a in fitting.answers_to("ballast")} == {
        "electronic": None,
        "marked": None,
        "unmarked": "pcb",
    }


def test_an_undated_heater_is_a_kind_that_stays_shut() -> None:
    old = shipped().anatomy("oil-heater-old")
    assert not old.operations and old.whole.stop == "heater-oil"
    assert {s.grade for s in old.whole.sells} == {"oil-heater-shut"}


@pytest.mark.parametrize("kind", MERCURY)
def test_mercury_is_named_where_its_switches_are(kind: str) -> None:
    assert "mercury" in shipped().anatomy(kind).cautions


def test_cards_stand_where_the_danger_is() -> None:
    assert "nicd" in shipped().anatomy("cordless-drill").cautions
    assert "asbestos" in shipped().anatomy("toaster").cautions
    assert "foam-gas" not in shipped().anatomy("water-heater").cautions
    for kind in ("speaker", "microwave", "desktop-pc"):
        assert "strong-magnets" in shipped().anatomy(kind).cautions


@pytest.mark.parametrize("kind", MAGNETS)
def test_a_small_motor_with_magnets_has_no_field_coils(kind: str) -> None:
    names = [piece.name for piece in shipped().anatomy(kind).pieces]
    assert "Steel can with its magnets" in names
    assert not [name for name in names if "Field coil" in name]
