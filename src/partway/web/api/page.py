"""The JSON interface as a page: its own document, to read without any other program."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, cast

from fastapi import APIRouter, FastAPI, Query
from fastapi.responses import Response

from partway.quantities import shown
from partway.web.api.pages import Contents, Thing, contents, thing
from partway.web.context import At
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class InterfacePage(Page):
    """Every address."""

    template: ClassVar[str] = "api/addresses.html"
    styles: ClassVar[tuple[str, ...]] = ("api.css",)
    contents: Contents


@dataclass(frozen=True, kw_only=True)
class ThingPage(Page):
    """What is sent or answered somewhere, field by field."""

    template: ClassVar[str] = "api/thing.html"
    styles: ClassVar[tuple[str, ...]] = ("api.css",)
    thing: Thing


@router.get("/api")
def interface(ctx: At, name: Annotated[str, Query(alias="thing")] = "") -> Response:
    """The addresses, or one thing by its name."""
    document = cast(FastAPI, ctx.request.app).openapi()
    if not name:
        return render(ctx, InterfacePage(title="For other programs", contents=contents(document)))
    found = thing(document, name)
    if found is None:
        raise NotHere(shown(name), "a thing of the JSON interface", "thing")
    return render(ctx, ThingPage(title=found.name, thing=found))
