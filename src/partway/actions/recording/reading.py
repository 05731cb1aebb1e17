"""Masses, money, minutes and names as they are typed, read exactly or refused."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from decimal import Decimal, InvalidOperation

from partway.actions.recording.grades import grade_meant
from partway.actions.recording.heard import hearing, litres_heard, or_spoken
from partway.catalogue import Catalogue, shipped
from partway.catalogue.reading.messages import unknown
from partway.display import with_points
from partway.errors import BadQuantity, Hint, Refused
from partway.ledger.book import Book
from partway.ledger.fold.standing import settings
from partway.pricelist.layout.ticket_fees import ticket_fee_in
from partway.quantities import shown, to_mg
from partway.spoken import Hearing, read_day, read_mass, read_minutes, read_money
from partway.spoken.texts import dated
from partway.things.buyers import SHARE_EXAMPLE, read_share
from partway.things.currencies import decimals

MINUTES_MOST = 7 * 24 * 60
MONEY_MOST = Decimal(1_000_000)
BARE = re.compile(r"[+-]?[0-9]*\.?[0-9]+")
TIME = re.compile(r"(?:(\d+(?:\.\d+)?)\s*(?:h|hours?))?\s*(?:(\d+)\s*(?:m|min|minutes?)?)?")
CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)")

Mass = str | int  # text with its unit, or whole milligrams
Money = str | Decimal


def mass_mg(book: Book, given: Mass, where: str, *, positive: bool = True) -> int:
    """Whole milligrams of "12.4 lb", "6lb8oz", "half a pound"; a bare number is in the workspace's unit, if it has one.

    Raises Refused.
    """
    if isinstance(given, int):
        mg = given
    else:
        try:
            mg = to_mg(_with_unit(book, pointed(book, given, where), where), where)
        except BadQuantity as refusal:
            refusal.given = shown(given)  # as it was typed, not as its numerals were read
            mg = to_mg(or_spoken(refusal, lambda: read_mass(str(given), hearing(book), where)), where)
    if mg < 0 or (positive and mg == 0):
        raise Refused(shown(given), f"a mass {'above' if positive else 'of at least'} 0", where)
    return mg


def pointed(book: Book, given: str, where: str) -> str:
    """A text with its numerals written with a point, where the workspace's locale writes them otherwise."""
    locale = settings(book).get("locale")
    return with_points(given, locale, where) if locale else given


def _with_unit(book: Book, text: str, where: str) -> str:
    if not BARE.fullmatch(text.strip()):
        return text
    unit = settings(book).get("unit")
    if unit is None:
        raise Refused(shown(text), 'a mass with its unit, such as "5.2 kg"', where, hint=Hint("set", "unit"))
    return f"{text} {unit}"


def litres(book: Book, given: str, where: str) -> Decimal:
    """Litres above 0 of "1800 L", "50 cu ft", "forty litres", "five US gallons". Raises Refused."""
    return litres_heard(given, hearing(book), where)


def price(book: Book, given: str, where: str, unit: str = "") -> str:
    """A price as typed, with its numerals pointed; a bare number is per one `unit`, by default the workspace's."""
    text = pointed(book, given, where).strip()
    per = unit or settings(book).get("unit", "")
    return f"{text} /{per}" if per and BARE.fullmatch(text) else text


def currency(book: Book, where: str = "currency") -> str:
    """The workspace's currency. Raises Refused where none is set."""
    code = settings(book).get("currency")
    if code is None:
        raise Refused("money without a currency", "a currency for this workspace", where, hint=Hint("set", "currency"))
    return code


def money(book: Book, given: Money, where: str, *, negative: bool = False) -> Decimal:
    """An exact amount in the workspace's currency, such as 12.50, "$14.99" or "30 bucks". Raises Refused."""
    code = currency(book)
    text = _amount_text(book, given, where) if isinstance(given, str) else str(given)
    if text.upper().startswith(code):
        text = text[len(code) :].strip()
    digits = decimals(code)
    try:
        amount = Decimal(text)
    except InvalidOperation:
        refusal = BadQuantity(shown(given), f"an amount in {code}, such as 12.50", where)
        amount = or_spoken(refusal, lambda: read_money(str(given), hearing(book), where))
    if not amount.is_finite() or abs(amount) > MONEY_MOST or (amount < 0 and not negative):
        raise Refused(shown(str(given)), f"an amount from 0 to {MONEY_MOST:,}", where)
    if amount != round(amount, digits):
        raise Refused(shown(str(given)), f"an amount with at most {digits} decimals, as {code} has", where)
    return round(amount, digits)


