"""The kinds people put out most, held against figures and habits from outside the catalogue.

Masses: Statistics Netherlands (means of e-waste classes, MIT licence), Babbitt and others 2020 (open bills of
materials), EU ecodesign studies; each row names its source. Worth as metal: a scrapper's own list, made before these
kinds were written, in kilograms of No. 2 copper; a judgement, not a count. What comes first: common practice.
"""

from __future__ import annotations

import pytest
from metal_worth import by_the_kilogram, metal

from partway.catalogue import shipped

# What the list gives for a find of the mass it names: low and high, kg of No. 2 copper, taken apart, parts not counted.
WORTH = {
    "flat-monitor": (0.08, 0.12),
    "flat-monitor-led": (0.08, 0.12),
    "electric-range": (1.4, 2.0),
    "electric-range-glass": (1.4, 2.0),
    "gas-range": (1.4, 2.0),
    "bed-frame": (0.25, 0.45),
    "box-spring": (0.25, 0.45),
    "chandelier": (0.5, 2.0),
    "stick-vacuum": (0.05, 0.05),
    "canister-vacuum": (0.25, 0.25),
    "shop-vacuum": (0.25, 0.25),
    "office-chair": (0.25, 0.40),
    "clothes-iron": (0.10, 0.10),
    "air-fryer": (0.10, 0.14),
    "toaster-oven": (0.10, 0.14),
    "slow-cooker": (0.10, 0.10),
    "rice-cooker": (0.10, 0.10),
    "blender": (0.12, 0.12),
    "food-processor": (0.12, 0.12),
    "range-hood": (0.30, 0.30),
    "ceiling-fan": (0.35, 0.50),
    "exercise-bike": (0.9, 1.4),
    "elliptical": (0.9, 1.4),
    "vcr": (0.06, 0.12),
    "tape-deck": (0.06, 0.12),
    "cable-box": (0.06, 0.12),
}
# Rows that speak of a kilogram or of a find of another size: the same, by the mass they name.
WORTH_PER_KG = {
    "cookware": (0.13, 0.16),
    "weights-iron": (0.02, 0.03),
    "patio-set": (0.15 / 8, 0.15 / 8),
    "patio-set-al": (1.0 / 8, 2.0 / 8),
    "lawn-chair": (1.0 / 8, 2.0 / 8),
}


@pytest.mark.parametrize("kind", sorted({*WORTH, *WORTH_PER_KG}))
def test_the_metal_is_worth_what_a_scrapper_says_within_twice(kind: str) -> None:
    anatomy = shipped().anatomy(kind)
    ours = metal(anatomy, anatomy.whole)
    low, high = WORTH.get(kind) or (rate * anatomy.whole.mass.likely for rate in WORTH_PER_KG[kind])
    assert low / 2 <= ours <= high * 2


def test_a_lamp_is_worth_little_unless_it_is_of_brass() -> None:
    """The list: 0.03 kg for a lamp, 0.5 to 2 kg for one of brass; a lamp here has 1.3 kg of base, theirs up to 6 kg."""
    lamp = shipped().anatomy("table-lamp")
    worth = {p.id: metal(lamp, p) for p in lamp.answers_to("base")}
    assert worth["base.steel"] < 2 * 0.03
    assert worth["base.brass"] > 0.5


MEANS = [
    # source, mean kg, kinds
    ("cbs-e-waste", 5.5, ("flat-monitor", "flat-monitor-led")),
    ("cbs-e-waste", 22.0, ("tube-monitor",)),
    ("cbs-e-waste", 44.09, ("freezer-chest", "freezer-upright")),
    ("cbs-e-waste", 47.66, ("electric-range", "electric-range-glass", "gas-range")),
    ("cbs-e-waste", 5.88, ("canister-vacuum", "shop-vacuum")),
    ("cbs-e-waste", 0.99, ("clothes-iron",)),
    ("cbs-e-waste", 12.14, ("range-hood",)),
    ("cbs-e-waste", 3.51, ("vcr",)),
    ("cbs-e-waste", 3.73, ("tape-deck",)),
    ("cbs-e-waste", 0.45, ("table-lamp",)),
    (
        "cbs-e-waste",
        3.27,
        ("air-fryer", "toaster-oven", "slow-cooker", "rice-cooker", "blender", "food-processor"),
    ),
    ("ecodesign", 47.0, ("freezer-chest",)),
    ("ecodesign", 66.5, ("freezer-upright",)),
    ("ecodesign", 3.441, ("stick-vacuum",)),
    ("bom-2020", 3.861, ("vcr",)),
    ("bom-2020", 20.8, ("flat-tv-lamps",)),
    ("bom-2020", 38.2, ("plasma-tv",)),
    ("bom-2020", 14.65, ("tube-monitor",)),
    ("bom-2020", 3.11, ("flat-monitor-led",)),
]
ROWS = [(source, mean, kind) for source, mean, kinds in MEANS for kind in kinds]


def test_published_means_are_stated_and_nine_in_ten_of_them_held() -> None:
    held = []
    for source, mean, kind in ROWS:
        anatomy = shipped().anatomy(kind)
        (row,) = [row for row in anatomy.published if (row.source, row.mean_kg) == (source, mean)]
        inside = anatomy.whole.mass.low <= mean <= anatomy.whole.mass.high
        assert inside or len(row.why) > 10, kind
        held.append(inside)
    assert sum(held) >= 0.9 * len(held)


# Each bill adds up its own lamp-lit sets (Babbitt and others 2020, products LCD TV and LCD monitor), kg.
LAMP_SETS = [14.406, 16.081, 18.847, 18.914, 18.92, 28.3, 29.983]
LAMP_MONITORS = [2.829, 3.590, 3.764, 4.485, 4.797, 4.956, 4.970, 5.07, 5.164, 5.279, 6.893]


