"""What may stand in each field of an event, as JSON: one reader per sort of value, chosen by type and name.

A reader takes the value from JSON and returns it as the dataclass has it, or raises Bad. Whoever reads what lies
around the value adds where it was, so that nothing is spent on a message until there is one to write.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any
from uuid import UUID

from partway.ledger.events.ids import is_event_id
from partway.photographs.photograph import DIGEST
from partway.things.buyers import PHONE_EXAMPLE, read_phone
from partway.things.limits.opening import EXAMPLE, read_opening

LARGEST_MG = 10**13  # 10,000 tonnes, the largest mass in quantities
LARGEST_COUNT = 10**6
LARGEST_MINUTES = 10**6  # two years of one activity in one entry
LONGEST_ID = 80
LONGEST_TEXT = 2000
LONGEST_LIST = 1000
LONGEST_ANATOMY = (
    40_000  # characters of TOML; the longest kind that ships has a quarter of it, its components written out
)
YEARS = range(1970, 2200)  # version 7 UUIDs begin in 1970
NUMBER = r"(?:0|[1-9][0-9]{0,9})"
MONEY = re.compile(rf"-?{NUMBER}(?:\.[0-9]{{1,6}})?")
FINE = re.compile(rf"-?{NUMBER}(?:\.[0-9]{{1,18}})?")
TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{1,6})?(?:Z|[+-][0-9]{2}:[0-9]{2})")
PLAIN_WORD = re.compile(r"(?:[a-z0-9][a-z0-9-]{0,39})?")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
DEVICE = re.compile("[0-9a-f]{8}")
SORTS = ("find", "bin", "haul", "ticket", "listing", "round")  # of subjects that some event makes
UUID_TEXT = re.compile("[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")

Read = Callable[[Any], Any]


class Bad(Exception):
    """A value that is refused; `path` grows from the inside out."""

    def __init__(self, given: object, expected: str, path: str = "") -> None:
        super().__init__(expected)
        self.given, self.expected, self.path = given, expected, path

    def inside(self, name: str) -> Bad:
        """The same, one level further out."""
        self.path = name + (self.path if self.path.startswith("[") or not self.path else f".{self.path}")
        return self


def whole(least: int, most: int, what: str) -> Read:
    """A whole number from `least` to `most`; true and false are none."""

    def read(value: Any) -> int:
        if type(value) is not int or not least <= value <= most:
            raise Bad(value, f"{what}: a whole number from {least} to {most}")
        return value

    return read


def decimal(pattern: re.Pattern[str], least: Decimal | None, most: Decimal | None, what: str) -> Read:
    """An exact decimal as text, such as "4.10"; never a JSON number, which may have gone through a float."""
    bounds = "" if least is None else f", at least {least}"
    bounds += "" if most is None else f", at most {most}"
    places = 6 if pattern is MONEY else 18
    expected = f'{what} as text such as "4.10", up to 10 digits before and {places} after the point{bounds}'

    def read(value: Any) -> Decimal:
        if type(value) is not str or pattern.fullmatch(value) is None:
            raise Bad(value, expected)
        number = Decimal(value)
        if (least is not None and number < least) or (most is not None and number > most):
            raise Bad(value, expected)
        return number

    return read


def identifier(value: Any) -> str:
    """The id of a find, bin, buyer, grade, ...: it becomes part of the name of a place, so it holds no colon."""
    if type(value) is str and 0 < len(value) <= LONGEST_ID and _is_plain(value):
        return value
    raise Bad(value, f"1 to {LONGEST_ID} printable characters without a colon or spaces around them")


# Emoji are joined and scripts are ordered with these; other invisible characters could disguise a text.
_JOINERS = dict.fromkeys(map(ord, "\u200c\u200d\u200e\u200f"))


def _is_plain(text: str) -> bool:
    return text.isprintable() and ":" not in text and text.strip() == text


def _is_safe(text: str) -> bool:
    return text.isprintable() or text.translate(_JOINERS).replace("\n", " ").replace("\t", " ").isprintable()


SIGNS = re.compile(r"(?:-?[a-z][a-z-]{0,38}(?: -?[a-z][a-z-]{0,38}){0,49})?")


def signs(value: Any) -> str:
    """Signs that were seen, and with a hyphen before it what was looked for and is not there; or nothing."""
    if type(value) is str and SIGNS.fullmatch(value):
        return value
    raise Bad(value, 'signs such as "cord-cut -boxed", at most 50')


def plain_word(value: Any) -> str:
    """A word of small letters, digits and hyphens, or nothing."""
    if type(value) is str and PLAIN_WORD.fullmatch(value):
        return value
    raise Bad(value, "at most 40 small letters, digits and hyphens")


def prose(value: Any) -> str:
    """Any text that is safe on a terminal and in a database; lines may break."""
    if type(value) is str and len(value) <= LONGEST_TEXT and _is_safe(value):
        return value
    raise Bad(value, f"at most {LONGEST_TEXT} printable characters")


def anatomy(value: Any) -> str:
    """An anatomy as TOML, or nothing. Whether it is sound is asked where it is used: that hangs on the catalogue."""
    if type(value) is str and len(value) <= LONGEST_ANATOMY and _is_safe(value):
        return value
    raise Bad(value, f"an [[anatomy]] as TOML, at most {LONGEST_ANATOMY} printable characters")


def words(value: Any) -> str:
    """A text that says something."""
    if prose(value).strip():
        return str(value)
    raise Bad(value, f"1 to {LONGEST_TEXT} printable characters")


def person(value: Any) -> str:
    """Who typed an event: a text that is not empty."""
    if prose(value).strip() and len(value) <= LONGEST_ID:
        return str(value)
    raise Bad(value, f"who typed it, 1 to {LONGEST_ID} characters")


def opening(value: Any) -> str:
    """Opening hours of some days of the week."""
    try:
        read_opening(prose(value))
    except ValueError:
        raise Bad(value, f"opening hours such as {EXAMPLE}") from None
    return str(value)


def phone(value: Any) -> str:
    """A telephone number; empty where none is known."""
    try:
        if prose(value):
            read_phone(value)
    except ValueError:
        raise Bad(value, f"a telephone number such as {PHONE_EXAMPLE}") from None
    return str(value)


def share(value: Any) -> Decimal:
    """A share below all of it, as text such as "0.02"."""
    number: Decimal = SHARE(value)
    if number >= 1:
        raise Bad(value, 'a share as text such as "0.02", at least 0 and below 1')
    return number


def flag(value: Any) -> bool:
    """True or false."""
    if value is True or value is False:
        return bool(value)
    raise Bad(value, "true or false")


def word(words: tuple[str, ...]) -> Read:
    """One of a few words."""

    def read(value: Any) -> str:
        if type(value) is not str or value not in words:
            raise Bad(value, " | ".join(words))
        return value

    return read


def event_id(value: Any) -> UUID:
    """The id of an event, in the lower-case form of RFC 9562, section 4."""
    if type(value) is str and UUID_TEXT.fullmatch(value):
        given = UUID(value)
        if is_event_id(given):
            return given
    raise Bad(value, "a version 7 UUID in lower case")


def intent_id(value: Any) -> UUID:
    """What asked for an event: a UUID of any version, in the lower-case form of RFC 9562, section 4."""
    if type(value) is str and UUID_TEXT.fullmatch(value):
        return UUID(value)
    raise Bad(value, "a UUID in lower case")


def device(value: Any) -> str:
    """The mark of a copy of a ledger."""
    if type(value) is str and DEVICE.fullmatch(value):
        return value
    raise Bad(value, "8 hexadecimal digits in lower case")


def digest(value: Any) -> str:
    """What a photograph is known by: the SHA-256 of its bytes."""
    if type(value) is str and DIGEST.fullmatch(value):
        return value
    raise Bad(value, "64 hexadecimal digits in lower case")


def piece_or_none(value: Any) -> str:
    """The id of a piece, or nothing."""
    return value if value == "" else identifier(value)


def refs(value: Any) -> tuple[tuple[str, UUID], ...]:
    """Which event made each of the things named, from a table such as {"find:kettle-1": ID}; sorted by subject."""
    if type(value) is not dict or len(value) > 2 * LONGEST_LIST:
        raise Bad(value, f"a table of at most {2 * LONGEST_LIST} subjects")
    result = []
    for subject, maker in value.items():
        sort, _, name = str(subject).partition(":")
        if sort not in SORTS:
            raise Bad(subject, ", ".join(f"{sort}:ID" for sort in SORTS))
        try:
            identifier(name)
            result.append((str(subject), event_id(maker)))
        except Bad as bad:
            raise bad.inside(str(subject)) from None
    return tuple(sorted(result))


def moment(value: Any) -> dt.datetime:
    """A time with its zone (RFC 3339), as UTC."""
    if type(value) is str and TIME.fullmatch(value) and int(value[:4]) in YEARS:
        try:
            return dt.datetime.fromisoformat(value).astimezone(dt.UTC)
        except ValueError:
            pass
    raise Bad(value, f'a time with its zone such as "2026-03-14T09:30:00Z", {YEARS[0]} to {YEARS[-1]}')


def day(value: Any) -> dt.date:
    """A day without a zone: what the calendar on the wall said."""
    if type(value) is str and DAY.fullmatch(value) and int(value[:4]) in YEARS:
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            pass
    raise Bad(value, f'a day such as "2026-03-14", {YEARS[0]} to {YEARS[-1]}')


def optional(read: Read) -> Read:
    """What `read` takes, or null."""
    return lambda value: None if value is None else read(value)


def several(read: Read) -> Read:
    """A list, as a tuple."""

    def read_all(values: Any) -> tuple[Any, ...]:
        if type(values) is not list or len(values) > LONGEST_LIST:
            raise Bad(values, f"a list of at most {LONGEST_LIST}")
        result = []
        for value in values:
            try:
                result.append(read(value))
            except Bad as bad:
                raise bad.inside(f"[{len(result)}]") from None
        return tuple(result)

    return read_all


def place(value: Any) -> tuple[Decimal, Decimal]:
    """Latitude and longitude in degrees."""
    if type(value) is not list or len(value) != 2:
        raise Bad(value, "[latitude, longitude]")
    try:
        return LATITUDE(value[0]), LONGITUDE(value[1])
    except Bad as bad:
        raise Bad(value, bad.expected) from None


SHARE = decimal(FINE, Decimal(0), None, "a share")
LATITUDE = decimal(FINE, Decimal(-90), Decimal(90), "a latitude")
LONGITUDE = decimal(FINE, Decimal(-180), Decimal(180), "a longitude")
