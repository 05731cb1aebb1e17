"""Writing at the bench: an address for each action on finds and bins, named as on the command line."""

from __future__ import annotations

from partway.actions.bench import finds, listing, selling
from partway.actions.bench.offer_results import BackResult, OfferResult
from partway.actions.bench.results import FindResult, OpenResult, SoldResult
from partway.actions.bins import bins
from partway.actions.bins.results import BinResult
from partway.actions.books import opening_anew
from partway.actions.recording.saved import Saved
from partway.web.api.writing import record, writing
from partway.web.bench.bodies import (
    BinBody,
    DiscardBody,
    FindBody,
    MoveBody,
    OfferBody,
    OpenBody,
    RecountBody,
    RepriceBody,
    ReturnBody,
    SellBody,
    TakeDownBody,
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
    """Record a find opened: pieces, weighed, into bins. A gap in the mass balance is asked about (`gap`).

    `instead` puts an earlier opening right: it no longer counts, and this one stands in its place.
    """
    return record(ctx, body, opening_anew.record_opening)


@router.post("/sell")
def sell(ctx: At, body: SellBody) -> Saved[SoldResult]:
    """Record a part or a whole find sold. A mass that is needed is asked for (`mass`)."""
    return record(ctx, body, selling.sell)


@router.post("/list")
def list_(ctx: At, body: OfferBody) -> Saved[OfferResult]:
    """Put a find, or a piece of it, on offer by the unit."""
    return record(ctx, body, listing.put_on_offer)


@router.post("/reprice")
def reprice(ctx: At, body: RepriceBody) -> Saved[OfferResult]:
    """Ask another price for what is on offer."""
    return record(ctx, body, listing.reprice)


@router.post("/take-down")
def take_down(ctx: At, body: TakeDownBody) -> Saved[OfferResult]:
    """Take down what did not sell."""
    return record(ctx, body, listing.take_down)


@router.post("/return")
def return_(ctx: At, body: ReturnBody) -> Saved[BackResult]:
    """Record that something sold came back."""
    return record(ctx, body, listing.take_back)


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
