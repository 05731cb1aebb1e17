"""Computers, garden machines, tools, building metal, car parts and small things, held against what others say.

Worth as metal: a scrapper's own list, made before these kinds were written, in kilograms of No. 2 copper; a judgement,
not a count. Masses: Statistics Netherlands (means of e-waste classes, MIT licence), Babbitt and others 2020 (open bills
of materials), makers' footprint sheets as gathered in an open data set. What comes first: common practice, no source.
"""

from __future__ import annotations

import pytest
from metal_worth import by_the_kilogram, metal

from partway.catalogue import shipped
from partway.catalogue.checks.notes import note_flaws

# What the list gives for a find, low and high, kg of No. 2 copper, taken apart, parts not counted.
WORTH = {
    "keyboard": (0.01, 0.04),
    "mouse": (0.01, 0.04),
    "mini-pc": (0.25, 0.6),
    "all-in-one-pc": (0.25, 0.6),
    "server": (2.0, 6.0),
    "floor-copier": (1.2, 2.0),
    "e-bike": (0.8, 0.8),
    "ride-on-toy": (0.3, 2.0),
    "mobility-scooter": (0.3, 2.0),
    "mower-corded": (0.2, 0.7),
    "mower-cordless": (0.2, 0.7),
    "string-trimmer-electric": (0.2, 0.7),
    "string-trimmer-cordless": (0.2, 0.7),
    "leaf-blower-electric": (0.2, 0.7),
    "snow-blower": (0.8, 4.0),
    "tiller": (0.8, 4.0),
    "lawn-tractor": (0.8, 4.0),
    "chainsaw": (0.3, 0.3),
    "string-trimmer-fuel": (0.3, 0.3),
    "leaf-blower-fuel": (0.3, 0.3),
    "pressure-washer": (0.7, 0.7),
    "air-compressor": (0.7, 0.7),
    "corded-power-tool": (0.15, 0.3),
    "circular-saw": (0.15, 0.3),
    "furnace": (1.5, 2.5),
    "central-ac-recovered": (6.0, 10.0),
    "steel-sink": (0.8, 0.8),
    "car-starter": (0.5, 0.5),
    "breaker-box": (1.0, 3.0),
    "projector": (0.03, 0.1),
    "radio": (0.03, 0.1),
    "music-keyboard": (0.03, 0.1),
    "filing-cabinet": (0.55, 0.55),
}
# Rows that speak of a kilogram.
WORTH_PER_KG = {
    "box-of-cables": (0.19, 0.19),
    "copper-pipe": (1.0, 1.0),
    "eavestrough": (0.18, 0.25),
    "siding": (0.18, 0.25),
    "brake-rotors": (0.032, 0.032),  # clean cast iron
}


@pytest.mark.parametrize("kind", sorted({*WORTH, *WORTH_PER_KG}))
def test_the_metal_is_worth_what_a_scrapper_says_within_twice(kind: str) -> None:
    anatomy = shipped().anatomy(kind)
    ours = metal(anatomy, anatomy.whole)
    low, high = WORTH.get(kind) or (rate * anatomy.whole.mass.likely for rate in WORTH_PER_KG[kind])
    assert low / 2 <= ours <= high * 2


def test_an_aluminium_wheel_and_a_brass_radiator_are_told_from_their_cheap_twins() -> None:
    """The list: 2.3 kg of No. 2 copper for a wheel. Copper and brass pay about three times radiator aluminium."""
    wheel, radiator = shipped().anatomy("car-wheel"), shipped().anatomy("car-radiator")
    rim, core = ({p.id: metal(a, p) for p in a.answers_to(of)} for a, of in ((wheel, "rim"), (radiator, "core")))
    assert 2.3 / 2 <= rim["rim.aluminium"] <= 2.3 * 2
    assert rim["rim.aluminium"] > 5 * rim["rim.steel"]
    assert 2.5 <= core["core.brass"] / core["core.aluminium"] <= 5


# Each product's own mass, kg (Babbitt and others 2020); what the range of the kind has to hold.
WEIGHED = {
    "phone": [
        *(0.1731, 0.1246, 0.0956, 0.11, 0.0983, 0.1002, 0.1247, 0.0954, 0.1268),
        *(0.1798, 0.0912, 0.1444, 0.1075, 0.1335, 0.1063, 0.1465, 0.1559, 0.1229, 0.1613, 0.1422, 0.1387),
    ],
    "tablet": [0.5603, 0.4919, 0.6858],
    "camera": [0.1311, 0.1413, 0.15, 0.1462, 0.1317, 0.1264, 0.1368, 0.1104, 0.8483],
    "thermostat": [0.3329, 0.1961, 0.1434, 0.1427],
    "all-in-one-pc": [9.2051],
}


