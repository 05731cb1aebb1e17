"""Place cards: what was filled in about the place, what was not, and what is to be looked up again."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from partway.catalogue import shipped
from partway.ledger.book import Book
from partway.ledger.events.kinds import Ruled
from partway.ledger.fold.rules import rules
from partway.things.placecard import PlaceCard

OLD_DAYS = 365  # after which a rule is to be looked up again (common practice, no source)
NEVER_ADVICE = "Never advice: fill in what your place says, where that is written, and the day you looked it up."

Standing = Literal["filled in", "not filled in", "look again"]


@dataclass(frozen=True, slots=True)
class PlaceLine:
    """One question about the place; `says`, `source`, `seen` and `days` are null until it is filled in."""

    id: str
    name: str
    question: str
    why: str
    standing: Standing
    says: str | None
    source: str | None
    seen: str | None
    days: int | None


@dataclass(frozen=True, slots=True)
class PlaceCards:
    """All place cards; what is older than `old_days` is to be looked up again (common practice, no source)."""

    on: str
    note: str
    old_days: int
    cards: tuple[PlaceLine, ...]


def report_place_cards(book: Book, on: dt.date) -> PlaceCards:
    """Every card as of a day; one that a later partway asked about is not lost, and comes last."""
    said, known = rules(book), shipped().place_cards
    lines = [_line(card, said.get(card.id), on) for card in known.values()]
    lines += [_line(PlaceCard(i, i, "", ""), rule, on) for i, rule in said.items() if i not in known]
    return PlaceCards(on.isoformat(), NEVER_ADVICE, OLD_DAYS, tuple(lines))


def to_fill_in(book: Book, on: dt.date) -> tuple[str, ...]:
    """Ids of the cards that are not filled in, or are to be looked up again."""
    return tuple(line.id for line in report_place_cards(book, on).cards if line.standing != "filled in")


def _line(card: PlaceCard, rule: Ruled | None, on: dt.date) -> PlaceLine:
    if rule is None:
        return PlaceLine(card.id, card.name, card.question, card.why, "not filled in", None, None, None, None)
    days = (on - rule.seen).days
    standing: Standing = "look again" if days > OLD_DAYS else "filled in"
    seen = rule.seen.isoformat()
    return PlaceLine(card.id, card.name, card.question, card.why, standing, rule.says, rule.source, seen, days)
