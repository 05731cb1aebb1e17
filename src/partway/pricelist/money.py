"""One price in a text: a number with its sign, its currency and its hundredths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from partway.pricelist.lines import Heard
from partway.pricelist.spoken import number_at, small_at, whole_at, word_at
from partway.pricelist.tokens import Token
from partway.things.currencies import CURRENCIES, has_hundredths

MINUS = frozenset(["minus", "negative"])
CENTS = frozenset(["c", "¢", "ct", "cts", "cent", "cents"])
PENCE = frozenset(["p", "pence", "penny", "pennies"])
WORDS = {"dollar": "$", "dollars": "$", "buck": "$", "bucks": "$", "euro": "€", "euros": "€", "quid": "£", "yen": "¥"}
WORDS |= {"rupee": "₹", "rupees": "₹"}
POUNDS = frozenset(["pound", "pounds"])  # money where the workspace counts in GBP, mass elsewhere
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


def price_at(tokens: Sequence[Token], at: int, currency: str, *, comma: bool = False) -> tuple[Heard, int] | None:
    """The price that begins at a place, and where it ends."""
    start, minus, named = _before(tokens, at, currency)
    coined = _coined(tokens, start, currency)
    if coined is not None:
        heard, end, more = coined
        named += more
    else:
        number = number_at(tokens, start, comma=comma)
        if number is None:
            return None
        readings, style, end = number
        heard = Heard(readings, style)
    heard, end = _hundredths(tokens, end, currency, heard)
    end, after = _after(tokens, end, currency)
    named += after
    heard = _in_currency(heard, currency, named)
    return (_negative(heard, minus) if minus else heard), end


def _before(tokens: Sequence[Token], at: int, currency: str) -> tuple[int, str, list[str]]:
    """Sign and currency before a number: where the number begins, "" or the minus, and the currencies named."""
    minus, named = "", []
    for _ in range(3):
        word = word_at(tokens, at)
        if word in MINUS or (word == "-" and _attached(tokens, at)):
            minus, at = word, at + 1
        elif word in SIGNS or (_is_code(tokens, at, currency) and _digits_follow(tokens, at + 1)):
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
    return word == currency or (word in CURRENCIES and word not in {"ALL", "COP", "MAD", "TOP", "TRY", "PEN"})


def _digits_follow(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and (tokens[at].kind == "number" or tokens[at].text in {*SIGNS, "-"})


def _coined(tokens: Sequence[Token], at: int, currency: str) -> tuple[Heard, int, list[str]] | None:
    """Whole units and hundredths said apart: "a dollar ten", "four dollars and ten cents", "2 bucks"."""
    article = word_at(tokens, at) in {"a", "an"}
    whole = (1, at + 1) if article and _money_word(tokens, at + 1, currency) else whole_at(tokens, at)
    if whole is None or not (sign := _money_word(tokens, whole[1], currency)):
        return None
    value, after = Decimal(whole[0]), whole[1] + 1
    joined = after + 1 if word_at(tokens, after) in {"and", "oh", "o"} else after
    small = small_at(tokens, joined)
    if small is None or (tokens[joined].kind == "number" and len(tokens[joined].text) != 2):
        return Heard((value,)), after, [sign]
    end = small[1] + 1 if word_at(tokens, small[1]) in CENTS | PENCE else small[1]
    return Heard((value + Decimal(small[0]) / 100,)), end, [sign]


def _money_word(tokens: Sequence[Token], at: int, currency: str) -> str:
    word = word_at(tokens, at)
    return "£" if currency == "GBP" and word in POUNDS else WORDS.get(word, "")


def _hundredths(tokens: Sequence[Token], at: int, currency: str, heard: Heard) -> tuple[Heard, int]:
    """The price in whole units where cents were said: one reading, whatever the number looked like."""
    word = word_at(tokens, at)
    if word in PENCE and currency != "GBP":
        return replace(heard, style="exact", fault=f"{word} is not {currency}"), at + 1
    if word not in CENTS | PENCE:
        return heard, at
    if not has_hundredths(currency):
        return replace(heard, style="exact", fault=f"{currency} has no hundredths"), at + 1
    if heard.style == "comma":
        return replace(heard, readings=tuple(value / 100 for value in heard.readings)), at + 1
    cents = heard.readings[-1] if heard.style == "split" else heard.readings[0]
    return Heard((cents / 100,)), at + 1


def _after(tokens: Sequence[Token], at: int, currency: str) -> tuple[int, list[str]]:
    """A currency after the number."""
    word = word_at(tokens, at)
    if word in SIGNS or word.upper() == currency or (word.upper() in CURRENCIES and _is_code(tokens, at, currency)):
        return at + 1, [word]
    sign = _money_word(tokens, at, currency) if word not in POUNDS else ""
    return (at + 1, [sign]) if sign else (at, [])


def _in_currency(heard: Heard, currency: str, named: Sequence[str]) -> Heard:
    """The price as the workspace's currency writes it; at fault where another one was named."""
    for name in named:
        if name.upper() != currency and currency not in SIGNS.get(name, ()):
            return replace(heard, fault=f"{name.upper()} is not {currency}")
    if not has_hundredths(currency) and heard.style in {"bare", "split"}:
        return replace(heard, readings=(heard.readings[-1 if heard.style == "split" else 0],), style="exact")
    # "$38" is 38, not 38 cents: whoever says the currency means whole units.
    return replace(heard, readings=heard.readings[:1], style="exact") if named and heard.style != "comma" else heard


def _negative(heard: Heard, minus: str) -> Heard:
    """Below zero the seller pays. A dash may also only part name and price, so both are asked about."""
    below = tuple(-value for value in heard.readings)
    if minus in MINUS:
        return replace(heard, readings=below)
    return replace(heard, readings=(*below[:1], *heard.readings), style="minus")
