"""Writing at the bench: an address for each action on finds and bins, named as on the command line."""

from __future__ import annotations

from partway.actions.bench import finds, opening, selling
from partway.actions.bench.results import FindResult, OpenResult, SoldResult
from partway.actions.bins import bins
from partway.actions.bins.results import BinResult
from partway.actions.recording.saved import Saved
from partway.web.api.writing import record, writing
from partway.web.bench.bodies import (
    BinBody,
    DiscardBody,
    FindBody,
    MoveBody,
    OpenBody,
    RecountBody,
    SellBody,
    TestBody,
    WeighBody,
)
from partway.web.context import At

router = writing("bench")


@router.post("/find")
def find(ctx: At, body: FindBody) -> Saved[FindResult]:
    """Record a find."""
    return record(ctx, body, finds.find)


@router.post("/test")
def test(ctx: At, body: TestBody) -> Saved[FindResult]:
    """Record whether a find works."""
    return record(ctx, body, finds.test)


@router.post("/weigh")
def weigh(ctx: At, body: WeighBody) -> Saved[FindResult]:
    """Record what a find weighs."""
    return record(ctx, body, finds.weigh)


@router.post("/open")
def open_(ctx: At, body: OpenBody) -> Saved[OpenResult]:
    """Record a find opened: pieces, weighed, into bins. A gap in the mass balance is asked about (`gap`)."""
    return record(ctx, body, opening.open_up)


@router.post("/sell")
def sell(ctx: At, body: SellBody) -> Saved[SoldResult]:
    """Record a part or a whole find sold. A mass that is needed is asked for (`mass`)."""
    return record(ctx, body, selling.sell)


@router.post("/discard")
def discard(ctx: At, body: DiscardBody) -> Saved[FindResult]:
    """Record that what is left of a find is given up: it becomes residue."""
    return record(ctx, body, selling.discard)


@router.post("/bin")
def bin_(ctx: At, body: BinBody) -> Saved[BinResult]:
    """Add a bin, or change one."""
    return record(ctx, body, bins.add_bin)


@router.post("/recount")
def recount(ctx: At, body: RecountBody) -> Saved[BinResult]:
    """Record what a bin holds by the scale."""
    return record(ctx, body, bins.recount)


@router.post("/move")
def move(ctx: At, body: MoveBody) -> Saved[BinResult]:
    """Move some or all of a bin to another. Another grade is asked about (`regrade`)."""
    return record(ctx, body, bins.move)
