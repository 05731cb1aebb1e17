"""One amount of money in a text: a number with its sign, its currency and its hundredths, or a range of two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from partway.spoken.numbers import HUNDREDTH, Style, number_at, part_of_one_at, phrase_end, small_at, whole_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.things.currencies import CURRENCIES, has_hundredths

# Currencies that go by a sign (from memory, unverified). A sign is read as the workspace's own currency or not at all.
_DOLLARS = "ARS AUD BBD BMD BND BSD BZD CAD CLP COP FJD GYD HKD JMD KYD LRD MXN NAD NZD SBD SGD SRD TTD TWD USD UYU XCD"
_POUNDS = "EGP FKP GBP GIP SHP SSP SYP"
SIGNS = {
    "$": frozenset(_DOLLARS.split()),
    "£": frozenset(_POUNDS.split()),
    "€": frozenset(["EUR"]),
    "¥": frozenset(["CNY", "JPY"]),
    "₹": frozenset(["INR"]),
}
SIGN = "".join(SIGNS)  # any of them, inside of a class of a pattern
WORDS_TOO = frozenset(["ALL", "COP", "MAD", "TOP", "TRY", "PEN"])  # codes that are words of the trade


@dataclass(frozen=True, slots=True)
class Heard:
    """An amount as it was said: its readings, the likeliest first.

    `style` is how it was said: exact (4.10, 38c), bare (410), split (four ten), comma (4,10), minus (-4.10)
    or dash (28-34, which is 28.34 or a range of cents).
    `ends` are, of a range ("12 to 18 cents"), lowest and highest of each reading, which is then the middle.
    `fault`: why it can be no amount here. `named`: what was said with it, a currency or its hundredths.
    """

    readings: tuple[Decimal, ...]
    style: Style = "exact"
    fault: str = ""
    ends: tuple[tuple[Decimal, Decimal], ...] = ()
    named: Literal["", "units", "hundredths"] = ""

    def ends_at(self, reading: Decimal) -> tuple[Decimal, Decimal] | None:
        """Lowest and highest where a reading is the middle of a range."""
        said = zip(self.readings, self.ends, strict=False)
        return next((ends for value, ends in said if value == reading and ends[0] < ends[1]), None)

    def times(self, factor: Decimal) -> Heard:
        """The same amount so many times."""
        ends = tuple((low * factor, high * factor) for low, high in self.ends)
        return replace(self, readings=tuple(value * factor for value in self.readings), ends=ends)

    def one_of(self, count: Decimal) -> Heard:
        """The price of one where so many cost this; a whole number for a hundred pounds is one of whole units."""
        plain = Heard(self.readings[:1], fault=self.fault, ends=self.ends[:1]) if self.style == "bare" else self
        return plain.times(1 / count)

    def negative(self) -> Heard:
        """The same amount, paid by the other side."""
        ends = tuple((-high, -low) for low, high in self.ends)
        return replace(self, readings=tuple(-value for value in self.readings), ends=ends)


def money_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heard, int] | None:
    """The amount that begins at a place, and where it ends."""
    start, minus, named = _before(tokens, at, hearing)
    coined = _coined(tokens, start, hearing) or _coin(tokens, start, hearing)
    if coined is not None:
        heard, end, more = coined
        named += more
    else:
        number = number_at(tokens, start, hearing)
        if number is None:
            return None
        readings, style, end = number
        heard = Heard(readings, style)
    heard, end = _hundredths(tokens, end, hearing, heard, named)
    end, after = _after(tokens, end, hearing)
    named += after
    if heard.style == "bare" and word_at(tokens, end) in hearing.tongue.even:
        heard, end = Heard(heard.readings[:1]), end + 1  # "four even"
    heard = _in_currency(heard, hearing.currency, named)
    return (_minus(heard, minus, hearing) if minus else heard), end


def _before(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[int, str, list[str]]:
    """Sign and currency before a number: where the number begins, "" or the minus, and the currencies named."""
    minus, named = "", []
    for _ in range(3):
        word = word_at(tokens, at)
        if word in hearing.tongue.minus or (word == "-" and _attached(tokens, at)):
            minus, at = word, at + 1
        elif word in SIGNS or (_is_code(tokens, at, hearing.currency) and _digits_follow(tokens, at + 1)):
            named.append(word)
            at += 1
        else:
            break
    return at, minus, named


def _attached(tokens: Sequence[Token], at: int) -> bool:
    """Whether a dash is the sign of the number behind it: nothing between them, and a space or nothing before it."""
    close = at + 1 < len(tokens) and tokens[at + 1].start == tokens[at].end
    return close and (at == 0 or tokens[at - 1].end < tokens[at].start)


def _is_code(tokens: Sequence[Token], at: int, currency: str) -> bool:
    """The code of the workspace's currency, or of one that is not also an English word of the trade."""
    word = word_at(tokens, at).upper()
    return bool(word) and (word == currency or (word in CURRENCIES and word not in WORDS_TOO))


