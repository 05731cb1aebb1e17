"""The board and wire guides: what is seen, and the grade it makes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.what.identifying import guide
from partway.catalogue import shipped
from partway.quantities import shown
from partway.reports.what.identify import GuideReport
from partway.web.bins.figures import own_pictures
from partway.web.context import At
from partway.web.forms import Typed
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class GuidePage(Page):
    """A guide with what was seen ticked; `names` are those of its features, `own` one's own photographs of
    grades.
    """

    template: ClassVar[str] = "what/guide.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    it: GuideReport
    names: dict[str, str]
    own: Mapping[str, str]


@router.get("/what/guide/{name}")
def guide_page(ctx: At, name: str) -> Response:
    """The grades that agree with what is seen."""
    if name not in shipped().key.guides:
        raise NotHere(shown(name), f"one of {', '.join(shipped().key.guides)}", "guide")
    seen = tuple(dict.fromkeys(Typed(ctx.request.query_params.multi_items()).getlist("feature")))
    it = guide(ctx.prices, name, seen)
    return render(
        ctx, GuidePage(title=f"{it.name}, by what is seen", it=it, names=dict(it.features), own=own_pictures(ctx))
    )
