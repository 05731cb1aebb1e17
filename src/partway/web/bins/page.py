"""Bins: all of them, and a new one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bins.bins import add_bin
from partway.catalogue import shipped
from partway.errors import Refused
from partway.reports.bins.all import Bins
from partway.reports.bins.families import BinFamily, families_of
from partway.web.bins import figures
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
TAKEN = ("new", "labels")  # addresses beside those of bins
MASS = "less the bin itself, such as 12.4 lb"


@dataclass(frozen=True, kw_only=True)
class BinsPage(Page):
    """What is in the bins, all together and by family."""

    template: ClassVar[str] = "bins/bins.html"
    place: ClassVar[str] = "bins"
    styles: ClassVar[tuple[str, ...]] = ("bins.css",)
    stock: Bins
    families: tuple[BinFamily, ...]


class NewBinForm(Form):
    """A bin to add."""

    grade = LineField("Grade", "what goes in; begin to type its name or id")
    name = LineField("What is written on it", "only if it has a name of its own, such as blue drum in the shed")
    capacity = LineField("What it holds when full", "a volume, such as 60 L or 5 US gal; empty if you do not know")
    holds = LineField("What was in it before this ledger began", f"{MASS}; empty for nothing", mode="decimal")
    id = LineField("Short name", "for labels and addresses; empty to use the grade's")


@dataclass(frozen=True, kw_only=True)
class NewBinPage(Page):
    """A bin to add; `grades` are offered while its grade is typed."""

    template: ClassVar[str] = "bins/new.html"
    place: ClassVar[str] = "bins"
    form: NewBinForm
    grades: tuple[tuple[str, str], ...]


def grade_names() -> tuple[tuple[str, str], ...]:
    """Id and name of every grade, to choose from while typing."""
    return tuple((grade.id, grade.name) for grade in shipped().grades.values())


@router.get("/bins")
def bins_page(ctx: At) -> Response:
    """All bins."""
    stock = figures.bins(ctx)
    return render(ctx, BinsPage(title="Bins", stock=stock, families=families_of(stock)))


@router.get("/bins/new")
def new_bin_page(ctx: At, grade: str = "") -> Response:
    """A bin to fill in."""
    return render(ctx, _new(NewBinForm(grade=grade[:80])))


@router.post("/bins/new")
def new_bin(ctx: At) -> Response:
    """Add a bin, or say more of one that is there."""
    form = NewBinForm(ctx.typed)
    names = {"bin": "id"}
    return save_form(ctx, form, lambda: _added(ctx, form), lambda: _new(form), names)


def _new(form: NewBinForm) -> NewBinPage:
    return NewBinPage(title="A new bin", form=form, grades=grade_names())


def _added(ctx: RequestContext, form: NewBinForm) -> FormSaved:
    if form.id.text.lower() in TAKEN:
        raise Refused(f'"{form.id.text}"', "another name: this one is the address of a page", "bin")
    recorded = add_bin(
        ctx.book,
        ctx.context(),
        form.grade.text,
        form.id.text,
        form.name.text,
        form.capacity.text or None,
        form.holds.text or None,
    )
    return FormSaved.of(ctx, recorded, f"/bins/{recorded.result.bin}")
