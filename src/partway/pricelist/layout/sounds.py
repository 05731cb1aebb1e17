"""What stands where a price would and is none: a number as dictation mishears it, and a price that has changed."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from partway.pricelist.folding import FIRST_TWO, NUMBERED
from partway.spoken.money import Heard, money_at
from partway.spoken.numbers import HUNDREDTH, phrase_end, word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.spoken.units import SaidUnit, per_at, unit_name_at

TWO_DIGITS = 10
VERBS = frozenset(["is", "are"])
LINKS = frozenset(["-", ":", "=", "is", "are", "at"])
ARROWS = frozenset(["+", "▲", "▼", "↑", "↓", "△", "▽"])  # before by how much a price moved
OPENS_NUMBERED = NUMBERED | {"heavy"}


def sounded_at(tokens: Sequence[Token], at: int, hearing: Hearing, *, named: bool) -> tuple[Heard, int] | None:
    """A price of which dictation wrote a number as another word: "ate cents", "copper for ten".

    The first is sure. The second may be 4.10 or, as it is written, 10: both are readings.
    """
    tongue, word = hearing.tongue, word_at(tokens, at)
    if not named or word not in tongue.sounds:
        return None
    sound = Decimal(tongue.sounds[word])
    if word_at(tokens, at + 1) in tongue.hundredths:
        return Heard((sound * HUNDREDTH,), named="hundredths"), at + 2
    if word_at(tokens, at + 1) not in {*tongue.ones, *tongue.tens}:
        return None  # "motors for 38" is written, not dictated
    found = money_at(tokens, at + 1, hearing)
    if found is None or found[0].style != "bare" or not TWO_DIGITS <= found[0].readings[0] < 1 / HUNDREDTH:
        return None
    heard, end = found
    return Heard((sound + heard.readings[0] * HUNDREDTH, *heard.readings), "dash"), end


def before_change(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Where the price begins behind what it was or by how much it moved: "was 4.20 now", "up 3 cents to"."""
    moved = _moved_at(tokens, at, hearing)
    if moved is None:
        return None
    said, end = moved
    price = phrase_end(tokens, said, hearing.tongue.now) if end is None else phrase_end(tokens, end, hearing.tongue.now)
    price = price or end
    if price is None:  # "unchanged" is no price, and "down" alone none either
        return None
    return price if price < len(tokens) and amount_at(tokens, price, hearing) is not None else None


def _moved_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[int, int | None] | None:
    """Behind the words of a change, and behind its amount with what it is per and since when; None where none is."""
    tongue = hearing.tongue
    said = phrase_end(tokens, at, tongue.changes)
    if said is None:
        return None
    coin = _coin_end(tokens, said, hearing)
    found = money_at(tokens, said, hearing) if coin is None else None  # "3 cents to 58 cents" is no range here
    end = coin if coin is not None else found[1] if found is not None else None
    if end is None:
        return said, None
    per = per_at(tokens, end, hearing) if word_at(tokens, end) in tongue.per else None
    end = per.end if per is not None else end
    end = phrase_end(tokens, end, tongue.since) or end
    return said, end + 1 if end < len(tokens) and tokens[end].text == "," else end


def change_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heard, SaidUnit | None, int] | None:
    """By how much a price rose or fell, below zero, what that is per, and where it ends: "up a nickel", "down 2c"."""
    tongue = hearing.tongue
    if word_at(tokens, at) == "+" and (found := money_at(tokens, at + 1, hearing)) is not None:
        return (
            None if unit_name_at(tokens, found[1], hearing) is not None else (found[0], None, found[1])
        )  # "shred +10"
    up, down = phrase_end(tokens, at, tongue.rises), phrase_end(tokens, at, tongue.falls)
    said = max(up or 0, down or 0)
    moved = _moved_at(tokens, at, hearing) if said else None
    if moved is None or moved[1] is None:
        return None
    coin = _coin_end(tokens, said, hearing)
    worth = Decimal(tongue.coins[tokens[coin - 1].text]) * HUNDREDTH if coin is not None else Decimal(0)
    found = (Heard((worth,)), coin) if coin is not None else money_at(tokens, said, hearing)
    if found is None or found[0].fault or unit_name_at(tokens, found[1], hearing) is not None:
        return None  # "up 500 lb" is no change of a price
    heard, end = found
    per = per_at(tokens, end, hearing) if word_at(tokens, end) in tongue.per else None
    heard = heard if per is None or per.count == 1 else heard.one_of(per.count)  # "down 50 cents a hundred"
    return (heard.negative() if down else heard), per, moved[1]