@pytest.mark.parametrize("kind", sorted(WEIGHED))
def test_every_weighed_one_is_in_the_range(kind: str) -> None:
    mass = shipped().anatomy(kind).whole.mass
    assert [kg for kg in WEIGHED[kind] if not mass.low <= kg <= mass.high] == []


CLASSES = [
    ("keyboard", 0.40),
    ("phone", 0.09),
    ("floor-copier", 40),
    ("server", 40),
    ("portable-ac", 26.7),
    ("furnace", 30.85),
    ("corded-power-tool", 2.49),
    ("projector", 3.51),
    ("camera", 0.29),
    ("radio", 0.23),
    ("music-keyboard", 3.73),
    ("toys", 0.45),
    ("thermostat", 0.24),
]


@pytest.mark.parametrize(("kind", "mean"), CLASSES)
def test_a_class_mean_is_stated_and_held(kind: str, mean: float) -> None:
    """Statistics Netherlands, e-waste table htbl_Key_Weight, year 2021."""
    anatomy = shipped().anatomy(kind)
    assert mean in [row.mean_kg for row in anatomy.published if row.source == "cbs-e-waste"]
    assert anatomy.whole.mass.low <= mean <= anatomy.whole.mass.high


# --- what can hurt -----------------------------------------------------------------------------------

FIRST = {
    "phone": "li-ion",
    "tablet": "li-ion",
    "e-bike": "li-ion",
    "mower-cordless": "li-ion",
    "household-batteries": "li-ion",
    "ride-on-toy": "lead-acid",
    "mobility-scooter": "lead-acid",
    "alarm-panel": "lead-acid",
    "snow-blower": "fuel",
    "lawn-tractor": "fuel",
    "chainsaw": "fuel",
    "mower-corded": "blade",
    "air-compressor": "pressurised",
    "car-wheel": "pressurised",
    "airbag-module": "pressurised",
    "portable-ac": "refrigerant",
    "wine-cooler": "refrigerant",
    "central-ac": "refrigerant",
    "absorption-fridge": "absorption-fridge",
    "furnace": "gas-appliance",
    "thermostat": "mercury",
    "projector": "mercury",
    "brake-rotors": "asbestos",
    "window-frame": "glass",
    "lead-sheet": "lead-dust",
    "server": "data-drive",
}


@pytest.mark.parametrize(("kind", "card"), sorted(FIRST.items()))
def test_the_first_card_is_what_can_hurt_most(kind: str, card: str) -> None:
    assert shipped().anatomy(kind).cautions[0] == card


SHUT = [
    ("portable-ac", "circuit", "refrigerant"),
    ("wine-cooler", "unit", "refrigerant"),
    ("central-ac", "whole", "refrigerant"),
    ("absorption-fridge", "unit", "absorption-fridge"),
    ("absorption-fridge", "door", "foam-gas"),
    ("thermoelectric-cooler", "shell", "foam-gas"),
    ("catalytic-converter", "whole", "mineral-dust"),
    ("airbag-module", "whole", "pressurised"),
    ("thermostat", "whole.mercury", "mercury"),
    ("furnace", "sensor.mercury", "mercury"),
    ("projector", "lamp", "mercury"),
    ("floor-copier", "laser", "laser-light"),
    ("camera", "flash", "capacitor"),
    ("phone", "battery", "li-ion"),
    ("e-bike", "pack", "li-ion"),
    ("alarm-panel", "battery", "lead-acid"),
    ("lawn-tractor", "battery", "lead-acid"),
    ("ride-on-toy", "battery.lead", "lead-acid"),
    ("ride-on-toy", "battery.lithium", "li-ion"),
    ("string-trimmer-cordless", "pack.nicd", "nicd"),
    ("mower-cordless", "pack.lead", "lead-acid"),
]


@pytest.mark.parametrize(("kind", "piece", "card"), SHUT)
def test_it_stays_shut_and_says_why(kind: str, piece: str, card: str) -> None:
    it = shipped().anatomy(kind).piece(piece)
    assert it.stop == card and it.note
    assert shipped().anatomy(kind).operations_on(piece) == ()


