"""A mass far from one's own others is asked about before it is recorded; who is sure records it."""

from __future__ import annotations

import pytest
from ledger_day import Day

from partway.actions.bench import finds
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.valuing.known import catalogue_of

CORD = ["cord"]


def opened(day: Day, kg: str, **options: object) -> None:
    named = day.do(finds.find, "fan").result.find
    day.do(open_up, named, [PieceGiven("cord", kg)], CORD, gap="left", **options)


def weighed(*masses: str) -> Day:
    day = Day(unit="kg")
    for kg in masses:
        opened(day, kg)
    return day


USUAL = ("0.20 kg", "0.21 kg", "0.19 kg", "0.2 kg", "0.22 kg", "0.2 kg")


@pytest.mark.parametrize(("kg", "why"), [("2.0 kg", "a digit"), ("0.44 kg", "lb and kg"), ("200 kg", "g and kg")])
def test_a_slip_is_asked_about_with_what_may_explain_it_and_nothing_is_kept(kg: str, why: str) -> None:
    day = weighed(*USUAL)
    named = day.do(finds.find, "fan").result.find
    refused = day.refuses(open_up, named, [PieceGiven("cord", kg)], CORD, gap="left")
    assert isinstance(refused, Asked)
    assert refused.option == "sure"
    assert why in refused.expected
    assert refused.where == "piece cord"


def test_who_is_sure_records_it_and_it_is_not_learned_from_until_others_agree() -> None:
    day = weighed(*USUAL)
    opened(day, "2.0 kg", sure=True)
    one = catalogue_of(day.book).anatomy("fan").learned_of("mass", "cord")
    assert one is not None
    assert (one.count, one.left_out) == (6, 1)
    assert one.now.likely == pytest.approx(0.2, rel=0.1)


def test_what_is_usual_is_not_asked_about_nor_is_what_was_seldom_weighed() -> None:
    opened(weighed(*USUAL), "0.23 kg")
    opened(weighed("0.2 kg", "0.2 kg"), "2 kg")


def test_a_find_on_the_scale_is_asked_about_too() -> None:
    day = Day(unit="lb")
    for pounds in ("7.5 lb", "8 lb", "7.7 lb", "8.1 lb"):
        day.do(finds.find, "fan", mass=pounds)
    assert isinstance(day.refuses(finds.find, "fan", mass="78 lb"), Asked)
    named = day.do(finds.find, "fan").result.find
    refused = day.refuses(finds.weigh, named, "78 lb")
    assert isinstance(refused, Asked) and "lb" in refused.expected and refused.where == "mass"
    day.do(finds.weigh, named, "78 lb", "yes")
    assert shipped().anatomy("fan").whole.mass.high < 78 / 2.2
