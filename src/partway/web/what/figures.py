"""What the pages and JSON of "What is it?" ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.actions.what import found_out
from partway.reports.what.place_cards import PlaceCards, report_place_cards
from partway.reports.what.place_cards import to_fill_in as cards_to_fill_in
from partway.web.cache import cached
from partway.web.context import RequestContext
from partway.web.what.calculators import CALCULATORS, Filled


@cached
def place_cards(ctx: RequestContext) -> PlaceCards:
    """What was filled in about the place, and what was not."""
    return report_place_cards(ctx.book, ctx.today)


@cached
def to_fill_in(ctx: RequestContext) -> int:
    """How many place cards are still to be filled in."""
    return len(cards_to_fill_in(ctx.book, ctx.today))


@cached
def confirmed(ctx: RequestContext, context: str) -> dict[str, int]:
    """Pieces confirmed in a context by material."""
    return found_out.confirmed(ctx.book, context)


@cached
def filled(ctx: RequestContext, calculator: str) -> Filled:
    """What the ledger fills into the fields of a calculator."""
    return CALCULATORS[calculator].fill(ctx.prices)
