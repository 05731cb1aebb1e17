"""A find opened step by step: an operation a screen, its pieces weighed one after another, the balance at the end.

One form holds all of it. With scripts one section of it stands on the screen at a time; without, all stand below each
other. Put right later opens the same form, filled in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue.cards import CautionCard
from partway.errors import Refused
from partway.ledger.fold.standing import FindNow
from partway.ledger.pictures import pieces_pictured
from partway.reports.bench.balance_typed import MassBalance
from partway.reports.bench.find import FindAtBench
from partway.reports.bench.steps import BenchStep
from partway.reports.bench.work import SpanInHand, report_work
from partway.web.bench.anew import PutRight, anew_of, opening_anew, too_many
from partway.web.bench.find import (
    FindForms,
    draft_of,
    find_now,
    fresh_opening,
    gone_page,
    here_of,
    name_of,
    page_of,
    state_of,
)
from partway.web.bench.forms import OpeningForm, WeighRow
from partway.web.context import At, RequestContext
from partway.web.drawings.anatomy import Picture, anatomy_picture
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()


@dataclass(frozen=True)
class Section:
    """What stands on one screen: an operation, or what is in hand already (None), with the rows to weigh in it."""

    number: int
    step: BenchStep | None
    cards: tuple[CautionCard, ...]
    rows: tuple[WeighRow, ...]


@dataclass(frozen=True, kw_only=True)
class WorkPage(Page):
    """The form of an opening in sections. `early` are rows only weighed where one stops before the end, with when the
    piece is in hand; `rest` the cards of all that may come up besides. `instead` is the opening that is put right,
    empty where none is; `keeps` says that something stayed in the find then. `draft` and `state` are the name under
    which the phone keeps what is typed, and what the find was like when it was typed. `own` has one's
    own photographs of pieces.
    """

    template: ClassVar[str] = "bench/work.html"
    place: ClassVar[str] = "bench"
    styles: ClassVar[tuple[str, ...]] = ("bench.css", "bench-find.css", "bench-work.css", "keypad.css")
    scripts: ClassVar[tuple[str, ...]] = ("bench.js", "keypad.js", "bench-work.js")
    find: FindNow
    sections: tuple[Section, ...]
    early: tuple[tuple[WeighRow, SpanInHand | None], ...]
    rest: tuple[CautionCard, ...]
    picture: Picture | None
    opening: OpeningForm
    balance: MassBalance | None
    instead: str
    keeps: bool
    fresh: bool
    unit: str
    draft: str
    state: str
    own: Mapping[str, str]


def work_page(
    ctx: RequestContext,
    now: FindNow,
    here: FindAtBench | None,
    opening: OpeningForm,
    balance: MassBalance | None = None,
    anew: PutRight | None = None,
) -> WorkPage:
    """The page for a find of a known kind, with its form as it was filled in."""
    anatomy = ctx.catalogue.anatomy(now.kind)
    rows = {row.row.piece: row for row in opening.rows}
    kept = ctx.catalogue
    known = [row.row for row in opening.rows]
    work = report_work(anatomy, here.steps if here else (), known, kept.grades, kept.cautions)
    sections = tuple(
        Section(
            number,
            section.step,
            section.cards,
            tuple(rows[piece] for piece in section.pieces),
        )
        for number, section in enumerate(work.sections, 1)
    )
    return WorkPage(
        title=here.name if here else name_of(ctx, now),
        find=now,
        sections=sections,
        early=tuple((row, work.early.get(row.row.piece)) for row in opening.rows if row.row.early),
        rest=work.rest,
        picture=anatomy_picture(here.tree, "mass") if here and here.steps else None,
        opening=opening,
        balance=balance,
        instead=str(anew.event.id) if anew else "",
        keeps=bool(anew and not anew.what.closes and not opening.form.question),
        fresh=anew is None and not ctx.typed,
        unit=ctx.settings.get("unit", ""),
        draft=f"{draft_of(now)}:{anew.event.id}" if anew else draft_of(now),
        state=str(anew.event.id) if anew else state_of(ctx, now),
        own=pieces_pictured(ctx.book, now.kind),
    )


@router.get("/bench/{find_id}/work")
def work(ctx: At, find_id: str, instead: str = "") -> Response:
    """A find opened step by step; with `instead`, an opening of it put right."""
    now = find_now(ctx, find_id)
    if instead:
        return _put_right(ctx, now, instead)
    if now.closed:
        return render(ctx, gone_page(ctx, now, FindForms()))
    here = here_of(ctx, now)
    opening = fresh_opening(ctx, now, here)
    if not opening.rows:  # of a kind that nobody knows
        return render(ctx, page_of(ctx, find_id))
    return render(ctx, work_page(ctx, now, here, opening))


def _put_right(ctx: RequestContext, now: FindNow, instead: str) -> Response:
    anew = anew_of(ctx, now.id, instead)
    if not ctx.catalogue.knows(now.kind):
        raise NotHere(f"{name_of(ctx, now)}, which the catalogue knows no more", "a kind of the catalogue", "instead")
    if too_many(ctx.catalogue.anatomy(now.kind), anew.what):
        raise Refused("one piece in several bins", "masses put right one by one, in the ledger", "instead")
    return render(ctx, work_page(ctx, anew.now, anew.here, opening_anew(ctx, anew), anew=anew))
