"""What stands where a price would and is none: a number as dictation mishears it, and a price that has changed."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from partway.pricelist.folding import FIRST_TWO
from partway.spoken.money import Heard, money_at
from partway.spoken.numbers import HUNDREDTH, phrase_end, word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing

TWO_DIGITS = 10
# Names that go by number: "copper 2", "heavy melt 1". The stems a dictated or mistyped number may follow.
NUMBERED = frozenset(["copper", "coper", "coppers", "cu", "melt", "hms"])
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
    said = phrase_end(tokens, at, hearing.tongue.changes)
    if said is None:
        return None
    found = money_at(tokens, said, hearing)  # "3 cents to 58 cents" is no range here
    if found is None:
        return None
    end = found[1] + 1 if found[1] < len(tokens) and tokens[found[1]].text == "," else found[1]
    price = phrase_end(tokens, end, hearing.tongue.now) or end
    return price if price < len(tokens) and amount_at(tokens, price, hearing) is not None else None


def passing_end(tokens: Sequence[Token], at: int, hearing: Hearing, *, priced: bool) -> int | None:
    """Where what says when, what a price was, or the rest of a line that explains its price ends."""
    end = phrase_end(tokens, at, hearing.tongue.passing) or before_change(tokens, at, hearing)
    if end is None and priced and word_at(tokens, at) in hearing.tongue.tails:
        end = next((n for n in range(at, len(tokens)) if tokens[n].kind == "break"), len(tokens))
    return end


def numbered_at(tokens: Sequence[Token], at: int, name: Sequence[str], hearing: Hearing) -> str:
    """The "#1" or "#2" that a numeral behind or before a name is; "" where it is a price."""
    token = tokens[at]
    if token.kind not in {"number", "word"} or token.text not in FIRST_TWO:
        return ""
    if word_at(tokens, at + 1) in OPENS_NUMBERED and not name:
        return FIRST_TWO[token.text]
    if not name or name[-1] not in NUMBERED or word_at(tokens, at + 1) in hearing.tongue.point:
        return ""
    alone, together = (amount_at(tokens, start, hearing) for start in (at + 1, at))
    if alone is None or (together is not None and together[1] == alone[1] and alone[0].style == "bare"):
        return ""  # "copper two ten" is 2.10 for a copper that has to be asked about
    return FIRST_TWO[token.text]


def full_stop_at(tokens: Sequence[Token], at: int) -> bool:
    """Whether a sentence ends there: a point, and a space behind it."""
    behind = at + 1 < len(tokens) and tokens[at + 1].start > tokens[at].end
    return tokens[at].text in {".", "!", "?"} and behind
