"""What it is worth to know one thing, and where it turns the plan over, on forty worlds counted by hand.

The value of information is Raiffa and Schlaifer's ("Applied Statistical Decision Theory", 1961, ch. 4): the best by
what is known, less the best without it. That each half of the worlds pays what the other half chose is a rule of ours.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.worlds.news import LOTS, News, news_of, regret, worth_of_knowing

PRICE = ("price", "harbour", "iron")
SCORE = np.arange(40.0)  # twenty lots of two worlds: one chooses, the other pays, and the other way round


def step(beyond: int, below: float, above: float) -> np.ndarray:
    """Money in each world: so much in those before, so much from there on."""
    return np.where(np.arange(40) < beyond, below, above)


def test_there_are_twenty_lots() -> None:
    assert LOTS == 20


@pytest.mark.parametrize(
    ("beyond", "worth", "above", "share"),
    [
        (38, 8.0, True, 0.05),
        (30, 40.0, True, 0.25),  # 4 in a quarter of the worlds, and unknown it would not be done
        (24, 64.0, True, 0.4),
        (20, 60.0, True, 0.5),  # unknown it would be done, and bring half a unit in each world
    ],
)
def test_a_plan_that_pays_from_some_value_on(beyond: int, worth: float, above: bool, share: float) -> None:
    """Nothing for sure, or -3 below a value and 4 from it on."""
    other = step(beyond, -3.0, 4.0)
    gain = max(0.0, other.mean())
    news = worth_of_knowing(np.array([np.zeros(40), other]), SCORE, PRICE)
    assert news.worth == pytest.approx(np.maximum(other, 0.0).mean() - gain)
    assert news.worth == pytest.approx(worth / 40.0)
    assert (news.unknown, news.instead, news.above, news.beyond) == (PRICE, 1, above, share)


@pytest.mark.parametrize(("until", "share"), [(2, 0.05), (10, 0.25), (18, 0.45)])
def test_a_plan_that_pays_below_some_value(until: int, share: float) -> None:
    news = worth_of_knowing(np.array([np.zeros(40), step(until, 4.0, -3.0)]), SCORE, PRICE)
    assert (news.instead, news.above, news.beyond) == (1, False, share)


def test_the_plan_that_takes_over_nearest_to_the_middle_is_named() -> None:
    """The second plan pays in the last 6 lots and the third in the first 9: 9 lots is nearer to the middle of 20."""
    totals = np.array([np.zeros(40), step(28, -9.0, 1.0), step(18, 1.0, -9.0)])
    news = worth_of_knowing(totals, SCORE, PRICE)
    assert (news.instead, news.above, news.beyond) == (2, False, 0.45)
    news = worth_of_knowing(totals[[0, 2, 1]], SCORE[::-1].copy(), PRICE)
    assert (news.instead, news.above, news.beyond) == (1, True, 0.45)


def test_where_the_plan_is_the_best_at_every_value_there_is_no_other() -> None:
    news = worth_of_knowing(np.array([np.ones(40), np.zeros(40)]), SCORE, PRICE)
    assert news == News(PRICE, 0.0)


def test_a_lucky_world_is_not_taken_for_news() -> None:
    """One world in each lot of which nothing can be known: what one half makes of it, the other half pays."""
    totals = np.array([np.zeros(40), np.tile([5.0, -6.0], 20)])
    assert worth_of_knowing(totals, SCORE, PRICE).worth == 0.0
    one = np.zeros(40)
    one[38:] = 15.0, -15.0
    # Chosen by the first of the last lot: the second pays 15, and without knowing it does too. By the second: nothing.
    assert worth_of_knowing(np.array([np.zeros(40), one]), SCORE, PRICE).worth == 0.0


def test_worlds_are_taken_in_the_order_of_what_is_asked_about() -> None:
    rng = np.random.default_rng(3)
    order = rng.permutation(40)
    other = step(30, -3.0, 4.0)
    mixed = worth_of_knowing(np.array([np.zeros(40), other[order]]), SCORE[order], PRICE)
    assert mixed == worth_of_knowing(np.array([np.zeros(40), other]), SCORE, PRICE)


def told(totals: np.ndarray, **unknowns: np.ndarray) -> list[News]:
    """News of what orders the worlds by these scores."""
    drawn = SimpleNamespace(unknowns={("price", name, "iron"): score for name, score in unknowns.items()})
    again: Any = SimpleNamespace(totals=totals, worlds=SimpleNamespace(drawn=drawn))
    return list(news_of(again))


def test_the_dearest_news_comes_first_and_what_is_worth_nothing_is_none() -> None:
    """All is known of harbour; of ridge the last three lots have three of the four good worlds between them."""
    totals = np.array([np.zeros(40), step(36, -3.0, 4.0)])
    ridge = SCORE.copy()
    ridge[[30, 38]] = ridge[[38, 30]]
    apart = SCORE.copy()
    apart[[2, 9, 14, 21, 36, 37, 38, 39]] = apart[[36, 37, 38, 39, 2, 9, 14, 21]]
    found = told(totals, ridge=ridge, apart=apart, harbour=SCORE)
    assert [one.unknown[1] for one in found] == ["harbour", "ridge"]
    assert found[0].worth == pytest.approx(0.4) and found[1].worth < found[0].worth
    assert told(np.zeros((2, 40)), harbour=SCORE) == []


def test_regret_is_what_the_best_of_each_world_brings_more_on_average() -> None:
    """2 and 0 and 5 more in the three worlds in which the plan was made again; the fourth was not."""
    totals = np.array([[1.0, 2.0, 0.0, 0.0], [3.0, 1.0, 5.0, 99.0]])
    assert regret(SimpleNamespace(totals=totals, solved=3)) == pytest.approx(7.0 / 3.0)  # type: ignore[arg-type]
    assert regret(SimpleNamespace(totals=totals, solved=1)) == 2.0  # type: ignore[arg-type]
    assert regret(SimpleNamespace(totals=totals, solved=0)) == 0.0  # type: ignore[arg-type]


def test_half_of_each_lot_chooses_and_the_other_half_pays() -> None:
    """Eighty worlds, four in a lot: in three quarters of the lots the other plan loses 3, in the others it brings 4, 1,
    4 and 9. Unknown it is not done. Chosen by the first and third it pays 1 + 9, by the second and fourth 4 + 4.
    """
    other = np.concatenate([np.full(60, -3.0), np.tile([4.0, 1.0, 4.0, 9.0], 5)])
    news = worth_of_knowing(np.array([np.zeros(80), other]), np.arange(80.0), PRICE)
    assert news.worth == pytest.approx((5 * 10.0 / 40.0 + 5 * 8.0 / 40.0) / 2.0)
