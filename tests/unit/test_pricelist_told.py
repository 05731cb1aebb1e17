"""Price lists whose headings tell which column counts, and what is said of a thing beside its price.

Common practice of the trade, no source; the masses of units are those of NIST SP 811, appendix B.8 (from memory).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, answer, read_price_list
from partway.pricelist.items import _Reader

GRADES = shipped().grades


def read(text: str, currency: str = "USD", unit: str = "lb") -> list[PriceLine]:
    return read_price_list(text, GRADES, currency, unit, {})


def prices(lines: list[PriceLine]) -> dict[str, tuple[Decimal | None, str]]:
    return {line.grade or "": (line.price, line.unit) for line in lines if line.status == "understood"}


COLUMNS = (
    ("USD", "lb", "Grade   $/lb   $/cwt\nLead   0.55   55.00\nCast iron   0.09   9.00", ("0.55", "lb")),
    ("CAD", "lb", "Grade   CAD/lb   USD/lb\nLead   0.70   0.51\nCast iron   0.12   0.09", ("0.70", "lb")),
    ("USD", "lb", "Grade   CAD/lb   USD/lb\nLead   0.70   0.51\nCast iron   0.12   0.09", ("0.51", "lb")),
    ("USD", "lb", "Item | 11/24 | 12/01\nLead | 0.53 | 0.55\nCast iron | .08 | .09", ("0.55", "lb")),
    ("USD", "lb", "Item | 12/29 | 1/05\nLead | 0.53 | 0.55\nCast iron | .08 | .09", ("0.55", "lb")),
    ("EUR", "kg", "Pos | Wort | EUR/100 kg\n101 | Lead | 155.00\n102 | Zinc | 110.00\n103 | Cast aluminium | 120.00",
     ("1.55", "kg")),
)  # fmt: skip


@pytest.mark.parametrize(("currency", "unit", "text", "lead"), COLUMNS)
def test_a_heading_tells_which_column_counts(currency: str, unit: str, text: str, lead: tuple[str, str]) -> None:
    lines = read(text, currency, unit)
    assert not [line.question for line in lines if line.question]
    assert prices(lines)["lead-soft"] == (Decimal(lead[0]), lead[1])


def test_columns_that_do_not_agree_are_asked_about() -> None:
    lines = read("Grade   $/lb   $/cwt\nLead   0.55   48.00\nCast iron   0.09   9.00")
    assert not prices(lines) and any("column" in line.question for line in lines)


def test_prices_off_by_one_factor_are_one_question() -> None:
    lines = read("HMS 1 195\nHMS 2 180\nTurnings 90\nNo. 2 copper 4.10")
    (asks,) = [line for line in lines if line.question]
    assert all(name in asks.question for name in ("Heavy melt No. 1", "Heavy melt No. 2", "Steel turnings"))
    found = prices(answer(lines, asks.position, "per short ton"))
    assert found["heavy-melt-2"] == (Decimal(180), "short ton")
    assert found["steel-turnings"] == (Decimal(90), "short ton")


def test_grades_that_come_twice_are_one_question() -> None:
    lines = read("bare bright 4.26\n#2 copper 3.86\nlead .50\nbare bright 4.40\n#2 copper 4.00")
    (asks,) = [line for line in lines if line.question]
    for key, bright, second in (("first", "4.26", "3.86"), ("last", "4.40", "4.00")):
        found = prices(answer(lines, asks.position, key))
        assert found["copper-bare-bright"][0] == Decimal(bright) and found["copper-2"][0] == Decimal(second)


SAID = (
    ("ali cast no steel .95", "al-cast", ""),
    ("hard drives .85, board on", "hard-drive", ""),
    ("tablets 2.10, battery out", "phone-whole", ""),
    ("laptops 1.10, battery in", "", "battery in"),
    ("laptops, incomplete: .95", "", "incomplete"),
    ("lead no batteries 1.30", "", "lead no batteries"),
    ("cast aluminium without cord .60", "", "without cord"),
)


@pytest.mark.parametrize(("text", "grade", "asked"), SAID)
def test_how_a_thing_comes_is_read_or_asked_about(text: str, grade: str, asked: str) -> None:
    lines = read(text)
    assert set(prices(lines)) == ({grade} if grade else set())
    assert asked in " ".join(line.question for line in lines).lower() if asked else True


def test_dictated_names_behind_their_prices_end_where_a_verb_stands() -> None:
    said = "copper at eleven eighty for bright eleven twenty for number one ten sixty for two brass is six forty"
    found = prices(read(f"{said} lead's two ten", "AUD", "kg"))
    assert found["copper-2"][0] == Decimal("10.6") and found["brass-yellow"][0] == Decimal("6.4")
    assert found["lead-soft"][0] == Decimal("2.1")


def test_a_word_that_opens_nothing_is_read_as_if_every_step_were_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    text = (
        "Hi it's the yard so lead is sixty two cents, no tires. Brass taps were 1.60 now 1.75 if clean, motors all 34c"
    )
    quick = read(text)
    monkeypatch.setattr(_Reader, "_is_plain", lambda self, token: False)
    assert read(text) == quick
