"""What a list says of the whole ticket: "2% admin fee on every ticket", "10 cents off a pound if wet"."""

from __future__ import annotations

from collections.abc import Sequence

from partway.pricelist.layout.asides import row_at
from partway.pricelist.layout.ticket_fees import ticket_fee_of
from partway.pricelist.lexicon import Lexicon
from partway.spoken.money import money_at
from partway.spoken.numbers import phrase_end, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing


def segment_at(tokens: Sequence[Token], at: int) -> Sequence[Token]:
    """The tokens from there to the next break of any sort."""
    end = next((n for n in range(at, len(tokens)) if tokens[n].kind == "break"), len(tokens))
    return tokens[at:end]


def term_length(tokens: Sequence[Token], at: int, hearing: Hearing, lexicon: Lexicon) -> int:
    """How many tokens from there say a fee or something taken off, to the end of the row where no amount follows; 0
    where none do, or where a grade and its price come first: "no 2 copper 4.10 less 3% admin".
    """
    said = segment_at(tokens, at)
    if not is_term(said, hearing, lexicon) or _priced_first(said, hearing, lexicon):
        return 0
    row = row_at(tokens, at)
    more = row[len(said) :]
    return len(said) if any(_of_figures(token) for token in more) or not is_term(row, hearing, lexicon) else len(row)


def _of_figures(token: Token) -> bool:
    return token.text[:1].isdigit() or token.text[:2].strip(".").isdigit()


def _priced_first(said: Sequence[Token], hearing: Hearing, lexicon: Lexicon) -> bool:
    """Whether a whole name stands before an amount that is no share and is not taken off, or a thing is refused."""
    if word_at(said, 0) == "no" or phrase_end(said, 0, hearing.tongue.refusals):
        return True
    for at in range(1, len(said)):
        found = money_at(said, at, hearing)
        name = [token.text for token in said[:at] if token.kind == "word"]
        if found is not None and name and lexicon.match(name)[1]:
            return word_at(said, found[1]) not in hearing.tongue.shares | hearing.tongue.off
    return False


def is_of_consignment(said: Sequence[Token], hearing: Hearing, lexicon: Lexicon) -> bool:
    """Whether words say the least or the most of what is sent, whatever it is: "minimum shipment 20 lb"."""
    bounds = (*hearing.tongue.minimum, *hearing.tongue.maximum)
    words = [token.text for token in said if token.kind == "word"]
    bound = any(phrase_end(said, at, bounds) for at in range(len(said)))
    about = bound and any(word in hearing.tongue.consignments for word in words)
    return about and any(token.kind == "number" for token in said) and not lexicon.match(words)[1]


def is_term(said: Sequence[Token], hearing: Hearing, lexicon: Lexicon) -> bool:
    """Whether words with an amount are of a fee or of something taken off, and of no grade."""
    tongue = hearing.tongue
    if ticket_fee_of(said, hearing) is not None:
        return True  # "5 a load"
    if not any(_of_figures(token) or token.text in {*tongue.ones, *tongue.tens} for token in said):
        return False
    fees = any(token.among(tongue.fees) for token in said)
    if not fees and not any(_taken_off(said, at, hearing) for at in range(len(said))):
        return False
    plain = (token for token in said if token.kind == "word" and not token.among(tongue.fees | tongue.noise))
    words = [token.text for token in plain if lexicon.knows((token.text,))]
    return not any(token.kind == "grade" for token in said) and not lexicon.match(words)[1]


def _taken_off(said: Sequence[Token], at: int, hearing: Hearing) -> bool:
    """Whether "off" stands behind an amount: "5 % off", "10 cents off"."""
    before = word_at(said, at - 1)
    if word_at(said, at) in hearing.tongue.less and at + 1 < len(said) and said[at + 1].text[:1].isdigit():
        return True  # "picked up less 1.50 cwt"
    amount = before in hearing.tongue.hundredths or before in hearing.tongue.money or before in hearing.tongue.shares
    return word_at(said, at) in hearing.tongue.off and (amount or (at > 0 and said[at - 1].kind == "number"))
