"""Reading for the curb and the bench: worth lifting, what to open next, how far."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Annotated, Literal

from fastapi import Path, Query

from partway.actions.bench import benching
from partway.actions.pictures.writing import text_of_listing
from partway.actions.recording import reading
from partway.actions.recording.unknown import MadeOf, meant
from partway.catalogue.cards import CautionCard
from partway.errors import Refused
from partway.reports.bench.find import FindAtBench
from partway.reports.bench.offers import OffersReport
from partway.reports.bench.queue import Queue
from partway.reports.bench.steps import BenchStep, Comes
from partway.reports.bench.valued import ValueLine
from partway.reports.curb.curb import Curb, Ranking
from partway.reports.selling.listing_text import ListingText
from partway.things.scenario import Works
from partway.valuing.finds.facts import Span
from partway.valuing.finds.parts import PartOffer
from partway.valuing.finds.waiting import Unvalued, WaitingFind
from partway.web.api.bodies import LINE
from partway.web.api.reading import AT_KIND, AT_NAME, reads
from partway.web.bench import figures
from partway.web.context import At
from partway.web.curb import figures as curb_figures
from partway.web.drawings.anatomy import By, Picture, anatomy_picture
from partway.web.home.api import find_of

router = reads("worth")

AsIf = Annotated[Literal["yes", "no", "unknown"], Query(description="Does it work.")]
HasIt = Annotated[Literal["", "yes", "no", "unknown"], Query(description="Whether such a thing has one.")]
Kind = Annotated[str, Path(max_length=LINE, examples=["microwave"])]
Find = Annotated[str, Path(max_length=LINE, examples=["stereo-receiver-2"])]


@dataclass(frozen=True, slots=True)
class AtBench:
    """A find at its best depth: cautions first, then what to do step by step, what it brings and where it stops.

    `supposed` says that it is looked at as if it were in another condition; `wins` is how often all that beats leaving
    it as it is. `note` is what decides about its kind, `notes` what the figures count on.
    """

    waits: WaitingFind
    name: str
    works: Works
    supposed: bool
    wage: float
    cautions: tuple[CautionCard, ...]
    value: ValueLine
    brings: Span
    minutes: Span
    wins: float | None
    steps: tuple[BenchStep, ...]
    left: tuple[Comes, ...]
    parts: tuple[PartOffer, ...]
    picture: Picture
    notes: tuple[str, ...]
    note: str

    @classmethod
    def of(cls, found: FindAtBench, by: By) -> AtBench:
        """With its picture."""
        same = {one.name: getattr(found, one.name) for one in fields(cls) if one.name != "picture"}
        return cls(**same, picture=anatomy_picture(found.tree, by))


@router.get("/curb")
def ranking(ctx: At) -> Ranking:
    """Kinds worth stopping for at today's quotes, by money per hour."""
    return curb_figures.ranking(ctx)


@router.get("/curb/{kind}", responses=AT_KIND)
def curb(
    ctx: At,
    kind: Kind,
    works: AsIf = "unknown",
    mostly: Annotated[str, Query(max_length=LINE, description="What a thing that no kind is mostly is.")] = "",
    cord: HasIt = "",
    motor: HasIt = "",
    battery: HasIt = "",
    mass: Annotated[str, Query(max_length=LINE, description="What such a thing weighs about.")] = "",
    own: Annotated[bool, Query(description="It is none of the kinds whose names are near.")] = False,
    signs: Annotated[str, Query(max_length=LINE, description="What shows of it, such as cord-cut -boxed.")] = "",
) -> Curb:
    """The verdict on one kind: what can hurt, take it or leave it, what it brings, what that hangs on.

    A name that is not exactly one kind's is asked about (`kind`); of a thing that is none it is asked what it is
    `mostly`, and the verdict is a guess from that.
    """
    kg = reading.mass_mg(ctx.book, mass, "mass") * benching.KG if mass else None
    said = MadeOf(mostly, cord, motor, battery, own)
    return curb_figures.verdict(ctx, meant(kind, said, ctx.catalogue, kg).here, works, signs)


@router.get("/queue")
def queue(
    ctx: At, hours: Annotated[float | None, Query(ge=0, le=benching.HOURS_MOST, description="Within these.")] = None
) -> Queue:
    """The waiting finds by money per bench hour, and how many fit the hours."""
    return figures.queue(ctx, hours)


@router.get("/offers")
def offers(ctx: At) -> OffersReport:
    """What is on offer by the unit: how long, what it is expected to fetch, what to do; asked against got by kind."""
    return figures.offers(ctx, ctx.today)


@router.get("/finds/{find}/listing-text", responses=AT_NAME)
def text_for_listing(
    ctx: At,
    find: Find,
    part: Annotated[str, Query(max_length=LINE, description="A piece of it; empty for the whole.")] = "",
    packed: Annotated[str, Query(max_length=LINE, description="What it weighs packed.")] = "",
    postage: Annotated[str, Query(max_length=LINE, description="What sending it costs.")] = "",
) -> ListingText:
    """The text of a listing for a find or a piece: what the ledger knows, and what was not tested or weighed."""
    return text_of_listing(ctx.book, ctx.now, find_of(ctx, find).id, part, packed, postage, exact=True)


@router.get("/finds/{find}/bench", responses=AT_NAME)
def at_bench(
    ctx: At,
    find: Find,
    works: Annotated[Literal["yes", "no"] | None, Query(description="As if it did.")] = None,
    by: Annotated[By, Query(description="What the picture's heights show.")] = "value",
) -> AtBench:
    """One find at the bench: its steps, where each piece goes, where to stop and why, and its anatomy as a picture."""
    now = find_of(ctx, find)
    if now.closed:
        raise Refused(f"{now.id}, of which nothing is left", "a find that is still there", "find")
    found = figures.find(ctx, now, works)
    if isinstance(found, Unvalued):
        expected = "a kind of the catalogue" if found.why == "kind" else "a find of which it is known what is left"
        raise Refused(f"{now.id}, {found.name}", expected, "find")
    return AtBench.of(found, by)