def _digits_follow(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and (tokens[at].kind == "number" or tokens[at].text in {*SIGNS, "-"})


def _coined(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heard, int, list[str]] | None:
    """Whole units and hundredths said apart: "a dollar ten", "four dollars and ten cents", "two bucks and a dime"."""
    tongue = hearing.tongue
    article = word_at(tokens, at) in tongue.one
    whole = (1, at + 1) if article and _money_word(tokens, at + 1, hearing) else whole_at(tokens, at, tongue)
    if whole is None or not (sign := _money_word(tokens, whole[1], hearing)):
        return None
    value, after = Decimal(whole[0]), whole[1] + 1
    joined = after + 1 if word_at(tokens, after) in {*tongue.joiner, *tongue.zeros} else after
    coin = _coin(tokens, joined, hearing)
    part = part_of_one_at([*tokens[: joined + 2], _DOLLAR], joined, tongue) if joined > after else None
    if coin is not None:
        return Heard((value + coin[0].readings[0],)), coin[1], [sign]
    if part is not None and part[1] <= joined + 2:  # "a buck and a half"
        return Heard((value + part[0],)), part[1], [sign]
    small = small_at(tokens, joined, tongue)
    if small is None or (tokens[joined].kind == "number" and len(tokens[joined].text) != 2):
        return Heard((value,)), after, [sign]
    end = small[1] + 1 if word_at(tokens, small[1]) in tongue.hundredths | tongue.pence else small[1]
    return Heard((value + Decimal(small[0]) / 100,)), end, [sign]


_DOLLAR = Token("word", "dollar", 0, 0)


def _coin(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heard, int, list[str]] | None:
    """A coin by its name, where money goes by dollars: "a quarter", "a dime"."""
    tongue = hearing.tongue
    worth = tongue.coins.get(word_at(tokens, at + 1)) if word_at(tokens, at) in tongue.one else None
    if worth is None or hearing.currency not in SIGNS["$"]:
        return None
    alone = at + 2 >= len(tokens) or tokens[at + 2].kind == "break" or word_at(tokens, at + 2) in tongue.per
    return (Heard((Decimal(worth) * HUNDREDTH,)), at + 2, ["$"]) if alone else None


def _money_word(tokens: Sequence[Token], at: int, hearing: Hearing) -> str:
    word = word_at(tokens, at)
    if hearing.currency == "GBP" and word in hearing.tongue.pounds:
        return "£"
    return hearing.tongue.money.get(word, "")


def _hundredths(
    tokens: Sequence[Token], at: int, hearing: Hearing, heard: Heard, named: Sequence[str]
) -> tuple[Heard, int]:
    """The amount in whole units where cents were said: one reading, whatever the number looked like."""
    word, tongue, currency = word_at(tokens, at), hearing.tongue, hearing.currency
    if word == "p" and (heard.style == "exact" or named) and word_at(tokens, at + 1) == "/" and _apart(tokens, at):
        return heard, at  # "6.10 p/kg" is per kilogram, "85p/kg" is pence
    if word in tongue.pence and currency != "GBP":
        return replace(heard, style="exact", fault=f"{word} is not {currency}"), at + 1
    if word not in tongue.hundredths | tongue.pence:
        return heard, at
    if currency and not has_hundredths(currency):
        return replace(heard, style="exact", fault=f"{currency} has no hundredths"), at + 1
    if heard.style == "comma":
        return replace(heard, readings=tuple(value / 100 for value in heard.readings), named="hundredths"), at + 1
    cents = heard.readings[-1] if heard.style == "split" else heard.readings[0]
    return Heard((cents / 100,), named="hundredths"), at + 1


def _apart(tokens: Sequence[Token], at: int) -> bool:
    """Whether a space stands before a token."""
    return tokens[at - 1].end < tokens[at].start


def _after(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[int, list[str]]:
    """A currency after the number."""
    word, currency = word_at(tokens, at), hearing.currency
    code = bool(word) and (word.upper() == currency or word.upper() in CURRENCIES)
    if word in SIGNS or (code and _is_code(tokens, at, currency)):
        return at + 1, [word]
    sign = _money_word(tokens, at, hearing) if word not in hearing.tongue.pounds else ""
    return (at + 1, [sign]) if sign else (at, [])


def _in_currency(heard: Heard, currency: str, named: Sequence[str]) -> Heard:
    """The amount as the workspace's currency writes it; at fault where another one was named."""
    for name in named:
        if name.upper() != currency and currency not in SIGNS.get(name, ()):
            return replace(heard, fault=f"{name.upper()} is not {currency}")
    if currency and not has_hundredths(currency) and heard.style in {"bare", "split"}:
        return replace(heard, readings=(heard.readings[-1 if heard.style == "split" else 0],), style="exact")
    # "$38" is 38, not 38 cents: whoever says the currency means whole units.
    if named and heard.style != "comma":
        return replace(heard, readings=heard.readings[:1], style="exact", named=heard.named or "units")
    return heard


def _minus(heard: Heard, minus: str, hearing: Hearing) -> Heard:
    """Below zero the seller pays. A dash may also only part name and price, so both are asked about."""
    if minus in hearing.tongue.minus:
        return heard.negative()
    below = tuple(-value for value in heard.readings)
    return replace(heard, readings=(*below[:1], *heard.readings), style="minus")


def pays_before(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Where "you pay" or "they charge", which say that the seller pays what follows, end."""
    return phrase_end(tokens, at, hearing.tongue.pays)


def pays_behind(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Where "to take them" or "disposal fee", which say that the seller pays what stood before, end."""
    return phrase_end(tokens, at, hearing.tongue.takes)
