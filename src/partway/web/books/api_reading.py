"""Reading the books: what an hour brought, where the kilograms went, the ledger page by page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Literal
from uuid import UUID

from fastapi import Path, Query

from partway.actions.books.queries import filters
from partway.reports.books.hours_earned import HoursEarned, hours_earned
from partway.reports.books.impact import ImpactReport
from partway.reports.books.ledger_page import EventReport, LedgerLeaf, Reader
from partway.reports.books.notes import NoteLine, notes
from partway.reports.books.per_place import PerPlace
from partway.reports.books.per_yard import PerYard
from partway.reports.books.told.year import YearBooks
from partway.reports.home.firststeps import FirstSteps, first_steps
from partway.valuing.ends.diverted import DivertedLine, Ends
from partway.valuing.ends.flows import Flows
from partway.web.api.reading import AT_NAME, reads
from partway.web.books import figures
from partway.web.context import At, RequestContext
from partway.web.home.api import Kinds, Text
from partway.web.serving.failures import NotHere

router = reads("books")

Months = Annotated[Literal["1", "3", "12", "0"], Query(description="The last so many, this one counted; 0 for all.")]


@dataclass(frozen=True, slots=True)
class KeptOut:
    """Milligrams kept out of the landfill (`diverted`) and not (`wasted`); `share` null before anything left."""

    first: str | None
    ends: Ends
    diverted: int
    wasted: int
    share: float | None


@dataclass(frozen=True, slots=True)
class DivertedNow:
    """The whole ledger, and the months or years of a stretch."""

    whole: KeptOut
    steps: tuple[KeptOut, ...]


@router.get("/per-hour")
def per_hour(ctx: At, months: Months = "3") -> HoursEarned:
    """What an hour really brought: by month, by activity, by kind."""
    return hours_earned(figures.per_hour(ctx, months))


@router.get("/per-yard")
def per_yard(ctx: At, months: Months = "3") -> PerYard:
    """What each yard brought, and for an hour on the road to it."""
    return figures.per_yard(ctx, months)


@router.get("/per-place")
def per_place(ctx: At, months: Months = "3") -> PerPlace:
    """What each place brought by the hour of the collecting rounds to it."""
    return figures.per_place(ctx, months)


@router.get("/diverted")
def diverted(ctx: At, months: Months = "3") -> DivertedNow:
    """Where kilograms ended: kept out of the landfill or not."""
    found = figures.diverted(ctx, months)
    return DivertedNow(_kept_out(found.whole), tuple(_kept_out(step.ends, step) for step in found.steps))


def _kept_out(ends: Ends, step: DivertedLine | None = None) -> KeptOut:
    return KeptOut(step.first.isoformat() if step else None, ends, ends.diverted, ends.wasted, ends.share)


@router.get("/impact", responses=AT_NAME)
def impact(
    ctx: At,
    months: Months = "0",
    factors: Annotated[
        Text, Query(alias="set", description="A factor set; the one of the place where none is said.")
    ] = None,
) -> ImpactReport:
    """What was kept out of the landfill and what that spared, by one factor set, with what it has no figure for."""
    return figures.impact(ctx, months, factors or "")


@router.get("/year/{year}", responses=AT_NAME)
def year(ctx: At, year: Annotated[str, Path(description="Such as 2026.")]) -> YearBooks:
    """The books of a year: every amount with its category, sums, open items and drives."""
    return figures.year(ctx, year)


@router.get("/flows")
def flows(
    ctx: At,
    months: Months = "3",
    most: Annotated[int, Query(ge=1, le=200, description="So many kinds, grades and buyers by themselves.")] = 7,
) -> Flows:
    """Kilograms from finds through grades to buyers, as links that balance."""
    return figures.flows(ctx, months, most)


@router.get("/events", responses=AT_NAME)
def events(
    ctx: At,
    kind: Kinds = (),
    about: Annotated[Text, Query(description="A find, bin, buyer, haul or ticket.")] = None,
    since: Annotated[Text, Query(description="From this day or time on.")] = None,
    until: Annotated[Text, Query(description="Before this day or time.")] = None,
    before: Annotated[UUID | None, Query(description="Where the page begins: `older` of the page before.")] = None,
    most: Annotated[int, Query(ge=1, le=1000, description="How many.")] = 40,
) -> LedgerLeaf:
    """The ledger from the newest backwards, a page at a time."""
    chosen: Sequence[str] = kind
    return _reader(ctx).leaf(**filters(ctx.book, ctx.now, chosen, about, since, until), before=before, most=most)


@router.get("/events/{event}", responses=AT_NAME)
def one_event(ctx: At, event: Annotated[UUID, Path()]) -> EventReport:
    """One event, and all that became of it."""
    found = ctx.book.event(event)
    if found is None:
        raise NotHere(str(event), "the id of an event of this ledger", "event")
    return _reader(ctx).event(found)


@router.get("/notes", responses=AT_NAME)
def all_notes(
    ctx: At,
    about: Annotated[Text, Query(description="A find, bin or buyer.")] = None,
    most: Annotated[int, Query(ge=1, le=1000, description="How many.")] = 100,
) -> tuple[NoteLine, ...]:
    """What was noted, the newest first."""
    chosen = filters(ctx.book, ctx.now, (), about, None, None)
    return notes(ctx.book, ctx.now.tzinfo, chosen["subject"], most)


@router.get("/first-steps")
def steps(ctx: At) -> FirstSteps:
    """What a new workspace still lacks."""
    return first_steps(ctx.book)


def _reader(ctx: RequestContext) -> Reader:
    return Reader(ctx.book, ctx.show.say.units, ctx.now.tzinfo)
