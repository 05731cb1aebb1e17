"""The catalogue we ship: complete, without findings, and honest about where its numbers come from."""

from __future__ import annotations

import re
import tomllib

import networkx
import pytest

from partway.catalogue import read_anatomies, shipped
from partway.catalogue.checks.findings import findings
from partway.catalogue.shipped import DATA
from partway.things.anatomy import Anatomy
from partway.things.material import Grade

# Must not ride hidden in a load: fire, sealed circuits, mercury, PCB, implosion, radiation, acid.
# Common practice, no source.
OUT_FIRST = {
    "li-ion", "lead-acid", "refrigerant", "mercury", "pcb", "picture-tube",
    "smoke-alarm", "cylinder", "fuel",
}  # fmt: skip

# The starter list of kinds, by the ids of their files; the list's own order.
STARTER_KINDS = re.findall(
    r"[a-z-]+",
    """
    microwave desktop-pc laptop phone-tablet inkjet-printer laser-printer flat-tv tube-tv
    stereo-receiver speaker upright-vacuum robot-cleaner washer-top washer-front dryer dishwasher
    fridge window-ac dehumidifier treadmill gas-barbecue bicycle push-mower cordless-drill ups
    router game-console disc-player fan fan-heater oil-heater toaster kettle coffee-maker
    bread-machine stand-mixer hair-dryer string-lights extension-cord tap cast-radiator water-heater
    garage-opener alternator car-battery e-scooter smoke-detector fluorescent-fitting sewing-machine
    adapter
    """,
)

GRADES = sorted(shipped().grades.values(), key=lambda grade: grade.id)


def depth(anatomy: Anatomy) -> int:
    """The most operations one after the other on the way into a kind."""
    graph = networkx.DiGraph((op.on, given.piece) for op in anatomy.operations for given in op.gives)
    return int(networkx.dag_longest_path_length(graph)) if graph else 0


def test_the_catalogue_has_no_findings() -> None:
    assert [finding.message for finding in findings(shipped())] == []


def test_there_are_enough_grades_and_kinds() -> None:
    assert len(shipped().grades) >= 90
    assert len(shipped().kinds) >= 47
    assert [kind for kind in STARTER_KINDS if kind not in shipped().kinds] == []


@pytest.mark.parametrize("grade", GRADES, ids=lambda grade: grade.id)
def test_every_grade_says_what_it_is_and_where_that_comes_from(grade: Grade) -> None:
    assert grade.family
    assert 0.0 < grade.density.low <= grade.density.likely <= grade.density.high < 12.0  # lead is 11.3 kg/L
    assert grade.source in shipped().sources
    assert grade.on is not None
    assert grade.qualifies and grade.clues and grade.spoilers


def test_the_magnet_sorts_iron_from_the_metals_that_pay() -> None:
    """Common practice, no source: a magnet sticks to iron and steel, not to copper, brass or aluminium.

    Only mixed things (a yoke, breakage) have no single answer, and then none is given.
    """
    magnets = {family: {g.magnet for g in GRADES if g.family == family} for family in {g.family for g in GRADES}}
    assert magnets["ferrous"] == {"strong"}
    assert magnets["brass"] == magnets["aluminium"] == {"none"}
    assert magnets["copper"] == magnets["wire"] == {"none", None}
    assert shipped().grades["copper-2"].magnet == "none"
    assert shipped().grades["stainless-400"].magnet == "strong"
    assert sum(grade.magnet is not None for grade in GRADES) >= 60


def test_downgrades_lead_downwards() -> None:
    graph = networkx.DiGraph((grade.id, lower) for grade in GRADES for lower in grade.downgrades)
    assert set(graph) <= set(shipped().grades)
    assert list(networkx.simple_cycles(graph)) == []


def test_a_hazard_is_never_lost_on_the_way_down() -> None:
    lost = [
        (grade.id, lower, set(grade.hazards) - set(shipped().grades[lower].hazards))
        for grade in GRADES
        for lower in grade.downgrades
        if set(grade.hazards) - set(shipped().grades[lower].hazards)
    ]
    assert lost == []


def test_hazards_that_must_come_out_first_are_marked() -> None:
    cautions = shipped().cautions
    assert sorted(name for name in OUT_FIRST if not cautions[name].out_first) == []


def test_every_caution_says_what_comes_first() -> None:
    for caution in shipped().cautions.values():
        assert caution.hurts and caution.first, caution.id


def test_every_card_says_where_it_hurts_and_what_speaks_of_carrying_hurts_when_carried() -> None:
    """A step such as "keep it upright" is for whoever lifts the thing, "do not carry in the cab" for who loads it."""
    for caution in shipped().cautions.values():
        assert caution.at in ("carry", "work"), caution.id
        words = f"{caution.name} {caution.hurts} {caution.first} {caution.never}".lower()
        if re.search(r"\b(carry|carried|upright|lift|in the cab)\b", words):
            assert caution.at == "carry", caution.id


