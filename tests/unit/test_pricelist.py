"""Price lists as they are pasted, typed with gloves on or dictated: what is understood, asked and refused.

How people say prices and what they call grades: common practice, no source. Every price is invented.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.errors import Refused
from partway.pricelist import PriceLine, all_understood, answer, preview, read_price_list, written
from partway.pricelist.lexicon import lexicon_of
from partway.pricelist.names import NAMES, spoken
from partway.quantities import to_mg

GRADES = shipped().grades
LB = 0.45359237  # kg, exactly: the yard and pound agreement of 1959
LAST = {"copper-2": 4.00 / LB, "motors": 0.35 / LB}
EXAMPLE = (
    "no 2 copper 4.10, motors 38c, light iron .09, brass taps two ten, bare bright 4-95, "
    "alu cans 60 cents a pound, shred 180 a short ton, lead batteries .28/lb, 304 stainless not taking"
)


def read(
    text: str,
    known: Mapping[str, float] | None = None,
    currency: str = "CAD",
    unit: str = "lb",
    *,
    comma: bool = False,
) -> list[PriceLine]:
    return read_price_list(text, GRADES, currency, unit, known or {}, comma=comma)


def one(text: str, known: Mapping[str, float] | None = None) -> PriceLine:
    (line,) = read(text, known)
    return line


def test_the_list_of_the_design() -> None:
    lines = read(EXAMPLE)
    assert [line.position for line in lines] == list(range(1, 10))
    assert [(line.grade, line.price, line.unit, line.refuses) for line in lines] == [
        ("copper-2", Decimal("4.10"), "lb", False),
        ("motors", Decimal("0.38"), "lb", False),
        ("light-iron", Decimal("0.09"), "lb", False),
        ("brass-taps", Decimal("2.10"), "lb", False),
        ("copper-bare-bright", Decimal("4.95"), "lb", False),
        ("al-cans", Decimal("0.60"), "lb", False),
        ("light-iron", Decimal(180), "short ton", False),
        ("lead-acid", Decimal("0.28"), "lb", False),
        ("stainless-304", None, "lb", True),
    ]
    assert [line.text for line in lines] == EXAMPLE.split(", ")
    assert all_understood(lines)  # 0.09 /lb is 180 /short ton: light iron twice, but at one price


UNDERSTOOD = [
    # names
    ("no 2 copper 4.10", "copper-2", "4.10", "lb"),
    ("#2 copper 4.10", "copper-2", "4.10", "lb"),
    ("No. 2 Copper: 4.10", "copper-2", "4.10", "lb"),
    ("number 2 copper @ 4.10", "copper-2", "4.10", "lb"),
    ("copper no2 = 4.10", "copper-2", "4.10", "lb"),
    ("№ 2 copper 4.10", "copper-2", "4.10", "lb"),
    ("copper 2 4.10", "copper-2", "4.10", "lb"),
    ("2 copper 4.10", "copper-2", "4.10", "lb"),
    ("copper-2 4.10", "copper-2", "4.10", "lb"),
    ("cu 2 4.10", "copper-2", "4.10", "lb"),
    ("no 1 copper 4.30", "copper-1", "4.30", "lb"),
    ("copper one 4.30", "copper-1", "4.30", "lb"),
    ("bb 4.95", "copper-bare-bright", "4.95", "lb"),
    ("barebright 4.95", "copper-bare-bright", "4.95", "lb"),
    ("light copper 3.70", "copper-light", "3.70", "lb"),
    ("dirty copper 2.80", "copper-dirty", "2.80", "lb"),
    ("yellow brass 2.40", "brass-yellow", "2.40", "lb"),
    ("faucets 2.10", "brass-taps", "2.10", "lb"),
    ("tin .08", "light-iron", "0.08", "lb"),
    ("shreddables .09", "light-iron", "0.09", "lb"),
    ("heavy melt 1 180 a short ton", "heavy-melt-1", "180", "short ton"),
    ("HMS 2 160 a short ton", "heavy-melt-2", "160", "short ton"),
    ("number one heavy melt 180 per short ton", "heavy-melt-1", "180", "short ton"),
    ("brake rotors 10c", "cast-iron", "0.10", "lb"),
    ("alternators .45", "alternator", "0.45", "lb"),
    ("sealed units .25", "sealed-unit", "0.25", "lb"),
    ("compressors .25", "sealed-unit", "0.25", "lb"),
    ("e-waste 5c", "e-scrap-mixed", "0.05", "lb"),
    ("ewaste .05", "e-scrap-mixed", "0.05", "lb"),
    ("car batteries 28c", "lead-acid", "0.28", "lb"),
    ("12v batteries 28c", "lead-acid", "0.28", "lb"),
    ("aluminum extrusion 1.10", "al-extrusion", "1.10", "lb"),
    ("cast aluminium .75", "al-cast", "0.75", "lb"),
    ("rims 1.05", "al-wheels", "1.05", "lb"),
    ("304 stainless .45", "stainless-304", "0.45", "lb"),
    ("stainless 304 45c", "stainless-304", "0.45", "lb"),
    ("304L stainless .45", "stainless-304", "0.45", "lb"),
    ("304 45c", "stainless-304", "0.45", "lb"),
    ("ss 316 .80", "stainless-316", "0.80", "lb"),
    ("400 series stainless 10c", "stainless-400", "0.10", "lb"),
    ("18/8 stainless .45", "stainless-304", "0.45", "lb"),
    ("cat 5 1.10", "wire-data", "1.10", "lb"),
    ("christmas lights .30", "wire-string-lights", "0.30", "lb"),
    ("extension cords .75", "wire-cord-plugs", "0.75", "lb"),
    ("hard drives .60", "hard-drive", "0.60", "lb"),
    ("motherboards 2.50", "board-pc", "2.50", "lb"),
    ("ram 14.50", "memory-gold", "14.50", "lb"),
    ("Adapters, switching 20c", "adapter-switching", "0.20", "lb"),
    ("Sealed unit (compressor) .25", "sealed-unit", "0.25", "lb"),
    ("Ballast, PCB free .30", "ballast", "0.30", "lb"),
    # numbers
    ("motors .38", "motors", "0.38", "lb"),
    ("motors 0.38", "motors", "0.38", "lb"),
    ("motors 38c", "motors", "0.38", "lb"),
    ("motors 38 ¢", "motors", "0.38", "lb"),
    ("motors 38 ct", "motors", "0.38", "lb"),
    ("motors 38.5c", "motors", "0.385", "lb"),
    ("motors $0.38", "motors", "0.38", "lb"),
    ("motors CAD 0.38", "motors", "0.38", "lb"),
    ("motors 0.38 cad", "motors", "0.38", "lb"),
    ("motors thirty eight cents", "motors", "0.38", "lb"),
    ("motors thirty-eight cents", "motors", "0.38", "lb"),
    ("motors point three eight", "motors", "0.38", "lb"),
    ("motors oh point three eight", "motors", "0.38", "lb"),
    ("motors zero point thirty eight", "motors", "0.38", "lb"),
    ("light iron nine cents", "light-iron", "0.09", "lb"),
    ("light iron point oh nine", "light-iron", "0.09", "lb"),
    ("no 2 copper four ten", "copper-2", "4.10", "lb"),
    ("no 2 copper four oh five", "copper-2", "4.05", "lb"),
    ("no 2 copper four point one", "copper-2", "4.1", "lb"),
    ("dirty copper two point seven nine", "copper-dirty", "2.79", "lb"),
    ("dirty copper two eighty", "copper-dirty", "2.80", "lb"),
    ("dirty copper two dollars eighty", "copper-dirty", "2.80", "lb"),
    ("no 2 copper 4-10", "copper-2", "4.10", "lb"),
    ("no 2 copper 4–10", "copper-2", "4.10", "lb"),
    ("no 2 copper 4 10", "copper-2", "4.10", "lb"),
    ("copper number two four ten", "copper-2", "4.10", "lb"),
    ("copper two four ten", "copper-2", "4.10", "lb"),
    ("yellow brass two ninety five", "brass-yellow", "2.95", "lb"),
    ("brass taps a dollar ten", "brass-taps", "1.10", "lb"),
    ("a buck ten brass taps", "brass-taps", "1.10", "lb"),
    ("two dollars and forty cents for yellow brass", "brass-yellow", "2.40", "lb"),
    ("yellow brass 2 dollars 40", "brass-yellow", "2.40", "lb"),
    ("yellow brass two dollars", "brass-yellow", "2", "lb"),
    ("motors minus 5 cents", "motors", "-0.05", "lb"),
    ("motors - 38c", "motors", "0.38", "lb"),
    ("motors ...... 38c", "motors", "0.38", "lb"),
    ("motors ------38c", "motors", "0.38", "lb"),
    ("smoke alarms for nothing", "smoke-alarms", "0", "lb"),
    ("motors free", "motors", "0", "lb"),
    # units
    ("motors 38 c/lb", "motors", "0.38", "lb"),
    ("motors 38¢ per lb.", "motors", "0.38", "lb"),
    ("motors .84 a kilo", "motors", "0.84", "kg"),
    ("motors .84 the kg", "motors", "0.84", "kg"),
    ("motors 840 a tonne", "motors", "840", "tonne"),
    ("shred 180/short ton", "light-iron", "180", "short ton"),
    ("shred 200 per metric ton", "light-iron", "200", "tonne"),
    ("shred 200 a gross ton", "light-iron", "200", "long ton"),
    ("shred 180 net ton", "light-iron", "180", "short ton"),
    ("no 2 copper 9,040 a tonne", "copper-2", "9040", "tonne"),
    ("shred a hundred and eighty a short ton", "light-iron", "180", "short ton"),
    ("pewter 25c an ounce", "pewter", "0.25", "oz"),
    ("No 2 copper\t4.10\tlb", "copper-2", "4.10", "lb"),
    ("| motors | .84 | kg |", "motors", "0.84", "kg"),
    ("1. motors 38c", "motors", "0.38", "lb"),
]


@pytest.mark.parametrize(("text", "grade", "price", "unit"), UNDERSTOOD)
def test_understood(text: str, grade: str, price: str, unit: str) -> None:
    line = one(text)
    assert (line.status, line.question, line.choices, line.asks) == ("understood", "", (), "")
    assert (line.grade, line.price, line.unit, line.refuses) == (grade, Decimal(price), unit, False)
    assert all_understood([line])


REFUSED = [
    ("304 stainless not taking", "stainless-304"),
    ("not taking motors", "motors"),
    ("motors no", "motors"),
    ("no motors", "motors"),
    ("motors: no longer buying", "motors"),
    ("they don't take alternators", "alternator"),
    ("motors don’t want", "motors"),
    ("304 not taking", "stainless-304"),
    ("304 stainless, not taking", "stainless-304"),
    ("no bid sealed units", "sealed-unit"),
]


@pytest.mark.parametrize(("text", "grade"), REFUSED)
def test_a_refusal(text: str, grade: str) -> None:
    line = one(text)
    assert (line.status, line.grade, line.price, line.refuses) == ("understood", grade, None, True)


ASKED = [
    # which grade
    ("copper 4.10", "ambiguous", "grade", ["copper-1", "copper-2", "all of these"]),
    ("copper two ten", "ambiguous", "grade", ["copper-1", "copper-2", "all of these"]),
    ("coper 4.10", "ambiguous", "grade", ["copper-1", "copper-2"]),
    ("#2 0.40", "ambiguous", "grade", ["copper-2", "heavy-melt-2", "all of these"]),
    ("number one 0.30", "ambiguous", "grade", ["copper-1", "heavy-melt-1", "all of these"]),
    ("brass 2.10", "ambiguous", "grade", ["brass-yellow", "brass-red", "brass-taps", "brass-dirty", "all of these"]),
    ("lights 9c", "ambiguous", "grade", ["light-iron", "copper-light", "wire-string-lights", "all of these"]),
    ("heavy melt .08", "ambiguous", "grade", ["heavy-melt-1", "heavy-melt-2", "all of these"]),
    ("ac coils 1.80", "ambiguous", "grade", ["coil-al-cu-clean", "coil-al-cu-dirty", "all of these"]),
    ("transformers .50", "ambiguous", "grade", ["transformer-cu", "transformer-al", "all of these"]),
    ("lithium 30c", "ambiguous", "grade", ["li-ion", "li-ion-lfp", "lithium-primary", "all of these"]),
    ("no lithum", "ambiguous", "grade", ["li-ion", "li-ion-lfp", "lithium-primary"]),
    ("no picture tubes", "ambiguous", "grade", ["tube-glass", "tube-whole", "all of these"]),  # not kinds of one thing
    ("yellow brass greasy 2.40", "ambiguous", "grade", ["brass-yellow"]),
    ("dirty brass taps 1.20", "ambiguous", "grade", ["brass-taps", "brass-dirty"]),
    ("bends and springs back 5c", "ambiguous", "grade", ["rubber"]),  # by its clue only
    ("wobble 3.00", "unknown", "grade", []),
    ("led 60c", "unknown", "grade", []),  # not a mistyped lead
    ("4.10", "unknown", "grade", []),
    # a name that only nearly is one
    ("coper 2 4.10", "ambiguous", "grade", ["copper-2"]),
    ("no 2 coppr 4.10", "ambiguous", "grade", ["copper-2"]),
    ("alumnium cans .60", "ambiguous", "grade", ["al-cans"]),
    ("moters 38c", "ambiguous", "grade", ["motors"]),
    ("alternaters .45", "ambiguous", "grade", ["alternator"]),
    ("yelow brass 2.40", "ambiguous", "grade", ["brass-yellow"]),
    # which price
    ("motors 38", "ambiguous", "price", ["38.00 /lb", "0.38 /lb"]),
    ("motors 38 a pound", "ambiguous", "price", ["38.00 /lb", "0.38 /lb"]),
    ("no 2 copper four hundred ten", "ambiguous", "price", ["410.00 /lb", "4.10 /lb"]),
    ("no 2 copper 4,10", "ambiguous", "price", ["4.10 /lb", "410.00 /lb"]),
    ("no 2 copper 9,04 a kilo", "ambiguous", "price", ["9.04 /kg", "904.00 /kg"]),
    ("motors -38c", "ambiguous", "price", ["-0.38 /lb", "0.38 /lb"]),
    ("motors 38c 40c", "ambiguous", "price", ["0.38 /lb", "0.40 /lb"]),
    ("motors not taking 38c", "ambiguous", "price", ["not taking", "price"]),
    ("motors 0", "ambiguous", "price", ["not taking", "price"]),
    ("motors", "unknown", "price", ["not taking"]),
    ("motors £0.38", "unknown", "price", ["not taking"]),
    ("motors 0.38 USD", "unknown", "price", ["not taking"]),
    ("motors 38p", "unknown", "price", ["not taking"]),
    ("alternators 4 each", "unknown", "piece", ["not taking"]),
    ("alternators 4.00 a piece", "unknown", "piece", ["not taking"]),
    ("motors 38c max 5 pieces", "unknown", "piece", ["not taking"]),
    ("light iron 9c a load", "unknown", "price", ["not taking"]),
    ("motors 99999999999999999999", "unknown", "price", ["not taking"]),
    # which ton
    ("shred 180 a ton", "ambiguous", "unit", ["short ton", "long ton", "tonne"]),
    ("shred 180/t", "ambiguous", "unit", ["short ton", "long ton", "tonne"]),
    ("shred 180 tons", "ambiguous", "unit", ["short ton", "long ton", "tonne"]),
    # how much
    ("no 2 copper 4.10 min 50", "ambiguous", "mass", ["lb", "kg", "short ton", "long ton", "tonne", "any"]),
    ("no 2 copper over a ton 4.25", "ambiguous", "mass", ["short ton", "long ton", "tonne", "any"]),
    ("motors 38c max 50", "ambiguous", "mass", ["lb", "kg", "short ton", "long ton", "tonne", "pieces", "any"]),
    ("motors 38c min 50 lb max 20 lb", "ambiguous", "mass", ["any"]),
    ("alternators 4 each of 12 lb max 2.5", "ambiguous", "mass", ["lb", "kg", "short ton", "long ton", "tonne", "any"]),
    ("alternators 4 each one weighs 12", "ambiguous", "mass", ["lb", "kg", "short ton", "long ton", "tonne"]),
]


@pytest.mark.parametrize(("text", "status", "asks", "keys"), ASKED)
def test_asked(text: str, status: str, asks: str, keys: list[str]) -> None:
    line = one(text)
    assert (line.status, line.asks) == (status, asks)
    assert [choice.key for choice in line.choices] == [*keys, "leave out"]
    assert line.question.startswith(f'"{text}"') and line.question.endswith("?") and "\n" not in line.question
    for choice in line.choices[:-1] if asks == "unit" or (status == "ambiguous" and asks == "grade") else ():
        assert choice.label in line.question or choice.key == "all of these"
    assert not all_understood([line])


def test_enough_lines_are_tried() -> None:
    assert len(UNDERSTOOD) + len(ASKED) + len(REFUSED) >= 120


@pytest.mark.parametrize(
    "text", ["", "   ", "\n\n,;,", "hello", "ok thanks", "...", "----", "/ / /", "at the price of"]
)
def test_nothing_comes_from_nothing(text: str) -> None:
    lines = read(text)
    assert not [line for line in lines if line.status == "understood"]
    assert not all_understood(lines)  # an empty list is nothing to save


@pytest.mark.parametrize(
    "text",
    [
        ",".join(["1"] * 3000),
        "9" * 200_000,
        "0." + "1" * 5000,
        "one hundred " * 2000,
        "hundred thousand " * 1000,
        "-" * 5000,
        "no " * 3000,
        "a " * 3000 + "ton",
        "over " * 3000,
        "1/" * 3000,
        "copper " * 2000,
        "\N{ARABIC-INDIC DIGIT FOUR}\N{VULGAR FRACTION ONE HALF}\N{SUPERSCRIPT TWO} motors \x00 \ud800",
    ],
    ids=range(12),
)
def test_no_text_is_too_long_or_too_odd(text: str) -> None:
    assert not all_understood(read(text))


@pytest.mark.parametrize("text", ["no 2 copper 4.10,motors 38c", "no 2 copper 4.10,38c motors"])
def test_a_comma_without_a_space(text: str) -> None:
    assert prices(read(text)) == [("copper-2", Decimal("4.10")), ("motors", Decimal("0.38"))]


def prices(lines: list[PriceLine]) -> list[tuple[str | None, Decimal | None]]:
    return [(line.grade, line.price) for line in lines]


@pytest.mark.parametrize(
    "text",
    [
        "no 2 copper 4.10 motors 38c light iron .09",
        "number two copper four ten motors thirty eight cents light iron nine cents",
        "4.10 for no 2 copper, 38c for motors, and nine cents for light iron",
        "no 2 copper 4.10; motors 38c; light iron .09",
        "No 2 copper,4.10,lb\nMotors,.38,lb\nLight iron,.09,lb",
        "no 2 copper 4.10/lb\r\nmotors 38c\r\nlight iron .09 today, thanks",
        "1) no 2 copper 4.10\n2) motors .38\n3) light iron .09\n",
    ],
)
def test_however_it_is_parted(text: str) -> None:
    lines = read(text)
    expected = [("copper-2", Decimal("4.10")), ("motors", Decimal("0.38")), ("light-iron", Decimal("0.09"))]
    assert all_understood(lines) and prices(lines) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("no 2 copper 4.10 min 50 lb", [("4.10", "", "50 lb")]),
        ("no 2 copper 4.10, minimum 50 lb", [("4.10", "", "50 lb")]),
        ("no 2 copper 4.10, 20 kg minimum", [("4.10", "", "20 kg")]),
        ("no 2 copper over 100 lb 4.25", [("4.25", "100 lb", "")]),
        ("no 2 copper 4.25 100 lb and up", [("4.25", "100 lb", "")]),
        ("no 2 copper 4.25 (100+ lb)", [("4.25", "100 lb", "")]),
        ("over a hundred pounds no 2 copper four twenty five", [("4.25", "100 lb", "")]),
        ("no 2 copper 4.10, over 100 lb 4.25", [("4.10", "", ""), ("4.25", "100 lb", "")]),
        ("no 2 copper 4.10 over 100 lb 4.25", [("4.10", "", ""), ("4.25", "100 lb", "")]),
        ("no 2 copper 4.10 min 50 lb over 1,000 lb 4.25", [("4.10", "", "50 lb"), ("4.25", "1000 lb", "")]),
        ("no 2 copper 4.10, at least a tonne 4.40", [("4.10", "", ""), ("4.40", "1 tonne", "")]),
    ],
)
def test_tiers_and_minimum_lots(text: str, expected: list[tuple[str, str, str]]) -> None:
    lines = read(text)
    assert all_understood(lines)
    assert [(line.grade, line.price, line.from_mg, line.minimum_mg) for line in lines] == [
        ("copper-2", Decimal(price), to_mg(first, "") if first else 0, to_mg(least, "") if least else 0)
        for price, first, least in expected
    ]


MAXIMA = [
    "no 2 copper 4.10 max 200 kg",
    "no 2 copper 4.10 maximum 200 kg",
    "no 2 copper 4.10 a pound, at most 200 kg",
    "no 2 copper 4.10, 200 kg max",
    "no 2 copper 4.10 no more than 200 kg",
    "no 2 copper 4.10, not more than 200 kg",
    "no 2 copper 4.10 limit of 200 kg",
    "no 2 copper 4.10 lb max 200 kg",
    "max 200 kg no 2 copper 4.10",
    "no 2 copper\t4.10\tlb\tmax. 200 kg",
]


@pytest.mark.parametrize("text", MAXIMA)
def test_the_most_that_a_buyer_takes(text: str) -> None:
    line = one(text)
    assert (line.status, line.grade, line.price, line.most_mg) == (
        "understood",
        "copper-2",
        Decimal("4.10"),
        200_000_000,
    )
    assert (line.most_pieces, line.piece_mg, line.minimum_mg, line.refuses) == (0, 0, 0, False)
    assert written(line) == "No. 2 copper 4.10 /lb max 200 kg"


FAMILIES = {
    "no lithium": {"li-ion", "li-ion-lfp", "lithium-primary"},
    "lithium batteries not taking": {"li-ion", "li-ion-lfp", "lithium-primary"},
    "we don't take brass": {"brass-yellow", "brass-red", "brass-taps", "brass-dirty"},
    "no car batteries": {"lead-acid"},
    "no alkaline batteries": {"alkaline"},
    "no lithium ion cobalt": {"li-ion"},
}


@pytest.mark.parametrize(("text", "grades"), FAMILIES.items())
def test_a_word_for_a_family_refuses_all_of_it_and_a_name_of_one_kind_that_one(text: str, grades: set[str]) -> None:
    lines = read(f"motors 38c, {text}")
    assert all_understood(lines) and {line.grade for line in lines if line.refuses} == grades
    assert len(lines) == len(grades) + 1 and len({line.position for line in lines}) == len(lines)
    told = {written(line) for line in lines if line.refuses}
    assert told == {f"{GRADES[grade].name} not taking" for grade in grades}


def test_no_batteries_means_every_battery_that_the_catalogue_has() -> None:
    batteries = {grade.id for grade in GRADES.values() if grade.family == "batteries"}
    assert {line.grade for line in read("no batteries")} == batteries and len(batteries) > 5
    both = read("car batteries 28c, no batteries")  # which of the two holds for car batteries, nobody said
    assert {line.grade for line in both if line.question} == {"lead-acid"}


BY_THE_PIECE = [
    ("car batteries 12 each of 40 lb max 5", 5),
    ("car batteries 12 each, one weighs 40 lb, max 5", 5),
    ("car batteries $12 apiece weighing 40 lb at most 5 pieces", 5),
    ("car batteries twelve each one weighs forty pounds max five", 5),
    ("car batteries 12 a piece of 40 lb, 5 pieces max", 5),
    ("car batteries 12 each, each weighs 40 lb", 0),
]


@pytest.mark.parametrize(("text", "most"), BY_THE_PIECE)
def test_a_price_by_the_piece(text: str, most: int) -> None:
    """12 for 40 lb is 0.30 a pound, 0.30 / 0.45359237 a kilogram."""
    line = one(text)
    assert (line.status, line.question, line.grade) == ("understood", "", "lead-acid")
    assert (line.price, line.unit, line.piece_mg) == (Decimal(12), "each", to_mg("40 lb", ""))
    assert (line.most_pieces, line.most_mg) == (most, 0)
    assert float(line.per_kg or 0) == pytest.approx(0.30 / LB, rel=1e-6)
    assert written(line) == "Lead-acid batteries 12.00 each, one weighs 40 lb" + (", max 5 pieces" if most else "")


def test_what_one_piece_weighs_is_asked_once_and_known_from_then_on() -> None:
    (line,) = lines = read("car batteries 12 each max 5")
    assert (line.asks, line.price) == ("piece", None) and "what does one piece weigh" in line.question
    (told,) = answer(lines, 1, "40 lb")
    assert (told.status, told.price, told.piece_mg, told.most_pieces) == (
        "understood",
        Decimal(12),
        to_mg("40 lb", ""),
        5,
    )
    by_mass = answer(lines, 1, "30c a pound, one weighs 40 lb")  # then five may be pounds as well as pieces
    (pieces,) = answer(by_mass, 1, "pieces")
    assert (pieces.status, pieces.unit, pieces.most_pieces) == ("understood", "lb", 5)
    for neither in ("40", "4.00", "heavy"):  # no mass without a unit, and no price by mass either
        with pytest.raises(Refused, match="what one piece weighs"):
            answer(lines, 1, neither)
    (known,) = read_price_list(
        "car batteries 12 each max 5", GRADES, "CAD", "lb", {}, pieces={"lead-acid": to_mg("40 lb", "")}
    )
    assert (known.status, known.price, known.piece_mg) == ("understood", Decimal(12), to_mg("40 lb", ""))


def test_a_price_by_the_piece_is_held_against_the_last_one_by_mass() -> None:
    """40 lb at 0.28 is 11.20: 12 is believed, 120 and 1.20 are not."""
    last = {"lead-acid": 0.28 / LB}
    assert one("car batteries 12 each of 40 lb", last).status == "understood"
    far = one("car batteries 120 each of 40 lb", last)
    assert [choice.key for choice in far.choices] == ["120.00 each", "leave out"]
    for said in ("120.00 each", "120.00"):  # stood by
        (line,) = answer([far], 1, said)
        assert (line.status, line.price, line.unit) == ("understood", Decimal(120), "each")
    unlikely = one("car batteries $1.20 each of 40 lb", last)
    assert unlikely.status == "unlikely" and "1.20 each is 0.11 times the last price, 0.28 /lb" in unlikely.question


def test_a_maximum_that_a_new_price_does_not_say_again_is_told() -> None:
    mosts = {("lead-acid", 0): (0, 5), ("copper-2", 0): (to_mg("200 kg", ""), 0), ("motors", 0): (1, 0)}
    text = "car batteries .28, no 2 copper 4.10 max 100 kg, over 100 lb 4.25, motors not taking, brass taps 2.10"
    rows = preview(read_price_list(text, GRADES, "CAD", "lb", {}, mosts=mosts))
    assert [row.most_ends for row in rows] == ["at most 5 pieces", "", "", "", ""]
    (row,) = preview(read_price_list("no 2 copper 4.10", GRADES, "CAD", "lb", {}, mosts=mosts))
    assert row.most_ends == "at most 200 kg"


def test_a_row_by_the_piece_compares_by_mass() -> None:
    (row,) = preview(read("car batteries 12 each of 40 lb max 5", {"lead-acid": 0.25 / LB}))
    assert row.read_as == "Lead-acid batteries 12.00 each, one weighs 40 lb, max 5 pieces"
    assert float(row.per_unit or 0) == pytest.approx(0.30) and float(row.change or 0) == pytest.approx(0.2)


def test_a_factor_of_a_hundred_is_asked_with_both_readings() -> None:
    together = read("capacitors 1.10, motors 38, light iron 9")
    alone = read("no 2 copper 4.10, lithium iron phosphate 38")  # of which nobody knows what it is worth
    for line, keys in [
        (together[1], ["cents", "whole", "one by one"]),  # 38 and 9 are asked about in one
        (together[2], []),
        (alone[1], ["38.00 /lb", "0.38 /lb"]),
    ]:
        assert (line.status, line.price) == ("ambiguous", None)
        assert [choice.key for choice in line.choices] == ([*keys, "leave out"] if keys else [])
    assert together[1].question == "Are 9 and 38 cents?"
    assert prices(answer(together, 2, "cents"))[1:] == [("motors", Decimal("0.38")), ("light-iron", Decimal("0.09"))]
    apart = answer(together, 2, "one by one")
    assert [[choice.key for choice in line.choices] for line in apart[1:]] == [
        ["38.00 /lb", "0.38 /lb", "leave out"], ["9.00 /lb", "0.09 /lb", "leave out"],
    ]  # fmt: skip


def test_whole_numbers_are_settled_by_what_the_yard_paid_before_or_by_two_that_agree() -> None:
    """No price of today is 100 times the last one; the other reading of each is far off."""
    assert [line.price for line in read("no 2 copper 410, motors 38", LAST)] == [Decimal("4.10"), Decimal("0.38")]
    agreed = read("no 2 copper 4.10, motors 38, light iron 9")
    assert [line.price for line in agreed] == [Decimal("4.10"), Decimal("0.38"), Decimal("0.09")]
    torn = read("no 2 copper 4.10, motors 38, yellow brass 3")  # 38 would be a hundred times what it is beside copper
    assert [line.price for line in torn] == [Decimal("4.10"), Decimal("0.38"), Decimal(3)]


def test_a_ton_price_said_without_its_ton_is_asked() -> None:
    shred = read("no 2 copper 4.10, shred 180")[1]
    keys = [choice.key for choice in shred.choices]
    assert keys == ["180.00 /lb", "180.00 /short ton", "180.00 /long ton", "180.00 /tonne", "leave out"]


def test_what_the_last_price_or_the_ratio_settles_is_not_asked() -> None:
    assert prices(read("brass taps two ten, no 2 copper 4", LAST)) == [
        ("brass-taps", Decimal("2.10")),
        ("copper-2", Decimal(4)),
    ]
    assert all_understood(read("brass taps two ten, no 2 copper 4", LAST))


@pytest.mark.parametrize(
    ("text", "known", "status"),
    [
        ("motors 1.05", LAST, "unlikely"),  # three times 0.35
        ("motors 1.04", LAST, "understood"),
        ("motors .11", LAST, "unlikely"),
        ("motors .12", LAST, "understood"),
        ("motors -0.35", {"motors": -0.35 / LB}, "understood"),
        ("motors minus 35c", LAST, "unlikely"),
        ("no 2 copper 13.00", LAST, "unlikely"),
        ("motors 3.80, no 2 copper 4.10", {}, "unlikely"),  # ratio .06 .. .09 .. .13
        ("motors 1.10, no 2 copper 4.10", {}, "understood"),
        ("motors 1.12, no 2 copper 4.10", {}, "unlikely"),  # 0.09 x 4.10 x 3 = 1.107
        ("motors 1.12", {"copper-2": 4.10 / LB}, "unlikely"),  # No. 2 copper as this buyer paid it last
        ("motors 1.12", {}, "understood"),  # nothing to compare with
        ("ceramic processors 45.00, no 2 copper 4.10", {}, "understood"),  # ratio 10 .. 25 .. 60
        ("toner 5.00, no 2 copper 4.10", {}, "understood"),  # without a ratio
    ],
)
def test_a_price_three_times_off_is_flagged(text: str, known: dict[str, float], status: str) -> None:
    line = read(text, known)[0]
    assert line.status == status
    assert bool(line.question) == (status == "unlikely")
    if status == "unlikely":
        assert line.price is not None and " times " in line.question


def test_the_question_says_what_was_read_and_against_what() -> None:
    line = read("motors 3.80", LAST)[0]
    assert line.question == (
        '"motors 3.80": Electric motors at 3.80 /lb is 11 times the last price, 0.35 /lb; '
        "is it 3.80 /lb or another price?"
    )
    line = read("copper 4.10")[0]
    assert line.question == '"copper 4.10": is it No. 1 copper or No. 2 copper?'
    assert line.candidates == (("copper-1", 1.0), ("copper-2", 1.0))
    assert read("shred 180 a ton")[0].question == '"shred 180 a ton": which ton is it, short ton, long ton or tonne?'


def test_the_price_of_a_larger_lot_is_held_against_that_of_the_smallest_in_the_list() -> None:
    base, larger = read("bare bright 4.10, bare bright 0.10 from 100 lb")
    assert base.status == "understood"
    assert larger.status == "unlikely"
    assert "times what this list pays for the smallest lot, 4.10 /lb" in larger.question
    assert all_understood(read("bare bright 4.10, bare bright 4.60 from 100 lb"))


def test_number_names_of_two_families_are_told_apart_by_price_only_with_evidence() -> None:
    assert prices(read("#2 4.10, number one 4.25", LAST)) == [
        ("copper-2", Decimal("4.10")),
        ("copper-1", Decimal("4.25")),
    ]
    assert prices(read("#2 .08", LAST)) == [("heavy-melt-2", Decimal("0.08"))]
    assert one("#2 1.00", LAST).grade is None  # believed for neither
    assert one("copper 4.10", LAST).grade is None  # within a family it is always asked


def test_two_prices_for_one_grade_are_asked_and_one_kept() -> None:
    lines = read("motors 38c, motors 40c, no 2 copper 4.10")
    assert [line.asks for line in lines] == ["twice", "with", ""]
    assert "0.38 /lb" in lines[0].question and "0.40 /lb" in lines[0].question and not lines[1].question
    kept = answer(lines, 1, "keep line 2")
    assert prices(kept) == [("motors", Decimal("0.40")), ("copper-2", Decimal("4.10"))] and all_understood(kept)
    left = answer(lines, 1, "keep")
    assert prices(left) == [("motors", Decimal("0.38")), ("copper-2", Decimal("4.10"))] and all_understood(left)
    assert [line.position for line in left] == [1, 3]
    assert [line.asks for line in read("motors 38c, motors not taking")] == ["twice", "with"]
    assert all_understood(read("motors 38c, motors 38c"))


def test_answers_settle_one_question_at_a_time() -> None:
    lines = read("copper 4.10, shred 180 a ton, lithium iron phosphate 38, wobble 2.00, alternators 4 each")
    before = list(lines)
    for position, choice, open_after in [
        (1, "copper-2", 4),
        (2, "Short Ton", 3),
        (3, "0.38 /lb", 2),
        (4, "yellow brass", 1),
        (5, "45c a pound", 0),
    ]:
        lines = answer(lines, position, choice)
        assert sum(bool(line.question) for line in lines) == open_after
    assert all_understood(lines)
    assert [written(line) for line in lines] == [
        "No. 2 copper 4.10 /lb",
        "Light iron 180.00 /short ton",
        "Lithium-ion, iron phosphate, tool and scooter packs 0.38 /lb",
        "Yellow brass 2.00 /lb",
        "Alternators 0.45 /lb",
    ]
    assert before == read(
        "copper 4.10, shred 180 a ton, lithium iron phosphate 38, wobble 2.00, alternators 4 each"
    )  # answer is pure


def test_an_answer_may_raise_the_next_question() -> None:
    lines = read("no 2 copper 4.10, tool batteries 210")
    lines = answer(lines, 2, "li-ion-lfp")
    assert [choice.key for choice in lines[1].choices] == ["210.00 /lb", "2.10 /lb", "leave out"]
    assert lines[1].grade == "li-ion-lfp" and not all_understood(lines)
    assert all_understood(answer(lines, 2, "2.10"))


@pytest.mark.parametrize("choice", ["3.80 /lb", "3.80"])
def test_an_unlikely_price_can_be_stood_by(choice: str) -> None:
    lines = answer(read("motors 3.80", LAST), 1, choice)
    assert all_understood(lines) and lines[0].price == Decimal("3.80")


def test_answers_for_refusals_masses_and_comma() -> None:
    assert answer(read("motors"), 1, "not taking")[0].refuses
    assert answer(read("motors not taking 38c"), 1, "price")[0].price == Decimal("0.38")
    assert answer(read("motors 0"), 1, "price")[0].price == 0
    assert answer(read("motors 0"), 1, "not taking")[0].refuses
    assert answer(read("no 2 copper 4.10 min 50"), 1, "lb")[0].minimum_mg == to_mg("50 lb", "")
    assert answer(read("no 2 copper 4.10 min 50"), 1, "any")[0].minimum_mg == 0
    assert answer(read("no 2 copper 4,10"), 1, "4.10 /lb")[0].price == Decimal("4.10")
    assert answer(read("wobble 3.00"), 1, "leave out") == []


@pytest.mark.parametrize(
    ("position", "choice", "given"),
    [(1, "gold", '"gold"'), (1, "copper", '"copper"'), (2, "copper-2", "line 2"), (7, "copper-2", "line 7")],
)
def test_an_answer_that_is_none_is_refused(position: int, choice: str, given: str) -> None:
    with pytest.raises(Refused) as refused:
        answer(read("copper 4.10, motors 38c"), position, choice)
    assert refused.value.given == given
    assert "copper-1" in refused.value.expected or "a line with a question: 1" in refused.value.expected
    assert refused.value.exit_status == 2


def test_other_currencies_and_locales() -> None:
    assert prices(read("no 2 copper 1200, motors 110", currency="JPY", unit="kg")) == [
        ("copper-2", Decimal(1200)),
        ("motors", Decimal(110)),
    ]
    assert "JPY has no hundredths" in read("motors 38c", currency="JPY", unit="kg")[0].question
    pounds = read("motors 38p, no 2 copper £4.10, brass taps two pounds ten a kilo", currency="GBP", unit="kg")
    assert all_understood(pounds)
    assert [line.price for line in pounds] == [Decimal("0.38"), Decimal("4.10"), Decimal("2.10")]
    comma = read("no 2 copper 9,04; shred 1.250 a tonne", currency="EUR", unit="kg", comma=True)
    assert comma[0].status == "understood" and comma[0].price == Decimal("9.04")
    assert [choice.key for choice in comma[1].choices] == ["1250.00 /tonne", "1.25 /tonne", "leave out"]


@pytest.mark.parametrize(("currency", "unit"), [("XXX", "lb"), ("CAD", "ton"), ("CAD", "stone")])
def test_a_workspace_without_currency_or_unit_is_refused(currency: str, unit: str) -> None:
    with pytest.raises(Refused):
        read("motors 38c", currency=currency, unit=unit)


def test_the_preview_has_what_there_is_to_compare() -> None:
    motors, copper, brass = preview(read("motors 42c, no 2 copper 9.00 a kilo, brass 2.10", LAST))
    assert (motors.position, motors.text, motors.read_as) == (1, "motors 42c", "Electric motors 0.42 /lb")
    assert motors.per_unit == Decimal("0.42") and motors.unit == "lb"
    assert motors.per_kg is not None and float(motors.per_kg) == pytest.approx(0.42 / LB, rel=1e-12)
    assert motors.previous is not None and float(motors.previous) == pytest.approx(0.35, rel=1e-12)
    assert motors.change is not None and float(motors.change) == pytest.approx(0.2, rel=1e-12)
    assert copper.per_kg == 9 and copper.per_unit is not None and float(copper.per_unit) == pytest.approx(9 * LB)
    assert (brass.read_as, brass.previous, brass.change) == ("", None, None) and brass.question


def test_spoken_names_are_in_order() -> None:
    """Each name means at least one shipped grade, and no name stands in two rows."""
    rows = tomllib.loads(NAMES.read_text(encoding="utf-8"))["spoken"]
    for row in rows:
        assert row["grades"] and set(row["grades"]) <= set(GRADES), row
    seen: dict[frozenset[str], tuple[str, ...]] = {}
    for words, grades in spoken():
        assert words and seen.setdefault(frozenset(words), grades) == grades, words


@pytest.mark.parametrize("grade", sorted(GRADES))
def test_every_grade_goes_by_its_name_and_its_id(grade: str) -> None:
    for name in (GRADES[grade].name, grade, GRADES[grade].name.upper()):
        line = one(f"{name} 1.25")
        assert line.grade == grade and line.price == Decimal("1.25"), name


def test_grades_of_a_scenario_of_ones_own_are_known_by_name() -> None:
    own = {"wobblies": replace(GRADES["motors"], id="wobblies", name="Wobbly things")}
    (line,) = read_price_list("wobbly things 38c", own, "CAD", "lb", {})
    assert line.grade == "wobblies"
    assert read_price_list("motors 38c", own, "CAD", "lb", {})[0].grade is None
    assert lexicon_of({}).match(["copper"]) == ((), False)
