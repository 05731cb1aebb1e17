"""What a ledger says of the resale of each part: sales, prices and the days on which one was on offer."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from partway.catalogue import Catalogue, shipped
from partway.formulas.ticket_fees import left_of
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.offers import Listing, Span, UnitSale, resale
from partway.quantities import kg_per
from partway.things.anatomy import Anatomy, Part
from partway.valuing.learned.pooling import Key
from partway.valuing.own_kinds import own_kinds

DAY = 86400.0  # seconds
COPPER = "copper-2"


@dataclass(slots=True)
class PartRecord:
    """Of one part: units sold by an offer, days with one on offer, units on offer now, what each unit sold fetched, and
    what the offers that sold had asked at first against what they got; fees and postage of all sales.
    """

    sold: int = 0
    days: float = 0.0
    on_offer: int = 0
    unsold: int = 0
    prices: list[float] = field(default_factory=list)
    asked: float = 0.0
    got: float = 0.0
    fees: float = 0.0
    postage: float = 0.0
    minutes: float = 0.0


def records(book: Book, now: dt.datetime | None = None) -> dict[Key, PartRecord]:
    """The record of each part that was ever offered or sold; `now` as of `resale`."""
    all_resale = resale(book, now)
    if not all_resale.sales and not all_resale.offers:
        return {}
    known = shipped().with_own(own_kinds(book))
    found: dict[Key, PartRecord] = defaultdict(PartRecord)
    spans: dict[Key, list[Span]] = defaultdict(list)
    keys = _Keys(book, known)
    for offer in all_resale.offers.values():
        if key := keys.of(offer):
            spans[key] += offer.spans
            found[key].on_offer += offer.left
            found[key].unsold += max(0, offer.count - sum(sale.stays for sale in offer.sales))
            found[key].minutes += offer.minutes
    for sale in all_resale.sales:
        if sale.stays and (key := keys.of(sale)):
            _add(found[key], sale)
    for key, several in spans.items():
        found[key].days = days_covered(several)
    return dict(found)


def _add(record: PartRecord, sale: UnitSale) -> None:
    units, price = sale.stays, float(sale.price)
    record.prices += [price] * units
    record.fees += float(sale.fee)
    record.postage += float(sale.postage)
    record.minutes += sale.minutes
    if sale.asked is not None:  # without an offer nobody knows how long it took
        record.sold += units
        record.asked += float(sale.asked) * units
        record.got += price * units


def days_covered(spans: Iterable[Span]) -> float:
    """Days on offer, those with n offers at once counted sqrt(n) times: so many times more buyers come
    (`formulas.resale.demand.nth_sells`).
    """
    edges = sorted(((at, step) for start, stop in spans if stop > start for at, step in ((start, 1), (stop, -1))))
    covered, there, since = 0.0, 0, None
    for at, step in edges:
        if since is not None:
            covered += math.sqrt(there) * (at - since).total_seconds()
        there, since = there + step, at
    return covered / DAY


class _Keys:
    """Which part an offer or a sale is of."""

    def __init__(self, book: Book, known: Catalogue) -> None:
        self.known = known
        self.facts = {**book.facts("find:", "kind"), **book.facts("find:", "works")}

    def of(self, one: Listing | UnitSale) -> Key | None:
        subject = f"find:{one.find}"
        kind = self.facts.get((subject, "kind"), "")
        if not self.known.knows(kind):
            return None
        anatomy = self.known.anatomy(kind)
        part = part_meant(anatomy, one.what, one.part, self.facts.get((subject, "works"), "unknown") == "yes")
        return (kind, one.what, part) if any(piece.id == one.what for piece in anatomy.pieces) else None


def part_meant(anatomy: Anatomy, piece: str, name: str, works: bool) -> str:
    """The part by which a piece is sold: the one that is named, or the first that goes with whether it works."""
    parts = next((one.parts for one in anatomy.pieces if one.id == piece), ())
    if name or not parts:
        return name
    fit = [part for part in parts if works or part.needs != "works"]
    return best_fit(fit or list(parts), works).name


def best_fit(parts: list[Part], works: bool) -> Part:
    """Of what works the part that needs it, where there is one."""
    return next((part for part in parts if works and part.needs == "works"), parts[0])


def copper_price(book: Book) -> float | None:
    """What the best word on a kilogram of No. 2 copper leaves, which the catalogue counts parts in; None where nobody
    quotes it.
    """
    said = [quote for quote in trading.quotes(book) if quote.grade == COPPER and quote.price is not None]
    shares = {buyer: terms.ticket_share for buyer, terms in trading.buyers(book).items()}
    left = [(quote, left_of(quote.price, shares.get(quote.buyer, Decimal(0)))) for quote in said if quote.price]
    prices = [float(price) / float(kg_per(quote.unit)) for quote, price in left]
    return max((price for price in prices if price > 0.0), default=None)
