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
from partway.quantities import plain_text
from partway.reports.bins import one as report
from partway.reports.books.conflicts import ConflictLine
from partway.web.bins import figures
from partway.web.bins.page import MASS, grade_names
from partway.web.blanks import Blank, Line
from partway.web.desk import At, Desk
from partway.web.pages import Page, render
from partway.web.posting import Done, submit
from partway.web.serving.failures import NotHere

router = APIRouter()
WHEN = "yesterday, 2026-03-14 or 2026-03-14 15:30; empty for now"


class RecountBlank(Blank):
    """A bin on the scale."""

    mass = Line("It holds", MASS, mode="decimal")
    on = Line("When", WHEN)


class MoveBlank(Blank):
    """Material into another bin."""

    to = Line("Into", "another bin; or a grade, which makes a bin for it")
    mass = Line("How much", "such as 3 lb; empty for all of it", mode="decimal")
    on = Line("When", WHEN)


class ChangeBlank(Blank):
    """What a bin is called and holds."""

    name = Line("What is written on it")
    capacity = Line("What it holds when full", "a volume, such as 60 L or 5 US gal")


@dataclass(frozen=True, kw_only=True)
class BinPage(Page):
    """One bin; `targets` are offered as bins to move to, `conflicts` are what of it is in doubt."""

    template: ClassVar[str] = "bins/bin.html"
    place: ClassVar[str] = "bins"
    styles: ClassVar[tuple[str, ...]] = ("bins.css",)
    page: report.OneBin
    conflicts: tuple[ConflictLine, ...]
    recount: RecountBlank
    move: MoveBlank
    change: ChangeBlank
    targets: tuple[tuple[str, str], ...]


def _page(
    desk: Desk,
    bin_id: str,
    recount: RecountBlank | None = None,
    move: MoveBlank | None = None,
    change: ChangeBlank | None = None,
) -> BinPage:
    bins = desk.bins
    if bin_id not in bins:
        raise NotHere(f'"{bin_id[:80]}"', "a bin of this workspace", "bin")
    known = figures.one(desk, bin_id)
    others = tuple((one.id, one.name or one.grade) for one in bins.values() if one.id != bin_id)
    return BinPage(
        title=known.line.name or known.line.grade_name,
        page=known,
        conflicts=desk.conflicts_of(f"bin:{bin_id}"),
        recount=recount or RecountBlank(prefix="recount-"),
        move=move or MoveBlank(prefix="move-"),
        change=change or ChangeBlank(prefix="change-", name=bins[bin_id].name, capacity=_capacity(bins[bin_id])),
        targets=(*others, *(grade for grade in grade_names() if grade[0] not in bins)),
    )


def _capacity(now: BinNow) -> str:
    return "" if now.capacity_l is None else f"{plain_text(now.capacity_l)} L"


@router.get("/bins/{bin_id}")
def bin_page(desk: At, bin_id: str) -> Response:
    """One bin."""
    return render(desk, _page(desk, bin_id))


@router.post("/bins/{bin_id}/recount")
def recount_bin(desk: At, bin_id: str) -> Response:
    """What the scale says."""
    form = RecountBlank(desk.typed, prefix="recount-")

    def act() -> Done:
        recorded = recount(desk.book, desk.context(form.on.text), bin_id, form.mass.text)
        return Done.of(desk, recorded, f"/bins/{bin_id}")

    return submit(desk, form, act, lambda: _page(desk, bin_id, recount=form))


@router.post("/bins/{bin_id}/move")
def move_from_bin(desk: At, bin_id: str) -> Response:
    """Some or all of it into another bin."""
    form = MoveBlank(desk.typed, prefix="move-")

    def act() -> Done:
        regrade = form.agreed("regrade")
        context, mass = desk.context(form.on.text), form.mass.text or None
        recorded = move(desk.book, context, bin_id, form.to.text, mass, regrade)
        return Done.of(desk, recorded, f"/bins/{recorded.result.bin}")

    return submit(desk, form, act, lambda: _page(desk, bin_id, move=form))


@router.post("/bins/{bin_id}/change")
def change_bin(desk: At, bin_id: str) -> Response:
    """Its name and what it holds when full."""
    form = ChangeBlank(desk.typed, prefix="change-")

    def act() -> Done:
        now = standing.bins(desk.book)[bin_id]
        if (form.name.text, form.capacity.text) == (now.name, _capacity(now)):
            raise Refused("what it is called and holds already", "another name or capacity", "name")
        capacity = form.capacity.text if form.capacity.text != _capacity(now) else ""
        recorded = add_bin(desk.book, desk.context(), now.grade, bin_id, form.name.text, capacity or None)
        return Done.of(desk, recorded, f"/bins/{bin_id}")

    return submit(desk, form, act, lambda: _page(desk, bin_id, change=form))
