"""What the pages and JSON of "What is it?" ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.actions.what import found_out
from partway.reports.what.place_cards import PlaceCards, report_place_cards
from partway.reports.what.place_cards import to_fill_in as cards_to_fill_in
from partway.web.cache import cached
from partway.web.desk import Desk
from partway.web.what.calculators import CALCULATORS, Filled


@cached
def place_cards(desk: Desk) -> PlaceCards:
    """What was filled in about the place, and what was not."""
    return report_place_cards(desk.book, desk.today)


@cached
def to_fill_in(desk: Desk) -> int:
    """How many place cards are still to be filled in."""
    return len(cards_to_fill_in(desk.book, desk.today))


@cached
def confirmed(desk: Desk, context: str) -> dict[str, int]:
    """Pieces confirmed in a context by material."""
    return found_out.confirmed(desk.book, context)


@cached
def filled(desk: Desk, calculator: str) -> Filled:
    """What the ledger fills into the fields of a calculator."""
    return CALCULATORS[calculator].fill(desk.prices)
