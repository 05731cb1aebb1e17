"""What is drawn can be read back: every place in a drawing says the value it stands for, and every word can be read.

A word's box is written again here from how an SVG places a text, with letters of .64 of their size: the digits of
DejaVu Sans, the widest font that a browser is likely to fall back to (2048 units to the em, digits of 1303; from
memory). What the browser makes of them is measured in tests/journeys/test_books_in_browser.py.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
import re
from collections.abc import Sequence
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partway.reports.books.per_hour import MonthLine
from partway.valuing.ends.flows import FlowPlace, Flows, Link, balanced
from partway.web.drawings import axes, flows, per_hour, ribbons
from partway.web.drawings.axes import Axis, around, box_under, day_ticks, from_nothing
from partway.web.drawings.flows import DrawnPlace, FlowsChart, flows_chart
from partway.web.drawings.per_hour import MonthsChart, months_chart

LETTER = 0.64
Box = tuple[float, float, float, float]
amounts = st.floats(-900.0, 9000.0).filter(lambda value: value == 0 or abs(value) > 0.01)


def words(value: float, digits: int) -> str:
    return f"{value:.{digits}f}"


def cover(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.01 and min(a[3], b[3]) - max(a[1], b[1]) > 0.01


def inside(box: Box, width: float, height: float) -> bool:
    return box[0] >= -0.01 and box[1] >= -0.01 and box[2] <= width + 0.01 and box[3] <= height + 0.01


# --- axes ---


@given(st.lists(amounts, min_size=1, max_size=12))
def test_bars_begin_at_nothing_and_end_at_round_numbers(values: list[float]) -> None:
    ticks = from_nothing(values)
    assert 0.0 in ticks and ticks[0] <= min(values) and ticks[-1] >= max(values)
    looks_round(ticks)


@given(st.lists(amounts, min_size=1, max_size=12))
def test_lines_lie_between_round_numbers_and_fill_what_is_drawn(values: list[float]) -> None:
    ticks = around(values)
    low, high = min(values), max(values)
    assert ticks[0] <= low + 1e-6 and ticks[-1] >= high - 1e-6
    looks_round(ticks)
    assert ticks[0] >= 0.0 or low < 0.0  # no prices below 0 where there are none
    if high - low > 0.01 * abs(high):  # a change takes a good part of the height, or all of it from 0
        assert ticks[0] == 0.0 or (high - low) / (ticks[-1] - ticks[0]) > 1 / 3


def looks_round(ticks: Sequence[float]) -> None:
    steps = [b - a for a, b in itertools.pairwise(ticks)]
    assert all(step == pytest.approx(steps[0]) and step > 0 for step in steps) and len(steps) <= 7
    first = f"{steps[0]:.3e}"[:5].rstrip("0").rstrip(".")
    assert first in {"1", "2", "2.5", "5"}
    assert all(math.isclose(tick / steps[0], round(tick / steps[0]), abs_tol=1e-6) for tick in ticks)


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ([6.6, 7.9, 5.36], [0, 2, 4, 6, 8]),
        ([-3.0, 12.0], [-5, 0, 5, 10, 15]),
        ([0.0], [0, 0.25, 0.5, 0.75, 1]),
    ],
)
def test_round_numbers_of_bars_by_hand(values: list[float], expected: list[float]) -> None:
    assert from_nothing(values) == expected


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ([3.77, 4.67], [3.75, 4.0, 4.25, 4.5, 4.75]),  # cut close, and said to be
        ([0.3, 4.67], [0, 2, 4, 6]),  # from 0 where the lowest is less than a third
        ([4.0, 4.0], [3.6, 3.8, 4.0, 4.2, 4.4]),  # one price all along lies in the middle
        ([-0.05, -0.02], [-0.05, -0.04, -0.03, -0.02]),
    ],
)
def test_round_numbers_of_lines_by_hand(values: list[float], expected: list[float]) -> None:
    assert around(values) == pytest.approx(expected)


@given(st.dates(dt.date(1990, 1, 1), dt.date(2060, 1, 1)), st.integers(1, 9000))
def test_days_are_round_monotone_and_their_words_stand_apart(first: dt.date, days: int) -> None:
    axis = Axis(first.toordinal(), first.toordinal() + days, 40.0, 352.0)
    ticks = day_ticks(axis)
    boxes = [box_under(tick, axis) for tick in ticks]
    assert all(a[1] < b[0] for a, b in itertools.pairwise(boxes))
    assert all(left >= 0.0 and right <= axis.end + 0.01 for left, right in boxes)
    assert all(a.at < b.at for a, b in itertools.pairwise(ticks))
    for tick in ticks:
        day = axis.low + (tick.at - axis.start) / (axis.end - axis.start) * days
        named = dt.date.fromordinal(round(day))
        assert abs(day - round(day)) < days / 1000
        assert f"{named:%b}" in tick.text or tick.text == str(named.year)
    if days > 2:
        assert ticks


# --- months ---

moneys = st.one_of(st.none(), st.floats(-40.0, 900.0).map(lambda v: round(v, 2)))
drawn_months = st.lists(moneys, min_size=1, max_size=12)


def month_lines(values: Sequence[float | None]) -> list[MonthLine]:
    """Months one after another from October on, the last not over."""
    firsts = [dt.date(2025 + (9 + n) // 12, (9 + n) % 12 + 1, 1) for n in range(len(values))]
    return [
        MonthLine(first, n < len(values) - 1, Decimal(0), Decimal(0), 60, value)
        for n, (first, value) in enumerate(zip(firsts, values, strict=True))
    ]


def month_words(chart: MonthsChart) -> list[Box]:
    """The box of each word in templates/charts.html, macro months."""
    size, found = axes.SIZE, []
    for tick in chart.ticks:
        right = chart.left - 6.0
        found.append((right - LETTER * size * len(tick.text), tick.at - size / 2, right, tick.at + size / 2))
    for bar in chart.bars:
        for text, y in ((bar.number, bar.number_y), (bar.month, chart.height - 23.0), (bar.year, chart.height - 7.0)):
            half = LETTER * size * len(text) / 2
            if text:
                found.append((bar.middle - half, y - 0.75 * size, bar.middle + half, y + 0.2 * size))
    return found


@given(drawn_months)
def test_each_bar_is_as_high_as_its_money_and_begins_at_nothing(values: list[float | None]) -> None:
    chart = months_chart(month_lines(values), words)
    if chart is None:
        assert all(value is None for value in values)
        return
    per = {tick.at: float(tick.text) for tick in chart.ticks}
    (y1, v1), (y2, v2) = min(per.items()), max(per.items())
    money = (v1 - v2) / (y2 - y1)  # of a pixel, by the numbers beside the axis
    assert per[chart.nothing] == 0.0
    for value, bar in zip(values, chart.bars, strict=True):
        if value is None:
            assert bar.height is None and not bar.number
            continue
        assert bar.height is not None
        read = (chart.nothing - bar.top) * money if value >= 0 else -bar.height * money
        assert read == pytest.approx(value, abs=0.02 * money + 1e-9)
        assert (bar.top == chart.nothing) if value < 0 else (bar.top + bar.height == pytest.approx(chart.nothing))
        assert bar.number in ("", words(value, 2))
    assert [bar.whole for bar in chart.bars] == [n < len(values) - 1 for n in range(len(values))]


@given(drawn_months)
def test_no_word_beside_the_months_covers_another_or_is_cut(values: list[float | None]) -> None:
    chart = months_chart(month_lines(values), words)
    if chart is not None:
        boxes = month_words(chart)
        assert not any(cover(a, b) for a, b in itertools.combinations(boxes, 2))
        assert all(inside(box, chart.width, chart.height) for box in boxes)
        bars = [(bar.left, bar.top, bar.left + bar.width, bar.top + (bar.height or 0.0)) for bar in chart.bars]
        assert all(inside(bar, chart.width, chart.height) for bar in bars)
        assert all(a[2] < b[0] for a, b in itertools.pairwise(bars))
        assert all(bar[0] >= chart.left for bar in bars)


def test_months_are_named_with_their_year_where_it_begins() -> None:
    chart = months_chart(month_lines([5.0, 6.0, None, 7.0]), words)
    assert chart is not None
    assert [(bar.month, bar.year) for bar in chart.bars] == [("Oct", "2025"), ("Nov", ""), ("Dec", ""), ("Jan", "2026")]
    assert [bar.number for bar in chart.bars] == ["5.00", "6.00", "", "7.00"]


# --- flows ---

GRADES, ENDS = ("grade:a", "grade:b", "grade:c"), ("buyer:yard", "buyer:tip", "people", "residue", "loss")
FROM = ("kind:fan", "kind:washer", "bins-before", "regraded-in")
NAMES = ("Fan", "Clothes dryer, vented or condenser", "Electroencephalographically", "all of it that is left")
pairs = [(f, g) for f in FROM for g in GRADES] + [(g, e) for g in GRADES for e in ENDS]
pairs += [("kind:fan", e) for e in ENDS] + [("kind:washer", e) for e in ENDS]
pairs += [("collected", "kind:fan"), ("scale", "kind:washer")]
some_links = st.dictionaries(st.sampled_from(pairs), st.integers(1, 10**9), min_size=1)


def flows_of(links: dict[tuple[str, str], int], names: Sequence[str] = NAMES) -> Flows:
    """As the ledger's: as much goes out of every place between as came in."""
    whole = balanced(links)
    sums: dict[str, list[int]] = {}
    for (source, target), mg in whole.items():
        sums.setdefault(target, [0, 0])[0] += mg
        sums.setdefault(source, [0, 0])[1] += mg
    places = {}
    for n, (place, (came, went)) in enumerate(sorted(sums.items())):
        sort, colon, _ = place.partition(":")
        places[place] = FlowPlace(place, sort if colon else "rim", names[n % len(names)], came, went)
    ordered = sorted(whole.items(), key=lambda item: (-item[1], item[0]))
    return Flows(places, tuple(Link(*ends, mg) for ends, mg in ordered), {})