def _amount_text(book: Book, given: str, where: str) -> str:
    """The text with its numerals pointed; words are left as they are."""
    return given.strip() if not any(sign.isdigit() for sign in given) else pointed(book, given, where).strip()


def minutes(given: str | int, where: str) -> int:
    """Whole minutes from 45, "45 min", "1 h 30", "1.5 h", "1:30" or "an hour and a half". Raises Refused."""
    text = str(given).strip().lower()
    clock, spoken = CLOCK.fullmatch(text), TIME.fullmatch(text)
    if clock:
        value = Decimal(int(clock[1]) * 60 + int(clock[2]))
    elif spoken and (spoken[1] or spoken[2]):
        value = Decimal(spoken[1] or 0) * 60 + int(spoken[2] or 0)
    else:
        refusal = Refused(shown(given), 'a time, such as 45, "1 h 30", "1.5 h" or 1:30', where)
        value = or_spoken(refusal, lambda: read_minutes(text, Hearing(), where))
    if value != int(value) or not 0 <= value <= MINUTES_MOST:
        raise Refused(shown(given), "whole minutes, at most a week", where)
    return int(value)


def day_been(given: str, today: dt.date, where: str) -> dt.date:
    """A day that is not to come: 2026-03-14, "yesterday", "last monday", "nov 20". Raises Refused."""
    day = read_day(given, today, Hearing(), where)
    if not dt.date(1970, 1, 1) <= day <= today:
        raise Refused(dated(day), f"a day that has been, at most {dated(today)}", where)
    return day


def share(given: str, where: str) -> Decimal:
    """A share of a ticket below all of it, "2 %" or 0. Raises Refused."""
    try:
        return read_share(given)
    except ValueError:
        in_words = all(letter.isalpha() or letter in " %" for letter in given)
        said = ticket_fee_in(f"{given} fee", Hearing()) if in_words else None  # "two and a half percent"
        if said is not None and said.share and not said.flat:
            return said.share
        raise Refused(shown(given), f"a share in percent such as {SHARE_EXAMPLE}; 0 for none", where) from None


def count(given: int, where: str) -> int:
    """At least one of something. Raises Refused."""
    if not 1 <= given <= 100_000:
        raise Refused(str(given), "a count of at least 1" if given < 1 else "a count of at most 100,000", where)
    return given


def text(given: str, where: str, most: int = 200) -> str:
    """Printable words of at most so many characters. Raises Refused."""
    if len(given) > most or not given.isprintable():
        raise Refused(shown(given), f"printable text of at most {most} characters", where)
    return given.strip()


def words(given: str, where: str) -> str:
    """Printable words, 1 to 1000 characters, that say something. Raises Refused."""
    if not given.strip() or len(given) > 1000 or not given.isprintable():
        raise Refused(shown(given), "printable text of 1 to 1000 characters", where)
    return given.strip()


def slug(given: str, where: str) -> str:
    """A name as an id: lower-case letters, digits and hyphens. Raises Refused."""
    plain = re.sub(r"[\s_]+", "-", given.strip().lower())
    if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,63}", plain):
        raise Refused(shown(given), "letters, digits and hyphens, at most 64, not starting with a hyphen", where)
    return plain


def one_of(given: str, known: Iterable[str], what: str, where: str, listed: bool = True) -> str:
    """The known id that a text is, or that alone begins so. Raises Refused with the closest or the candidates."""
    ids = sorted(known)
    plain = re.sub(r"[\s_]+", "-", given.strip().lower())
    if plain in ids:
        return plain
    starts = [name for name in ids if plain and name.startswith(plain)]
    if len(starts) == 1:
        return starts[0]
    if starts:
        more = ", ..." if len(starts) > 6 else ""
        raise Refused(shown(given), f"one {what} of several: {', '.join(starts[:6])}{more}", where)
    raise unknown(Refused, given, what, ids, where, listed)


def grade(given: str, where: str, catalogue: Catalogue | None = None) -> str:
    """The id of a grade we know, also by what it is called in a price list. Raises Refused, or Asked for several."""
    return grade_meant(given, where, (catalogue or shipped()).grades)
