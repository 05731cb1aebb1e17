"""Laws of thinning and spreading steps, against the plain definition of each."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from partway.valuing.price_steps import PriceSpread, PriceStep, spread, thinned, thinned_spread, window

Drawn = list[tuple[int, float | None]]
prices = st.one_of(st.none(), st.floats(-2.0, 9.0))
days = st.lists(st.tuples(st.integers(0, 400), prices), min_size=1, max_size=80)


def steps_of(drawn: Drawn) -> list[PriceStep]:
    return [PriceStep(day, price) for day, price in sorted(drawn, key=lambda one: one[0])]


def held(steps: list[PriceStep], day: int) -> float | None:
    """The plain meaning: the value of the last step up to a day."""
    return next((step.value for step in reversed(steps) if step.day <= day), None)


@given(days, st.integers(0, 400), st.integers(0, 400))
def test_a_window_holds_on_each_of_its_days_what_held_before(drawn: Drawn, one: int, other: int) -> None:
    first, last = sorted((one, other))
    steps = steps_of(drawn)
    inside = window(steps, first, last)
    assert inside[0].day == first and inside[-1].day <= last
    assert [held(inside, day) for day in range(first, last + 1)] == [held(steps, day) for day in range(first, last + 1)]


@given(days, st.integers(1, 30))
def test_thinning_keeps_ends_and_extremes_and_adds_nothing(drawn: Drawn, columns: int) -> None:
    steps = window(steps_of(drawn), 0, 400)
    few = thinned(steps, columns)
    assert set(few) <= set(steps) and len(few) <= max(columns * 4, len(steps) if len(steps) <= columns else 0)
    assert (few[0], few[-1]) == (steps[0], steps[-1])
    assert [step.day for step in few] == sorted(step.day for step in few)
    values, kept = ([s.value for s in line if s.value is not None] for line in (steps, few))
    assert (min(values, default=None), max(values, default=None)) == (min(kept, default=None), max(kept, default=None))


@given(st.dictionaries(st.sampled_from("abcd"), days, min_size=1))
def test_the_spread_is_the_lowest_and_highest_that_hold_on_each_day(drawn: dict[str, Drawn]) -> None:
    lines = {buyer: window(steps_of(steps), 0, 400) for buyer, steps in drawn.items()}
    spreads = spread(lines)
    for day in (0, 57, 200, 400, *(one.day for one in spreads)):
        now = next(one for one in reversed(spreads) if one.day <= day)
        prices = [price for steps in lines.values() if (price := held(steps, day)) is not None]
        assert now == PriceSpread(now.day, min(prices, default=None), max(prices, default=None), len(prices))


@given(st.dictionaries(st.sampled_from("abcd"), days, min_size=1), st.integers(1, 20))
def test_a_thinned_spread_covers_what_it_stands_for(drawn: dict[str, Drawn], columns: int) -> None:
    spreads = spread({buyer: window(steps_of(steps), 0, 400) for buyer, steps in drawn.items()})
    few = thinned_spread(spreads, columns)
    assert len(few) <= max(columns, len(spreads) if len(spreads) <= columns else 0)
    for one in spreads:
        cover = next(wide for wide in reversed(few) if wide.day <= one.day)
        if one.low is not None and one.high is not None:
            assert cover.low is not None and cover.low <= one.low
            assert cover.high is not None and cover.high >= one.high
