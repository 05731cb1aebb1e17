"""Kinds of one's own: said as TOML, made of a find that was opened, given up."""

from __future__ import annotations

from partway.actions.recording.saved import Saved
from partway.actions.what.own_kinds import add_kinds, give_up_kind, kind_from
from partway.actions.what.results import KindsResult
from partway.reports.what.own_kinds import OwnKind
from partway.web.api.reading import reads
from partway.web.api.writing import record, writing
from partway.web.context import At
from partway.web.curb import figures
from partway.web.curb.bodies import GivenUpBody, KindFromBody, KindsBody

router = reads("catalogue")
posts = writing("catalogue")


@router.get("/own-kinds")
def own_kinds(ctx: At) -> tuple[OwnKind, ...]:
    """Kinds of the user's own, whole as TOML; `flaw` says why one cannot be used, which is then left out elsewhere."""
    return figures.own_kinds(ctx)


@posts.post("/own-kinds")
def add(ctx: At, body: KindsBody) -> Saved[KindsResult]:
    """Make anatomies kinds of the user's own, or say them anew: all of them or none."""
    return record(ctx, body, add_kinds)


@posts.post("/own-kinds/from")
def make(ctx: At, body: KindFromBody) -> Saved[KindsResult]:
    """Make what came out of a find, and of others called so, a kind of the user's own."""
    return record(ctx, body, kind_from)


@posts.post("/own-kinds/given-up")
def give_up(ctx: At, body: GivenUpBody) -> Saved[KindsResult]:
    """A kind is the user's own no more: finds of it stay, and one that ships counts again."""
    return record(ctx, body, give_up_kind)
