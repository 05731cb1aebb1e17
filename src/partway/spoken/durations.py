"""How long something took: "19 minutes", "an hour and a half", "1 h 30", "1:30", "half an hour", "forty five"."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from partway.spoken.numbers import number_at, part_of_one_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing

Duration = tuple[tuple[Decimal, ...], bool, int]  # minutes in their readings, whether a unit was said, where it ends
HOUR = Decimal(60)


def minutes_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> Duration | None:
    """The minutes that begin at a place; a bare number is of minutes, and says so."""
    clock = _clock(tokens, at)
    if clock is not None:
        return clock
    tongue = hearing.tongue
    if word_at(tokens, at) in tongue.one and word_at(tokens, at + 1) in tongue.hours:
        return _with_minutes(tokens, (Decimal(1),), at + 2, hearing)
    number = number_at(tokens, at, hearing)
    if number is None:
        return None
    readings, style, end = number
    amounts = readings if style in {"comma", "split"} else readings[:1]
    word = word_at(tokens, end)
    if word in tongue.hours:
        return _with_minutes(tokens, amounts, end + 1, hearing)
    return (amounts, True, end + 1) if word in tongue.minutes else (amounts, False, end)


def _clock(tokens: Sequence[Token], at: int) -> Duration | None:
    """Hours and minutes with a colon."""
    parts = [token.text for token in tokens[at : at + 3]]
    if len(parts) < 3 or parts[1] != ":" or not (parts[0].isdecimal() and parts[2].isdecimal()):
        return None
    if len(parts[0]) > 3 or len(parts[2]) != 2 or int(parts[2]) > 59:
        return None
    return (int(parts[0]) * HOUR + int(parts[2]),), True, at + 3


def _with_minutes(tokens: Sequence[Token], hours: tuple[Decimal, ...], end: int, hearing: Hearing) -> Duration:
    """Hours with what stands behind them: "and a half", "30", "and twenty minutes"."""
    tongue = hearing.tongue
    whole = tuple(amount * HOUR for amount in hours)
    joined = end + 1 if word_at(tokens, end) in tongue.joiner else end
    part = part_of_one_at([*tokens[joined : joined + 2], _HOUR], 0, tongue) if joined > end else None
    if part is not None and part[1] <= 2:
        return tuple(amount + part[0] * HOUR for amount in whole), True, joined + part[1]
    more = number_at(tokens, joined, hearing)
    if more is None or more[1] != "bare" or more[0][0] >= HOUR or any(amount % 1 for amount in whole):
        return whole, True, end
    after = more[2] + 1 if word_at(tokens, more[2]) in tongue.minutes else more[2]
    return tuple(amount + more[0][0] for amount in whole), True, after


_HOUR = Token("word", "hour", 0, 0)
