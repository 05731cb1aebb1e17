"""What comes next: danger before deadline before money a minute, at most five, and each of them opens."""

from __future__ import annotations

import datetime as dt
import json
import math
import random
import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from app_client import visitor
from ledger_day import Day, found, stocked, trading_day

from partway.actions.bench.benching import best, queue
from partway.actions.bins import bins
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.scenario import prices_from_book
from partway.actions.haul.tickets import LineGiven, ticket
from partway.formulas.statistics.news import unit_loss, worth_of_asking
from partway.reports.home.act_lines import WORDS
from partway.reports.home.today import FEW, There, Today, report_today
from partway.things.units import ShownUnits
from partway.valuing.acts.act import MOST, ORDER, URGENCY, Act, next_acts
from partway.valuing.acts.danger import LONG
from partway.web.home.page import ADDRESSES, address_of


def today(day: Day, days_on: int = 0) -> Today:
    now = day.now + dt.timedelta(days=days_on)
    there = There.of(day.book, ShownUnits(), now.tzinfo)
    prices = prices_from_book(day.book, now.date(), there.finds)
    return report_today(day.book, prices, now, best(day.book, prices, there.finds, FEW), there)


def sorts(report: Today) -> list[str]:
    return [line.act.sort for line in report.acts]


def test_any_acts_are_ranked_and_few() -> None:
    draw = random.Random(15)
    names = list(URGENCY)
    for _ in range(300):
        acts = [
            Act(draw.choice(names), f"s{n}", days=draw.choice((None, 1, 40)), per_minute=draw.choice((None, 0.1, 2.0)))
            for n in range(draw.randrange(12))
        ]
        chosen = next_acts(acts)
        assert len(chosen) == min(MOST, len(acts)) and len(set(map(id, chosen))) == len(chosen)
        places = [ORDER.index(act.urgency) for act in chosen]
        assert places == sorted(places)
        money = [act.per_minute for act in chosen if act.urgency == "money"]
        known = [one for one in money if one is not None]
        assert known == sorted(known, reverse=True) and money[: len(known)] == known  # what only waits comes last
        left = [act for act in acts if act not in chosen]
        earning = [act for act in acts if act.urgency == "money"]
        if earning:
            assert any(act.urgency == "money" for act in chosen)
        for act in left:  # nothing more pressing was left out, but for the place kept for what earns
            worse = [one for one in chosen[:-1] if ORDER.index(one.urgency) > ORDER.index(act.urgency)]
            assert not worse


def test_danger_comes_before_what_is_due_and_that_before_what_earns() -> None:
    """The order is written here, not read from the code that ranks."""
    money, due = Act("open", "fan-1", minutes=10.0, per_minute=9.0), Act("unpaid", "ticket-1", days=400, worth=900.0)
    danger = Act("hazard-bin", "lithium", days=31)
    for acts in ((money, due, danger), (danger, money, due), (due, danger, money)):
        assert next_acts(acts) == (danger, due, money)


def test_danger_lies_for_long_before_it_is_named_first() -> None:
    day = trading_day()
    stocked(day, lead_acid=15)
    assert "hazard-bin" not in sorts(today(day, LONG - 1))
    first = today(day, LONG).acts[0]
    assert (first.act.sort, first.act.subject, first.act.days, first.urgency) == (
        "hazard-bin",
        "lead-acid",
        LONG,
        "danger",
    )
    found(day, "laptop")
    both = today(day, LONG + 400).acts
    assert [line.act.sort for line in both[:2]] == ["hazard-bin", "hazard-find"] or [
        line.act.sort for line in both[:2]
    ] == ["hazard-find", "hazard-bin"]


def test_what_is_due_comes_before_what_earns() -> None:
    day = trading_day()
    day.do(bins.add_bin, "copper-2", capacity="10 L")  # bulk density 1.2 kg/L in the catalogue, from memory
    day.do(bins.recount, "copper-2", "11.6 kg")
    day.do(quote, "harbour", "copper-2", "9 /kg")
    day.do(quote, "harbour", "light-iron", "0.2 /kg")
    found(day, "microwave", works="no")
    report = today(day)
    assert sorts(report)[0] == "full" and "open" in sorts(report)
    day.do(hauls.start, ["harbour"])
    assert "haul" not in sorts(today(day)) and "haul" in sorts(today(day, 1))  # one of today is only under way
    day.do(ticket, "harbour", [LineGiven("copper-2", "11.6 kg", "9 /kg")])
    unpaid = next(line for line in today(day, 20).acts if line.act.sort == "unpaid")
    assert unpaid.act.worth == pytest.approx(104.40)
    assert unpaid.act.buyer == "harbour"


