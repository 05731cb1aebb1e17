"""Reading the ledger: the day, the bins, what happened, and what stands."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Annotated

from fastapi import Path, Query

from partway.actions.books.money import unpaid as owed
from partway.actions.books.queries import filters
from partway.actions.recording.naming import key_or_slug
from partway.actions.recording.words import units
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.events.kinds import Quoted, Ticketed, Traded
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow, FindNow
from partway.ledger.fold.things import MARK
from partway.ledger.trading import HaulNow
from partway.reports.bins.listed import Stock, listed
from partway.reports.books.conflicts import ConflictLine
from partway.reports.books.ledger import LedgerLines, report_ledger
from partway.reports.books.overview import Overview
from partway.reports.home.search import Search, search
from partway.reports.home.today import Today
from partway.web.api.bodies import LINE
from partway.web.api.reading import AT_NAME, named, reads
from partway.web.bins import figures
from partway.web.context import At, RequestContext
from partway.web.haul import figures as haul_figures
from partway.web.home import figures as home_figures
from partway.web.serving.failures import NotHere

router = reads("ledger")

Text = Annotated[str | None, Query(max_length=LINE)]
Find = Annotated[str, Path(examples=["stereo-receiver-2"])]
Bin = Annotated[str, Path(examples=["copper-2"])]
Buyer = Annotated[str, Path(examples=["harbour-yard"])]
Ticket = Annotated[str, Path(examples=["ticket-9"])]
Kinds = Annotated[Sequence[str], Query(max_length=20, description="found, opened, sold, quoted ...; again for more.")]


@router.get("/today")
def today(ctx: At) -> Today:
    """The few acts that come next: danger first, then what is due, then what earns most a minute."""
    return home_figures.today(ctx)


@router.get("/overview")
def overview(ctx: At) -> Overview:
    """How everything stands: what can hurt first, then what waits, what is full, whose price is old, what is owed."""
    return home_figures.overview(ctx)


@router.get("/search")
def names(
    ctx: At,
    words: Annotated[str, Query(max_length=LINE, description="Any name, or a part of one.", examples=["copper"])],
) -> Search:
    """Everything that goes by a name: finds, bins and buyers of the ledger, kinds and grades of the catalogue."""
    return search(ctx.called, words)


@router.get("/conflicts")
def conflicts(ctx: At) -> tuple[ConflictLine, ...]:
    """What cannot all be true since devices disagree; correcting one event of each settles it."""
    return ctx.conflicts


@router.get("/stock")
def stock(ctx: At) -> Stock:
    """What is in the bins, and where it sells best."""
    return listed(figures.bins(ctx), ctx.show.say.currency, ctx.show.say.unit)


@router.get("/ledger")
def ledger(
    ctx: At,
    kind: Annotated[
        list[str], Query(max_length=20, description="found, opened, sold, quoted ...; again for more.")
    ] = [],  # noqa: B006 (FastAPI copies it)
    about: Annotated[Text, Query(description="A find, bin, buyer, haul or ticket: microwave-3, bin:copper-2.")] = None,
    since: Annotated[Text, Query(description="From this day or time on.")] = None,
    until: Annotated[Text, Query(description="Before this day or time.")] = None,
    last: Annotated[int, Query(ge=1, le=10_000, description="How many.")] = 20,
) -> LedgerLines:
    """What happened, in words, the latest at the end; `id` is what /api/correct takes."""
    chosen = filters(ctx.book, ctx.now, kind, about, since, until)
    return report_ledger(ctx.book, units(ctx.book), ctx.now.tzinfo, **chosen, most=last)


@router.get("/finds")
def finds(ctx: At) -> tuple[FindNow, ...]:
    """The finds that are there still."""
    return tuple(ctx.finds.values())


@router.get("/finds/{find}", responses=AT_NAME)
def one_find(ctx: At, find: Find) -> FindNow:
    """One find, also one of which nothing is left."""
    return find_of(ctx, find)


def find_of(ctx: RequestContext, find: str) -> FindNow:
    """The find of a name. Raises NotHere."""
    try:
        known = standing.find_ids(ctx.book) if MARK in find else ()
        return standing.find(ctx.book, key_or_slug(find, known, "find"))
    except (KeyError, Refused):
        raise NotHere(f'"{find[:80]}"', "a find of this workspace", "find") from None


@router.get("/bins")
def bins(ctx: At) -> tuple[BinNow, ...]:
    """All bins, empty ones too."""
    return tuple(ctx.bins.values())


@router.get("/bins/{bin}", responses=AT_NAME)
def one_bin(ctx: At, bin: Bin) -> BinNow:  # noqa: A002 (its name in the address)
    """One bin."""
    return named(ctx.bins, bin, "bin")


@router.get("/buyers")
def buyers(ctx: At) -> tuple[Traded, ...]:
    """Buyers with their terms."""
    return tuple(ctx.buyers.values())


@router.get("/buyers/{buyer}", responses=AT_NAME)
def one_buyer(ctx: At, buyer: Buyer) -> Traded:
    """One buyer's terms."""
    return named(ctx.buyers, buyer, "buyer")


@router.get("/quotes")
def quotes(
    ctx: At,
    buyer: Annotated[str, Query(max_length=LINE, description="Of this buyer only.", examples=["harbour-yard"])] = "",
    grade: Annotated[str, Query(max_length=LINE, description="For this grade only.", examples=["copper-2"])] = "",
) -> tuple[Quoted, ...]:
    """The last word on each buyer, grade and tier; without a price where the grade is no longer taken."""
    wanted = (quote for quote in trading.quotes(ctx.book) if grade in {"", quote.grade})
    return tuple(quote for quote in wanted if buyer in {"", quote.buyer})


@router.get("/hauls")
def hauls(ctx: At) -> tuple[HaulNow, ...]:
    """Hauls, under way and finished."""
    return tuple(haul_figures.hauls(ctx).values())


@router.get("/tickets")
def tickets(ctx: At) -> tuple[Ticketed, ...]:
    """What yards printed."""
    return tuple(trading.tickets(ctx.book).values())


@router.get("/tickets/{ticket}", responses=AT_NAME)
def one_ticket(ctx: At, ticket: Ticket) -> Ticketed:
    """One ticket."""
    return named(trading.tickets(ctx.book), ticket, "ticket")


@router.get("/unpaid")
def unpaid(ctx: At) -> dict[str, Decimal]:
    """What is still owed, by ticket."""
    return owed(ctx.book)
