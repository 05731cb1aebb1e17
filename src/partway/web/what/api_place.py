"""The rules of a place: questions that partway asks, and what the user filled in."""

from __future__ import annotations

from partway.actions.recording.saved import Saved
from partway.actions.what.placing import fill_in
from partway.actions.what.results import RuleResult
from partway.reports.what.place_cards import PlaceCards
from partway.web.api.reading import reads
from partway.web.api.writing import record, writing
from partway.web.context import At
from partway.web.what import figures
from partway.web.what.bodies import RuleBody

router = reads("place")
posts = writing("place")


@router.get("/place")
def place(ctx: At) -> PlaceCards:
    """The place cards: what is filled in, with source and day, what is not, what to look up again. Never advice."""
    return figures.place_cards(ctx)


@posts.post("/place")
def rule(ctx: At, body: RuleBody) -> Saved[RuleResult]:
    """Fill in a place card, or fill it in anew."""
    return record(ctx, body, fill_in)
