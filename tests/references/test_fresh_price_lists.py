"""Price lists by people who had never seen the reader (price_lists/fifth_* to twelfth), against their labels.

The labels are the writer's: what somebody of the trade would take from each line. What the reader gave at the first
look stands at the head of each file. No price may be read wrongly; as many lines as now are read right, and no more
questions than now are asked: one in 9.8 lines, a little more than the one in ten that is wanted.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, answer, read_price_list
from partway.pricelist.lines import PieceMass
from partway.quantities import kg_per
from partway.things.limits.counting import piece_masses, whole_masses
from partway.valuing.one_piece import alike_masses, called_so

HERE = Path(__file__).parent / "price_lists"
GRADES = shipped().grades
PIECES, WHOLE = piece_masses(shipped().all_anatomies()), whole_masses(shipped().all_anatomies())
UNITS = {"cwt": Decimal(100) * kg_per("lb"), "short-ton": kg_per("short ton"), "long-ton": kg_per("long ton")}
# No more than now: asked at the first look, and in all until a list can be saved where each first answer is taken.
QUESTIONS = {
    "fifth_a": (12, 12), "fifth_b": (13, 15), "fifth_c": (22, 29), "sixth_a": (9, 14), "sixth_b": (15, 16),
    "sixth_c": (20, 21), "seventh": (19, 22), "eighth": (13, 23), "ninth": (10, 11), "tenth": (16, 16),
    "eleventh": (10, 11), "twelfth": (11, 13),
}  # fmt: skip
# As many as now: right at the first look, and right once all names are taken as they are shown.
RIGHT = {
    "fifth_a": (127, 140), "fifth_b": (120, 140), "fifth_c": (66, 76), "sixth_a": (113, 122), "sixth_b": (101, 119),
    "sixth_c": (53, 68), "seventh": (113, 143), "eighth": (84, 94), "ninth": (75, 89), "tenth": (72, 93),
    "eleventh": (125, 143), "twelfth": (96, 111),
}  # fmt: skip
SHOWN_WRONGLY = 18  # prices of names that are right as shown and are none of what the labels want; no more than now
MOST = 60  # answers to one list

Meant = tuple[str, str, bool]  # the grade, its price per kg or by the piece ("no": not taken), whether by the piece


def lists(file: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = tomllib.loads((HERE / f"{file}.toml").read_text(encoding="utf-8"))["list"]
    return found


def per_kg(price: str, unit: str) -> Meant:
    if unit == "each":
        return "", f"{Decimal(price):.6f}", True
    return "", f"{Decimal(price) / (UNITS.get(unit) or kg_per(unit)):.6f}", False


def wanted(label: str) -> list[Meant]:
    """What a label takes for right: "copper-2 3.90 lb", "a|b 1.20 kg" either, "li-ion no"."""
    names, price, *rest = label.partition(" @ ")[0].split()
    _, value, each = ("", "no", False) if price == "no" else per_kg(price, rest[0])
    return [(grade, value, each) for grade in names.split("|")]


def meant(line: PriceLine) -> Iterator[Meant]:
    """What an understood line would record, by both ends of a range."""
    if line.refuses or line.price is None:
        yield line.grade or "", "no", False
        return
    each = line.unit == "each" and line.price != 0
    factor = Decimal(1) if each or line.price == 0 else kg_per(line.unit)
    for end in line.ends or (line.price,):
        yield line.grade or "", f"{end / factor:.6f}", each


def read(one: Mapping[str, Any]) -> list[PriceLine]:
    before = [label.split() for label in one.get("before", [])]
    known = {grade: float(Decimal(price) / (UNITS.get(unit) or kg_per(unit))) for grade, price, unit in before}
    unit = one.get("unit", "lb")
    return read_price_list(
        one["text"], GRADES, one["currency"], "lb" if unit == "each" else unit, known, elsewhere=one_piece
    )


def one_piece(grade: str, words: Sequence[str]) -> PieceMass | None:
    """What one piece weighs, as the catalogue knows it."""
    found = alike_masses(called_so(WHOLE.get(grade, ()), words), PIECES.get(grade, ()))
    return PieceMass(round(sum(found) / len(found) * 1_000_000), "catalogue") if found else None


def allowed(one: Mapping[str, Any]) -> set[Meant]:
    """All that a list may be read as without being wrong."""
    labels = [*one.get("gives", []), *one.get("may", []), *one.get("changed", [])]
    found = {meaning for label in labels for meaning in wanted(label)}
    for label in one.get("ranges", []):
        grade, low, high, unit = label.split()
        found |= {meaning for end in (low, high) for meaning in wanted(f"{grade} {end} {unit}")}
    for words in (term.replace(": ", " ").split() for term in one.get("terms", [])):
        match words:
            case [grade, "tier", _, _, price, unit]:
                found |= set(wanted(f"{grade} {price} {unit}"))
            case [grade, "fee", price, unit]:
                found |= set(wanted(f"{grade} -{price} {unit}"))
    return found


def tally(one: Mapping[str, Any]) -> Counter[str]:
    """How many labels were read right, how many lines ask, how many questions that takes, and what is wrong."""
    lines = read(one)
    understood = [meaning for line in lines if line.status == "understood" for meaning in meant(line)]
    asks = [line for line in lines if line.question and line.asks != "fee"]
    labels = [wanted(label) for label in (*one.get("gives", []), *one.get("changed", []))]
    found = Counter(right=sum(any(meaning in understood for meaning in label) for label in labels))
    found["lines"] = len(labels) + sum(len(one.get(key, [])) for key in ("ranges", "asked", "none"))
    found["questions"], found["waiting"] = len(asks), sum(line.asks == "with" for line in lines)
    found["wrong"] = len(
        [meaning for meaning in understood if meaning not in allowed(one) and meaning[1] != "0.000000"]
    )
    return found


def answered(one: Mapping[str, Any]) -> Counter[str]:
    """What comes of a list whose every question is answered by its first answer: names are right as shown."""
    lines, found = read(one), Counter[str]()
    before = {meaning for line in lines if line.status == "understood" for meaning in meant(line)}
    while asks := next((line for line in lines if line.question and line.asks != "fee"), None):
        found["answers"] += 1
        assert found["answers"] < MOST, one["from"]
        lines = answer(lines, asks.position, asks.choices[0].key)
    said = [(line, meaning) for line in lines if line.status == "understood" for meaning in meant(line)]
    labels = [wanted(label) for label in (*one.get("gives", []), *one.get("changed", []))]
    found["right"] = sum(any(meaning in {m for _, m in said} for meaning in label) for label in labels)
    new = {meaning for line, meaning in said if line.item.settled and meaning not in before}
    found["shown wrongly"] = sum(meaning not in allowed(one) and meaning[1] != "0.000000" for meaning in new)
    return found


@pytest.fixture(scope="module")
def settled() -> dict[str, Counter[str]]:
    return {file: sum((answered(one) for one in lists(file)), Counter()) for file in QUESTIONS}


@pytest.fixture(scope="module")
def tallied() -> dict[str, Counter[str]]:
    return {file: sum((tally(one) for one in lists(file)), Counter()) for file in QUESTIONS}


@pytest.mark.parametrize("file", QUESTIONS)
def test_no_price_of_a_fresh_list_is_read_wrongly(file: str, tallied: dict[str, Counter[str]]) -> None:
    wrong = [
        (one["from"], line.text, meaning)
        for one in lists(file) if tally(one)["wrong"]
        for line in read(one) if line.status == "understood"
        for meaning in meant(line) if meaning not in allowed(one)
    ]  # fmt: skip
    assert not tallied[file]["wrong"], wrong


@pytest.mark.parametrize("file", RIGHT)
def test_as_much_is_read_right_as_now(
    file: str, tallied: dict[str, Counter[str]], settled: dict[str, Counter[str]]
) -> None:
    first, then = RIGHT[file]
    assert tallied[file]["right"] >= first and settled[file]["right"] >= then, (tallied[file], settled[file])


@pytest.mark.parametrize("file", QUESTIONS)
def test_no_more_is_asked_than_now(
    file: str, tallied: dict[str, Counter[str]], settled: dict[str, Counter[str]]
) -> None:
    first, in_all = QUESTIONS[file]
    assert tallied[file]["questions"] <= first and settled[file]["answers"] <= in_all, (tallied[file], settled[file])


def test_few_names_are_shown_as_what_they_are_not(settled: dict[str, Counter[str]]) -> None:
    assert sum(found["shown wrongly"] for found in settled.values()) <= SHOWN_WRONGLY, settled
