"""What a card forbids no plan does, and eyes are covered wherever something flies. Common practice, no source.

Walks every kind, every operation and every card over it; the sharper tests name the cases that went wrong before.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from partway.catalogue import shipped
from partway.catalogue.checks.work import forbidden, work_flaws
from partway.cli.app import cli
from partway.things.anatomy import Anatomy

EVERY = [
    *(shipped().anatomy(kind) for kind in shipped().kinds),
    *(shipped().component(name) for name in shipped().component.names),
]
STRIKES = ["hammer", "sledge", "sledgehammer", "chisel", "saw", "hacksaw", "grinder", "drift", "punch"]
CUTS = ["cutters", "knife", "snips", "stripper"]
EYES = re.compile(r"goggles|eye (?:and ear )?protection")


@pytest.mark.parametrize("anatomy", EVERY, ids=lambda a: a.kind)
def test_no_operation_does_what_a_card_over_it_forbids(anatomy: Anatomy) -> None:
    cards = shipped().cautions
    assert [(op.id, *hit) for op in anatomy.operations for hit in forbidden(anatomy, op, cards)] == []
    assert list(work_flaws(anatomy, cards)) == []


@pytest.mark.parametrize("anatomy", EVERY, ids=lambda a: a.kind)
def test_eyes_are_covered_wherever_something_is_struck_cut_ground_or_under_spring(anatomy: Anatomy) -> None:
    """By the words of the tools alone, without the rule that the catalogue is checked with."""
    for op in anatomy.operations:
        words = set(re.findall(r"\w+", " ".join(op.tools)))
        if words & {*STRIKES, *CUTS} or "springs" in op.cautions:
            assert EYES.search(" ".join(op.tools)), op.id
        if words & set(STRIKES):
            assert "flying-metal" in op.cautions, op.id


@pytest.mark.parametrize(
    ("kind", "operation", "card", "word"),
    [("oil-heater", "drain", "pcb", "drain"), ("water-heater", "fittings", "foam-gas", "foam")],
)
def test_what_went_wrong_before_is_noticed(kind: str, operation: str, card: str, word: str) -> None:
    """The oil heater was drained under the card that says leave it shut; the tank's foam peeled under its own."""
    anatomy = shipped().anatomy(kind)
    op = next(op for op in anatomy.operations if op.id == operation)
    wrong = replace(op, name=f"{op.name}, {word} out", cautions=(*op.cautions, card))
    assert (card, word) in list(forbidden(anatomy, wrong, shipped().cautions))
    assert [
        flaw for flaw in work_flaws(replace(anatomy, operations=(wrong,)), shipped().cautions) if word in flaw.given
    ]


def test_cards_that_forbid_work_say_so_and_there_are_many() -> None:
    forbidding = {card.id for card in shipped().cautions.values() if card.forbids}
    assert {"pcb", "heater-oil", "foam-gas", "refrigerant", "li-ion", "picture-tube", "hv-capacitor"} <= forbidding
    assert len(forbidding) >= 12


def test_an_oil_heater_has_a_way_that_leaves_it_shut() -> None:
    heater = shipped().anatomy("oil-heater")
    assert not any(op.required for op in heater.operations)
    assert {sale.grade for sale in heater.whole.sells} == {"oil-heater-shut"}
    assert "leave it shut" in shipped().cautions["heater-oil"].first


def test_refrigerant_is_named_on_the_dryer_that_has_it_and_on_no_other() -> None:
    dryer, pump = shipped().anatomy("dryer"), shipped().anatomy("dryer-heat-pump")
    assert "refrigerant" not in {*dryer.cautions, *(c for op in dryer.operations for c in op.cautions)}
    assert "refrigerant" in pump.cautions
    assert {"refrigerant"} == {piece.stop for piece in pump.pieces if piece.stop}


def test_a_power_back_up_is_shut_down_before_any_screw() -> None:
    """Makers' manuals of such supplies: the output may be live even when the supply is not connected."""
    ups = shipped().anatomy("ups")
    (first,) = ups.operations_on(ups.whole.id)
    assert first.required and ups.cautions[0] == "live-on-battery"
    steps = [first.name.index(word) for word in ("switch it off", "unplug", "battery", "own cover", "before any screw")]
    assert steps == sorted(steps)
    assert not [tool for tool in first.tools if "screwdriver" in tool]
    assert all("meter" in op.tools and op.name.startswith("measure") for op in ups.operations_on("body"))


def test_the_plan_of_a_power_back_up_says_it_before_the_money(tmp_path: Path) -> None:
    file = tmp_path / "ups.toml"
    file.write_text(
        '[scenario]\nname="u"\ncurrency="CAD"\non=2026-04-01\n[hours]\nbench=3.0\naway=0.0\nwage=0.0\n'
        '[[find]]\nkind="ups"\nworks="no"\n'
    )
    page = " ".join(CliRunner().invoke(cli, ["plan", "--scenario", str(file)]).stdout.split())
    said, _, _ = page.partition("CAD ")
    for words in ("switch off, unplug", "by its own cover before any screw", "sockets are live until then", "measure"):
        assert words in said
