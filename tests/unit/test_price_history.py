"""Prices over time: held until the next word, the range between buyers, thinned for a chart."""

from __future__ import annotations

import datetime as dt

import pytest
from ledger_day import Day, trading_day

from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.reports.buyers.price_history import ROWS, PriceHistory, report_price_history
from partway.valuing.price_steps import COLUMNS
from partway.web.drawings.price_history import history_chart


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


def test_the_chart_breaks_where_a_price_ends_and_reaches_the_last_day_where_it_holds(day: Day) -> None:
    chart = history_chart(history(day))
    low, high, harbour, ridge = chart["data"]
    assert (low["showlegend"], high["fill"]) == (False, "tonexty")
    assert (harbour["x"], harbour["y"]) == (
        [ago(day, 100), ago(day, 60), ago(day, 20), ago(day, 20)],
        [4.0, 4.2, 4.2, None],
    )
    assert (ridge["x"][-1], ridge["y"]) == (ago(day, -1), [3.9, 4.4, 4.4])
    assert harbour["line"]["dash"] != ridge["line"]["dash"] and harbour["marker"]["symbol"] != ridge["marker"]["symbol"]
    assert chart["layout"]["xaxis"]["range"] == [ago(day, 100), ago(day, -1)]
    assert {trace["line"]["shape"] for trace in chart["data"]} == {"hv"}


def test_one_buyer_has_no_range_and_a_tier_is_named(day: Day) -> None:
    heard(day, "ridge", (5, "9.00"), from_lot="60 lb")
    assert [trace["name"] for trace in history_chart(history(day, buyer="ridge"))["data"]] == [
        "ridge",
        "ridge from 60.0 lb",
    ]
