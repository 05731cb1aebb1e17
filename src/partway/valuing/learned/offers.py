"""What is on offer by the unit: how long, what it is expected to fetch, and what to do with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from partway.catalogue import Catalogue, shipped
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.offers import Listing, resale
from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.instance.build import build
from partway.things.anatomy import Part
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.learned.record import part_meant
from partway.valuing.learned.resale import LearnedPart, ResaleLearned
from partway.valuing.own_kinds import own_kinds

DAY = 86400.0  # seconds
Advice = Literal["wait", "cut", "take-down"]


@dataclass(frozen=True, slots=True)
class Expected:
    """What one more of a part is expected to fetch: `price` on average, eight in ten between `low` and `high`; `ask` is
    what to ask for it. Sold and unsold are of one's own offers of it, `got_of_asked` over all one's sales by an offer.
    """

    price: float
    low: float | None
    high: float | None
    ask: float
    chance: float
    days: float
    sold: int
    priced: int
    unsold: int
    days_on_offer: float
    got_of_asked: float | None


@dataclass(frozen=True, slots=True)
class OnOffer:
    """A listing with something left. `days` since it was listed; `expected` is None where no catalogue knows the part.

    `advice`: wait for a buyer; cut the price to what it fetches; or take it down, as it brings more otherwise.
    """

    listing: str
    find: str
    kind: str
    piece: str
    name: str
    where: str
    bin: str
    left: int
    asked: float
    asking: float
    days: int
    expected: Expected | None
    advice: Advice


def on_offer(book: Book, scenario: Scenario, now: dt.datetime) -> tuple[OnOffer, ...]:
    """Everything on offer, the oldest first; `scenario` is today's, of the ledger."""
    offers = resale(book, now).on_offer()
    if not offers:
        return ()
    known, learned = shipped().with_own(own_kinds(book)), ResaleLearned.of(book, now)
    return tuple(_line(book, scenario, known, learned, offer, now) for offer in offers)


def expected_of(book: Book, kind: str, piece: str, works: Works, now: dt.datetime) -> Expected | None:
    """What a piece of a kind is expected to fetch, put on offer now; None where no part of it is known."""
    known = shipped().with_own(own_kinds(book))
    return _expected(known, ResaleLearned.of(book, now), kind, piece, "", works)


def _line(
    book: Book, scenario: Scenario, known: Catalogue, learned: ResaleLearned, offer: Listing, now: dt.datetime
) -> OnOffer:
    find = standing.find(book, offer.find)
    name, expected = find.kind, None
    if known.knows(find.kind):
        anatomy = known.anatomy(find.kind)
        pieces = {one.id: one.name for one in anatomy.pieces}
        name = anatomy.name if offer.what == anatomy.whole.id else pieces.get(offer.what, offer.what)
        expected = _expected(known, learned, find.kind, offer.what, offer.part, find.works)
    days = int((now - offer.since).total_seconds() // DAY)
    return OnOffer(
        offer.id, offer.find, find.kind, offer.what, name, offer.where, offer.bin or "", offer.left,
        float(offer.asked), float(offer.asking), days, expected, _advice(scenario, offer, find, days, expected),
    )  # fmt: skip


def _advice(scenario: Scenario, offer: Listing, find: standing.FindNow, days: int, expected: Expected | None) -> Advice:
    if expected is None:
        return "wait"
    if offer.bin is None and _better_otherwise(scenario, offer, find):
        return "take-down"
    return "cut" if days >= expected.days and float(offer.asking) > expected.ask * 1.01 else "wait"


def _better_otherwise(scenario: Scenario, offer: Listing, find: standing.FindNow) -> bool:
    """Whether a whole find on offer brings more opened, or sold by grade, than left on offer."""
    anatomy = scenario.anatomies.get(find.kind)
    if anatomy is None or offer.what != anatomy.whole.id:
        return False
    alone = replace(scenario, finds=(Find(find.kind, 1, find.works, None, 1),), stock={}, listed={})
    instance = build(alone)
    values = Programme(instance).values(DepthTerms.expected(instance))
    return bool(instance.nodes[0].offered) and values.best(0).sort != "keep"


def _expected(
    known: Catalogue, learned: ResaleLearned, kind: str, piece: str, name: str, works: Works
) -> Expected | None:
    if not known.knows(kind):
        return None
    anatomy = known.anatomy(kind)
    meant = part_meant(anatomy, piece, name, works == "yes")
    base = next((part for one in anatomy.pieces if one.id == piece for part in one.parts if part.name == meant), None)
    after = learned.learned(anatomy)
    now = next((part for one in after.pieces if one.id == piece for part in one.parts if part.name == meant), None)
    if now is None or (now.in_copper and learned.copper is None):
        return None
    return _from(learned, now, learned.part(anatomy, piece, base or now))


def _from(learned: ResaleLearned, part: Part, known: LearnedPart) -> Expected:
    unit = (learned.copper or 0.0) if part.in_copper else 1.0
    price, ratio = part.price.mean * unit, got_of_asked(learned)
    low, high = known.low, known.high
    return Expected(
        price, low, high, price / (ratio or 1.0), part.chance, part.days, known.sold, known.priced, known.unsold,
        known.days_on_offer, ratio,
    )  # fmt: skip


def got_of_asked(learned: ResaleLearned) -> float | None:
    """Money got per money asked at first, over all sales by an offer; None before the first."""
    asked = sum(record.asked for record in learned.records.values())
    return sum(record.got for record in learned.records.values()) / asked if asked else None


@dataclass(frozen=True, slots=True)
class AskedAgainstGot:
    """Of one kind: what offers that sold had asked at first, and what they got; units sold, and still on offer."""

    kind: str
    sold: int
    on_offer: int
    asked: float
    got: float
    days: float

    @property
    def got_of_asked(self) -> float | None:
        """Money got per money asked at first; None before the first sale."""
        return self.got / self.asked if self.asked else None


def asked_against_got(learned: ResaleLearned) -> Iterator[AskedAgainstGot]:
    """By kind, the most money first; kinds of which nothing was ever on offer are left out."""
    kinds = sorted({kind for kind, _, _ in learned.records})
    lines = []
    for kind in kinds:
        mine = [record for key, record in learned.records.items() if key[0] == kind]
        line = AskedAgainstGot(
            kind, sum(r.sold for r in mine), sum(r.on_offer for r in mine), sum(r.asked for r in mine),
            sum(r.got for r in mine), sum(r.days for r in mine),
        )  # fmt: skip
        lines += [line] if line.sold or line.on_offer or line.days else []
    yield from sorted(lines, key=lambda line: -line.got)
