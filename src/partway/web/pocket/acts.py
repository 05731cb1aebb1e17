"""What carries out each sort of entry: the action and the body of its address in the JSON interface, and no other."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from partway.actions.bench import finds, selling
from partway.actions.books import money, notes
from partway.actions.buyers import quoting
from partway.actions.haul import tickets
from partway.actions.pocket.intents import Act
from partway.actions.recording.context import Context, Recorded, when
from partway.actions.saying.say import say
from partway.ledger.book import Book
from partway.web.api.bodies import Body, read_body
from partway.web.bench.bodies import FindBody, SellBody, TestBody, WeighBody
from partway.web.books.bodies import HoursBody, NoteBody, SpendBody
from partway.web.buyers.bodies import QuoteBody, TicketBody
from partway.web.home.say_bodies import SayBody

NO_PRICE = {"price": "no"}  # what a buyer no longer takes


def act_of(body: type[Body], action: Callable[..., Recorded[Any]], **otherwise: str) -> Act:
    """The act of an address whose body has the arguments of its action; `otherwise` where the body leaves them out."""

    def act(book: Book, context: Context, given: Mapping[str, Any]) -> Recorded[Any]:
        read = read_body(body, {**otherwise, **given})
        return action(book, _on(context, read.on), **read.given())

    return act


def _say(book: Book, context: Context, given: Mapping[str, Any]) -> Recorded[Any]:
    read = read_body(SayBody, given)
    answers = {one.option: one.answer for one in read.answers}
    return say(book, _on(context, read.on), read.text, answers, read.language)


def _on(context: Context, on: str) -> Context:
    """At another day or time where the entry says so, as counted from when it was noted."""
    return replace(context, happened=when(on, context.clock())) if on.strip() else context


ACTS: Mapping[str, Act] = {
    "found": act_of(FindBody, finds.find),
    "tested": act_of(TestBody, finds.test),
    "weighed": act_of(WeighBody, finds.weigh),
    "quoted": act_of(QuoteBody, quoting.quote),
    "refused": act_of(QuoteBody, quoting.quote, **NO_PRICE),
    "ticketed": act_of(TicketBody, tickets.ticket),
    "sold": act_of(SellBody, selling.sell),
    "spent": act_of(SpendBody, money.spend),
    "worked": act_of(HoursBody, money.hours),
    "noted": act_of(NoteBody, notes.note),
    "said": _say,
}
