"""What a buyer keeps back of its tickets, in words: "keeps back 2 % and $5.00 of each ticket that pays"."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Protocol

from partway.things.buyers import share_text


class KeepsBack(Protocol):
    """Whatever says a buyer's fees."""

    @property
    def ticket_fee(self) -> Decimal | float:
        """The flat sum."""
        ...

    @property
    def ticket_share(self) -> Decimal | float:
        """The share of what its lines pay."""
        ...


def fee_words(of: KeepsBack, money: Callable[[float], str]) -> str:
    """Empty where it keeps back nothing; `money` writes an amount."""
    return fee_said(of.ticket_fee, of.ticket_share, money)


def fee_said(fee: Decimal | float, share_of: Decimal | float, money: Callable[[float], str]) -> str:
    """The same of a flat sum and a share."""
    flat, share = float(fee), Decimal(str(share_of))
    said = [share_text(share).replace(" ", "\u00a0")] * (share > 0) + [money(flat)] * (flat > 0)
    return f"keeps back {' and '.join(said)} of each ticket that pays" if said else ""
