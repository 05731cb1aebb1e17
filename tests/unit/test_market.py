"""What a kilogram fetches or counts for, on cases small enough to work out by hand (docs/model.md)."""

from __future__ import annotations

import datetime as dt

import pytest

from partway.planning.instance.market import Market, postage_per_kg
from partway.things.buyers import takes
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Postage, Quote, Scenario

DAY = dt.date(2026, 3, 14)


def grade(name: str, *lower: str, family: str = "metal", hazards: tuple[str, ...] = ()) -> Grade:
    """A grade with its downgrades."""
    return Grade(name, name, family, Estimate.exact(1.0), lower, hazards)


def quote(name: str, *price: float, minimum: float = 0.0, start: float = 0.0) -> Quote:
    """A price per kg, exact or as low, likely and high."""
    points = Estimate.exact(price[0]) if len(price) == 1 else Estimate(*price)
    return Quote(name, points, DAY, minimum, start)


def market(grades: list[Grade], *buyers: Buyer, keep_factor: float = 0.8) -> Market:
    """The market of a scenario that has only grades and buyers."""
    hours = Hours(1.0, 1.0, 1.0)
    known = {g.id: g for g in grades}
    it = Scenario("m", "EUR", DAY, hours, None, buyers, (), {}, known, {}, keep_factor=keep_factor)
    return Market.of(it)


def yard(name: str, *quotes: Quote, refuses: tuple[str, ...] = ()) -> Buyer:
    """A buyer one drives to."""
    return Buyer(name, "yard", refuses=refuses, quotes=quotes)


@pytest.mark.parametrize(
    ("refuses", "taken"),
    [((), True), (("other",), True), (("pack",), False), (("cells",), False), (("li",), False)],
)
def test_a_refusal_names_a_grade_a_family_or_a_hazard(refuses: tuple[str, ...], taken: bool) -> None:
    assert takes(yard("y", refuses=refuses), grade("pack", family="cells", hazards=("li", "acid"))) is taken


def test_postage_at_its_cheapest_is_that_of_the_best_full_parcel() -> None:
    steps = (Postage(2.0, 6.0), Postage(10.0, 12.0), Postage(20.0, 30.0))
    assert postage_per_kg(Buyer("m", "mail-in", shipping=steps)) == pytest.approx(1.2)  # 12 for 10 kg
    assert postage_per_kg(Buyer("m", "mail-in")) == 0.0


def test_prices_count_at_their_mean() -> None:
    # PERT mean (low + 4 likely + high) / 6, Malcolm and others 1959: (1 + 4 * 2 + 6) / 6 = 2.5.
    best = market([grade("iron")], yard("y", quote("iron", 1.0, 2.0, 6.0))).best("iron")
    assert best is not None and best.price == pytest.approx(2.5)


def test_offers_are_ranked_net_of_postage_and_over_all_lot_sizes() -> None:
    far = Buyer("far", "mail-in", shipping=(Postage(10.0, 20.0),), quotes=(quote("board", 9.0),))
    near = yard("near", quote("board", 5.0), quote("board", 8.0, start=50.0, minimum=60.0))
    found = market([grade("board")], far, near)
    assert [(o.buyer, o.price) for o in found.offers["board"]] == [("near", 8.0), ("far", 7.0)]


def test_a_refused_quote_is_no_quote() -> None:
    found = market([grade("iron", family="ferrous")], yard("y", quote("iron", 3.0), refuses=("ferrous",)))
    assert found.best("iron") is None
    assert found.kept_price("iron") == 0.0


def test_unquoted_has_no_price_and_is_kept_at_nothing() -> None:
    found = market([grade("iron"), grade("glass")], yard("y", quote("iron", 0.5)))
    assert found.best("glass") is None
    assert found.kept_price("glass") == 0.0
    assert found.value("glass") == 0.0


def test_a_price_below_zero_is_a_price() -> None:
    found = market([grade("tyre")], yard("tip", quote("tyre", -0.5)))
    best = found.best("tyre")
    assert best is not None and best.price == -0.5
    assert found.kept_price("tyre") == pytest.approx(-0.4)
    assert found.value("tyre") == pytest.approx(-0.4), "keeping it costs less than having it taken"


def test_what_may_be_sold_as_something_better_paid_is_kept_as_that() -> None:
    grades = [grade("bright", "plain"), grade("plain", "light"), grade("light")]
    buyers = yard("y", quote("bright", 3.0), quote("light", 5.0))
    found = market(grades, buyers)
    assert found.downgrades("bright") == ("plain",)
    assert found.below("bright") == {"plain", "light"}
    best = found.best("bright")
    assert best is not None and (best.grade, best.price) == ("light", 5.0)
    assert found.kept_price("bright") == found.kept_price("plain") == pytest.approx(4.0)
    assert found.value("bright") == 5.0


def test_downgrades_that_lead_to_no_quote_are_not_taken() -> None:
    grades = [grade("bright", "plain", "odd"), grade("plain"), grade("odd")]
    found = market(grades, yard("y", quote("plain", 1.0)))
    assert found.downgrades("bright") == ("plain",)
    assert found.below("odd") == frozenset()


def test_a_hazard_is_not_lost_on_the_way_down() -> None:
    grades = [
        grade("pack", "plastic", "mixed", hazards=("li",)),
        grade("plastic"),
        grade("mixed", hazards=("li", "acid")),
    ]
    found = market(grades, yard("y", quote("plastic", 9.0), quote("mixed", 1.0)))
    assert found.downgrades("pack") == ("mixed",)
    best = found.best("pack")
    assert best is not None and best.grade == "mixed"
    assert found.kept_price("pack") == pytest.approx(0.8)


def test_keep_factor_counts_for_all() -> None:
    assert market([grade("iron")], yard("y", quote("iron", 2.0)), keep_factor=0.5).kept_price("iron") == 1.0
    assert market([grade("iron")], yard("y", quote("iron", 2.0)), keep_factor=0.0).value("iron") == 2.0
