"""What else is recorded of a find: whether it works, what it weighs, parts sold, given up."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench import finds, selling
from partway.actions.bench.counts import counted
from partway.ledger.fold import standing
from partway.web.bench.find import Blanks, page_of
from partway.web.bench.forms import DiscardBlank, SellBlank, TestBlank, WeighBlank
from partway.web.desk import At, Desk
from partway.web.posting import Done, submit

router = APIRouter()


def _on(desk: Desk, find_id: str) -> str:
    """Where to go on: to the find, or to the queue where nothing is left of it."""
    return "/bench#main" if standing.find(desk.book, find_id).closed else f"/bench/{find_id}#main"


@router.post("/bench/{find_id}/test")
def test(desk: At, find_id: str) -> Response:
    """Whether it works."""
    form = TestBlank(desk.typed, prefix="test-")

    def act() -> Done:
        recorded = finds.test(desk.book, desk.context(), find_id, form.works.text)
        return Done.of(desk, recorded, f"/bench/{find_id}#main")

    return submit(desk, form, act, lambda: page_of(desk, find_id, Blanks(test=form)))


@router.post("/bench/{find_id}/weigh")
def weigh(desk: At, find_id: str) -> Response:
    """What is left of it on the scale."""
    form = WeighBlank(desk.typed, prefix="weigh-")

    def act() -> Done:
        recorded = finds.weigh(desk.book, desk.context(), find_id, form.mass.text)
        return Done.of(desk, recorded, f"/bench/{find_id}#main")

    return submit(desk, form, act, lambda: page_of(desk, find_id, Blanks(weigh=form)))


@router.post("/bench/{find_id}/sell")
def sell(desk: At, find_id: str) -> Response:
    """A part of it, or all of it, sold by the unit."""
    form = SellBlank(desk.typed, prefix="sell-")

    def act() -> Done:
        recorded = selling.sell(
            desk.book,
            desk.context(form.on.text),
            find_id,
            form.price.text,
            form.what.text,
            counted(form.count.text or "1", "count"),
            form.mass.text or None,
            form.fee.text or "0",
            form.postage.text or "0",
            form.minutes.text or 0,
        )
        return Done.of(desk, recorded, _on(desk, find_id))

    return submit(desk, form, act, lambda: page_of(desk, find_id, Blanks(sell=form)), {"part": "what"})


@router.post("/bench/{find_id}/discard")
def discard(desk: At, find_id: str) -> Response:
    """Given up: what is left becomes residue."""
    form = DiscardBlank(desk.typed, prefix="discard-")

    def act() -> Done:
        recorded = selling.discard(desk.book, desk.context(), find_id, form.mass.text or None)
        return Done.of(desk, recorded, _on(desk, find_id))

    return submit(desk, form, act, lambda: page_of(desk, find_id, Blanks(discard=form)))
