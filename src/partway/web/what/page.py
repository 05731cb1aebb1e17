"""What is it? Where to begin: the test key by where a piece comes from, guides, calculators, cards."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue import shipped
from partway.things.testkey import Guide, KeyContext
from partway.web.context import At
from partway.web.curb import figures as curb_figures
from partway.web.pages import Page, render
from partway.web.what import figures
from partway.web.what.calculators import CALCULATORS, Calculator

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class WhatPage(Page):
    """All of it. `unfilled` is how many of the place cards nobody has filled in, or not for long;
    `own` how many kinds of one's own there are.
    """

    template: ClassVar[str] = "what/what.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    contexts: tuple[KeyContext, ...]
    guides: tuple[Guide, ...]
    calculators: tuple[Calculator, ...]
    cards: int
    unfilled: int
    own: int


@router.get("/what")
def what_page(ctx: At) -> Response:
    """Where to begin."""
    key = shipped().key
    page = WhatPage(
        title="What is it?",
        contexts=tuple(key.contexts.values()),
        guides=tuple(key.guides.values()),
        calculators=tuple(CALCULATORS.values()),
        cards=len(shipped().cautions),
        unfilled=figures.to_fill_in(ctx),
        own=len(curb_figures.own_kinds(ctx)),
    )
    return render(ctx, page)