@pytest.mark.parametrize("hazard", sorted(shipped().cautions))
def test_a_rule_names_its_edition_or_place_or_that_none_is_known(hazard: str) -> None:
    """Besides the local code: a year, an edition or a country; or that there is none, or what else to look at."""
    rule = shipped().cautions[hazard].rule
    assert rule.startswith("check your local code")
    named = re.search(r"\b(?:EU|US|Canada|Europe|international|20[0-2][0-9])\b", rule)
    elsewhere = {"ownership": "place card", "wet-metal": "drain", "capacitor-short": "only a measurement"}
    assert named or "none known beyond it" in rule or elsewhere.get(hazard, "?") in rule


def test_nobody_is_told_to_short_a_capacitor() -> None:
    for hazard in ("hv-capacitor", "capacitor", "capacitor-short"):
        card = shipped().cautions[hazard]
        assert "screwdriver" in f"{card.name} {card.never}" and "wire" in card.never
        assert "wire" not in card.first


def test_place_cards_ask_and_never_answer() -> None:
    cards = shipped().place_cards
    assert {"curbside", "seller-identity", "payment", "hold-period", "battery-drop-off"} <= set(cards)
    for card in cards.values():
        assert card.question.endswith("?") and card.why and not card.why.endswith(".")
        assert len(card.question) <= 160 and len(card.why) <= 160


@pytest.mark.parametrize(
    ("grade", "hazard"),
    [
        ("li-ion", "li-ion"),
        ("li-ion-lfp", "li-ion"),
        ("lead-acid", "lead-acid"),
        ("nicd", "nicd"),
        ("lithium-primary", "lithium-metal"),
        ("button-cells", "button-cells"),
        ("phone-untouched", "li-ion"),
        ("appliance-refrigerant", "refrigerant"),
        ("smoke-alarms", "smoke-alarm"),
        ("tube-whole", "picture-tube"),
        ("lamps", "mercury"),
        ("pcb-capacitors", "pcb"),
        ("cylinders", "cylinder"),
    ],
)
def test_hazardous_grades_name_their_hazard(grade: str, hazard: str) -> None:
    assert hazard in shipped().grades[grade].hazards


def test_most_kinds_open_in_two_steps_or_more_and_some_in_more_than_one_way() -> None:
    anatomies = shipped().all_anatomies()
    deep = [anatomy.kind for anatomy in anatomies if depth(anatomy) >= 2]
    assert len(deep) > len(anatomies) / 2
    choices = [a.kind for a in anatomies if any(len(a.operations_on(piece.id)) >= 2 for piece in a.pieces)]
    assert len(choices) >= 10
    assert any(op.required for anatomy in anatomies for op in anatomy.operations)
    assert sum(any(piece.parts for piece in anatomy.pieces) for anatomy in anatomies) > len(anatomies) / 2


STOPPED = [
    ("fridge", "refrigerant"),
    ("window-ac", "refrigerant"),
    ("dehumidifier", "refrigerant"),
    ("tube-tv", "picture-tube"),
    ("smoke-detector", "smoke-alarm"),
    ("microwave", "magnetron"),
    ("garage-opener", "torsion-spring"),
]


@pytest.mark.parametrize(("kind", "hazard"), STOPPED)
def test_what_must_never_be_opened_stays_shut_or_is_warned_of(kind: str, hazard: str) -> None:
    """A torsion spring hangs over the door, not in the find, so a caution is all there can be."""
    anatomy = shipped().anatomy(kind)
    stopped = {piece.stop for piece in anatomy.pieces}
    assert hazard in stopped or hazard in anatomy.cautions
    if hazard != "torsion-spring":
        assert hazard in stopped


@pytest.mark.parametrize("kind", ["laptop", "phone-tablet", "robot-cleaner", "cordless-drill", "e-scooter"])
def test_a_lithium_pack_comes_out_before_the_shell_is_sold(kind: str) -> None:
    anatomy = shipped().anatomy(kind)
    packs = {
        piece.id
        for piece in anatomy.pieces
        if any("li-ion" in shipped().grades[sale.grade].hazards for sale in piece.sells)
    } - {anatomy.whole.id}
    takes_out = [op for op in anatomy.operations_on(anatomy.whole.id) if packs & {g.piece for g in op.gives}]
    assert packs
    assert takes_out
    named = [s for s in anatomy.whole.sells if "li-ion" in shipped().grades[s.grade].hazards or s.before_required]
    assert any(op.required for op in takes_out) or len(named) == len(anatomy.whole.sells)


def test_files_are_read_from_their_folders_and_nothing_lies_about() -> None:
    known = {"grades", "components", "kinds", "identify", "cautions.toml", "place-cards.toml", "sources.toml"}
    known |= {"factors", "guesses.toml", "signs.toml"}
    assert {path.name for path in DATA.iterdir() if path.name != "__pycache__"} == known
    for path in DATA.rglob("*.toml"):
        assert tomllib.loads(path.read_text(encoding="utf-8"))


def test_what_we_ship_would_be_accepted_from_anybody() -> None:
    """The same tables through the door that a user's file comes through."""
    tables = tomllib.loads((DATA / "kinds" / "bread-machine.toml").read_text(encoding="utf-8"))["anatomy"]
    read = read_anatomies(tables, "mine.toml", shipped().component)
    assert read["bread-machine"] == shipped().anatomy("bread-machine")
