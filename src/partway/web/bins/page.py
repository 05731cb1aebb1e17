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
from partway.web.bins import figures
from partway.web.blanks import Blank, Line
from partway.web.desk import At, Desk
from partway.web.pages import Page, render
from partway.web.posting import Done, submit

router = APIRouter()
TAKEN = ("new", "labels")  # addresses beside those of bins
MASS = "less the bin itself, such as 12.4 lb"


@dataclass(frozen=True, kw_only=True)
class BinsPage(Page):
    """What is in the bins."""

    template: ClassVar[str] = "bins/bins.html"
    place: ClassVar[str] = "bins"
    styles: ClassVar[tuple[str, ...]] = ("bins.css",)
    stock: Bins


class NewBinBlank(Blank):
    """A bin to add."""

    grade = Line("Grade", "what goes in; begin to type its name or id")
    name = Line("What is written on it", "only if it has a name of its own, such as blue drum in the shed")
    capacity = Line("What it holds when full", "a volume, such as 60 L or 5 US gal; empty if you do not know")
    holds = Line("What was in it before this ledger began", f"{MASS}; empty for nothing", mode="decimal")
    id = Line("Short name", "for labels and addresses; empty to use the grade's")


@dataclass(frozen=True, kw_only=True)
class NewBinPage(Page):
    """A bin to add; `grades` are offered while its grade is typed."""

    template: ClassVar[str] = "bins/new.html"
    place: ClassVar[str] = "bins"
    form: NewBinBlank
    grades: tuple[tuple[str, str], ...]


def grade_names() -> tuple[tuple[str, str], ...]:
    """Id and name of every grade, to choose from while typing."""
    return tuple((grade.id, grade.name) for grade in shipped().grades.values())


@router.get("/bins")
def bins_page(desk: At) -> Response:
    """All bins."""
    stock = figures.bins(desk)
    return render(desk, BinsPage(title="Bins", stock=stock))


@router.get("/bins/new")
def new_bin_page(desk: At, grade: str = "") -> Response:
    """A bin to fill in."""
    return render(desk, _new(NewBinBlank(grade=grade[:80])))


@router.post("/bins/new")
def new_bin(desk: At) -> Response:
    """Add a bin, or say more of one that is there."""
    form = NewBinBlank(desk.typed)
    names = {"bin": "id"}
    return submit(desk, form, lambda: _added(desk, form), lambda: _new(form), names)


def _new(form: NewBinBlank) -> NewBinPage:
    return NewBinPage(title="A new bin", form=form, grades=grade_names())


def _added(desk: Desk, form: NewBinBlank) -> Done:
    if form.id.text.lower() in TAKEN:
        raise Refused(f'"{form.id.text}"', "another name: this one is the address of a page", "bin")
    recorded = add_bin(
        desk.book,
        desk.context(),
        form.grade.text,
        form.id.text,
        form.name.text,
        form.capacity.text or None,
        form.holds.text or None,
    )
    return Done.of(desk, recorded, f"/bins/{recorded.result.bin}")
