"""Collecting rounds: set out, over, said afterwards; what they earned, and what to lift first of what is in sight."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query

from partway.actions.curb.in_sight import in_sight, room_left, things_seen
from partway.actions.curb.round_report import Rounds
from partway.actions.curb.rounds import RoundResult, end_round, past_round, start_round
from partway.actions.recording.saved import Saved
from partway.reports.curb.in_sight import InSight
from partway.web.api.bodies import LINE
from partway.web.api.problems import may
from partway.web.api.reading import reads
from partway.web.api.writing import record, writing
from partway.web.context import At
from partway.web.curb import figures
from partway.web.curb.bodies import RoundBody, RoundEndBody, RoundStartBody

router = reads("rounds")
posts = writing("rounds")

Things = Annotated[
    str, Query(max_length=1000, description="With commas between them.", examples=["dryer, 2 window fan, microwave=no"])
]
Left = Annotated[str, Query(max_length=LINE, description="What is left of it; empty where it limits nothing.")]


@router.get("/rounds")
def rounds(
    ctx: At,
    weekday: Annotated[int | None, Query(ge=0, le=6, description="From Monday, 0; default today's.")] = None,
    hours: Annotated[float | None, Query(gt=0, le=24, description="As many as there are.")] = None,
) -> Rounds:
    """What rounds earned by the hour, by place and weekday, and which to go on next."""
    return figures.rounds(ctx, weekday, hours)


@router.get("/in-sight", responses=may(409))
def lift_first(ctx: At, things: Things, kg: Left = "", litres: Left = "", minutes: Left = "") -> InSight:
    """Which of the things in sight to lift first, with what is left on the vehicle."""
    room = room_left(ctx.book, kg, litres, minutes)
    return in_sight(ctx.prices, things_seen(ctx.prices, things), room, figures.odds(ctx))


@posts.post("/round/start")
def start(ctx: At, body: RoundStartBody) -> Saved[RoundResult]:
    """Set out on a round: finds recorded until it is over are of it."""
    return record(ctx, body, start_round)


@posts.post("/round/end")
def end(ctx: At, body: RoundEndBody) -> Saved[RoundResult]:
    """A round is over."""
    return record(ctx, body, end_round)


@posts.post("/round")
def past(ctx: At, body: RoundBody) -> Saved[RoundResult]:
    """Record a round afterwards."""
    return record(ctx, body, past_round)
