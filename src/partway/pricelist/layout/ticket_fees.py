"""What a buyer says it keeps back of each ticket: "2% admin on the ticket", "5 a load", "three bucks scale fee"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.quantities import plain_text
from partway.spoken.money import money_at
from partway.spoken.numbers import number_at, phrase_end, word_at
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.tongue import Hearing


@dataclass(frozen=True, slots=True)
class TicketFee:
    """Kept back of each ticket that pays: a flat sum, a share below 1, or both; 0 for what was not said."""

    flat: Decimal = Decimal(0)
    share: Decimal = Decimal(0)

    def words(self, currency: str) -> str:
        """As a question says it: "2 % and CAD 5"."""
        share = [f"{plain_text(self.share * 100)} %"] if self.share else []
        return " and ".join([*share, *([f"{currency} {plain_text(self.flat)}"] if self.flat else [])])


NO_FEE = TicketFee()


def both(fee: TicketFee) -> tuple[Decimal, Decimal]:
    """Its flat sum and its share."""
    return fee.flat, fee.share


def together(fees: Iterable[TicketFee]) -> TicketFee:
    """What several say as one; of two sums, or two shares, the last counts."""
    flat, share = Decimal(0), Decimal(0)
    for fee in fees:
        flat, share = fee.flat or flat, fee.share or share
    return TicketFee(flat, share)


def ticket_fee_in(text: str, hearing: Hearing) -> TicketFee | None:
    """The fee that a text says; None where it says anything else as well, such as when it is due or of what."""
    return ticket_fee_of([token for token in tokens_of(text) if token.kind != "break"], hearing)


def ticket_fee_of(said: Sequence[Token], hearing: Hearing) -> TicketFee | None:
    """The same of tokens without a break between them."""
    tongue, found, at = hearing.tongue, TicketFee(), 0
    while at < len(said):
        if said[at].among(tongue.fee_names | tongue.of_ticket | tongue.fee_fillers):
            at += 1
        elif (share := _share_at(said, at, hearing)) is not None and not found.share:
            found, at = TicketFee(found.flat, share[0]), share[1]
        elif (flat := _flat_at(said, at, hearing)) is not None and not found.flat:
            found, at = TicketFee(flat[0], found.share), flat[1]
        else:
            return None
    about = any(token.among(tongue.fee_names) for token in said) or _each_ticket(said, hearing)
    return found if about and (found.flat or found.share) else None


def _each_ticket(said: Sequence[Token], hearing: Hearing) -> bool:
    """Whether it is said of each ticket: "a load", "per ticket", "on the ticket"."""
    tongue = hearing.tongue
    return any(
        token.among(tongue.of_ticket) and at > 0 and said[at - 1].among(tongue.fee_fillers)
        for at, token in enumerate(said)
    )


def _share_at(said: Sequence[Token], at: int, hearing: Hearing) -> tuple[Decimal, int] | None:
    number = _number_at(said, at, hearing)
    if number is None:
        return None
    value, end = number
    if word_at(said, end) in hearing.tongue.shares:
        end += 1
    elif (behind := phrase_end(said, end, hearing.tongue.hundredth_parts)) is not None:
        end = behind
    else:
        return None
    return (value / 100, end) if 0 < value < 100 else None


def _flat_at(said: Sequence[Token], at: int, hearing: Hearing) -> tuple[Decimal, int] | None:
    """A sum; a whole number alone is one of whole units, which the question says."""
    found = money_at(said, at, hearing)
    if found is None or found[0].fault or found[0].style in ("comma", "minus", "dash") or found[0].readings[0] <= 0:
        return None
    number = _number_at(said, at, hearing)
    plain = number[0] if number is not None and number[1] == found[1] else None
    return (plain or found[0].readings[0]), found[1]


def _number_at(said: Sequence[Token], at: int, hearing: Hearing) -> tuple[Decimal, int] | None:
    if at < len(said) and said[at].text.replace(".", "", 1).isdigit():  # of any sort: "2" may be of a name, too
        return Decimal(said[at].text), at + 1
    number = number_at(said, at, hearing)
    return None if number is None or number[1] in ("split", "comma") else (number[0][0], number[2])
