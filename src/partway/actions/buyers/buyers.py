"""Buyers and their terms, and what they quote."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from decimal import Decimal, InvalidOperation
from typing import Any, cast, get_args

from partway.actions.buyers.results import BuyerResult
from partway.actions.home.distances import km
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.heard import or_spoken
from partway.actions.recording.said_amounts import number_said
from partway.catalogue import shipped
from partway.errors import Hint, Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import BuyerKind, Postage, Traded
from partway.quantities import shown
from partway.things.buyers import PHONE_EXAMPLE, read_phone
from partway.things.limits.opening import EXAMPLE, read_opening

KINDS = get_args(BuyerKind)
DAY = 1440  # minutes
KM_MOST = Decimal(20040)  # half way round the earth
SAME = "same"  # the way back is as long as the way there; a form says it by an empty field


@dataclass(frozen=True, slots=True)
class Terms:
    """What was said of a buyer, as it was typed; None for what was not."""

    kind: str | None = None
    name: str | None = None
    km: str | None = None
    at: str | None = None
    minutes: str | None = None
    refuses: Sequence[str] | None = None
    shipping: Sequence[tuple[str, str]] | None = None  # up to, cost
    note: str | None = None
    open: Sequence[str] | None = None
    phone: str | None = None
    ticket_fee: reading.Money | None = None
    ticket_share: str | None = None
    back_km: str | None = None


@decides(shipped)
def buyer(book: Book, context: Context, buyer_id: str, terms: Terms) -> Recorded[BuyerResult]:
    """Add a buyer, which needs at least its kind, or change its terms; what is not said stays as it was."""
    known = trading.buyers(book)
    wanted = reading.slug(buyer_id, "buyer")
    before = known.get(wanted)
    if before is None and terms.kind is None:
        raise Refused(f"{shown(buyer_id)} without a kind", _new_or_known(known), "kind")
    if wanted == "home":
        raise Refused('"home"', "another name: home is where trips start", "buyer")
    if wanted == "end" and before is None:
        raise Refused('"end"', "another name: end is where trips end", "buyer")
    traded = _said(book, before or Traded(wanted, cast(BuyerKind, terms.kind)), terms)
    if traded.shipping and traded.kind != "mail-in":
        raise Refused(f"postage for a {traded.kind}", "postage only where the kind is mail-in", "shipping")
    base = before or Traded(wanted, traded.kind)
    changed = tuple(f.name for f in fields(Traded) if getattr(traded, f.name) != getattr(base, f.name))
    return record(book, context, [traded], BuyerResult(wanted, traded.kind, before is None, changed))


def _new_or_known(known: dict[str, Traded]) -> str:
    ids = f", or one of {', '.join(known)}" if known else ""
    return f"the kind of a new buyer ({', '.join(KINDS)}){ids}"


def _said(book: Book, base: Traded, terms: Terms) -> Traded:
    changes: dict[str, Any] = {}
    if terms.kind is not None:
        changes["kind"] = reading.one_of(terms.kind, KINDS, "kind of buyer", "kind")
    for name, read in (("name", reading.text), ("note", reading.text), ("phone", _phone)):
        if (words := getattr(terms, name)) is not None:
            changes[name] = read(words, name)
    changes |= _fees(book, terms)
    changes |= _way(book, terms)
    if terms.minutes is not None:
        changes["minutes"] = _on_site(terms.minutes)
    if terms.refuses is not None:
        changes["refuses"] = tuple(_refusal(name) for name in terms.refuses if name)
    if terms.open is not None:
        changes["open"] = tuple(_hours(text) for text in terms.open if text.strip())
    if terms.shipping is not None:
        changes["shipping"] = _postage(book, terms.shipping)
    return replace(base, **changes)


def _fees(book: Book, terms: Terms) -> dict[str, Decimal]:
    """What is kept back of tickets; an empty text, as a form sends it, is none."""
    fees = {}
    if terms.ticket_fee is not None:
        flat = terms.ticket_fee.strip() or "0" if isinstance(terms.ticket_fee, str) else terms.ticket_fee
        fees["ticket_fee"] = reading.money(book, flat, "ticket_fee")
    if terms.ticket_share is not None:
        fees["ticket_share"] = reading.share(terms.ticket_share, "ticket_share")
    return fees


def _way(book: Book, terms: Terms) -> dict[str, Any]:
    """How far it is, there and back, and where it lies."""
    changes: dict[str, Any] = {}
    if terms.km is not None:
        changes["km"] = km(book, terms.km, "km", KM_MOST)
    if terms.back_km is not None:
        alike = terms.back_km.strip().lower() in ("", SAME)
        changes["back_km"] = None if alike else km(book, terms.back_km, "back_km", KM_MOST)
    if terms.at is not None:
        changes["at"] = point(terms.at, "at")
    return changes


def _on_site(text: str) -> int:
    minutes = reading.minutes(text, "minutes")
    if minutes > DAY:
        raise Refused(shown(text), "at most a day", "minutes")
    return minutes


def _hours(text: str) -> str:
    try:
        read_opening(text)
    except ValueError:
        raise Refused(shown(text), f"opening hours such as {EXAMPLE}", "open") from None
    return " ".join(text.lower().split())


def _phone(text: str, where: str) -> str:
    plain = " ".join(text.split())
    try:
        if plain:
            read_phone(plain)
    except ValueError:
        raise Refused(shown(text), f"a telephone number such as {PHONE_EXAMPLE}; empty for none", where) from None
    return plain


def _refusal(name: str) -> str:
    catalogue = shipped()
    families = {grade.family for grade in catalogue.grades.values()}
    known = {*catalogue.grades, *families, *catalogue.cautions} - {""}
    return reading.one_of(name, known, "grade, family or hazard", "refuses")


def _postage(book: Book, steps: Sequence[tuple[str, str]]) -> tuple[Postage, ...]:
    found: list[Postage] = []
    for up_to, cost in steps:
        step = Postage(reading.mass_mg(book, up_to, "shipping"), reading.money(book, cost, "shipping"))
        if found and step.up_to_mg <= found[-1].up_to_mg:
            raise Refused(shown(up_to), "more than the step before it", "shipping")
        found.append(step)
    return tuple(found)


def number(text: str, where: str, most: Decimal, least: Decimal = Decimal(0)) -> Decimal:
    """A number within bounds, in digits or words. Raises Refused."""
    expected = f"a number from {least:f} to {most:f}"
    try:
        value = Decimal(text.strip())
    except InvalidOperation:
        value = or_spoken(Refused(shown(text), expected, where), lambda: number_said(text, where))
    if not value.is_finite() or not least <= value <= most:
        raise Refused(shown(text), expected, where)
    return value


def point(text: str, where: str) -> tuple[Decimal, Decimal]:
    """Latitude and longitude in degrees: "30.65, -40.57". Raises Refused."""
    parts = text.strip("[] ").split(",")
    if len(parts) != 2:
        raise Refused(shown(text), 'latitude and longitude in degrees, such as "30.65, -40.57"', where)
    return number(parts[0], where, Decimal(90), Decimal(-90)), number(parts[1], where, Decimal(180), Decimal(-180))


def buyer_to_show(book: Book, given: str) -> str:
    """The buyer that a text names; what names none is refused as a new one without its kind. Raises Refused."""
    known = trading.buyers(book)
    try:
        return reading.one_of(given, known, "buyer", "buyer")
    except Refused:
        if reading.slug(given, "buyer") and any(name.startswith(given.strip().lower()) for name in known):
            raise
        raise Refused(f"{shown(given)} without a kind", _new_or_known(known), "kind") from None


def buyer_named(book: Book, given: str, where: str = "buyer") -> Traded:
    """The buyer that a text names. Raises Refused."""
    known = trading.buyers(book)
    if not known:
        raise Refused(shown(given), "a buyer, and there is none yet", where, hint=Hint("new-buyer"))
    return known[reading.one_of(given, known, "buyer", where)]