def _coin_end(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Behind a coin by its name: "up a nickel"."""
    at += word_at(tokens, at) in hearing.tongue.one
    return at + 1 if word_at(tokens, at) in hearing.tongue.coins else None


def former_end(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Behind a price it had, or by how much it moved, said after the price: "4.15, was 4.10", "38c up 2"."""
    if (signed := _signed_end(tokens, at, hearing)) is not None:
        return signed
    moved = _moved_at(tokens, at, hearing)
    if moved is None or moved[1] is None:
        return _come_from(tokens, at, hearing)
    end = moved[1]
    comma = tokens[end - 1].text == ","
    behind = phrase_end(tokens, end, hearing.tongue.now) or end
    if behind < len(tokens) and behind > end and amount_at(tokens, behind, hearing) is not None:
        return None  # "was 4.10 now 4.15": the price is still to come
    if unit_name_at(tokens, end, hearing) is not None:
        return None  # "up 500 lb" is no change of a price
    return end - 1 if comma else end


def _come_from(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Behind the amount that a price came from, "55c from 60c", where nothing but that follows."""
    start = phrase_end(tokens, at, hearing.tongue.from_money)
    found = money_at(tokens, start, hearing) if start is not None else None
    ends = found is not None and (found[1] >= len(tokens) or tokens[found[1]].kind == "break")
    return found[1] if found is not None and ends and found[0].style == "exact" else None


def _signed_end(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Behind a change with a sign before it: "(+5)", "▲ .03", "(-.05)"."""
    opened = at + (word_at(tokens, at) == "(")
    signs = ARROWS | {"-"} if opened > at else ARROWS
    found = money_at(tokens, opened + 1, hearing) if word_at(tokens, opened) in signs else None
    if found is None or unit_name_at(tokens, found[1], hearing) is not None or word_at(tokens, found[1]) == "+":
        return None
    return found[1] + (opened > at and word_at(tokens, found[1]) == ")")


def passing_end(tokens: Sequence[Token], at: int, hearing: Hearing, *, priced: bool) -> int | None:
    """Where what says when, what a price was, or the rest of a line that explains its price ends."""
    end = phrase_end(tokens, at, hearing.tongue.passing)
    end = end or (former_end(tokens, at, hearing) if priced else None) or before_change(tokens, at, hearing)
    either = phrase_end(tokens, at, hearing.tongue.either) if end is None else None
    if either is not None:  # "hard drives with or without boards: .85"
        return next((n for n in range(either, len(tokens)) if _said_of_it_ends(tokens, n, hearing)), len(tokens))
    if end is None and priced and word_at(tokens, at) in hearing.tongue.tails:
        end = next((n for n in range(at, len(tokens)) if tokens[n].kind == "break"), len(tokens))
    return end


def _said_of_it_ends(tokens: Sequence[Token], at: int, hearing: Hearing) -> bool:
    part = tokens[at].kind == "break" or tokens[at].text in {":", "-", "="}
    return part or amount_at(tokens, at, hearing) is not None


def numbered_at(tokens: Sequence[Token], at: int, name: Sequence[str], hearing: Hearing) -> str:
    """The "#1" or "#2" that a numeral behind or before a name is; "" where it is a price."""
    token = tokens[at]
    if token.kind not in {"number", "word"} or token.text not in FIRST_TWO:
        return ""
    if word_at(tokens, at + 1) in OPENS_NUMBERED and not name:
        return FIRST_TWO[token.text]
    said = word_at(tokens, at + 1) in VERBS and not name
    if said and (priced := amount_at(tokens, at + 2, hearing)) is not None and priced[0].style in {"exact", "split"}:
        return FIRST_TWO[token.text]  # "1 is 4.10, 2 is 3.90"
    if not name or name[-1] not in NUMBERED or word_at(tokens, at + 1) in hearing.tongue.point:
        return ""
    link = at + 1
    while word_at(tokens, link) in LINKS and link < at + 3:
        link += 1
    linked = amount_at(tokens, link, hearing) if link > at + 1 else None
    if linked is not None and tokens[at + 1].start > tokens[at].end:
        return FIRST_TWO[token.text]  # "copper 2 - 4.20", "copper two is 4 bucks"
    alone, together = (amount_at(tokens, start, hearing) for start in (at + 1, at))
    if alone is None or (together is not None and together[1] == alone[1] and alone[0].style == "bare"):
        return ""  # "copper two ten" is 2.10 for a copper that has to be asked about
    return FIRST_TWO[token.text]


def full_stop_at(tokens: Sequence[Token], at: int) -> bool:
    """Whether a sentence ends there: a point, and a space behind it."""
    behind = at + 1 < len(tokens) and tokens[at + 1].start > tokens[at].end
    return tokens[at].text in {".", "!", "?"} and behind
