"""What is on offer by the unit, as a page or a command shows it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from partway.ledger.book import Book
from partway.things.scenario import Scenario
from partway.valuing.learned.offers import AskedAgainstGot, Expected, OnOffer, asked_against_got, on_offer
from partway.valuing.learned.resale import ResaleLearned

Money = Callable[[float], str]


@dataclass(frozen=True, slots=True)
class OffersReport:
    """All that is on offer, the oldest first, and by kind what was asked against what was got."""

    offers: tuple[OnOffer, ...]
    kinds: tuple[AskedAgainstGot, ...]


def report_offers(book: Book, scenario: Scenario, now: dt.datetime) -> OffersReport:
    """As of now; `scenario` is today's, of the ledger."""
    return OffersReport(on_offer(book, scenario, now), tuple(asked_against_got(ResaleLearned.of(book, now))))


def offer_words(line: OnOffer, money: Money) -> str:
    """One listing in words: what it is, what is asked, since when, and what to do."""
    units = f"{line.left} × " if line.left > 1 else ""
    first = f" ({money(line.asked)} at first)" if line.asked != line.asking else ""
    where = f", {line.where}" if line.where else ""
    days = "since today" if line.days == 0 else f"for {line.days} {'day' if line.days == 1 else 'days'}"
    return f"{units}{line.name} at {money(line.asking)}{first}{where}, {days}. {advice_words(line, money)}"


def advice_words(line: OnOffer, money: Money) -> str:
    """What to do with a listing, in a sentence."""
    if line.advice == "take-down":
        return "Take it down: it brings more for parts or by the kilogram than waiting is worth."
    if line.expected is None:
        return "No estimate of what it fetches."
    if line.advice == "cut":
        return f"Ask {money(line.expected.ask)}: {expected_words(line.expected, money)}."
    return f"Wait: {expected_words(line.expected, money)}."


def expected_words(expected: Expected, money: Money) -> str:
    """What one is expected to fetch, by how many of one's own sales, and how long it takes."""
    span = f", {money(expected.low)} to {money(expected.high)}" if expected.low and expected.high else ""
    sells = f"{expected.chance:.0%} sell, in {expected.days:.0f} days on average"
    return f"fetches {money(expected.price)}{span}; {sells} ({own_words(expected)})"


def own_words(expected: Expected) -> str:
    """On what of one's own an expectation stands."""
    if not expected.priced and not expected.days_on_offer:
        return "none of yours yet"
    days = f" in {expected.days_on_offer:.0f} days on offer" if expected.days_on_offer >= 1.0 else ""
    return f"{expected.priced} sold by you{days}"


def asking_words(expected: Expected, money: Money) -> str:
    """What to ask, and why: got against asked."""
    got = expected.got_of_asked
    why = "" if got is None else f"; you got {100 * got:.0f} of 100 asked"
    return f"Ask {money(expected.ask)}: {expected_words(expected, money)}{why}."
