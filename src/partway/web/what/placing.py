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
from partway.web.blanks import Blank, Line, Words
from partway.web.desk import At, Desk
from partway.web.pages import Page, render
from partway.web.posting import Done, submit
from partway.web.serving.failures import NotHere
from partway.web.what import figures

router = APIRouter()
WAS = "was"  # what the card said when the page was shown, so that an old page overwrites nothing in silence


class RuleBlank(Blank):
    """What the rule is here."""

    says = Words("What your place says", "in your own words", most=2_000)
    source = Line("Where that is written", "by-law and section, notice, or whom you asked")
    seen = Line("Looked up when", "such as 2026-03-14; empty for today")


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
    form: RuleBlank
    was: str
    known: bool


@router.get("/place")
def place_page(desk: At) -> Response:
    """All of them."""
    return render(desk, PlacePage(title="What your place says", it=_cards(desk)))


@router.get("/place/{card}")
def rule_page(desk: At, card: str) -> Response:
    """One of them, to fill in."""
    return render(desk, _page(desk, card))


@router.post("/place/{card}")
def rule(desk: At, card: str) -> Response:
    """Fill it in, or fill it in anew."""
    form = RuleBlank(desk.typed)

    def act() -> Done:
        now = _line(desk, card).says or ""
        if now not in (desk.typed.get(WAS, ""), form.says.text):
            raise Refused(shown(form.says.text), f"another look: it was filled in meanwhile with {shown(now)}", "says")
        if not form.says.text:
            raise Refused("nothing", "what your place says", "says")
        source, seen = form.source.text or None, form.seen.text or None
        return Done.of(desk, fill_in(desk.book, desk.context(), card, form.says.text, source, seen), "/place")

    return submit(desk, form, act, lambda: _page(desk, card, form))


def _cards(desk: Desk) -> PlaceCards:
    return figures.place_cards(desk)


def _line(desk: Desk, card: str) -> PlaceLine:
    found = next((line for line in _cards(desk).cards if line.id == card), None)
    if found is None:
        raise NotHere(shown(card), "a place card", "card")
    return found


def _page(desk: Desk, card: str, form: RuleBlank | None = None) -> RulePage:
    line = _line(desk, card)
    shown_as = desk.typed.get(WAS, "") if form else line.says or ""
    filled = form or RuleBlank(None, says=line.says or "", source=line.source or "")
    return RulePage(title=line.name, it=_cards(desk), card=line, form=filled, was=shown_as, known=bool(line.question))
