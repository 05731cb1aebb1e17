"""What a buyer keeps back of a ticket as its fee: a share of what it pays, a flat sum for each ticket, or both.

A fee is of the ticket, not of a line: what is handed over for nothing, and what one pays to be rid of, bears none. So
a visit that sells nothing has no fee, and beside a lot that one pays for, the share is of the other lots alone. Tiers,
minimum lots and ranges are settled first; the fee is of what the lines then come to. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TypeVar

from partway.errors import BadQuantity

Amount = TypeVar("Amount", float, Decimal)


def left_of(price: Amount, share: Amount) -> Amount:
    """What a price leaves once the share is kept back: price (1 - share); a price that one pays stays as it is.

    Takes: price, per kilogram, for a piece or of a lot, in any currency, below 0 where the seller pays; share, of what
    the ticket pays, 0 to less than 1.
    Gives: the same unit as the price. The flat fee is not in it: it is of the ticket (`fee_of`).
    Valid: share at least 0 and below 1.
    Source: common practice, no source.

    >>> left_of(4.0, 0.25), left_of(-0.5, 0.25)
    (3.0, -0.5)
    """
    _check_share(share)
    return price * (1 - share) if price > 0 else price


def fee_of(amounts: Iterable[Amount], flat: Amount, share: Amount) -> Amount:
    """The fee of one ticket: share times what its lines pay, and the flat sum, where any of them pays.

    Takes: amounts, what each line comes to, in any currency, below 0 where the seller pays; flat, the sum kept back of
    each ticket that sells something, in the same currency; share, of what the lines pay, 0 to less than 1.
    Gives: money that is kept back, in the same currency; the ticket brings the sum of its lines less this.
    Valid: flat at least 0; share at least 0 and below 1.
    Source: common practice, no source.

    >>> fee_of([60.0, 40.0, -10.0], 5.0, 0.25)
    30.0
    >>> fee_of([0.0, -10.0], 5.0, 0.25)
    0.0
    """
    _check_share(share)
    if flat < 0:
        raise BadQuantity(f"{flat:g}", "at least 0", "flat fee of a ticket")
    paying = [amount for amount in amounts if amount > 0]
    nothing = flat - flat
    return sum(paying, nothing) * share + flat if paying else nothing


def quoted_for(left: Amount, share: Amount) -> Amount:
    """What has to be quoted so that a price leaves so much: left / (1 - share), the inverse of `left_of`.

    Takes: left, what is left per kilogram or piece, in any currency; share, of what the ticket pays, 0 to less than 1.
    Gives: the same unit.
    Valid: share at least 0 and below 1.
    Source: follows from `left_of`.

    >>> quoted_for(3.0, 0.25)
    4.0
    """
    _check_share(share)
    return left / (1 - share) if left > 0 else left


def _check_share(share: float | Decimal) -> None:
    if not 0 <= share < 1:
        raise BadQuantity(f"{share:g}", "at least 0 and below 1", "share of a ticket")
