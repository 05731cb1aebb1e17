"""Laws of reading price lists, whatever the text.

The numbers in words are put together here, by another rule than the one that reads them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from hypothesis import example, given, settings
from hypothesis import strategies as st

from partway.catalogue import shipped
from partway.pricelist import PriceLine, all_understood, answer, preview, read_price_list, written
from partway.quantities import LARGEST_PRICE, kg_per
from partway.things.units import MASS_UNITS

GRADES = shipped().grades
COPPER = Decimal("4.10")  # per lb, invented
CHEAPEST = 0.02  # of No. 2 copper: below that, whole cents a pound are too coarse to stay within a factor of three
PRICED = sorted(name for name, grade in GRADES.items() if grade.ratio and grade.ratio.likely >= CHEAPEST)
ONES = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen".split()  # noqa: SIM905
ONES += ["sixteen", "seventeen", "eighteen", "nineteen"]
TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
PIECES = [
    "copper", "no 2", "#1", "motors", "brass", "light iron", "shred", "304", "stainless", "not taking", "no", "free",
    "4.10", ".38", "38c", "38", "410", "4,10", "1,250", "-5", "four ten", "thirty eight", "a dollar ten", "point",
    "/lb", "a pound", "a ton", "per kilo", "a tonne", "each", "over 100 lb", "min 50", "100 lb and up", "$", "£", "CAD",
    "cents", "max 200 lb", "max 5", "max", "no more than 9 pieces", "each of 40 lb", "one weighs 2 kg", "5 pieces max",
    ",", ";", "\n", " - ", "-", "(", "%", "&", "and", "wobble", "coper", "bright", "wire", "lead", "9" * 30, "0", "¢",
]  # fmt: skip
TEXTS = st.one_of(st.text(max_size=80), st.lists(st.sampled_from(PIECES), max_size=14).map(" ".join))


def read(text: str, known: dict[str, float] | None = None) -> list[PriceLine]:
    return read_price_list(text, GRADES, "CAD", "lb", known or {})


def words(number: int) -> str:
    """A whole number below 10,000 in English."""
    if number < 20:
        return ONES[number]
    if number < 100:
        return TENS[number // 10] + (f" {ONES[number % 10]}" if number % 10 else "")
    if number < 1000:
        return f"{ONES[number // 100]} hundred" + (f" {words(number % 100)}" if number % 100 else "")
    return f"{words(number // 1000)} thousand" + (f" {words(number % 1000)}" if number % 1000 else "")


def said(cents: int, style: int) -> str:
    """A price in hundredths, the way people write or say it."""
    whole, rest = divmod(cents, 100)
    ways = [f"{whole}.{rest:02}", f"{cents}c", f"{cents} ¢", f"{words(cents)} cents"]
    ways.append(f"{words(whole)} point {ONES[rest // 10]} {ONES[rest % 10]}")
    ways.append(f"{words(whole)} dollars and {words(rest)} cents" if whole and rest else f"{cents} cents")
    ways.append(
        f"{words(whole)} {words(rest)}"
        if 0 < whole < 100 and rest >= 10
        else f".{cents:02}"
        if not whole
        else f"{cents}c"
    )
    ways.append(f"{whole}-{rest:02}" if 0 < whole < 100 and rest else f"{cents}c")
    return ways[style % len(ways)]


@st.composite
def lists(draw: st.DrawFn) -> list[tuple[str, int, int]]:
    """Grades with believable prices in cents a pound, each grade once, and a way to say each price."""
    chosen = draw(st.lists(st.sampled_from(PRICED), unique=True, min_size=1, max_size=8))
    rows = [("copper-2", int(COPPER * 100), draw(st.integers(0, 7)))] if "copper-2" not in chosen else []
    for grade in chosen:
        ratio = GRADES[grade].ratio
        assert ratio is not None
        cents = max(1, round(ratio.likely * float(COPPER) * 100 * draw(st.floats(0.7, 1.4))))
        rows.append((grade, int(COPPER * 100) if grade == "copper-2" else cents, draw(st.integers(0, 7))))
    return rows


@given(lists(), st.sampled_from([", ", "; ", "\n", " , and "]))
@settings(max_examples=60, deadline=None)
def test_what_is_said_is_understood_and_written_back_the_same(rows: list[tuple[str, int, int]], between: str) -> None:
    text = between.join(f"{GRADES[grade].name} {said(cents, style)}" for grade, cents, style in rows)
    lines = read(text)
    assert all_understood(lines), [line.question for line in lines]
    assert [(line.grade, line.price) for line in lines] == [(grade, Decimal(cents) / 100) for grade, cents, _ in rows]
    again = read(", ".join(written(line) for line in lines))
    assert meaning(again) == meaning(lines)


@given(TEXTS)
@example("FOUR TEN/BRGH:OVER1LB.1")  # a larger lot at a fortieth of the price
@settings(max_examples=150, deadline=None)
def test_any_understood_list_is_written_back_the_same(text: str) -> None:
    lines = [line for line in read(text) if line.status == "understood"]
    last = {line.grade: float(line.per_kg) for line in lines if line.grade and line.per_kg and not line.from_mg}
    again = read(", ".join(written(line) for line in lines), last)
    assert sorted(meaning(again)) == sorted(meaning(lines))
    assert not [line.question for line in again if line.question]


def meaning(lines: Sequence[PriceLine]) -> list[tuple[str, ...]]:
    return [
        (
            str(line.grade),
            str(line.price and line.price.normalize()),
            line.unit if line.price else "",
            *(str(line.from_mg), str(line.minimum_mg), str(line.refuses)),
            *(str(line.most_mg), str(line.most_pieces), str(line.piece_mg)),
        )
        for line in lines
    ]


@given(TEXTS, st.booleans())
@settings(max_examples=250, deadline=None)
def test_any_text_is_read_and_each_line_is_understood_or_asked(text: str, known: bool) -> None:
    lines = read(text, {"copper-2": 9.0, "motors": 0.8, "light-iron": 0.2} if known else {})
    assert [line.position for line in lines] == list(range(1, len(lines) + 1))
    assert len(preview(lines)) == len(lines)
    for line in lines:
        assert line.text in text
        if line.status == "understood":
            assert line.grade in GRADES and line.unit in {*MASS_UNITS, "each"}
            assert line.piece_mg > 0 or not (line.unit == "each" or (line.most_pieces and not line.refuses))
            assert not line.most_mg or line.most_mg >= max(line.from_mg, line.minimum_mg) or line.refuses
            assert line.refuses is (line.price is None)
            assert not line.question and not line.choices
            kg = Decimal(line.piece_mg) / 10**6 if line.unit == "each" else kg_per(line.unit)
            assert line.price is None or abs(line.price) <= LARGEST_PRICE * kg
        elif line.status == "remark":
            assert not (line.question or line.choices or line.grade or line.price or line.refuses)
        elif line.asks == "with":
            assert not line.question and any(other.question for other in lines)
        else:
            assert line.question.endswith("?") and "\n" not in line.question
            assert line.choices[-1].key == "leave out"
            assert len({choice.key for choice in line.choices}) == len(line.choices)


@given(st.text(alphabet=" \t\n,;.:-()!?'\"*_=~<>|/\\+#&@0123456789", max_size=60))
@settings(max_examples=150, deadline=None)
def test_nothing_is_understood_from_noise(text: str) -> None:
    lines = read(text)
    assert not [line for line in lines if line.status == "understood"]
    assert not all_understood(lines)


@given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=12).map(" ".join), st.data())
@settings(max_examples=100, deadline=None)
def test_answers_come_to_an_end(text: str, data: st.DataObject) -> None:
    """Whichever choices are taken, every question is settled after a few answers; typed prices are not needed."""
    lines = read(text)
    for _ in range(6 * len(lines) + 6):
        asked = [line for line in lines if line.question]
        if not asked:
            break
        line = data.draw(st.sampled_from(asked))
        lines = answer(lines, line.position, data.draw(st.sampled_from(line.choices)).key)
    assert all_understood(lines) or not [line for line in lines if line.status != "remark"]


@given(lists(), st.randoms(use_true_random=False))
@settings(max_examples=40, deadline=None)
def test_the_order_of_lines_decides_nothing(rows: list[tuple[str, int, int]], random: object) -> None:
    texts = [f"{GRADES[grade].name} {said(cents, style)}" for grade, cents, style in rows]
    texts += ["copper 4.10", "motors 38", "shred 180", "#2 4.10", "wobble 2.00", "304 not taking", "light iron 0.9"]
    shuffled = list(texts)
    random.shuffle(shuffled)  # type: ignore[attr-defined]

    def found(parts: list[str]) -> tuple[list[tuple[str, ...]], list[list[str]]]:
        """Lines and the words of questions: the order of lines decides which line carries a question that several
        share, and in which order it names them.
        """
        lines = read("\n".join(parts))
        meant = sorted((line.text, line.status, *meaning([line])[0]) for line in lines)
        return meant, sorted(sorted(re.findall(r"[\w.#/]+", line.question)) for line in lines)

    assert found(shuffled) == found(texts)
