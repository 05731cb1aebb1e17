"""The price at which a find is worth as much as somebody asks of it, by division. All of it is invented."""

from __future__ import annotations

import datetime as dt

import pytest

from partway.planning.depth.breakeven import Breakevens, PriceFlip
from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.instance.build import build
from partway.things.anatomy import Anatomy, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact
YARD = Buyer("harbour", "yard", km=5.0, quotes=(Quote("iron", exact(0.5), DAY),))
PARCEL = Buyer("mail-in", "mail-in", quotes=(Quote("iron", exact(0.9), DAY),), shipping=(Postage(10.0, 4.0),))


def flip(least: float, buyer: Buyer = YARD) -> PriceFlip | None:
    """Of a stove of 20 kg that is iron by nine tenths: 18 kg, at 0.50 it brings 9.00."""
    stove = Piece("whole", "stove", exact(20.0), (SaleAs("iron", 0.9),))
    names = "iron", "residue"
    it = Scenario(
        name="curb",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=1.0, away=4.0, wage=6.0),
        vehicle=Vehicle(100.0, 200.0, cost_per_km=0.2),
        buyers=(buyer,),
        finds=(Find("stove", 1, "no"),),
        stock={},
        grades={name: Grade(name, name, "metal", exact(0.5), ()) for name in names},
        anatomies={"stove": Anatomy("stove", "stove", (stove,))},
        keep_factor=0.5,
    )
    instance = build(it)
    programme, terms = Programme(instance), DepthTerms.expected(instance, 6.0)
    return Breakevens(programme, terms, programme.values(terms)).worth(0, least)


@pytest.mark.parametrize(("least", "price"), [(4.5, 0.25), (13.5, 0.75), (18.0, 1.0), (90.0, 5.0)])
def test_it_is_what_is_asked_for_divided_by_what_is_sold(least: float, price: float) -> None:
    """More than it brings today is a price above today's, less is one below."""
    it = flip(least)
    assert it is not None and it.flip == pytest.approx(price, rel=1e-9)
    assert (it.grade, it.today, it.postage) == ("iron", 0.5, 0.0)


def test_by_mail_it_is_the_price_before_the_postage() -> None:
    """A parcel of 10 kg costs 4.00, 0.40 a kg: 4.50 are 0.25 a kg left, quoted as 0.65; 13.50 are 0.75, as 1.15."""
    for least, price in ((4.5, 0.65), (13.5, 1.15)):
        it = flip(least, PARCEL)
        assert it is not None and it.postage == pytest.approx(0.4)
        assert it.quoted_flip == pytest.approx(price, rel=1e-9), it
