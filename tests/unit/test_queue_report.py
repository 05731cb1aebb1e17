"""The queue at the bench: by money per hour, cut at the hours, alike together, what is never opened apart.

The motor is worked by hand: 1 kg as iron brings 0.30; opened in 6 minutes 0.2 kg copper at 7 and 0.8 kg iron at
0.30, so 1.64; (1.64 - 0.30) / 0.1 h = 13.40 an hour, above the wage of 10.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_day import METALS, bench_day
from ledger_day import Day, found, trading_day

from partway.actions.bench import finds
from partway.actions.bench.benching import at_bench, queue
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.buyers.quoting import quote
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.ledger.fold import standing
from partway.reports.bench.find import FindAtBench
from partway.reports.bench.queue import Queue, QueueLine, float_of, report_queue
from partway.valuing.finds.waiting import WaitingFind


def motors(count: int, hours: float, **quotes: float) -> Queue:
    it = bench_day({"harbour-yard": {**METALS, **quotes}}, {})
    find = WaitingFind("motor-1", "motor", "no", count, None, 2, (("motor", count),))
    return report_queue(replace(it, hours=replace(it.hours, bench=hours)), [find])


def queue_of(day: Day, hours: float | None = None) -> Queue:
    prices = scenario_from_book(day.book, day.now.date(), waiting={})
    return queue(day.book, prices, standing.finds(day.book), hours)


def line_of(queue: Queue, kind: str) -> QueueLine:
    return next(line for line in (*queue.lines, *queue.shut, *queue.never) if line.kind == kind)


def priced_day() -> Day:
    day = trading_day()
    day.do(set_, "wage", "12")
    for grade, price in {"copper-2": "9.00", "light-iron": "0.25", "motors": "0.80", "wire-cord-plugs": "2.20"}.items():
        day.do(quote, "harbour", grade, f"{price} /kg")
    day.do(quote, "ridge", "transformer-cu", "1.10 /kg")
    return day


def test_the_motor_by_hand() -> None:
    line = motors(1, 9.0).lines[0]
    assert (float_of(line.brings), line.shut) == pytest.approx((1.64, 0.30))
    assert float_of(line.minutes) == pytest.approx(6.0)
    assert line.per_hour == pytest.approx(13.4)
    assert (line.way, line.how, line.fits) == ("open", "open", 1)


def test_no_more_than_fits_the_hours() -> None:
    """Ten motors of six minutes: three in 0.35 h, all in an hour, none in five minutes."""
    assert [(motors(10, h).fits, motors(10, h).used) for h in (0.35, 1.0, 0.08)] == [
        (3, pytest.approx(18.0)), (10, pytest.approx(60.0)), (0, 0.0),
    ]  # fmt: skip
    assert motors(10, 0.35).extra == pytest.approx(3 * 1.34)


def test_what_is_worth_as_much_left_alone_stands_apart() -> None:
    """At 2.00 a kg of copper 0.64 comes out for 0.30: 3.40 an hour, below the wage of 10."""
    queue = motors(2, 9.0, copper=2.0)
    assert queue.lines == () and queue.total is None
    assert [(line.way, line.how, line.count) for line in queue.shut] == [("grade", "sell as iron", 2)]


def test_alike_finds_stand_together_and_others_do_not() -> None:
    day = priced_day()
    first, second = found(day, "microwave", works="no"), found(day, "microwave", works="no")
    weighed = found(day, "microwave", works="no", mass="13 kg")
    light = found(day, "microwave", works="no", mass="10 kg")
    unsaid = found(day, "microwave")
    lines = [line for line in queue_of(day).lines if line.kind == "microwave"]
    groups = {frozenset(f.find for f in line.finds) for line in lines}
    assert groups == {frozenset({first, second}), frozenset({weighed}), frozenset({light}), frozenset({unsaid})}


def test_a_caution_stands_with_every_line_that_has_one_and_first_of_all() -> None:
    day = priced_day()
    found(day, "microwave", works="no")
    queue = queue_of(day)
    line = line_of(queue, "microwave")
    assert line.caution is not None and line.caution.id == "hv-capacitor"
    assert queue.cautions[0].id == "hv-capacitor" and queue.cautions[0].first


def test_what_is_never_opened_stands_apart() -> None:
    day = priced_day()
    found(day, "car-battery", works="no")
    found(day, "smoke-detector")
    queue = queue_of(day)
    assert [(line.kind, line.way, line.per_hour) for line in queue.never] == [("smoke-detector", "stop", None)]
    assert queue.never[0].caution is not None
    assert line_of(queue, "car-battery").way == "part", "sold whole to be used again, not opened"


def test_worth_testing_first_says_so_and_a_known_condition_does_not() -> None:
    day = priced_day()
    oven = found(day, "microwave")
    line = line_of(queue_of(day), "microwave")
    assert line.way == "test" and line.test is not None and line.test.gain > 0
    day.do(finds.test, oven, "no")
    assert line_of(queue_of(day), "microwave").test is None


def test_one_partly_opened_counts_what_is_left_of_it() -> None:
    """Cord and tray are off: the body is left, the rest of what a microwave brings, and the mass that is left."""
    day = priced_day()
    oven = found(day, "microwave", works="no", mass="13 kg")
    cord = PieceGiven("cord", "0.3 kg", 1, "wire-cord-plugs")
    day.do(open_up, oven, [cord], ["cord-and-tray"], 2, gap="left")
    line = line_of(queue_of(day), "microwave")
    assert line.partly and line.mass_kg == pytest.approx((12.7, 12.7))
    assert dict(line.finds[0].pieces) == {"tray": 1, "ring": 1, "body": 1}
    assert line.how.startswith("cover off, discharge")


def test_of_what_nobody_knows_what_is_left_that_is_said() -> None:
    day = priced_day()
    oven = found(day, "microwave", works="no", mass="13 kg")
    day.do(open_up, oven, [PieceGiven("cord", "0.3 kg", 1, "wire-cord-plugs")], gap="left")
    queue = queue_of(day)
    assert [(p.find, p.why) for p in queue.puzzles] == [(oven, "rest")]
    assert queue.lines == ()


def test_unquoted_is_not_worth_nothing() -> None:
    """Nobody here prices boards or glass: the line names them."""
    day = priced_day()
    found(day, "microwave", works="no")
    assert "glass" in line_of(queue_of(day), "microwave").unquoted


def test_as_if_it_worked() -> None:
    day = priced_day()
    oven = standing.find(day.book, found(day, "microwave", works="no"))
    prices = scenario_from_book(day.book, day.now.date(), waiting={})
    plain, supposed = at_bench(day.book, prices, oven), at_bench(day.book, prices, oven, works="yes")
    assert isinstance(plain, FindAtBench) and isinstance(supposed, FindAtBench)
    assert (plain.supposed, supposed.supposed) == (False, True)
    assert supposed.value.how == "sell as a part: working oven"
    assert supposed.value.brings > plain.value.brings