@pytest.mark.parametrize(("kind", "weighed"), [("flat-tv-lamps", LAMP_SETS), ("flat-monitor", LAMP_MONITORS)])
def test_every_weighed_set_is_in_the_range_and_the_likely_one_among_them(kind: str, weighed: list[float]) -> None:
    mass = shipped().anatomy(kind).whole.mass
    assert mass.low <= min(weighed) and max(weighed) <= mass.high
    assert weighed[len(weighed) // 4] <= mass.likely <= weighed[-len(weighed) // 4]


# --- what can hurt -----------------------------------------------------------------------------------

FIRST = {
    "flat-monitor": "mercury",
    "flat-tv-lamps": "mercury",
    "plasma-tv": "capacitor",
    "tube-monitor": "picture-tube",
    "gas-range": "gas-appliance",
    "freezer-chest": "refrigerant",
    "freezer-upright": "refrigerant",
    "bed-frame": "sharps-and-droppings",
    "box-spring": "sharps-and-droppings",
    "stick-vacuum": "li-ion",
    "office-chair": "gas-spring",
    "weights-vinyl": "mineral-dust",
    "cable-box": "ownership",
    "recorder-box": "data-drive",
    "blender": "blade",
}


@pytest.mark.parametrize(("kind", "card"), sorted(FIRST.items()))
def test_the_first_card_is_what_can_hurt_most(kind: str, card: str) -> None:
    assert shipped().anatomy(kind).cautions[0] == card


SHUT = [
    ("tube-monitor", "set", "picture-tube"),
    ("freezer-chest", "body", "refrigerant"),
    ("freezer-chest", "lid", "foam-gas"),
    ("freezer-upright", "body", "refrigerant"),
    ("freezer-upright", "door", "foam-gas"),
    ("flat-monitor", "lamps", "mercury"),
    ("flat-tv-lamps", "lamps", "mercury"),
    ("gas-range", "safety.bulb", "mercury"),
    ("clothes-iron", "shut-off.drop", "mercury"),
    ("stick-vacuum", "pack", "li-ion"),
    ("office-chair", "gas-spring", "gas-spring"),
    ("exercise-bike", "magnets", "strong-magnets"),
    ("weights-vinyl", "plates", "mineral-dust"),
    ("electric-range-glass", "radiant", "mineral-dust"),
]


@pytest.mark.parametrize(("kind", "piece", "card"), SHUT)
def test_it_stays_shut_and_says_why(kind: str, piece: str, card: str) -> None:
    it = shipped().anatomy(kind).piece(piece)
    assert it.stop == card and it.note


@pytest.mark.parametrize("kind", ["freezer-chest", "freezer-upright"])
def test_no_work_on_a_freezer_touches_its_circuit_or_its_foam(kind: str) -> None:
    anatomy = shipped().anatomy(kind)
    for op in anatomy.operations:
        assert op.asks or {"refrigerant", "mercury", "mains"} & set(op.cautions), op.id
        assert not anatomy.piece(op.on).stop
    assert all(sale.grade == "appliance-refrigerant" for sale in anatomy.whole.sells)


OLD = {"freezer-chest": "2000", "flat-monitor": "2010", "flat-tv-lamps": "2011", "gas-range": "mercury"}


@pytest.mark.parametrize(("kind", "word"), sorted(OLD.items()))
def test_the_kind_itself_says_how_an_old_one_is_told(kind: str, word: str) -> None:
    assert word in shipped().anatomy(kind).note


# --- what is asked in the hand -----------------------------------------------------------------------

ASKED = [
    ("table-lamp", "base"),
    ("table-lamp", "bulb"),
    ("chandelier", "metal"),
    ("gas-range", "safety"),
    ("gas-range", "valves"),
    ("freezer-chest", "lid-light"),
    ("range-hood", "motor"),
    ("range-hood", "canopy"),
    ("ceiling-fan", "motor"),
    ("air-fryer", "motor"),
    ("food-processor", "motor"),
    ("office-chair", "base"),
    ("patio-set-al", "clean"),
    ("patio-umbrella", "pole"),
    ("cookware", "bare"),
    ("clothes-iron", "shut-off"),
    ("weights-iron", "plates"),
    ("cable-box", "cord"),
]


@pytest.mark.parametrize(("kind", "piece"), ASKED)
def test_nobody_counts_on_the_better_answer_before_looking(kind: str, piece: str) -> None:
    """Unlooked at, it goes as the dangerous sort where one answer is dangerous, else at no more than they average."""
    anatomy, grades = shipped().anatomy(kind), shipped().grades
    it, answers = anatomy.piece(piece), anatomy.answers_to(piece)
    assert len(answers) >= 2
    dangerous = {sale.grade for answer in answers if answer.stop for sale in answer.sells}
    if dangerous:
        assert {sale.grade for sale in it.sells} == dangerous
        assert all(grades[grade].hazards for grade in dangerous)
        return
    assert by_the_kilogram(it) <= sum(answer.share * by_the_kilogram(answer) for answer in answers)


def test_people_find_these_kinds_by_what_they_say() -> None:
    """At least three other names each, one of them sure (not merely offered)."""
    kinds = {*WORTH, *WORTH_PER_KG, *FIRST, "patio-umbrella", "weight-bench", "sewing-machine-plastic"}
    assert len(kinds) >= 33
    for kind in kinds:
        names = shipped().anatomy(kind).names
        assert len(names) >= 3 and any(not name.endswith("?") for name in names), kind
