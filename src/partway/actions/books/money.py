"""Money in for tickets, money out, and hours."""

from __future__ import annotations

from decimal import Decimal
from typing import cast, get_args

from partway.actions.bench.finds import open_find
from partway.actions.books.results import HoursResult, MoneyResult
from partway.actions.buyers.buyers import buyer_named
from partway.actions.haul.cash import rounded_off, what_for
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.naming import thing_named
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import ROUNDING, Activity, Paid, Payload, Spent, Worked

ACTIVITIES = get_args(Activity)


@decides()
def paid(
    book: Book,
    context: Context,
    buyer: str,
    amount: reading.Money,
    ticket: str | None = None,
    how: str = "",
    as_printed: bool | None = None,
) -> Recorded[MoneyResult]:
    """Money that came in, for a ticket where one is named or only one is open with the buyer.

    More than the ticket still owes is asked about unless `as_printed`. Cash in the nearest coin pays a ticket in full:
    the cents are booked as rounding, a cost, or below zero where the coin was more.
    """
    of = buyer_named(book, buyer).buyer
    sum_ = reading.money(book, amount, "amount")
    if sum_ == 0:
        raise Refused("0", "an amount above 0", "amount")
    owed = {ticket.id: ticket.open for ticket in trading.owed(book).values() if ticket.buyer == of}
    name = _ticket(book, of, ticket, owed, context.exact)
    left = None if name is None else owed.get(name, Decimal(0))
    said = reading.text(how, "how")
    cents = Decimal(0) if left is None else rounded_off(reading.currency(book), left, sum_, said)
    if left is not None and sum_ > left and not cents and not as_printed:
        given = f"{sum_} for {name}, of which {left} is open"
        choices = (("yes", "it is what came in"),)
        raise Asked(given, f"at most {left}", "amount", "as_printed", choices)
    result = MoneyResult("paid", sum_, name or of, None if left is None else left - sum_ - cents, cents)
    return record(book, context, [Paid(of, sum_, name, said), *_cents(book, of, name, cents)], result)


def _cents(book: Book, buyer: str, ticket: str | None, cents: Decimal) -> list[Payload]:
    """What rounding leaves open is settled, and is a cost: cash in is what was paid less what was spent."""
    if not cents or ticket is None:
        return []
    what = what_for(reading.currency(book), ticket)
    return [Paid(buyer, cents, ticket, ROUNDING), Spent(what, cents, ROUNDING)]


def _ticket(book: Book, buyer: str, given: str | None, owed: dict[str, Decimal], exact: bool) -> str | None:
    if given is None:
        return next(iter(owed)) if len(owed) == 1 else None
    tickets = trading.tickets(book)
    by_number = [name for name, t in tickets.items() if t.buyer == buyer and t.number and t.number == given]
    if len(by_number) == 1:
        return by_number[0]
    own = {name: ticket for name, ticket in tickets.items() if ticket.buyer == buyer}
    return thing_named(given, own, f"ticket of {buyer}", "ticket", lambda key: f"total {own[key].total}", exact)


def unpaid(book: Book) -> dict[str, Decimal]:
    """What each ticket still owes, those above 0."""
    return {ticket.id: ticket.open for ticket in trading.owed(book).values()}


@decides()
def spend(
    book: Book, context: Context, what: str, amount: reading.Money, category: str = "other"
) -> Recorded[MoneyResult]:
    """Money that went out."""
    sum_ = reading.money(book, amount, "amount")
    words = reading.text(what, "what")
    if sum_ == 0 or not words:
        raise Refused("nothing", "what it was and an amount above 0", "spend")
    spent = Spent(words, sum_, reading.slug(category, "category"))
    return record(book, context, [spent], MoneyResult("spent", -sum_, words))


@decides()
def hours(
    book: Book, context: Context, activity: str, minutes: str | int, find: str | None = None, note: str = ""
) -> Recorded[HoursResult]:
    """Time worked, besides what openings, sales and hauls already say."""
    of = cast(Activity, reading.one_of(activity, ACTIVITIES, "activity", "activity"))
    worked = Worked(
        of,
        reading.minutes(minutes, "time"),
        None if find is None else open_find(book, context, find).id,
        reading.text(note, "note"),
    )
    if worked.minutes == 0:
        raise Refused("no time", "at least a minute", "time")
    return record(book, context, [worked], HoursResult(of, worked.minutes, worked.find or ""))
