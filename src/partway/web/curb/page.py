"""Curb: worth lifting? Ten seconds, one hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from partway.actions.bench import finds
from partway.actions.curb import curb as look
from partway.actions.recording.describe import clock_said, describe
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.curb import Curb, Ranking, RankLine
from partway.reports.curb.names import LONGEST, KindMatch, find_kinds, kind_called, named
from partway.things.scenario import Works
from partway.web.context import At, RequestContext
from partway.web.curb import figures
from partway.web.forms import Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()
STATES: tuple[tuple[Works, str], ...] = (("yes", "Yes"), ("no", "No"), ("unknown", "Not known"))


@dataclass(frozen=True, kw_only=True)
class FoundPage(Page):
    """What a text may mean: the part of the page that is asked for anew while somebody types."""

    template: ClassVar[str] = "curb/found.html"
    typed: str
    matches: tuple[KindMatch, ...]


@dataclass(frozen=True, kw_only=True)
class CurbPage(Page):
    """Find a kind, or see which are worth stopping for. `lines` are those of the ranking in the order asked for."""

    template: ClassVar[str] = "curb/curb.html"
    place: ClassVar[str] = "curb"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    scripts: ClassVar[tuple[str, ...]] = ("curb.js",)
    typed: str
    longest: int
    matches: tuple[KindMatch, ...]
    recent: tuple[tuple[str, str], ...]
    ranking: Ranking
    by: str
    lines: tuple[RankLine, ...]


@dataclass(frozen=True, kw_only=True)
class KindPage(Page):
    """The verdict on one kind. `states` are the three answers to whether it works."""

    template: ClassVar[str] = "curb/kind.html"
    place: ClassVar[str] = "curb"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    it: Curb
    states: tuple[tuple[Works, str], ...]
    taken: TakenForm


class TakenForm(Form):
    """What is known about it already; nothing has to be."""

    count = LineField("How many", mode="numeric", most=9)
    mass = LineField("On the scale", "all of them together, such as 28.5 lb; may be left empty", mode="decimal")
    model = LineField("Model", "the maker's number, as printed on it; may be left empty")


@router.get("/curb")
def curb_page(ctx: At, q: str = "", by: str = "hour", part: str = "") -> Response:
    """Find a kind. The exact name of one leads there at once; anything else is asked about."""
    known = look.kinds(ctx.prices)
    kinds = named(known.values())
    text = q[:LONGEST]
    called = kind_called(q, kinds)
    matches = find_kinds(text, kinds) if text.strip() else ()
    if part == "found":
        return render(ctx, FoundPage(title="Found", typed=text, matches=matches))
    if called is not None:
        return RedirectResponse(f"/curb/{called}", 303)
    ranking = figures.ranking(ctx)
    recent = figures.recent(ctx)
    by_space = by == "space"
    page = CurbPage(
        title="Curb",
        typed=text,
        longest=LONGEST,
        matches=matches,
        recent=tuple((kind, known[kind].name) for kind in recent if kind in known and not known[kind].became),
        ranking=ranking,
        by="space" if by_space else "hour",
        lines=ranking.by_space if by_space else ranking.lines,
    )
    return render(ctx, page)


@router.get("/curb/{kind}")
def kind_page(ctx: At, kind: str, works: str = "unknown") -> Response:
    """The verdict."""
    return render(ctx, _page(ctx, kind, works))


@router.post("/curb/{kind}/taken")
def taken(ctx: At, kind: str, works: str = "unknown") -> Response:
    """One tap: it is on the vehicle."""
    form = TakenForm(ctx.typed)

    def act() -> FormSaved:
        count = _whole(form.count.text, "count")
        more = {"source": "curb", "model": form.model.text}
        recorded = finds.find(ctx.book, ctx.context(), kind, count, form.mass.text or None, works, **more)
        lines = (describe(recorded.result, ctx.show.say)[-1], *clock_said(recorded.clock))
        return FormSaved(lines, recorded.undo, "/curb")

    return save_form(ctx, form, act, lambda: _page(ctx, kind, works, form))


def _page(ctx: RequestContext, kind: str, works: str, form: TakenForm | None = None) -> KindPage:
    if kind not in look.kinds(ctx.prices):
        raise NotHere(shown(kind), "a kind that the catalogue knows", "kind")
    known: dict[str, Works] = {value: value for value, _ in STATES}
    state = known.get(works, "unknown")
    it = figures.verdict(ctx, kind, state)
    return KindPage(title=it.name, it=it, states=STATES, taken=form or TakenForm(count="1"))


def _whole(text: str, where: str) -> int:
    if not text:
        return 1
    if not (text.isascii() and text.isdecimal()):
        raise Refused(shown(text), "a whole number of at least 1", where)
    return int(text)
