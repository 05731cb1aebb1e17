"""Writing the trade: buyers and their prices, hauls, tickets, money that came in."""

from __future__ import annotations

from functools import reduce

from partway.actions.books import money
from partway.actions.books.results import MoneyResult
from partway.actions.buyers import buyers, quoting
from partway.actions.buyers import price_lists as lists
from partway.actions.buyers.results import BuyerResult, QuotesResult
from partway.actions.haul import hauls, tickets
from partway.actions.haul.results import HaulResult, TicketResult
from partway.actions.recording.saved import Saved
from partway.pricelist import Line, answer
from partway.web.api.writing import record, saving, writing
from partway.web.buyers.bodies import BuyerBody, FinishBody, ListBody, PaidBody, QuoteBody, StartBody, TicketBody
from partway.web.buyers.previews import ListRow, rows_of
from partway.web.desk import At, Desk

router = writing("trade")


@router.post("/buyer")
def buyer(desk: At, body: BuyerBody) -> Saved[BuyerResult]:
    """Add a buyer, or change its terms."""
    return saving(desk, lambda: buyers.buyer(desk.book, desk.context(body.on), body.buyer, body.terms()))


@router.post("/quote")
def quote(desk: At, body: QuoteBody) -> Saved[QuotesResult]:
    """Record a price heard."""
    return record(desk, body, quoting.quote)


@router.post("/quotes/preview")
def preview_list(desk: At, body: ListBody) -> tuple[ListRow, ...]:
    """Read a price list without recording it: each line as it is understood, and what it asks."""
    return rows_of(_lines(desk, body))


@router.post("/quotes")
def save_list(desk: At, body: ListBody) -> Saved[QuotesResult]:
    """Record a price list as it was dictated or pasted: all of it, or nothing while a line asks something."""
    with desk.book.deciding():  # a line is understood by the prices heard before
        return saving(desk, lambda: lists.save_list(desk.book, desk.context(body.on), body.buyer, _lines(desk, body)))


def _lines(desk: Desk, body: ListBody) -> list[Line]:
    lines = lists.read_list(desk.book, body.buyer, body.text, comma=body.comma)
    return reduce(lambda read, said: answer(read, said.position, said.answer), body.answers, lines)


@router.post("/haul/start")
def start(desk: At, body: StartBody) -> Saved[HaulResult]:
    """Set out on a haul to some buyers."""
    return record(desk, body, hauls.start)


@router.post("/haul/finish")
def finish(desk: At, body: FinishBody) -> Saved[HaulResult]:
    """Finish a haul."""
    return record(desk, body, hauls.finish)


@router.post("/ticket")
def ticket(desk: At, body: TicketBody) -> Saved[TicketResult]:
    """Record what a yard printed. What does not add up is asked about (`as_printed`)."""
    return record(desk, body, tickets.ticket)


@router.post("/paid")
def paid(desk: At, body: PaidBody) -> Saved[MoneyResult]:
    """Record money that came in. More than is owed is asked about (`as_printed`)."""
    return record(desk, body, money.paid)
