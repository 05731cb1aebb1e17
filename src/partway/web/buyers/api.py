"""Writing the trade: buyers and their prices, hauls, tickets, money that came in."""

from __future__ import annotations

from functools import reduce

from partway.actions.books import money
from partway.actions.books.results import MoneyResult
from partway.actions.buyers import buyers
from partway.actions.buyers import price_lists as lists
from partway.actions.buyers.heard import quote_heard
from partway.actions.buyers.results import BuyerResult, QuotesResult
from partway.actions.haul import hauls, tickets
from partway.actions.haul.results import HaulResult, TicketResult
from partway.actions.recording.saved import Saved
from partway.pricelist import PriceLine, answer
from partway.web.api.writing import record, saving, writing
from partway.web.buyers.bodies import BuyerBody, FinishBody, ListBody, PaidBody, QuoteBody, StartBody, TicketBody
from partway.web.buyers.previews import ListRow, rows_of
from partway.web.context import At, RequestContext

router = writing("trade")


@router.post("/buyer")
def buyer(ctx: At, body: BuyerBody) -> Saved[BuyerResult]:
    """Add a buyer, or change its terms."""
    return saving(ctx, lambda: buyers.buyer(ctx.book, ctx.context(body.on), body.buyer, body.terms()))


@router.post("/quote")
def quote(ctx: At, body: QuoteBody) -> Saved[QuotesResult]:
    """Record a price heard. A number alone is asked about where it may be of cents as well as of whole units."""
    return record(ctx, body, quote_heard)


@router.post("/quotes/preview")
def preview_list(ctx: At, body: ListBody) -> tuple[ListRow, ...]:
    """Read a price list without recording it: each line as it is understood, and what it asks."""
    return rows_of(_lines(ctx, body))


@router.post("/quotes")
def save_list(ctx: At, body: ListBody) -> Saved[QuotesResult]:
    """Record a price list as it was dictated or pasted: all of it, or nothing while a line asks something."""
    with ctx.book.deciding():  # a line is understood by the prices heard before
        return saving(ctx, lambda: lists.save_list(ctx.book, ctx.context(body.on), body.buyer, _lines(ctx, body)))


def _lines(ctx: RequestContext, body: ListBody) -> list[PriceLine]:
    lines = lists.read_list(ctx.book, body.buyer, body.text, comma=body.comma, who=ctx.context(body.on).who)
    return reduce(lambda read, said: answer(read, said.position, said.answer), body.answers, lines)


@router.post("/haul/start")
def start(ctx: At, body: StartBody) -> Saved[HaulResult]:
    """Set out on a haul to some buyers."""
    return record(ctx, body, hauls.start)


@router.post("/haul/finish")
def finish(ctx: At, body: FinishBody) -> Saved[HaulResult]:
    """Finish a haul."""
    return record(ctx, body, hauls.finish)


@router.post("/ticket")
def ticket(ctx: At, body: TicketBody) -> Saved[TicketResult]:
    """Record what a yard printed. What does not add up is asked about (`as_printed`)."""
    return record(ctx, body, tickets.ticket)


@router.post("/paid")
def paid(ctx: At, body: PaidBody) -> Saved[MoneyResult]:
    """Record money that came in. More than is owed is asked about (`as_printed`)."""
    return record(ctx, body, money.paid)
