"""Caution cards: what can hurt, whole, and where it comes up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard
from partway.quantities import shown
from partway.reports.what.caution_cards import CautionReport, all_cards, places_of, report_caution
from partway.web.context import At
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere
from partway.web.what.calculators import CALCULATORS

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class CardsPage(Page):
    """All cards."""

    template: ClassVar[str] = "cautions/all.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    cards: tuple[CautionCard, ...]


@dataclass(frozen=True, kw_only=True)
class CardPage(Page):
    """One card whole; `calculators` are those that show it, as address and name."""

    template: ClassVar[str] = "cautions/card.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    it: CautionReport
    calculators: tuple[tuple[str, str], ...]


@router.get("/cautions")
def cards_page(ctx: At) -> Response:
    """All of them, each with its first step."""
    return render(ctx, CardsPage(title="What can hurt", cards=all_cards()))


@router.get("/cautions/{hazard}")
def card_page(ctx: At, hazard: str) -> Response:
    """One of them."""
    if hazard not in shipped().cautions:
        raise NotHere(shown(hazard), "a caution card", "caution")
    it = report_caution(ctx.catalogue, hazard, places_of(ctx.book))
    calculators = tuple((f"/what/{name}", CALCULATORS[name].title) for name in it.commands)
    return render(ctx, CardPage(title=it.card.name, it=it, calculators=calculators))
