"""What a line of a ticket has against it, in words; the codes are those of `valuing.ticket`."""

from __future__ import annotations

from partway.valuing.trips.ticket_seen import What

WORDS: dict[What, str] = {
    "short": "The yard's scale says less than mine",
    "below-quote": "Paid below the quote",
    "below-plan": "Paid below the plan",
    "amount": "Mass times price is not the amount",
    "downgrade": "Paid as another grade than it was brought as",
    "not-planned": "Was not planned for this stop",
    "refused": "This buyer is down as refusing it",
}

AS_IT_SHOULD_BE = "As it should be"
