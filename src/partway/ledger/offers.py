"""What was put on offer by the unit, and what became of it, read from a book."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import cast
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import AskedAnew, Listed, Parted, Returned, TakenDown

KINDS = ("listed", "repriced", "taken-down", "sold", "returned")
Span = tuple[dt.datetime, dt.datetime]


@dataclass(frozen=True, slots=True)
class UnitSale:
    """Units of one piece of a find sold at one price; `back` of them came back since. `asked` is what the offer began
    at, None where it was sold without one.
    """

    event: UUID
    find: str
    what: str
    at: dt.datetime
    count: int
    price: Decimal
    fee: Decimal
    postage: Decimal
    minutes: int
    back: int
    listing: str | None = None
    asked: Decimal | None = None
    part: str = ""

    @property
    def stays(self) -> int:
        """Units that were sold and did not come back."""
        return max(0, self.count - self.back)


@dataclass(frozen=True, slots=True)
class Listing:
    """One listing: `asked` at first and `asking` now, each; `left` units of `count` are on offer still.

    `spans` are the times at which at least one unit was on offer: the last one ends now where `left` is above 0.
    """

    id: str
    find: str
    what: str
    part: str
    count: int
    left: int
    asked: Decimal
    asking: Decimal
    where: str
    bin: str | None
    since: dt.datetime
    minutes: int
    sales: tuple[UnitSale, ...]
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Resale:
    """All offers by id, and all sales by the unit, also those without an offer."""

    offers: dict[str, Listing]
    sales: tuple[UnitSale, ...]

    def on_offer(self) -> tuple[Listing, ...]:
        """Offers with something left, the oldest first."""
        return tuple(sorted((o for o in self.offers.values() if o.left > 0), key=lambda o: (o.since, o.id)))


NOTHING = Resale({}, ())


def resale(book: Book, now: dt.datetime | None = None) -> Resale:
    """What was on offer and sold, as of a time: by default the day of the last entry, so that it hangs on the events
    alone. An offer of what lies in a find ends where nothing of the find is left.
    """
    events = sorted(counting(book, KINDS), key=lambda e: e.position)
    if not events:
        return NOTHING
    if now is None:
        last = book.newest(1)[0]
        now = max(last.happened, last.typed)
    return _Walk(book, events, now).resale()


def on_offer_now(book: Book) -> tuple[Listing, ...]:
    """Listings with something left; quick where nothing was ever listed."""
    return resale(book).on_offer() if book.newest(1, kinds=("listed",)) else ()


class _Walk:
    """Through the events of all offers in their order."""

    def __init__(self, book: Book, events: list[Event], now: dt.datetime) -> None:
        self.book, self.now = book, now
        self.listed: dict[str, tuple[dt.datetime, Listed]] = {}
        self.of: dict[str, list[tuple[dt.datetime, int]]] = {}  # changes of what is on offer, by listing
        self.asking: dict[str, Decimal] = {}
        self.sold: list[Event] = []
        self.back: dict[UUID, int] = {}
        for event in events:
            self._take(event)

    def _take(self, event: Event) -> None:
        what = event.what
        if isinstance(what, Listed):
            self.listed[what.listing] = event.happened, what
            self.asking.setdefault(what.listing, what.asking)
            self._change(what.listing, event, what.count)
        elif isinstance(what, AskedAnew):
            self.asking[what.listing] = what.asking
        elif isinstance(what, TakenDown):
            self._change(what.listing, event, -what.count)
        elif isinstance(what, Parted):
            self.sold.append(event)
            self._change(what.listing, event, -what.count)
        elif isinstance(what, Returned):
            self.back[what.sale] = self.back.get(what.sale, 0) + what.count
            self._change(what.listing, event, what.count)

    def _change(self, listing: str | None, event: Event, units: int) -> None:
        if listing is not None:
            self.of.setdefault(listing, []).append((event.happened, units))

    def resale(self) -> Resale:
        sales = tuple(self._sale(event) for event in self.sold)
        return Resale({name: self._offer(name, sales) for name in self.listed}, sales)

    def _sale(self, event: Event) -> UnitSale:
        what = cast(Parted, event.what)
        listed = self.listed.get(what.listing or "")
        return UnitSale(
            event.id, what.find, what.what, event.happened, what.count, what.price, what.fee, what.postage,
            what.minutes, self.back.get(event.id, 0), what.listing,
            None if listed is None else listed[1].asking, "" if listed is None else listed[1].part,
        )  # fmt: skip

    def _offer(self, name: str, sales: tuple[UnitSale, ...]) -> Listing:
        since, what = self.listed[name]
        gone = None if what.bin else self._gone(what.find)
        left = max(0, sum(units for _, units in self.of[name]))
        return Listing(
            name, what.find, what.what, what.part, what.count, 0 if gone else left, what.asking, self.asking[name],
            what.where, what.bin, since, what.minutes, tuple(sale for sale in sales if sale.listing == name),
            tuple(self._spans(name, min(gone or self.now, self.now))),
        )  # fmt: skip

    def _gone(self, find: str) -> dt.datetime | None:
        """When nothing was left of a find, where that is so."""
        words = [word for word in self.book.words((f"find:{find}",), "closed") if word.subject == f"find:{find}"]
        last = max(words, key=lambda word: word.position, default=None)
        return last.happened if last is not None and last.value == "yes" else None

    def _spans(self, name: str, end: dt.datetime) -> Iterator[Span]:
        there, start = 0, end
        for at, units in sorted(self.of[name]):
            before, there = there, there + units
            if before <= 0 < there:
                start = at
            elif there <= 0 < before and start < min(at, end):
                yield start, min(at, end)
        if there > 0 and start < end:
            yield start, end
