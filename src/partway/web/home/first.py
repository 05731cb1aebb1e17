"""The first run, one question a screen: place, first verdict, first buyer, its first prices."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from partway.actions.curb import curb as look
from partway.actions.home.settings import set_many
from partway.actions.recording.describe import Told
from partway.actions.recording.words import unit
from partway.catalogue import shipped
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.names import LONGEST, KindMatch, find_kinds, kind_called, named, with_a_word_of
from partway.reports.home.firststeps import FirstSteps
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField
from partway.web.home import figures
from partway.web.home.places import MyPlace, my_places
from partway.web.home.say import SayForm
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()
NOTHING_SAID = Told("")  # the next question stands there instead
COMMON = ("microwave", "fan", "desktop-pc")  # offered at once: what most people have stood in front of
SELLERS = (("yard", "A scrap yard"), ("drop-off", "A drop-off"), ("mail-in", "Somebody by mail"))
PLACE = ("locale", "currency", "unit", "distance")


class PriceForm(Form):
    """The one price that somebody knows."""

    copper = LineField("What a yard pays for it today", mode="decimal")


@dataclass(frozen=True, kw_only=True)
class FirstPage(Page):
    """A question of the first run. `ask` is place, thing, price, buyer or prices; the other fields are what it needs:
    `places` to choose from, `common` kinds (id, name), `matches` of what was `typed`, the `price` to type for a `kind`
    and its `unit`, the `buyer` whose prices are missing (id, name). `to` is where a kind leads, `say` the one line for
    whatever happened.
    """

    template: ClassVar[str] = "home/first.html"
    styles: ClassVar[tuple[str, ...]] = ("curb.css", "home.css")
    ask: str
    steps: FirstSteps
    demo: Form
    places: tuple[MyPlace, ...] = ()
    where: Form | None = None
    common: tuple[tuple[str, str], ...] = ()
    typed: str = ""
    matches: tuple[KindMatch, ...] = ()
    longest: int = LONGEST
    to: str = "/curb/"
    kind: str = ""
    name: str = ""
    unit: str = ""
    price: PriceForm | None = None
    buyer: tuple[str, str] = ("", "")
    sellers: tuple[tuple[str, str], ...] = SELLERS
    say: SayForm = field(default_factory=SayForm)


def first_page(
    ctx: RequestContext, steps: FirstSteps, demo: Form | None = None, place: Form | None = None
) -> FirstPage:
    """The question that comes next in a new workspace."""
    lacking, known = {step.lacking for step in steps.todo}, demo or Form()
    if "currency" in lacking:
        header = ctx.request.headers.get("accept-language", "")
        return FirstPage(
            title="Where do you scrap?",
            ask="place",
            steps=steps,
            demo=known,
            places=my_places(header),
            where=place or Form(),
        )
    if "find" in lacking:
        return thing_page(ctx, steps, demo=known)
    if "buyer" in lacking:
        return FirstPage(title="Who takes your metal?", ask="buyer", steps=steps, demo=known)
    buyer = next(iter(ctx.buyers.values()))
    name = buyer.name or buyer.buyer
    return FirstPage(title=f"What does {name} pay?", ask="prices", steps=steps, demo=known, buyer=(buyer.buyer, name))


def thing_page(ctx: RequestContext, steps: FirstSteps, typed: str = "", demo: Form | None = None) -> FirstPage:
    """What stands there; a kind leads to its verdict, by way of the price of copper where none is known."""
    kinds = named(look.kinds(ctx.prices).values())
    known = shipped()
    return FirstPage(
        title="What stands in front of you?",
        ask="thing",
        steps=steps,
        demo=demo or Form(),
        common=tuple((kind, known.anatomy(kind).name) for kind in COMMON),
        typed=typed,
        matches=(find_kinds(typed, kinds) or with_a_word_of(typed, kinds)) if typed.strip() else (),
        to="/curb/" if _priced(ctx) else "/first/price?kind=",
    )


def _priced(ctx: RequestContext) -> bool:
    """Whether a verdict has a price to go by."""
    return ctx.prices.copper is not None or any(buyer.quotes for buyer in ctx.prices.buyers)


@router.post("/first/place")
def place(ctx: At) -> Response:
    """Save the place that was confirmed: all of it or none."""
    form = Form(ctx.typed)

    def act() -> FormSaved:
        said = ctx.typed.get("place", "").split("|")
        if len(said) != len(PLACE):
            raise Refused(shown(ctx.typed.get("place", "")), "one of the places offered", "place")
        recorded = set_many(ctx.book, ctx.context(), dict(zip(PLACE, said, strict=True)))
        return FormSaved(NOTHING_SAID, recorded.undo, "/")

    return save_form(ctx, form, act, lambda: first_page(ctx, figures.steps(ctx), place=form))


@router.get("/first/thing")
def thing(ctx: At, q: str = "") -> Response:
    """What was typed: the exact name of a kind leads on at once; anything else is asked about."""
    text = q[:LONGEST]
    page = thing_page(ctx, figures.steps(ctx), text)
    called = kind_called(text, named(look.kinds(ctx.prices).values()))
    return render(ctx, page) if called is None else RedirectResponse(f"{page.to}{called}", 303)


@router.get("/first/price")
def price_page(ctx: At, kind: str = "") -> Response:
    """The one price to go by until a buyer has said any."""
    return render(ctx, _price_page(ctx, kind, PriceForm()))


@router.post("/first/price")
def price(ctx: At, kind: str = "") -> Response:
    """Save it, and on to the verdict."""
    form = PriceForm(ctx.typed)

    def act() -> FormSaved:
        text = form.copper.text
        said = text if "/" in text or not text else f"{text} /{unit(ctx.book)}"
        recorded = set_many(ctx.book, ctx.context(), {"copper": said})
        return FormSaved(NOTHING_SAID, recorded.undo, f"/curb/{kind}")

    return save_form(ctx, form, act, lambda: _price_page(ctx, kind, form))


def _price_page(ctx: RequestContext, kind: str, form: PriceForm) -> FirstPage:
    if not ctx.catalogue.knows(kind):
        raise NotHere(shown(kind), "a kind", "kind")
    return FirstPage(
        title="No. 2 copper today?",
        ask="price",
        steps=figures.steps(ctx),
        demo=Form(),
        kind=kind,
        name=ctx.catalogue.anatomy(kind).name,
        unit=unit(ctx.book),
        price=form,
    )
