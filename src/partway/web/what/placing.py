"""Place cards: what the rules of a place say, filled in by the user with source and day. Never advice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.what.placing import fill_in
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.what.place_cards import PlaceCards, PlaceLine
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField, TextField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere
from partway.web.what import figures

router = APIRouter()
WAS = "was"  # what the card said when the page was shown, so that an old page overwrites nothing in silence


class RuleForm(Form):
    """What the rule is here."""

    says = TextField("What your place says", "in your own words", most=2_000)
    source = LineField("Where that is written", "by-law and section, notice, or whom you asked")
    seen = LineField("Looked up when", "such as 2026-03-14; empty for today")


@dataclass(frozen=True, kw_only=True)
class PlacePage(Page):
    """All place cards."""

    template: ClassVar[str] = "place/all.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    it: PlaceCards


@dataclass(frozen=True, kw_only=True)
class RulePage(Page):
    """One place card to fill in. `was` is what it said when it was shown."""

    template: ClassVar[str] = "place/card.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    it: PlaceCards
    card: PlaceLine
    form: RuleForm
    was: str
    known: bool


@router.get("/place")
def place_page(ctx: At) -> Response:
    """All of them."""
    return render(ctx, PlacePage(title="What your place says", it=_cards(ctx)))


@router.get("/place/{card}")
def rule_page(ctx: At, card: str) -> Response:
    """One of them, to fill in."""
    return render(ctx, _page(ctx, card))


@router.post("/place/{card}")
def rule(ctx: At, card: str) -> Response:
    """Fill it in, or fill it in anew."""
    form = RuleForm(ctx.typed)

    def act() -> FormSaved:
        now = _line(ctx, card).says or ""
        if now not in (ctx.typed.get(WAS, ""), form.says.text):
            raise Refused(shown(form.says.text), f"another look: it was filled in meanwhile with {shown(now)}", "says")
        if not form.says.text:
            raise Refused("nothing", "what your place says", "says")
        source, seen = form.source.text or None, form.seen.text or None
        return FormSaved.of(ctx, fill_in(ctx.book, ctx.context(), card, form.says.text, source, seen), "/place")

    return save_form(ctx, form, act, lambda: _page(ctx, card, form))


def _cards(ctx: RequestContext) -> PlaceCards:
    return figures.place_cards(ctx)


def _line(ctx: RequestContext, card: str) -> PlaceLine:
    found = next((line for line in _cards(ctx).cards if line.id == card), None)
    if found is None:
        raise NotHere(shown(card), "a place card", "card")
    return found


def _page(ctx: RequestContext, card: str, form: RuleForm | None = None) -> RulePage:
    line = _line(ctx, card)
    shown_as = ctx.typed.get(WAS, "") if form else line.says or ""
    filled = form or RuleForm(None, says=line.says or "", source=line.source or "")
    return RulePage(title=line.name, it=_cards(ctx), card=line, form=filled, was=shown_as, known=bool(line.question))
