"""Today: what can hurt, what waits, what is due, what is owed. While a workspace is new: its first steps instead."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.demo import demo_months
from partway.catalogue.cards import CautionCard
from partway.reports.home.firststeps import FirstStep, FirstSteps, first_steps
from partway.reports.home.today import Today
from partway.web.buyers import figures as buyer_figures
from partway.web.context import At, RequestContext
from partway.web.forms import Form
from partway.web.home import figures
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
FEW = 5  # lines of a list; its own place has all of them
LOUD = 1  # caution that is written out before the rest is folded away
WHERE = {"settings": "/settings", "curb": "/curb", "buyers": "/buyers"}


@dataclass(frozen=True, kw_only=True)
class TodayPage(Page):
    """The day. `loud` are the cautions written out, hard stops first, `quiet` the others. `names` are those of grades
    and buyers.
    """

    template: ClassVar[str] = "home/today.html"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    today: Today
    loud: tuple[CautionCard, ...]
    quiet: tuple[CautionCard, ...]
    names: dict[str, str]
    few: int
    todo: tuple[FirstStep, ...]
    where: dict[str, str]


@dataclass(frozen=True, kw_only=True)
class FirstPage(Page):
    """A new workspace. `next` is the step to take now."""

    template: ClassVar[str] = "home/first.html"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    steps: FirstSteps
    next: FirstStep
    where: dict[str, str]
    demo: Form


@router.get("/")
def home(ctx: At) -> Response:
    """Today, or the first steps."""
    steps = figures.steps(ctx)
    return render(ctx, _first(steps) if steps.is_new else _today(ctx, steps))


@router.post("/demo")
def demo(ctx: At) -> Response:
    """Invented months, only into a workspace that nothing was ever recorded in."""
    form = Form(ctx.typed)

    def act() -> FormSaved:
        count = demo_months(ctx.book, ctx.now)
        return FormSaved.onward("/", f"Invented months are here to look around in: {count} events, all of them demo")

    def again() -> Page:
        steps = first_steps(ctx.book)
        return _first(steps, form) if steps.is_new else _today(ctx, steps)

    return save_form(ctx, form, act, again, decides=False)


def _first(steps: FirstSteps, form: Form | None = None) -> FirstPage:
    return FirstPage(title="First steps", steps=steps, next=steps.todo[0], where=WHERE, demo=form or Form())


def _today(ctx: RequestContext, steps: FirstSteps) -> TodayPage:
    today = figures.today(ctx)
    cards = ctx.prices.cautions
    stops_first = sorted(today.cautions, key=lambda line: not (line.id in cards and cards[line.id].out_first))
    return TodayPage(
        title="Today",
        today=today,
        loud=tuple(stops_first[:LOUD]),
        quiet=tuple(stops_first[LOUD:]),
        names=_names(ctx),
        few=FEW,
        todo=steps.todo,
        where=WHERE,
    )


def _names(ctx: RequestContext) -> dict[str, str]:
    grades = {grade.id: grade.name for grade in ctx.prices.grades.values()}
    return grades | buyer_figures.names(ctx)
