"""Today: the few acts that come next. While a workspace is new: its first steps instead, one question a screen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import quote

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.demo import demo_months
from partway.catalogue.cards import CautionCard
from partway.reports.books.overview import cautions_there
from partway.reports.home.act_lines import ActWords
from partway.reports.home.firststeps import FirstStep, FirstSteps, first_steps
from partway.reports.home.today import Today
from partway.valuing.acts.act import Act, Sort
from partway.web.context import At, RequestContext
from partway.web.forms import Form
from partway.web.home import figures
from partway.web.home.first import first_page
from partway.web.home.say import SayForm
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
ADDRESSES: dict[Sort, str] = {
    "hazard-bin": "/bins/{subject}",
    "hazard-find": "/bench/{subject}",
    "settle": "/books/conflicts",
    "haul": "/haul/{subject}/finish",
    "round": "/rounds",
    "full": "/bins/{subject}",
    "unpaid": "/books/money#paid",
    "open": "/bench/{subject}",
    "call": "/buyers/{buyer}",
    "takes": "/buyers/{buyer}",
    "go": "/haul",
    "wait": "/haul",
}
WHERE = {"settings": "/settings", "curb": "/curb", "buyers": "/buyers"}


@dataclass(frozen=True, slots=True)
class ActShown:
    """An act as the page shows it: what to do, why, and the address where it is done; `kind` of which find."""

    title: str
    why: str
    address: str
    urgency: str
    kind: str


@dataclass(frozen=True, kw_only=True)
class TodayPage(Page):
    """The day. `cards` are of what the acts are about, hard stops first."""

    template: ClassVar[str] = "home/today.html"
    styles: ClassVar[tuple[str, ...]] = ("curb.css", "home.css")
    today: Today
    acts: tuple[ActShown, ...]
    cards: tuple[CautionCard, ...]
    todo: tuple[FirstStep, ...]
    where: dict[str, str]
    say: SayForm


@router.get("/")
def home(ctx: At) -> Response:
    """Today, or the first steps."""
    steps = figures.steps(ctx)
    return render(ctx, first_page(ctx, steps) if steps.is_new else _today(ctx, steps))


@router.post("/demo")
def demo(ctx: At) -> Response:
    """Invented months, only into a workspace that nothing was ever recorded in."""
    form = Form(ctx.typed)

    def act() -> FormSaved:
        count = demo_months(ctx.book, ctx.now)
        return FormSaved.onward("/", f"Invented months are here to look around in: {count} events, all of them demo")

    def again() -> Page:
        steps = first_steps(ctx.book)
        return first_page(ctx, steps, form) if steps.is_new else _today(ctx, steps)

    return save_form(ctx, form, act, again, decides=False)


def _today(ctx: RequestContext, steps: FirstSteps) -> TodayPage:
    today = figures.today(ctx)
    return TodayPage(
        title="Today",
        today=today,
        acts=_acts(ctx, today),
        cards=_cards(ctx, today),
        todo=steps.todo,
        where=WHERE,
        say=SayForm(),
    )


def _acts(ctx: RequestContext, today: Today) -> tuple[ActShown, ...]:
    say = ActWords(ctx.show.about, ctx.show.minutes, ctx.show.weekday)
    return tuple(
        ActShown(say.title(line), say.why(line), address_of(line.act), line.urgency, _kind(line.act))
        for line in today.acts
    )


def _cards(ctx: RequestContext, today: Today) -> tuple[CautionCard, ...]:
    """What can hurt in the finds and bins that the acts are about; what else lies here is named in its own place."""
    about = [line.act.subject for line in today.acts]
    finds = [ctx.finds[one] for one in about if one in ctx.finds]
    bins = [ctx.bins[one] for one in about if one in ctx.bins]
    known = ctx.prices.cautions
    cards = cautions_there(ctx.prices, ctx.catalogue, finds, bins)
    return tuple(sorted(cards, key=lambda card: not (card.id in known and known[card.id].out_first)))


def _kind(act: Act) -> str:
    return act.of if act.sort == "open" else ""


def address_of(act: Act) -> str:
    """Where an act is done."""
    return ADDRESSES[act.sort].format_map({name: quote(one, safe="") for name, one in act.ids.items()})