@pytest.mark.parametrize("kind", ["catalytic-converter", "airbag-module"])
def test_what_needs_papers_is_sold_as_no_metal(kind: str) -> None:
    anatomy = shipped().anatomy(kind)
    assert not anatomy.operations and not anatomy.whole.sells and "ownership" in anatomy.cautions


def test_an_outdoor_unit_is_metal_only_after_its_recovery_by_who_is_licensed() -> None:
    sealed, done = shipped().anatomy("central-ac"), shipped().anatomy("central-ac-recovered")
    assert metal(sealed, sealed.whole) == 0.0
    (first,) = done.operations_on("whole")
    assert first.required and "tag" in first.name and "tag" in done.note


BATTERY_FIRST = ["e-bike", "ride-on-toy", "mobility-scooter", "mower-cordless", "string-trimmer-cordless"]
BATTERY_FIRST += ["leaf-blower-cordless", "alarm-panel", "camera", "toys", "phone", "tablet"]


@pytest.mark.parametrize("kind", BATTERY_FIRST)
def test_the_battery_comes_out_before_anything_is_unscrewed_or_sold(kind: str) -> None:
    anatomy = shipped().anatomy(kind)
    (first,) = anatomy.operations_on("whole")
    assert first.required
    assert {gives.piece for gives in first.gives} & {"pack", "battery", "batteries"}


@pytest.mark.parametrize("kind", ["snow-blower", "tiller", "lawn-tractor", "chainsaw", "string-trimmer-fuel"])
def test_fuel_is_drained_outdoors_with_the_spark_lead_off_before_any_work(kind: str) -> None:
    (first,) = shipped().anatomy(kind).operations_on("whole")
    assert first.required and "spark lead off" in first.name and "outdoors" in first.name
    assert "fuel" in {gives.piece for gives in first.gives} and "fuel" in first.cautions


# --- what is asked in the hand -----------------------------------------------------------------------

ASKED = {
    "ride-on-toy": ["battery"],
    "mobility-scooter": ["battery"],
    "mower-cordless": ["pack"],
    "string-trimmer-cordless": ["pack"],
    "mower-corded": ["motor"],
    "pressure-washer": ["motor", "pump"],
    "air-compressor": ["motor"],
    "furnace": ["motor", "sensor", "valve"],
    "central-ac-recovered": ["motor", "coil"],
    "thermostat": ["whole"],
    "car-radiator": ["core"],
    "car-wheel": ["rim", "weights"],
    "breaker-box": ["bars"],
    "plumbing-valves": ["bodies"],
    "steel-sink": ["bowl"],
    "e-bike": ["frame"],
    "server": ["processor"],
    "chainsaw": ["engine"],
}


@pytest.mark.parametrize(("kind", "piece"), [(kind, piece) for kind, pieces in ASKED.items() for piece in pieces])
def test_nobody_counts_on_the_better_answer_before_looking(kind: str, piece: str) -> None:
    """Unlooked at, it goes as the dangerous sort or nowhere where an answer is dangerous, else at no better price."""
    anatomy = shipped().anatomy(kind)
    it, answers = anatomy.piece(piece), anatomy.answers_to(piece)
    assert len(answers) >= 2 and it.note
    if any(answer.stop for answer in answers):
        assert {sale.grade for sale in it.sells} <= {sale.grade for a in answers if a.stop for sale in a.sells}
        assert by_the_kilogram(it) == 0.0
    else:
        assert by_the_kilogram(it) <= sum(answer.share * by_the_kilogram(answer) for answer in answers)


KINDS = sorted(
    {*WORTH, *WORTH_PER_KG, *WEIGHED, *FIRST, *ASKED, *(kind for kind, _, _ in SHUT)}
    | {"network-switch", "humidifier", "lead-sheet", "crutches", "brass-instrument", "metal-shelving", "toys"}
)


@pytest.mark.parametrize("kind", KINDS)
def test_people_find_it_by_what_they_say_and_read_what_decides(kind: str) -> None:
    """At least three other names, one of them sure; a note wherever something is decided, and nowhere else."""
    anatomy = shipped().anatomy(kind)
    assert len(anatomy.names) >= 3 and any(not name.endswith("?") for name in anatomy.names)
    own = {op.id for op in anatomy.operations if "." not in op.id}
    flaws = [
        f for f in note_flaws(anatomy) if "operation[" not in f.place or f.place.split("[")[2].split("]")[0] in own
    ]
    assert flaws == []


def test_there_are_as_many_as_were_asked_for() -> None:
    assert len(KINDS) >= 55
