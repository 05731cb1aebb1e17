"""Reading the ledger: the day, the bins, what happened, and what stands."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Annotated

from fastapi import Path, Query

from partway.actions.books.money import unpaid as owed
from partway.actions.books.queries import filters
from partway.actions.recording.naming import key_or_slug
from partway.actions.recording.words import unit
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.events.kinds import Quoted, Ticketed, Traded
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow, FindNow
from partway.ledger.fold.things import MARK
from partway.ledger.trading import HaulNow
from partway.reports.bins.listed import Stock, listed
from partway.reports.books.conflicts import ConflictLine
from partway.reports.books.ledger import LedgerPage, report_ledger
from partway.reports.home.today import Today, report_today
from partway.web.api.bodies import LINE
from partway.web.api.reading import AT_NAME, named, reads
from partway.web.bins import figures
from partway.web.desk import At, Desk
from partway.web.serving.failures import NotHere

router = reads("ledger")

Text = Annotated[str | None, Query(max_length=LINE)]
Find = Annotated[str, Path(examples=["microwave-16"])]
Bin = Annotated[str, Path(examples=["copper-2"])]
Buyer = Annotated[str, Path(examples=["harbour-yard"])]
Ticket = Annotated[str, Path(examples=["ticket-9"])]
Kinds = Annotated[Sequence[str], Query(max_length=20, description="found, opened, sold, quoted ...; again for more.")]


@router.get("/today")
def today(desk: At) -> Today:
    """What matters now: what can hurt first, then what waits, what is full, what is stale, what is owed."""
    return report_today(desk.book, desk.scenario, desk.now)


@router.get("/conflicts")
def conflicts(desk: At) -> tuple[ConflictLine, ...]:
    """What cannot all be true since devices disagree; correcting one event of each settles it."""
    return desk.conflicts


@router.get("/stock")
def stock(desk: At) -> Stock:
    """What is in the bins, and where it sells best."""
    return listed(figures.bins(desk), desk.show.say.currency, desk.show.say.unit)


@router.get("/ledger")
def ledger(
    desk: At,
    kind: Annotated[
        list[str], Query(max_length=20, description="found, opened, sold, quoted ...; again for more.")
    ] = [],  # noqa: B006 (FastAPI copies it)
    about: Annotated[Text, Query(description="A find, bin, buyer, haul or ticket: microwave-3, bin:copper-2.")] = None,
    since: Annotated[Text, Query(description="From this day or time on.")] = None,
    until: Annotated[Text, Query(description="Before this day or time.")] = None,
    last: Annotated[int, Query(ge=1, le=10_000, description="How many.")] = 20,
) -> LedgerPage:
    """What happened, in words, the latest at the end; `id` is what /api/correct takes."""
    chosen = filters(desk.book, desk.now, kind, about, since, until)
    return report_ledger(desk.book, unit(desk.book), desk.now.tzinfo, **chosen, most=last)


@router.get("/finds")
def finds(desk: At) -> tuple[FindNow, ...]:
    """The finds that are there still."""
    return tuple(standing.finds(desk.book).values())


@router.get("/finds/{find}", responses=AT_NAME)
def one_find(desk: At, find: Find) -> FindNow:
    """One find, also one of which nothing is left."""
    return find_of(desk, find)


def find_of(desk: Desk, find: str) -> FindNow:
    """The find of a name. Raises NotHere."""
    try:
        known = standing.find_ids(desk.book) if MARK in find else ()
        return standing.find(desk.book, key_or_slug(find, known, "find"))
    except (KeyError, Refused):
        raise NotHere(f'"{find[:80]}"', "a find of this workspace", "find") from None


@router.get("/bins")
def bins(desk: At) -> tuple[BinNow, ...]:
    """All bins, empty ones too."""
    return tuple(standing.bins(desk.book).values())


@router.get("/bins/{bin}", responses=AT_NAME)
def one_bin(desk: At, bin: Bin) -> BinNow:  # noqa: A002 (its name in the address)
    """One bin."""
    return named(standing.bins(desk.book), bin, "bin")


@router.get("/buyers")
def buyers(desk: At) -> tuple[Traded, ...]:
    """Buyers with their terms."""
    return tuple(trading.buyers(desk.book).values())


@router.get("/buyers/{buyer}", responses=AT_NAME)
def one_buyer(desk: At, buyer: Buyer) -> Traded:
    """One buyer's terms."""
    return named(trading.buyers(desk.book), buyer, "buyer")


@router.get("/quotes")
def quotes(
    desk: At,
    buyer: Annotated[str, Query(max_length=LINE, description="Of this buyer only.", examples=["harbour-yard"])] = "",
    grade: Annotated[str, Query(max_length=LINE, description="For this grade only.", examples=["copper-2"])] = "",
) -> tuple[Quoted, ...]:
    """The last word on each buyer, grade and tier; without a price where the grade is no longer taken."""
    wanted = (quote for quote in trading.quotes(desk.book) if grade in {"", quote.grade})
    return tuple(quote for quote in wanted if buyer in {"", quote.buyer})


@router.get("/hauls")
def hauls(desk: At) -> tuple[HaulNow, ...]:
    """Hauls, under way and finished."""
    return tuple(trading.hauls(desk.book).values())


@router.get("/tickets")
def tickets(desk: At) -> tuple[Ticketed, ...]:
    """What yards printed."""
    return tuple(trading.tickets(desk.book).values())


@router.get("/tickets/{ticket}", responses=AT_NAME)
def one_ticket(desk: At, ticket: Ticket) -> Ticketed:
    """One ticket."""
    return named(trading.tickets(desk.book), ticket, "ticket")


@router.get("/unpaid")
def unpaid(desk: At) -> dict[str, Decimal]:
    """What is still owed, by ticket."""
    return owed(desk.book)