def test_no_yard_is_asked_for_the_money_of_another() -> None:
    """By hand: 8 kg at 9 are 72.00 open at harbour on two tickets, the oldest; 30.00 is for ridge to pay."""
    day = trading_day()
    stocked(day, copper_2=11)
    day.do(ticket, "harbour", [LineGiven("copper-2", "5 kg", "9 /kg", own="yard")])
    day.do(ticket, "harbour", [LineGiven("copper-2", "3 kg", "9 /kg", own="yard")])
    day.do(ticket, "ridge", [LineGiven("copper-2", "3 kg", "10 /kg", own="yard")])
    act = next(line.act for line in today(day, 20).acts if line.act.sort == "unpaid")
    assert (act.buyer, act.count) == ("harbour", 2) and act.worth == pytest.approx(72.0)


def test_the_first_of_the_bench_is_the_first_act_that_opens() -> None:
    day = trading_day()
    day.do(quote, "harbour", "copper-2", "9 /kg")
    for kind in ("microwave", "fan", "shop-vacuum"):
        found(day, kind, works="no")
    there = There.of(day.book, ShownUnits(), day.now.tzinfo)
    prices = prices_from_book(day.book, day.now.date(), there.finds)
    lines = queue(day.book, prices, there.finds).lines
    opens = [line.act for line in today(day).acts if line.act.sort == "open"]
    assert [act.subject for act in opens] == [line.first for line in lines[: len(opens)]] and opens
    assert [act.per_minute for act in opens] == [pytest.approx((line.per_hour or 0) / 60) for line in lines[:FEW]]


def test_a_call_is_worth_what_choosing_by_it_can_gain() -> None:
    day = trading_day()
    stocked(day, copper_2=100)
    day.do(quote, "ridge", "copper-2", "9 /kg")
    assert "call" not in sorts(today(day, 40))  # nobody else takes it: hearing the price changes nothing
    day.do(quote, "harbour", "copper-2", "8.9 /kg")
    assert "call" not in sorts(today(day))  # heard today
    asked = [line.act for line in today(day, 40).acts if line.act.sort == "call"]
    assert asked and all(act.of == "copper-2" and act.days == 40 and (act.worth or 0) > 0 for act in asked)


@pytest.mark.parametrize(
    ("mean", "spread", "other"), [(10.0, 2.0, 9.0), (1.0, 0.1, 1.0), (5.0, 3.0, -4.0), (2.0, 1.0, 4.5)]
)
def test_the_value_of_hearing_a_price_is_the_integral(mean: float, spread: float, other: float) -> None:
    """E max(X, o) - max(m, o) over a normal X, summed by the midpoint rule: another way to the same figure."""
    n, wide = 40_000, 10.0
    step = 2.0 * wide / n
    total = 0.0
    for i in range(n):
        z = -wide + (i + 0.5) * step
        total += max(mean + spread * z, other) * math.exp(-z * z / 2.0) / math.sqrt(2.0 * math.pi) * step
    assert worth_of_asking(mean, spread, other) == pytest.approx(total - max(mean, other), abs=1e-6)
    assert unit_loss(9.0) >= 0.0


def test_every_sort_has_words_an_address_and_a_command() -> None:
    from partway.cli.home.today_page import COMMANDS

    assert set(WORDS) == set(ADDRESSES) == set(COMMANDS) == set(URGENCY)
    odd = Act("open", "a/b c")
    assert address_of(odd) == "/bench/a%2Fb%20c"
    assert replace(odd, sort="go").urgency == "money"


def test_page_json_and_command_say_the_same_and_each_act_opens(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with visitor(tmp_path, demo=True) as v:
        page, said = v.open("/"), json.loads(v.open("/api/today"))
        shown = [unescape(one) for one in re.findall(r'<a class="act [^"]*".*?<b><bdi>(.*?)</bdi>', page, re.DOTALL)]
        links = [unescape(one) for one in re.findall(r'<a class="act [^"]*" href="([^"]*)"', page)]
        assert 0 < len(shown) == len(links) == len(said["acts"]) <= MOST
        for link, line in zip(links, said["acts"], strict=True):
            v.open(link.partition("#")[0])
            act = Act(**{**line["act"], "hazards": tuple(line["act"]["hazards"])})
            assert link == address_of(act)
