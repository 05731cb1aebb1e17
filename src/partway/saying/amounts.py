"""Numbers in what was said: counts, masses, money, times and days, as `spoken` reads them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache

from partway.quantities import plain_text
from partway.saying.whole_masses import whole_mass
from partway.spoken import (
    Hearing,
    Token,
    distance_at,
    english,
    minutes_at,
    moment_at,
    money_at,
    number_at,
    tokens_of,
)
from partway.spoken.moments import time_at

LONGEST = 10  # words of one amount
COUNT_MOST = 100_000
MARKS = frozenset("$€£¥₹.½¼¾⅓⅔⅛⅜⅝⅞")
COUNTED = {
    **dict.fromkeys(("a pair of", "a pair", "a couple of", "a couple", "couple of", "couple", "both"), "2"),
    **dict.fromkeys(("half a dozen", "a half dozen", "half dozen"), "6"),
    **dict.fromkeys(("a dozen", "one dozen", "dozen"), "12"),
    **dict.fromkeys(("two dozen", "a couple dozen", "couple dozen"), "24"),
}
SINCE, HOUR = "since", "hour"
FROM = frozenset({"from", "between", SINCE})
HALF_HOUR = 2  # words
UNTIL = frozenset({"to", "till", "until", "til", "through", "and", "-"})
QUARTER, DAY = 15, 24 * 60  # minutes
HALF_DAY = 12 * 60  # minutes: nobody works longer at a stretch, so one of two halves of the day is meant


@dataclass(frozen=True, slots=True)
class SaidAmount:
    """What a number was read as, in the text that actions take; several where it may be either.

    `sure`: its unit was said. `fault` is why it can be none after all.
    """

    readings: tuple[str, ...]
    sure: bool = True
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Ear:
    """How amounts are heard: by whom, in which units, and on which day."""

    today: dt.date
    currency: str = ""
    unit: str = ""
    comma: bool = False
    distance: str = ""
    now: dt.time | None = None

    @property
    def hearing(self) -> Hearing:
        """The same as `spoken` takes it."""
        return Hearing(self.currency, self.unit, self.comma, self.distance)


def _count(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    text = " ".join(token.text for token in tokens)
    if text in COUNTED:
        return SaidAmount((COUNTED[text],))
    if text in ear.hearing.tongue.one:
        return SaidAmount(("1",))
    found = number_at(tokens, 0, ear.hearing)
    if found is None or found[2] != len(tokens) or found[1] != "bare":
        return None
    number = found[0][0]
    return SaidAmount((str(int(number)),)) if number == int(number) and 0 < number <= COUNT_MOST else None


def _number(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    """A number of whatever was spoken of before."""
    found = number_at(tokens, 0, ear.hearing)
    if found is None or found[2] != len(tokens):
        return None
    return SaidAmount(tuple(map(plain_text, found[0])))


def _mass(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    said = whole_mass(tokens, ear.hearing)
    if said is None:
        return None
    texts = [f"{plain_text(n)} {unit}".strip() for n in said.amounts for unit in said.units or ("",)]
    return SaidAmount(tuple(dict.fromkeys(texts)), sure=bool(said.units))


def _distance(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    """A distance that was said to be one: a bare number is none here."""
    said = distance_at(tokens, 0, ear.hearing)
    if said is None or said.end != len(tokens) or not said.unit:
        return None
    return SaidAmount(tuple(f"{plain_text(amount)} {said.unit}" for amount in said.amounts))


def _money(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    found = money_at(tokens, 0, ear.hearing)
    if found is None or found[1] != len(tokens):
        return None
    heard = found[0]
    readings = heard.readings[:1] if heard.style in {"bare", "exact"} else heard.readings
    return SaidAmount(tuple(map(plain_text, readings)), sure=bool(heard.named), fault=heard.fault)


def _cash(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    """Money that was said to be money."""
    found = _money(tokens, ear)
    return found if found is not None and found.sure else None


def _minutes(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    if tokens[0].text == HOUR:  # "hour and ten", without its article
        return _minutes(tokens_of(f"an {' '.join(token.text for token in tokens)}"), ear)
    found = minutes_at(tokens, 0, ear.hearing)
    if found is None or found[2] != len(tokens) or not found[1]:
        return None  # a bare number is no time here
    whole = all(one == int(one) for one in found[0])
    fault = "" if whole else "whole minutes"
    return SaidAmount(tuple(str(int(one)) for one in found[0]), fault=fault)


def _span(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    """The minutes from one time of day to another, or to now: "from nine to half past eleven", "since nine"."""
    words = [token.text for token in tokens]
    begun = tokens[1:] if words[0] in FROM else tokens
    if words[0] == SINCE:
        return _between(_hours(begun, ear), (_quarter(ear.now),) if ear.now else ())
    ways = (
        _between(_hours(begun[:at], ear), _hours(begun[at + 1 :], ear))
        for at in range(1, len(begun))
        if begun[at].text in UNTIL
    )
    return next((way for way in ways if way is not None), None)


def _between(first: Sequence[dt.time], last: Sequence[dt.time]) -> SaidAmount | None:
    lengths = sorted({_minutes_of(end) - _minutes_of(begin) for begin in first for end in last})
    good = tuple(str(one) for one in lengths if 0 < one <= HALF_DAY)
    return SaidAmount(good) if good else None


def _hours(tokens: Sequence[Token], ear: Ear) -> Sequence[dt.time]:
    """The times that a whole row of words may be; "half eleven" is half past it."""
    if len(tokens) == HALF_HOUR and tokens[0].text == "half":
        return [dt.time(one.hour, 30) for one in _hours(tokens[1:], ear) if not one.minute]
    found = time_at(tokens, 0, ear.hearing, dated=True, bare=True) if tokens else None
    return found[0] if found is not None and found[1] == len(tokens) else ()


def _quarter(now: dt.time) -> dt.time:
    """The nearest quarter of an hour that has begun or is about to: what is shown is still so when it is saved."""
    return dt.time(*divmod(min(_minutes_of(now) + QUARTER // 2, DAY - 1) // QUARTER * QUARTER, 60))


def _minutes_of(time: dt.time) -> int:
    return time.hour * 60 + time.minute


def _day(tokens: Sequence[Token], ear: Ear) -> SaidAmount | None:
    """A day, or a moment of one; which of several have passed is for whoever knows the time."""
    said = moment_at(tokens, 0, ear.today, ear.hearing)
    if said is None or said.end != len(tokens):
        return None
    days = tuple(
        f"{first.isoformat()}{f' {time:%H:%M}' if time else ''}"
        for first, _ in said.days
        for time in said.times or (None,)
    )
    one = all(first == last for first, last in said.days)
    return SaidAmount(days, fault="" if one else "one day of it")


READERS: dict[str, Callable[[Sequence[Token], Ear], SaidAmount | None]] = {
    "count": _count,
    "number": _number,
    "mass": _mass,
    "money": _money,
    "cash": _cash,
    "minutes": _minutes,
    "span": _span,
    "day": _day,
    "km": _distance,
}


@lru_cache(maxsize=8192)
def amount(sort: str, text: str, ear: Ear) -> SaidAmount | None:
    """What a row of words is as an amount of a sort; None where it is none, or not all of it."""
    tokens = tokens_of(text)
    return READERS[sort](tokens, ear) if tokens else None


def begins(word: str) -> bool:
    """Whether an amount may begin with a word."""
    return word[0].isdecimal() or word[0] in MARKS or word in _beginners()


def begins_day(word: str) -> bool:
    """Whether a day may."""
    return begins(word) or word in _day_words()


def begins_minutes(word: str) -> bool:
    """Whether a length of time may."""
    return begins(word) or word == HOUR


def begins_span(word: str) -> bool:
    """Whether a time from one hour to another may."""
    return begins(word) or word in FROM or word in _day_words()


@cache
def _beginners() -> frozenset[str]:
    tongue = english()
    words = (*tongue.ones, *tongue.tens, *tongue.large, *tongue.one, *tongue.fractions, *tongue.point, "oh", "nought")
    return frozenset({*words, "both", "couple", "dozen"})


@cache
def _day_words() -> frozenset[str]:
    tongue = english()
    first = (phrase[0] for phrase in tongue.today)
    return frozenset({*first, *tongue.on, *tongue.at, *tongue.noon, *tongue.weekdays, *tongue.months, *tongue.last})


def exact(text: str) -> Decimal:
    """A reading as a number, without its unit."""
    return Decimal(text.partition(" ")[0])
