"""What else is recorded of a find: whether it works, and all that `also` has a form for."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench import finds
from partway.ledger.fold import standing
from partway.web.bench.also import ALSO, Also
from partway.web.bench.find import Blanks, page_of
from partway.web.bench.forms import TestBlank
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


def _also(kind: type[Also]) -> Callable[[At, str], Response]:
    def save(desk: At, find_id: str) -> Response:
        form = kind(desk.typed, prefix=f"{kind.NAME}-")

        def act() -> Done:
            return Done.of(desk, form.record(desk, find_id), _on(desk, find_id))

        return submit(desk, form, act, lambda: page_of(desk, find_id, Blanks(also=form)), dict(kind.NAMES))

    save.__name__, save.__doc__ = kind.NAME, kind.__doc__
    return save


for one in ALSO:
    router.post(f"/bench/{{find_id}}/{one.NAME}")(_also(one))
