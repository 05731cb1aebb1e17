"""What a phone noted without signal comes back: each entry is carried out once, and answered by its id."""

from __future__ import annotations

from fastapi import APIRouter, Depends

from partway.actions.pocket.take_back import take_back
from partway.web.api.problems import WRITING, may
from partway.web.api.writing import WritingRoute, key_header
from partway.web.context import At
from partway.web.pocket.acts import ACTS
from partway.web.pocket.bodies import SCHEMA, BackBody
from partway.web.pocket.rows import BackAnswer, row_of
from partway.web.pocket.state import state_of

posts = APIRouter(
    prefix="/pocket",
    tags=["pocket"],
    route_class=WritingRoute,
    dependencies=[Depends(key_header)],
    responses=may(*WRITING),
)


@posts.post("/back")
def back(ctx: At, body: BackBody) -> BackAnswer:
    """Take what a phone noted without signal, in its order. Each entry is done, known already, refused or asked about
    by itself; those of another workspace are refused together (409), with nothing recorded.
    """
    intents = [entry.intent() for entry in body.intents]
    answers = take_back(ctx.book, ctx.context(), body.workspace, intents, ACTS)
    called = ctx.named_anew()
    return BackAnswer(SCHEMA, tuple(row_of(one, called) for one in answers), state_of(ctx.book, ctx.clock().date()))
