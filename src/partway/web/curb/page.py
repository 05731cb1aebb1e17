"""Curb: worth lifting? Ten seconds, one hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import ClassVar
from urllib.parse import quote

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from partway.actions.bench import finds
from partway.actions.bench.counts import counted
from partway.actions.curb import curb as look
from partway.actions.recording import reading
from partway.actions.recording.questions import Asked
from partway.actions.recording.unknown import MadeOf, meant
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.curb import Curb, Ranking, RankLine
from partway.reports.curb.names import LONGEST, KindMatch, KindNames, find_kinds, kind_called, named, with_a_word_of
from partway.reports.curb.verdict_words import VERDICTS
from partway.things.scenario import Works
from partway.things.signs import as_text, seen_in
from partway.valuing.finds.verdict import Verdict
from partway.web.context import At, RequestContext
from partway.web.curb import figures
from partway.web.forms import ChoiceField, Form, LineField, Typed
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()
MAY = (("", "not known"), ("yes", "yes"), ("no", "no"))
# Of more kinds than these the page says how many there are, and leads to the search: of 1,000 it weighed 273 kB.
RANKED, NAMED = 120, 150  # lines of the ranking, and names of each list below it
STATES: tuple[tuple[Works, str], ...] = (("yes", "Yes"), ("no", "No"), ("unknown", "Not known"))


@dataclass(frozen=True, kw_only=True)
class FoundPage(Page):
    """What a text may mean: the part of the page that is asked for anew while somebody types."""

    template: ClassVar[str] = "curb/found.html"
    typed: str
    matches: tuple[KindMatch, ...]
    describe: DescribeForm


@dataclass(frozen=True, kw_only=True)
class CurbPage(Page):
    """Find a kind, or see which are worth stopping for. `lines` are those of the ranking in the order asked for, no
    more than a page may weigh; `ranked` is how many there are.
    """

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
    ranked: int
    most_names: int
    describe: DescribeForm


@dataclass(frozen=True, kw_only=True)
class KindPage(Page):
    """The verdict on one kind. `states` are the three answers to whether it works, `chips` what may show of that;
    `yours`: it is one's own.
    """

    template: ClassVar[str] = "curb/kind.html"
    place: ClassVar[str] = "curb"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    it: Curb
    states: tuple[tuple[Works, str], ...]
    chips: tuple[SignChip, ...]
    taken: TakenForm
    yours: bool
    words: Mapping[Verdict, str] = field(default_factory=lambda: VERDICTS)


@dataclass(frozen=True, slots=True)
class SignChip:
    """A sign to tap. `signs` are all that show once it is tapped, `without` once it is said that it is not there."""

    id: str
    name: str
    seen: bool
    signs: str
    without: str


def _chips(it: Curb) -> tuple[SignChip, ...]:
    seen = seen_in(it.seen)

    def chip(sign: str, name: str) -> SignChip:
        others = {other: there for other, there in seen.items() if other != sign}
        there = seen.get(sign, False)
        tapped = others if there else {**others, sign: True}
        return SignChip(sign, name, there, as_text(tapped), as_text({**others, sign: False}))

    return tuple(chip(sign, name) for sign, name in it.signs)


class TakenForm(Form):
    """What is known about it already; nothing has to be."""

    count = LineField("How many", mode="numeric", most=9)
    mass = LineField("On the scale", "all of them together, such as 28.5 lb; may be left empty", mode="decimal")
    model = LineField("Model", "the maker's number, as printed on it; may be left empty")


class DescribeForm(Form):
    """A thing that no kind is: what it is made of, as far as it shows."""

    name = LineField("What is it called", most=LONGEST)
    mostly = ChoiceField("Mostly")
    cord = ChoiceField("A cord?", choices=MAY, look="buttons")
    motor = ChoiceField("A motor?", choices=MAY, look="buttons")
    battery = ChoiceField("A battery?", choices=MAY, look="buttons")
    heavy = LineField("About how heavy", "such as 3 kg; may be left empty", mode="decimal")


@router.get("/curb")
def curb_page(ctx: At, q: str = "", by: str = "hour", part: str = "") -> Response:
    """Find a kind. The exact name of one leads there at once; anything else is asked about."""
    kinds = named(look.kinds(ctx.prices).values())
    text = q[:LONGEST]
    called = kind_called(q, kinds)
    if part == "found":
        found = FoundPage(title="Found", typed=text, matches=_matches(text, kinds), describe=_describe(ctx, name=text))
        return render(ctx, found)
    if called is not None:
        return RedirectResponse(f"/curb/{called}", 303)
    return render(ctx, _search(ctx, text, by, _describe(ctx, name=text)))


def _matches(text: str, kinds: Sequence[KindNames]) -> tuple[KindMatch, ...]:
    return find_kinds(text, kinds) or with_a_word_of(text, kinds) if text.strip() else ()


def _describe(ctx: RequestContext, typed: Typed | None = None, **values: str) -> DescribeForm:
    form = DescribeForm(typed, prefix="it-", **values)
    form.mostly.choices = [("", "choose"), *ctx.catalogue.guesses.names.items()]
    return form


@router.get("/curb/unknown")
def describe_page(ctx: At) -> Response:
    """A thing that no kind is, as it was described: its verdict, or the form again with what is wrong with it."""
    form = _describe(ctx, Typed(ctx.request.query_params.multi_items()))
    try:
        if not form.validate():
            raise Refused("what is too long", "shorter words", "")
        said = MadeOf(form.mostly.text, form.cord.text, form.motor.text, form.battery.text, own=True)
        heavy = form.heavy.text
        kg = reading.mass_mg(ctx.book, heavy, "heavy") / 1e6 if heavy else None
        it = meant(form.name.text, said, ctx.catalogue, kg, "name")
    except Refused as refused:
        form.refuse(refused)
        if isinstance(refused, Asked):
            form.question = None
            form.mostly.errors = ["say what it is mostly"]
        return render(ctx, _search(ctx, form.name.text, "hour", form), 422)
    return RedirectResponse(f"/curb/{quote(it.here)}", 303)


def _search(ctx: RequestContext, text: str, by: str, describe: DescribeForm) -> CurbPage:
    kinds = named(look.kinds(ctx.prices).values())
    ranking = figures.ranking(ctx)
    recent, known = figures.recent(ctx), ctx.catalogue
    by_space = by == "space"
    lines = ranking.by_space if by_space else ranking.lines
    return CurbPage(
        title="Curb",
        typed=text,
        longest=LONGEST,
        matches=_matches(text, kinds),
        recent=tuple(
            (kind, known.anatomy(kind).name) for kind in recent if known.knows(kind) and not known.anatomy(kind).became
        ),
        ranking=ranking,
        by="space" if by_space else "hour",
        lines=lines[:RANKED],
        ranked=len(lines),
        most_names=NAMED,
        describe=describe,
    )


@router.get("/curb/{kind}")
def kind_page(ctx: At, kind: str, works: str = "unknown", signs: str = "") -> Response:
    """The verdict; a kind that was split is asked about, as everywhere: nothing is lifted that is not one of those."""
    if ctx.catalogue.knows(kind) and (it := ctx.catalogue.anatomy(kind)).became:
        return RedirectResponse(f"/curb?q={quote(it.name)}", 303)
    return render(ctx, _page(ctx, kind, works, signs))


@router.post("/curb/{kind}/taken")
def taken(ctx: At, kind: str, works: str = "unknown", signs: str = "") -> Response:
    """One tap: it is on the vehicle."""
    form = TakenForm(ctx.typed)

    def act() -> FormSaved:
        count = counted(form.count.text or "1", "count")
        recorded = finds.find(
            ctx.book,
            ctx.context(),
            kind,
            count,
            form.mass.text or None,
            works,
            source="curb",
            model=form.model.text,
            sure=form.agreed("sure"),
            signs=signs,
        )
        return FormSaved.of(ctx, recorded, "/curb")

    return save_form(ctx, form, act, lambda: _page(ctx, kind, works, signs, form))


def _page(ctx: RequestContext, kind: str, works: str, signs: str, form: TakenForm | None = None) -> KindPage:
    if not ctx.catalogue.knows(kind):
        raise NotHere(shown(kind), "a kind that the catalogue knows", "kind")
    known: dict[str, Works] = {value: value for value, _ in STATES}
    state = known.get(works, "unknown")
    it = figures.verdict(ctx, kind, state, signs)
    return KindPage(
        title=it.name,
        it=it,
        states=STATES,
        chips=_chips(it),
        taken=form or TakenForm(count="1"),
        yours=kind in ctx.catalogue.own,
    )
