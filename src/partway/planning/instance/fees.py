"""What buyers keep back of the tickets of a plan as their fee."""

from __future__ import annotations

from collections import defaultdict

from partway.formulas.ticket_fees import fee_of
from partway.planning.decision import Decision
from partway.planning.instance.counted import amount_of
from partway.planning.instance.frozen import Instance

ByTicket = dict[tuple[int, int], float]  # by (buyer, trip), milp.MAIL for the mail


def ticket_fees(instance: Instance, decision: Decision) -> ByTicket:
    """What each buyer keeps back on each trip."""
    return _fees(instance, decision, shares=True)


def flat_fees(instance: Instance, decision: Decision) -> ByTicket:
    """The flat part of the same, for who counts at prices with the share already off."""
    return _fees(instance, decision, shares=False)


def _fees(instance: Instance, decision: Decision, *, shares: bool) -> ByTicket:
    lines: dict[tuple[int, int], list[float]] = defaultdict(list)
    for key in decision.lots:
        lines[instance.lots[key[0]].buyer, key[2]].append(amount_of(instance, decision, key))
    of = instance.buyers
    return {
        (b, k): fee_of(amounts, of[b].ticket_fee, of[b].ticket_share if shares else 0.0)
        for (b, k), amounts in lines.items()
    }
