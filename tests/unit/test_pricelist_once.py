"""Questions that one answer settles for a whole list, and answers that make several lines. Every price is invented."""

from __future__ import annotations

from decimal import Decimal

from partway.catalogue import shipped
from partway.pricelist import PriceLine, all_understood, answer, read_price_list, written
from partway.quantities import to_mg

GRADES = shipped().grades


def read(text: str, currency: str = "CAD", unit: str = "lb") -> list[PriceLine]:
    return read_price_list(text, GRADES, currency, unit, {})


def asked(lines: list[PriceLine]) -> list[str]:
    return [line.question for line in lines if line.question]


def said(lines: list[PriceLine]) -> list[tuple[str | None, Decimal | None]]:
    return [(line.grade, line.price) for line in lines]


def test_whole_numbers_are_asked_about_once() -> None:
    lines = read("motors 41, alternators 72, pewter 3.25")
    assert asked(lines) == ["Are 41 and 72 cents?"] and not all_understood(lines)
    cents, whole = answer(lines, 1, "cents"), answer(lines, 1, "whole")
    assert said(cents) == [("motors", Decimal("0.41")), ("alternator", Decimal("0.72")), ("pewter", Decimal("3.25"))]
    assert said(whole)[:2] == [("motors", Decimal(41)), ("alternator", Decimal(72))]
    assert all_understood(cents) and all_understood(whole)


def test_a_price_for_a_ton_is_not_among_whole_cents() -> None:
    assert len(asked(read("motors 41, shred 180"))) == 2


def test_mistyped_names_are_asked_about_once_and_never_taken_for_granted() -> None:
    lines = read("moters 30c, yelow brass 2.40, pewter 3.25")
    assert asked(lines) == ['Right as shown: "moters" Electric motors; "yelow brass" Yellow brass?']
    assert [grade for grade, _ in said(answer(lines, 1, "yes"))] == ["motors", "brass-yellow", "pewter"]
    apart = answer(lines, 1, "one by one")
    assert [line.asks for line in apart] == ["grade", "grade", ""]


def test_masses_without_a_unit_are_asked_about_once_or_are_in_the_unit_of_the_price() -> None:
    lines = read("coax 18c min 100, no 1 copper 4.30, over 500 4.40")
    assert asked(lines) == ["100 and 500 of what: lb, kg, short ton, long ton or tonne?"]
    told = answer(lines, 1, "kg")
    assert [(line.minimum_mg, line.from_mg) for line in told] == [(100_000_000, 0), (0, 0), (0, 500_000_000)]
    (line,) = read("coax 18c a pound min 100")
    assert (line.status, line.minimum_mg) == ("understood", to_mg("100 lb", ""))


def test_one_price_for_all_that_go_by_a_name() -> None:
    lines = answer(read("copper 4.10, pewter 3.25"), 1, "all of these")
    assert sorted(line.grade or "" for line in lines) == ["copper-1", "copper-2", "pewter"] and all_understood(lines)
    assert len({line.position for line in lines}) == 3


def test_what_says_no_price_is_passed_over_and_shown() -> None:
    lines = read("Hi there neighbour\nmotors 30c\nThanks for calling!")
    assert [line.status for line in lines] == ["remark", "understood", "remark"] and all_understood(lines)
    assert not all_understood(read("Thanks for calling!"))


def test_a_hundredweight_is_asked_about_where_it_may_be_long() -> None:
    """100 or 112 lb: NIST Handbook 44, Appendix C (from memory); 112 lb are a twentieth of a long ton."""
    (line,) = read("light iron 9 each hundredweight", "GBP", "kg")
    assert [choice.key for choice in line.choices] == ["100 lb", "112 lb", "leave out"]
    ((grade, price),) = said(answer([line], 1, "112 lb"))
    assert (grade, price) == ("light-iron", Decimal(180))  # a long ton
    assert said(answer([line], 1, "100 lb")) == [("light-iron", Decimal("0.09"))]


def test_to_have_it_taken_asks_what_for() -> None:
    (line,) = lines = read("toner two bucks to take them")
    assert [choice.key for choice in line.choices] == ["each", "lb", "leave out"]
    assert said(answer(lines, 1, "lb")) == [("toner", Decimal(-2))]
    assert answer(lines, 1, "each")[0].asks == "piece"


def test_a_range_is_written_back_the_same() -> None:
    (line,) = read("motors 28 to 34 cents")
    assert (line.price, line.ends) == (Decimal("0.31"), (Decimal("0.28"), Decimal("0.34")))
    assert written(line) == "Electric motors 0.28 to 0.34 /lb"
    (again,) = read(written(line))
    assert (again.price, again.ends) == (line.price, line.ends)


def test_two_numbers_with_a_dash_are_asked_about_where_they_may_be_either() -> None:
    (line,) = read("no 2 copper 4.10, pewter 28-34")[1:]
    assert line.status != "understood" or line.ends is None
    (line,) = read("motors 28-34")
    assert sorted(choice.key for choice in line.choices) == ["0.31 /lb", "28.34 /lb", "leave out"]
    assert answer([line], 1, "0.31 /lb")[0].ends == (Decimal("0.28"), Decimal("0.34"))
