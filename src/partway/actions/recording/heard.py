"""What is typed or dictated in the words of people, heard in a workspace: its currency, unit and decimal mark."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TypeVar

from partway.display import decimal_comma
from partway.errors import BadQuantity, Refused
from partway.ledger.book import Book
from partway.ledger.fold.driving import distance_unit
from partway.ledger.fold.standing import settings
from partway.quantities import EACH, parse_price, parse_volume, plain_text, shown
from partway.spoken import Hearing, NotUnderstood, SaidPrice, read_price, read_volume

T = TypeVar("T")


def hearing(book: Book) -> Hearing:
    """What a text is heard against in a workspace."""
    known = settings(book)
    locale = known.get("locale")
    comma = locale is not None and decimal_comma(locale)
    return Hearing(known.get("currency", ""), known.get("unit", ""), comma, distance_unit(known))


def or_spoken(refusal: Refused, spoken: Callable[[], T]) -> T:
    """What the words of a text mean that is no plain quantity. Raises the refusal, with what was understood of it."""
    try:
        return spoken()
    except NotUnderstood as error:
        said = f"{refusal.expected}; {error.understood}" if error.understood else refusal.expected
        raise type(refusal)(refusal.given, said, refusal.where, says=refusal.says, hint=refusal.hint) from None


def litres_heard(given: str, heard: Hearing, where: str) -> Decimal:
    """Litres above 0 of a text in digits or words. Raises Refused."""
    try:
        return parse_volume(given, where, positive=True)
    except BadQuantity as refusal:
        if any(sign.isdigit() for sign in given):
            raise
        found = or_spoken(refusal, lambda: read_volume(given, heard, where))
        return parse_volume(f"{found} L", where, positive=True)


def plain_price(book: Book, given: str, currency: str, where: str, per: str = "") -> str:
    """A price in words as the digits, slash and unit that it means: "a buck ninety" is "1.90 /lb".

    What is a plain price is left as it is; a bare one is per `per`, by default the workspace's unit. Raises Refused.
    """
    try:
        _parsed(given, currency, where)
    except BadQuantity as refusal:
        return or_spoken(refusal, lambda: _written(read_price(given, hearing(book), where), book, given, where, per))
    return given


def is_plain(given: str, currency: str) -> bool:
    """Whether a price is taken as it is written: an amount and what it is per, with nothing to be heard in it."""
    try:
        _parsed(given, currency, "price")
    except BadQuantity:
        return False
    return True


def _parsed(given: str, currency: str, where: str) -> None:
    each = EACH.fullmatch(given.strip())
    parse_price(f"{each[1]} /kg" if each else given, currency, where)


def price_ends(book: Book, given: str, where: str) -> tuple[str, str] | None:
    """Both ends of a price that is a range, each as a plain price; None for anything else."""
    try:
        said = read_price(given, hearing(book), where)
    except BadQuantity:
        return None
    ends = said.heard.ends_at(said.heard.readings[0])
    if ends is None:
        return None
    low, high = (_amount(end, said, book, given, where, "") for end in ends)
    return low, high


def _written(said: SaidPrice, book: Book, given: str, where: str, per: str) -> str:
    return _amount(said.heard.readings[0], said, book, given, where, per)


def _amount(amount: Decimal, said: SaidPrice, book: Book, given: str, where: str, per: str) -> str:
    """An amount with what it is per."""
    unit = said.per
    if unit is not None and unit.fault:
        raise BadQuantity(shown(given), f"a price for a unit of mass, which {shown(unit.fault)} is not", where)
    if unit is not None and len(unit.units) > 1:
        raise BadQuantity(shown(given), f"{', '.join(unit.units[:-1])} or {unit.units[-1]}: which one", where)
    if unit is not None and unit.each:
        return f"{plain_text(amount)} each"
    of = unit.units[0] if unit is not None else per or settings(book).get("unit", "")
    if not of:
        raise BadQuantity(shown(given), "what the price is per, such as /lb", where)
    return f"{plain_text(amount / (unit.count if unit is not None else 1))} /{of}"
