"""Place cards are filled in: what the rule is here, where it is written, when it was looked up."""

from __future__ import annotations

import datetime as dt

from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.what.results import RuleResult
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Ruled
from partway.ledger.fold.rules import rules


def card_named(given: str, where: str = "place") -> str:
    """The id of the place card that a text names. Raises Refused."""
    return reading.one_of(given, shipped().place_cards, "place card", where)


@decides(shipped)
def fill_in(
    book: Book, context: Context, card: str, says: str, source: str | None, seen: str | None = None
) -> Recorded[RuleResult]:
    """Fill in a place card, or fill it in anew. Nobody remembers where a rule came from, so the source is required."""
    named = card_named(card)
    if source is None:
        raise Refused("no source", "where it is written, such as town by-law 12, section 4", "source")
    rule = Ruled(named, reading.words(says, "says"), reading.words(source, "source"), _seen(context, seen))
    before = rules(book).get(named)
    result = RuleResult(
        named,
        shipped().place_cards[named].name,
        rule.says,
        rule.source,
        rule.seen.isoformat(),
        before.says if before else "",
    )
    return record(book, context, [rule], result)


def _seen(context: Context, text: str | None) -> dt.date:
    """The day it was looked up: the day it happened where nothing else is said, and never one still to come."""
    return reading.day_been(context.day.isoformat() if text is None else text, context.clock().date(), "seen")