def lines_of(place: DrawnPlace) -> list[Box]:
    """The box of each line of a name, as the template writes it."""
    size, found = flows.SIZE, []
    for n, line in enumerate(place.lines):
        wide, y = LETTER * size * len(line), place.text_y + n * flows.LINE
        left = place.text_x - wide if place.column == 2 else place.text_x
        found.append((left, y - 0.75 * size, left + wide, y + 0.2 * size))
    return found


def drawn(links: dict[tuple[str, str], int]) -> tuple[Flows, FlowsChart]:
    of = flows_of(links)
    chart = flows_chart(of)
    assert chart is not None
    return of, chart


@given(some_links)
def test_every_flow_out_of_finds_and_bins_is_a_ribbon_of_its_mass(links: dict[tuple[str, str], int]) -> None:
    of, chart = drawn(links)
    wanted = {(link.source, link.target): link.mg for link in of.links if not link.target.startswith("kind:")}
    assert {(ribbon.source, ribbon.target): ribbon.mg for ribbon in chart.ribbons} == wanted
    for ribbon in chart.ribbons:
        thick = max(ribbon.mg * chart.per_mg, ribbons.THINNEST)
        for part in ribbon.path.split("z")[:-1]:
            numbers = [float(text) for text in re.findall(r"-?[\d.]+(?:e-?\d+)?", part)]
            _, start, *_, end = numbers[:8]
            assert numbers[8] - end == pytest.approx(thick, abs=0.02) and numbers[-1] - start == pytest.approx(
                thick, abs=0.02
            )


