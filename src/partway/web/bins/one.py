"""One bin: what it holds and fetches, putting it on the scale, moving what is in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bins.bins import add_bin, move, recount
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.ledger.pictures import Taken, pictures_of
from partway.quantities import plain_text
from partway.reports.bins import one as report
from partway.reports.books.conflicts import ConflictLine
from partway.reports.names import ScenarioNames
from partway.valuing.room.good_lot import GoodLot
from partway.web.bins import figures
from partway.web.bins.page import MASS, grade_names
from partway.web.books.notes import NotesHere, notes_here
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()
FEW, LOTS = 3, 1  # buyers and next lots in sight
WHEN = "yesterday, 2026-03-14 or 2026-03-14 15:30; empty for now"


class RecountForm(Form):
    """A bin on the scale."""

    mass = LineField("It holds", MASS, mode="decimal")
    on = LineField("When", WHEN)


class MoveForm(Form):
    """Material into another bin."""

    to = LineField("Into", "another bin; or a grade, which makes a bin for it")
    mass = LineField("How much", "such as 3 lb; empty for all of it", mode="decimal")
    on = LineField("When", WHEN)


class ChangeForm(Form):
    """What a bin is called and holds."""

    name = LineField("What is written on it")
    capacity = LineField("What it holds when full", "a volume, such as 60 L or 5 US gal")


@dataclass(frozen=True, kw_only=True)
class BinPage(Page):
    """One bin; `targets` are offered as bins to move to, `others` hold the same grade, `conflicts` are what of it is in
    doubt.

    `even` is what an even flow makes a good lot, None where nobody can tell; `buyer` is who it is for, by name.
    """

    template: ClassVar[str] = "bins/bin.html"
    place: ClassVar[str] = "bins"
    styles: ClassVar[tuple[str, ...]] = ("bins.css",)
    page: report.OneBin
    conflicts: tuple[ConflictLine, ...]
    recount: RecountForm
    move: MoveForm
    change: ChangeForm
    targets: tuple[tuple[str, str], ...]
    even: GoodLot | None
    buyer: str
    others: tuple[tuple[str, str], ...]
    photographs: tuple[Taken, ...]
    notes: NotesHere
    few: int = FEW
    lots: int = LOTS


def _page(
    ctx: RequestContext,
    bin_id: str,
    recount: RecountForm | None = None,
    move: MoveForm | None = None,
    change: ChangeForm | None = None,
) -> BinPage:
    bins = ctx.bins
    if bin_id not in bins:
        raise NotHere(f'"{bin_id[:80]}"', "a bin of this workspace", "bin")
    known = figures.one(ctx, bin_id)
    even = figures.good_lot_of(ctx, known.line.grade)
    grades = dict(grade_names())
    called = {one.id: one.name or grades.get(one.grade, one.grade) for one in bins.values() if one.id != bin_id}
    return BinPage(
        title=known.line.name or known.line.grade_name,
        page=known,
        conflicts=ctx.conflicts_of(f"bin:{bin_id}"),
        recount=recount or RecountForm(prefix="recount-"),
        move=move or MoveForm(prefix="move-"),
        change=change or ChangeForm(prefix="change-", name=bins[bin_id].name, capacity=_capacity(bins[bin_id])),
        notes=notes_here(ctx, f"bin:{bin_id}"),
        others=tuple((other, called[other]) for other in known.others),
        targets=(*called.items(), *(grade for grade in grades.items() if grade[0] not in bins)),
        even=even,
        buyer=ScenarioNames(ctx.prices).buyer(even.buyer) if even else "",
        photographs=pictures_of(ctx.book, f"bin:{bin_id}"),
    )


def _capacity(now: BinNow) -> str:
    return "" if now.capacity_l is None else f"{plain_text(now.capacity_l)} L"


@router.get("/bins/{bin_id}")
def bin_page(ctx: At, bin_id: str) -> Response:
    """One bin."""
    return render(ctx, _page(ctx, bin_id))


@router.post("/bins/{bin_id}/recount")
def recount_bin(ctx: At, bin_id: str) -> Response:
    """What the scale says."""
    form = RecountForm(ctx.typed, prefix="recount-")

    def act() -> FormSaved:
        recorded = recount(ctx.book, ctx.context(form.on.text), bin_id, form.mass.text)
        return FormSaved.of(ctx, recorded, f"/bins/{bin_id}")

    return save_form(ctx, form, act, lambda: _page(ctx, bin_id, recount=form))


@router.post("/bins/{bin_id}/move")
def move_from_bin(ctx: At, bin_id: str) -> Response:
    """Some or all of it into another bin."""
    form = MoveForm(ctx.typed, prefix="move-")

    def act() -> FormSaved:
        regrade = form.agreed("regrade")
        context, mass = ctx.context(form.on.text), form.mass.text or None
        recorded = move(ctx.book, context, bin_id, form.to.text, mass, regrade)
        return FormSaved.of(ctx, recorded, f"/bins/{recorded.result.bin}")

    return save_form(ctx, form, act, lambda: _page(ctx, bin_id, move=form))


@router.post("/bins/{bin_id}/change")
def change_bin(ctx: At, bin_id: str) -> Response:
    """Its name and what it holds when full."""
    form = ChangeForm(ctx.typed, prefix="change-")

    def act() -> FormSaved:
        now = standing.bins(ctx.book)[bin_id]
        if (form.name.text, form.capacity.text) == (now.name, _capacity(now)):
            raise Refused("what it is called and holds already", "another name or capacity", "name")
        capacity = form.capacity.text if form.capacity.text != _capacity(now) else ""
        recorded = add_bin(ctx.book, ctx.context(), now.grade, bin_id, form.name.text, capacity or None)
        return FormSaved.of(ctx, recorded, f"/bins/{bin_id}")

    return save_form(ctx, form, act, lambda: _page(ctx, bin_id, change=form))
