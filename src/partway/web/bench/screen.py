"""One find on one screen: what can hurt, what to do with it, and the way to its steps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue.cards import CautionCard
from partway.ledger.fold.standing import FindNow
from partway.ledger.pictures import Taken, pictures_of
from partway.reports.bench.find import FindAtBench
from partway.reports.books.conflicts import ConflictLine
from partway.web.bench.find import (
    FindForms,
    cautions_of,
    find_now,
    gone_page,
    name_of,
    offers,
    reckoned,
    right_of,
    rows_of,
)
from partway.web.bench.forms import TestForm
from partway.web.books.notes import NotesHere, notes_here
from partway.web.context import At
from partway.web.pages import Page, render

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class ScreenPage(Page):
    """One find on one screen. `here` is None where it cannot be reckoned with, and `unknown` says why. `opens` says
    that something of it can be weighed step by step; `right` is where an earlier opening of it is put right. `note` is
    what decides for its kind, its beginning until it is tapped.
    """

    template: ClassVar[str] = "bench/screen.html"
    place: ClassVar[str] = "bench"
    styles: ClassVar[tuple[str, ...]] = ("bench.css", "bench-work.css")
    find: FindNow
    conflicts: tuple[ConflictLine, ...]
    here: FindAtBench | None
    unknown: str
    cautions: tuple[CautionCard, ...]
    test: TestForm
    opens: bool
    offers: bool
    right: str
    note: str
    photographs: tuple[Taken, ...]
    notes: NotesHere


@router.get("/bench/{find_id}")
def screen(ctx: At, find_id: str) -> Response:
    """One find on one screen, or what became of it."""
    now = find_now(ctx, find_id)
    if now.closed:
        return render(ctx, gone_page(ctx, now, FindForms()))
    here, unknown = reckoned(ctx, now, "")
    own, others = cautions_of(ctx, now, here)
    page = ScreenPage(
        title=here.name if here else name_of(ctx, now),
        find=now,
        conflicts=ctx.conflicts_of(f"find:{now.id}"),
        here=here,
        unknown=unknown,
        cautions=(*own, *others),
        test=TestForm(prefix="test-"),
        opens=bool(rows_of(ctx, now, here)),
        offers=offers(ctx, now),
        right=right_of(ctx, now),
        note=ctx.catalogue.anatomy(now.kind).note if ctx.catalogue.knows(now.kind) else "",
        photographs=pictures_of(ctx.book, f"find:{now.id}"),
        notes=notes_here(ctx, f"find:{now.id}"),
    )
    return render(ctx, page)