@given(some_links)
def test_what_reaches_and_leaves_a_place_stacks_up_to_it(links: dict[tuple[str, str], int]) -> None:
    _, chart = drawn(links)
    for place in chart.places:
        for sides in (
            [(r.leaves, r.mg) for r in chart.ribbons if r.source == place.id],
            [(r.arrives, r.mg) for r in chart.ribbons if r.target == place.id],
        ):
            y = place.y
            for top, mg in sorted(sides, key=lambda side: (round(side[0], 6), side[1])):
                assert top == pytest.approx(y, abs=0.02)
                y += mg * chart.per_mg
            assert y <= place.y + max(place.mg * chart.per_mg, 1.0) + 0.02


@given(some_links)
def test_no_place_or_name_of_the_flows_covers_another_or_is_cut(links: dict[tuple[str, str], int]) -> None:
    _, chart = drawn(links)
    rects = [(p.x, p.y, p.x + chart.thick, p.y + p.height) for p in chart.places]
    named = [box for place in chart.places for box in lines_of(place)]
    assert not any(cover(a, b) for a, b in itertools.combinations([*rects, *named], 2))
    assert all(inside(box, chart.width, chart.height) for box in [*rects, *named])
    assert len(chart.places) == len({place.id for place in chart.places})


def test_names_go_into_two_lines_and_are_cut_where_they_are_longer() -> None:
    assert flows.two_lines("Fan", 15) == ("Fan",)
    assert flows.two_lines("Top-loading washer", 15) == ("Top-loading", "washer")
    assert flows.two_lines("Clothes dryer, vented or condenser", 15) == ("Clothes dryer,", "vented or cond…")
    assert flows.two_lines("Electroencephalographically", 15) == ("Electroencephal", "ographically")


def test_nothing_that_flows_is_no_picture() -> None:
    assert flows_chart(Flows({}, (), {})) is None
    assert months_chart(month_lines([None, None]), words) is None
    assert per_hour.months_chart([], words) is None
