"""Prices over time: held until the next word, the range between buyers, thinned for a chart."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from ledger_day import Day, trading_day

from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.reports.buyers.price_history import ROWS, PriceHistory, report_price_history
from partway.valuing.price_steps import COLUMNS
from partway.web.drawings.price_history import PriceChart, history_chart


@pytest.fixture
def day() -> Day:
    day = trading_day(unit="lb")
    heard(day, "harbour", (100, "4.00"), (60, "4.20"), (20, "no"))
    heard(day, "ridge", (80, "3.90"), (10, "4.40"))
    return day


def heard(day: Day, buyer_id: str, *words: tuple[int, str], **lot: str) -> None:
    """What a buyer said of No. 2 copper so many days ago."""
    for days_ago, price in words:
        said = price if price == "no" else f"{price} /lb"
        quote(day.book, day.context(day.now - dt.timedelta(days=days_ago)), buyer_id, "copper-2", said, **lot)


def history(day: Day, **options: int | str | None) -> PriceHistory:
    return report_price_history(day.book, "copper-2", day.now.date(), "lb", **options)  # type: ignore[arg-type]


def ago(day: Day, days: int) -> str:
    return (day.now.date() - dt.timedelta(days=days)).isoformat()


def test_a_price_holds_until_the_next_word_or_its_end(day: Day) -> None:
    lines = {line.buyer: line for line in history(day).lines}
    assert [(at.on, at.price) for at in lines["harbour"].steps] == [
        (ago(day, 365), None),
        (ago(day, 100), 4.0),
        (ago(day, 60), pytest.approx(4.2)),
        (ago(day, 20), None),
    ]
    assert (lines["harbour"].now, lines["harbour"].heard) == (None, 3)
    ridge = lines["ridge"]
    assert [ridge.now, ridge.low, ridge.high] == pytest.approx([4.4, 3.9, 4.4])


def test_a_window_begins_with_the_price_that_held(day: Day) -> None:
    found = history(day, days=30)
    harbour = next(line for line in found.lines if line.buyer == "harbour")
    assert [(at.on, at.price) for at in harbour.steps] == [(ago(day, 30), pytest.approx(4.2)), (ago(day, 20), None)]
    assert found.heard == 2  # an end and a new price, in these days


def test_the_range_lies_between_the_buyers_whose_price_holds(day: Day) -> None:
    between = [(one.on, one.low, one.high, one.buyers) for one in history(day).between]
    assert between == [
        (ago(day, 365), None, None, 0),
        (ago(day, 100), 4.0, 4.0, 1),
        (ago(day, 80), pytest.approx(3.9), 4.0, 2),
        (ago(day, 60), pytest.approx(3.9), pytest.approx(4.2), 2),
        (ago(day, 20), pytest.approx(3.9), pytest.approx(3.9), 1),
        (ago(day, 10), pytest.approx(4.4), pytest.approx(4.4), 1),
    ]
    assert [history(day).low, history(day).high] == pytest.approx([3.9, 4.4])


def test_tiers_are_lines_of_their_own_and_not_part_of_the_range(day: Day) -> None:
    heard(day, "ridge", (5, "9.00"), from_lot="60 lb")
    found = history(day)
    assert [(line.buyer, line.from_kg > 0) for line in found.lines] == [
        ("harbour", False),
        ("ridge", False),
        ("ridge", True),
    ]
    assert max(one.high or 0 for one in found.between) == pytest.approx(4.4)


def test_words_as_they_were_said_the_latest_first_with_the_change(day: Day) -> None:
    words = history(day).words
    assert [(word.on, word.buyer) for word in words[:2]] == [(ago(day, 10), "ridge"), (ago(day, 20), "harbour")]
    assert words[0].change == pytest.approx(4.4 / 3.9 - 1)
    assert (words[1].price, words[1].per_unit, words[1].change) == (None, None, None)


def test_one_buyer_alone(day: Day) -> None:
    assert {line.buyer for line in history(day, buyer="ridge").lines} == {"ridge"}
    day.do(buyer, "ridge-two", Terms(kind="yard", km="3"))  # begins like the other
    heard(day, "ridge-two", (3, "1.00"))
    assert {word.buyer for word in history(day, buyer="ridge").words} == {"ridge"}


def test_of_two_words_on_one_day_the_later_holds(day: Day) -> None:
    heard(day, "ridge", (0, "5.00"))
    heard(day, "ridge", (0, "5.10"))
    ridge = next(line for line in history(day).lines if line.buyer == "ridge")
    assert ridge.steps[-1].price == ridge.now == pytest.approx(5.1)


def test_nobody_ever_named_a_price(day: Day) -> None:
    found = report_price_history(day.book, "motors", day.now.date(), "lb", days=None)
    assert (found.lines, found.between, found.words, found.low) == ((), (), (), None)


def test_many_words_are_thinned_to_what_a_chart_shows_and_the_table_says_what_is_left_out() -> None:
    day = trading_day(unit="lb")
    heard(day, "harbour", *((1200 - n, f"{4 + (n * 7 % 13) / 100:.2f}") for n in range(1200)))
    found = history(day, days=None)
    (line,) = found.lines
    assert line.heard == found.heard == 1200 and len(line.steps) <= 4 * COLUMNS and len(found.between) <= COLUMNS
    assert [line.low, line.high] == pytest.approx([4.0, 4.12])
    assert {min(at.price or 9 for at in line.steps), max(at.price or 0 for at in line.steps)} == {line.low, line.high}
    assert (len(found.words), found.more) == (ROWS, 1200 - ROWS)


# --- drawn ---


def words(value: float, digits: int) -> str:
    return f"{value:.{digits}f}"


def drawn(of: PriceHistory) -> PriceChart:
    chart = history_chart(of, words)
    assert chart is not None
    return chart


def corners(path: str) -> list[list[tuple[float, float]]]:
    """The corners of each stretch of a path of moves, levels and uprights."""
    stretches = []
    for part in path.split("M")[1:]:
        x, y = map(float, re.findall(r"[-\d.]+", part)[:2])
        found = [(x, y)]
        for letter, number in re.findall(r"([HV])([-\d.]+)", part):
            x, y = (float(number), y) if letter == "H" else (x, float(number))
            found.append((x, y))
        stretches.append(found)
    return stretches


class Read:
    """A drawing read back by the words beside its axes, which is all that a person has."""

    def __init__(self, chart: PriceChart, of: PriceHistory) -> None:
        (self.y1, self.v1), (self.y2, self.v2) = [
            (tick.at, float(tick.text)) for tick in (chart.prices[0], chart.prices[-1])
        ]
        self.chart, self.last = chart, dt.date.fromisoformat(of.on) + dt.timedelta(days=1)
        self.first = min(dt.date.fromisoformat(at.on) for line in of.lines for at in line.steps if at.price is not None)

    def price(self, y: float) -> float:
        return self.v1 + (y - self.y1) / (self.y2 - self.y1) * (self.v2 - self.v1)

    def day(self, x: float) -> dt.date:
        share = (x - self.chart.left) / (self.chart.right - self.chart.left)
        return self.first + dt.timedelta(days=round(share * (self.last - self.first).days))

    def steps(self, path: str) -> list[list[tuple[str, float]]]:
        return [[(self.day(x).isoformat(), round(self.price(y), 2)) for x, y in of] for of in corners(path)]


def test_the_steps_drawn_are_those_of_the_ledger_and_break_where_a_price_ends(day: Day) -> None:
    of = history(day)
    read = Read(drawn(of), of)
    harbour, ridge = (read.steps(line.path) for line in read.chart.lines)
    assert harbour == [
        [(ago(day, 100), 4.0), (ago(day, 60), 4.0), (ago(day, 60), 4.2), (ago(day, 20), 4.2), (ago(day, 20), 4.2)]
    ]
    assert ridge == [
        [(ago(day, 80), 3.9), (ago(day, 10), 3.9), (ago(day, 10), 4.4), (ago(day, -1), 4.4), (ago(day, -1), 4.4)]
    ]  # what still holds reaches the end of the last day
    heard(day, "harbour", (5, "4.10"))
    again = history(day)
    assert [steps[0] for steps in Read(drawn(again), again).steps(drawn(again).lines[0].path)] == [
        (ago(day, 100), 4.0),
        (ago(day, 5), 4.1),
    ]


def test_lines_are_told_apart_without_colour_and_marked_where_somebody_spoke(day: Day) -> None:
    of = history(day)
    harbour, ridge = drawn(of).lines
    assert harbour.dash != ridge.dash and harbour.mark != ridge.mark
    read = Read(drawn(of), of)
    assert [(read.day(x).isoformat(), round(read.price(y), 2)) for x, y in harbour.spots] == [
        (ago(day, 100), 4.0),
        (ago(day, 60), 4.2),
    ]


def test_the_band_lies_between_the_lowest_and_the_highest_buyer(day: Day) -> None:
    of = history(day)
    chart = drawn(of)
    read = Read(chart, of)
    held = [one for one in of.between if one.low is not None]
    inner = {(read.day(x).isoformat(), round(read.price(y), 2)) for part in corners(chart.band) for x, y in part}
    lows, highs = ({(one.on, round(getattr(one, end) or 0.0, 2)) for one in held} for end in ("low", "high"))
    assert inner >= lows | highs


def test_all_of_it_lies_in_the_drawing_and_a_base_that_is_not_nothing_is_known(day: Day) -> None:
    of = history(day)
    chart = drawn(of)
    spots = [spot for line in chart.lines for part in corners(line.path) for spot in part]
    spots += [spot for part in corners(chart.band) for spot in part]
    assert all(chart.left <= x <= chart.right and 0 <= y <= chart.foot for x, y in spots)
    assert [tick.text for tick in chart.prices] == ["3.9", "4.0", "4.1", "4.2", "4.3", "4.4"] and chart.base == 3.9
    heard(day, "ridge", (5, "0.10"))
    assert drawn(history(day)).base == 0.0  # a third of the highest and less: from 0


def test_one_buyer_has_no_band_and_a_tier_is_a_line_of_its_own(day: Day) -> None:
    heard(day, "ridge", (5, "9.00"), from_lot="60 lb")
    chart = drawn(history(day, buyer="ridge"))
    assert chart.band == ""
    assert [(line.name, line.from_kg > 0) for line in chart.lines] == [("ridge", False), ("ridge", True)]


def test_what_nobody_named_a_price_of_is_not_drawn(day: Day) -> None:
    assert history_chart(report_price_history(day.book, "motors", day.now.date(), "lb", days=None), words) is None
