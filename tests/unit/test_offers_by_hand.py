"""Offers through their days, each figure counted by hand: what is left, since when and until when it was on offer.

By docs/model.md and the events' own words: a unit is on offer from the listing until it is sold or taken down, again
from the day it comes back to be offered anew, and no longer than there is anything left of its find. All invented.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from disagreement import NOON, Person

from partway.ledger.events import kinds as p
from partway.ledger.memory import MemoryBook
from partway.ledger.offers import Listing, on_offer_now, resale

KG = 1_000_000
OFFER = "fan-1-offer-1"


class Yard(Person):
    """One person with a row of fans, whose things are said on days after the first."""

    def __init__(self, fans: int = 3) -> None:
        super().__init__(MemoryBook(), "jo")
        self.on(0, p.Found("fan-1", "fan", fans, mass_mg=4 * KG * fans))
        self.left = fans

    def on(self, day: float, *said: p.Payload) -> None:
        self.now = NOON + dt.timedelta(days=day, minutes=-1)  # a minute passes with each thing said
        self.events = self.says(*said)

    def lists(self, day: float, count: int, asking: int = 20, offer: str = OFFER) -> None:
        self.on(day, p.Listed(offer, "fan-1", "whole", count, Decimal(asking)))

    def sells(self, day: float, count: int = 1, *, listing: str | None = OFFER, closes: bool = False) -> p.Parted:
        mass, was, self.left = 4 * KG * count, 4 * KG * self.left, self.left - count
        sold = p.Parted("fan-1", "whole", count, mass, was, Decimal(18), closes=closes, listing=listing)
        self.on(day, sold)
        return sold

    def comes_back(self, day: float, count: int = 1, *, listing: str | None = OFFER) -> None:
        """Of what was sold last."""
        self.left += count
        sale = next(e.id for e in reversed(list(self.book.recorded())) if isinstance(e.what, p.Parted))
        self.on(day, p.Returned(sale, "fan-1", "whole", count, 4 * KG * count, Decimal(18), listing=listing))

    def offer(self, day: float = 30) -> Listing:
        return resale(self.book, NOON + dt.timedelta(days=day)).offers[OFFER]

    def days(self, day: float = 30) -> list[tuple[float, float]]:
        """Its spans, in days after the first."""
        return [(since(start), since(end)) for start, end in self.offer(day).spans]


def since(at: dt.datetime) -> float:
    return (at - NOON) / dt.timedelta(days=1)


def test_it_is_on_offer_until_the_last_one_is_gone() -> None:
    yard = Yard()
    yard.lists(2, 3)
    yard.sells(5)
    assert (yard.offer().left, yard.days()) == (2, [(2, 30)])
    yard.sells(9, 2)
    assert (yard.offer().left, yard.days()) == (0, [(2, 9)])
    assert [(sale.count, sale.stays, since(sale.at)) for sale in yard.offer().sales] == [(1, 1, 5), (2, 2, 9)]


def test_it_is_down_for_the_days_between_and_then_on_offer_again() -> None:
    yard = Yard()
    yard.lists(2, 2)
    yard.on(4, p.TakenDown(OFFER, 1))
    assert (yard.offer().left, yard.days()) == (1, [(2, 30)])
    yard.sells(6)
    yard.comes_back(10)
    assert (yard.offer().left, yard.days()) == (1, [(2, 6), (10, 30)])
    yard.on(15, p.TakenDown(OFFER, 1))
    assert (yard.offer().left, yard.days()) == (0, [(2, 6), (10, 15)])


def test_an_offer_of_which_more_is_sold_than_there_was_ends_with_that_sale_all_the_same() -> None:
    """One on offer, two sold: as where two devices sell the last one. One that comes back fills what was missing."""
    yard = Yard(4)
    yard.lists(2, 1)
    yard.sells(5, 2)
    assert (yard.offer().left, yard.days()) == (0, [(2, 5)])
    yard.comes_back(7)
    assert (yard.offer().left, yard.days()) == (0, [(2, 5)])
    yard.comes_back(9)
    assert (yard.offer().left, yard.days()) == (1, [(2, 5), (9, 30)])
    both = Yard(4)
    both.lists(2, 1)
    both.sells(5, 2)
    both.comes_back(7, 2)
    assert (both.offer().left, both.days()) == (1, [(2, 5), (7, 30)])


def test_of_a_sale_those_stay_that_did_not_come_back() -> None:
    """Three sold, one comes back, then another: one stays sold. Two are on offer again."""
    yard = Yard()
    yard.lists(1, 3)
    yard.sells(2, 3)
    yard.comes_back(3)
    yard.comes_back(4)
    (sale,) = yard.offer().sales
    assert (sale.count, sale.back, sale.stays) == (3, 2, 1)
    assert (yard.offer().left, yard.days()) == (2, [(1, 2), (3, 30)])


def test_what_comes_back_and_is_not_offered_anew_stays_off() -> None:
    yard = Yard()
    yard.lists(1, 1)
    yard.sells(2)
    yard.comes_back(3, listing=None)
    assert (yard.offer().left, yard.days()) == (0, [(1, 2)])
    assert yard.offer().sales[0].stays == 0


def test_what_is_sold_by_no_offer_leaves_the_offer_and_is_a_sale_all_the_same() -> None:
    yard = Yard()
    yard.lists(1, 1)
    yard.sells(2, listing=None)
    assert (yard.offer().left, yard.offer().sales) == (1, ())
    (sale,) = resale(yard.book).sales
    assert (sale.listing, sale.asked, sale.count) == (None, None, 1)


def test_an_offer_ends_where_nothing_is_left_of_its_find() -> None:
    """Sold whole without a word on the offer; on offer again from when it came back, for the find is there again."""
    yard = Yard(1)
    yard.lists(1, 1)
    yard.sells(4, listing=None, closes=True)
    assert (yard.offer().left, yard.days()) == (0, [(1, 4)])
    yard.comes_back(8, listing=None)
    assert (yard.offer().left, yard.days()) == (1, [(1, 30)])


def test_another_find_whose_name_begins_alike_ends_no_offer() -> None:
    yard = Yard(1)
    yard.lists(1, 1)
    yard.on(2, p.Found("fan-11", "fan", 1, mass_mg=4 * KG))
    yard.on(3, p.Discarded("fan-11", 4 * KG, 4 * KG))
    assert (yard.offer().left, yard.days()) == (1, [(1, 30)])


def test_an_offer_of_what_lies_in_a_bin_outlasts_its_find() -> None:
    yard = Yard(1)
    yard.on(1, p.Listed(OFFER, "fan-1", "motor", 1, Decimal(9), bin="motors"))
    yard.on(2, p.Discarded("fan-1", 4 * KG, 4 * KG))
    assert (yard.offer().left, yard.days()) == (1, [(1, 30)])


def test_the_first_price_is_kept_beside_the_one_that_is_asked_now() -> None:
    yard = Yard()
    yard.lists(1, 2, asking=20)
    yard.on(5, p.AskedAnew(OFFER, Decimal(15)))
    yard.sells(6)
    offer = yard.offer()
    assert (offer.asked, offer.asking, offer.sales[0].asked) == (Decimal(20), Decimal(15), Decimal(20))


def test_looked_at_on_a_day_before_its_end_it_was_on_offer_until_that_day() -> None:
    """Nothing ends before it began: looked at on the day of the listing there is no time on offer yet."""
    yard = Yard()
    yard.lists(2, 1)
    yard.sells(9)
    assert yard.days(5) == [(2, 5)]
    assert yard.days(2) == []


def test_offers_with_something_left_come_oldest_first() -> None:
    yard = Yard()
    yard.lists(3, 1, offer="fan-1-offer-2")
    yard.lists(1, 1)
    yard.lists(2, 1, offer="fan-1-offer-3")
    yard.on(4, p.TakenDown("fan-1-offer-3", 1))
    assert [offer.id for offer in on_offer_now(yard.book)] == [OFFER, "fan-1-offer-2"]


@pytest.mark.parametrize(("happened", "looked_at"), [(20, 20), (10, 20)])
def test_without_a_day_it_is_that_of_the_last_entry(happened: float, looked_at: float) -> None:
    """When it happened or when it was typed, whichever is later: what is said of an earlier day is typed today."""
    yard = Yard()
    yard.lists(2, 1)
    yard.now = NOON + dt.timedelta(days=20, minutes=-1)
    yard.says(p.Spent("fuel", Decimal(1), "fuel"), stated=NOON + dt.timedelta(days=happened))
    assert since(resale(yard.book).offers[OFFER].spans[-1][1]) == looked_at
