"""Whether a yard's scale reads lighter or heavier than one's own over its tickets. Said, and never used to change what
is recorded.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from partway.formulas.statistics.agreement import Agreement, agreement
from partway.ledger.events.kinds import Ticketed
from partway.quantities import MG_PER_KG
from partway.valuing.trips.ticket import was_weighed

FEWEST = 3  # tickets: the range of two says next to nothing


@dataclass(frozen=True, slots=True)
class YardBias:
    """How a yard reads against one's own scale: `share` is -0.02 where it reads 2 % light, known to lie within `low`
    and `high` (95 of 100). `light` and `heavy` say so only where that range has no zero in it.

    `difference_kg` is the mean of yard less own by ticket, `limits_kg` within which 95 of 100 tickets differ (Bland and
    Altman). Tickets that were not weighed do not count.
    """

    tickets: int
    share: float
    low: float
    high: float
    difference_kg: float
    limits_kg: tuple[float, float]

    @property
    def light(self) -> bool:
        """It reads lighter than one's own scale."""
        return self.high < 0.0

    @property
    def heavy(self) -> bool:
        """It reads heavier than one's own scale."""
        return self.low > 0.0


def yard_bias(tickets: Iterable[Ticketed]) -> YardBias | None:
    """Over the tickets of one yard; None where fewer than three have a line that one weighed oneself."""
    pairs = [pair for pair in map(_weighed, tickets) if pair is not None]
    if len(pairs) < FEWEST:
        return None
    ratios = agreement([math.log(yard / own) for yard, own in pairs])
    apart: Agreement = agreement([(yard - own) / MG_PER_KG for yard, own in pairs])
    share, low, high = (math.expm1(value) for value in (ratios.mean, ratios.low, ratios.high))
    return YardBias(len(pairs), share, low, high, apart.mean, apart.limits)


def _weighed(ticket: Ticketed) -> tuple[int, int] | None:
    """What the yard and one's own scale said of the lines of a ticket that both weighed, in milligrams."""
    lines = [line for line in ticket.lines if was_weighed(line)]
    return (sum(line.mass_mg for line in lines), sum(line.own_mg for line in lines)) if lines else None
