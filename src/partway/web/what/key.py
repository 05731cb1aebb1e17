"""The test key, one question at a time: what a piece may be, its bin, the test that pays most a minute."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from partway.actions.recording import reading
from partway.actions.what.found_out import confirm
from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.what.identify import AskLine, Identify, MaterialLine
from partway.web.bins.figures import own_pictures
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField, Typed
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere
from partway.web.what import figures
from partway.web.what.asked import KEY, UNSURE, PieceAsked
from partway.web.what.calculator_forms import whole

router = APIRouter()
LIKELY = 0.005  # a material below this chance has no line of its own
MOST = 5
MASS = "mass"


class KeyWeighForm(Form):
    """What it weighs: the money at stake."""

    mass = LineField("It weighs", "such as 2 lb; with its bin it is the money at stake", mode="decimal")


class MeasuredForm(Form):
    """A test whose answer is a number."""

    measured = LineField("Density", "g/cm3, such as 8.4, or 8.4+-0.2 where it is known how surely")


class ConfirmForm(Form):
    """What it turned out to be: a likely material by its button, or another."""

    material = LineField("What it was")
    other = ChoiceField("It was something else")
    count = LineField("How many alike", mode="numeric", most=9)


@dataclass(frozen=True, slots=True)
class KeyAnswer:
    """An answer in words, and the address where its test is asked again."""

    name: str
    says: str
    again: str


@dataclass(frozen=True, kw_only=True)
class KeyPage(Page):
    """One piece. `ask` is the question on the page, None where it is time to stop and no other was asked for.

    `likely` are the first of what it may be, `bins` those of the workspace for the grade it goes to, `back` the address
    without the last answer. `own` has one's own photographs of grades.
    """

    template: ClassVar[str] = "what/key.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    it: Identify
    piece: PieceAsked
    ask: AskLine | None
    others: tuple[tuple[AskLine, str], ...]
    given: tuple[KeyAnswer, ...]
    back: str
    start: str
    likely: tuple[MaterialLine, ...]
    bins: tuple[str, ...]
    unsure: str
    weigh: KeyWeighForm
    measured: MeasuredForm
    confirm: ConfirmForm
    own: Mapping[str, str]


@router.get(KEY)
def key_page(ctx: At, context: str = "", test: str = "", measured: str = "", measures: str = "") -> Response:
    """The next question, or the verdict. A density typed into its field becomes an answer of the address."""
    asked = Typed(ctx.request.query_params.multi_items())
    if not context:
        return RedirectResponse("/what", 303)
    piece = _piece(asked)
    if not measures:
        return render(ctx, *_page(ctx, piece, test))
    try:
        if not measured.strip():
            raise Refused("nothing", "a density in g/cm3, such as 8.4, or tap not sure", "measured")
        more = piece.answered(measures, measured.strip())
        identify(None, more.context, more.given)
    except Refused as refused:
        form = MeasuredForm(asked)
        form.refuse(Refused(refused.given, refused.expected, "measured"))
        return render(ctx, _page(ctx, piece, measures, form)[0], 422)
    return RedirectResponse(more.address(), 303)


@router.post(f"{KEY}/confirm")
def confirm_piece(ctx: At) -> Response:
    """What it turned out to be, known for sure: recorded, and the next ones learn from it."""
    form, piece = ConfirmForm(ctx.typed), _piece(ctx.typed)

    def act() -> FormSaved:
        material = form.material.text or form.other.text
        count = whole(form.count.text, "count")
        mass = piece.mass or None
        recorded = confirm(ctx.book, ctx.context(), material, piece.context, count, piece.given, mass)
        return FormSaved.of(ctx, recorded, PieceAsked(piece.context).address())

    return save_form(ctx, form, act, lambda: _page(ctx, piece, "", confirm=form)[0], {"confirm": "other"})


def _piece(typed: Typed) -> PieceAsked:
    """The piece of an address. Raises NotHere for a context that is not there."""
    piece = PieceAsked.of(typed)
    if piece.context not in shipped().key.contexts:
        raise NotHere(shown(piece.context), "where a piece may come from, as the page before lists it", "context")
    return piece


def _page(
    ctx: RequestContext,
    piece: PieceAsked,
    test: str,
    measured: MeasuredForm | None = None,
    confirm: ConfirmForm | None = None,
) -> tuple[KeyPage, int]:
    weigh = KeyWeighForm(None, mass=piece.mass)
    kg = _kg(ctx, piece, weigh)
    known = figures.confirmed(ctx, piece.context)
    it = identify(ctx.prices, piece.context, piece.given, kg, known)
    ask = next((line for line in it.tests if line.test == test), None)
    if ask is None and not it.stop:
        ask = it.tests[0]
    back = piece.back()
    page = KeyPage(
        title="What is it?",
        it=it,
        piece=piece,
        ask=ask,
        others=tuple((t, piece.address([("test", t.test)])) for t in it.tests if ask is None or t.test != ask.test),
        given=_given(it, piece),
        back=back.address() if back else "/what",
        start=PieceAsked(piece.context).address(),
        likely=tuple(line for line in it.materials[:MOST] if line.chance >= LIKELY),
        bins=tuple(one.id for one in ctx.bins.values() if one.grade == it.bin),
        unsure=UNSURE,
        weigh=weigh,
        measured=measured or MeasuredForm(),
        confirm=_choices(it, confirm or ConfirmForm(None, count="1")),
        own=own_pictures(ctx),
    )
    return page, 422 if weigh.mass.errors else 200


def _kg(ctx: RequestContext, piece: PieceAsked, weigh: KeyWeighForm) -> float | None:
    """The mass in kg, None where none is given; one that is no mass is said beside its field."""
    if not piece.mass:
        return None
    try:
        return reading.mass_mg(ctx.book, piece.mass, MASS) / 1e6
    except Refused as refused:
        weigh.refuse(refused)
        return None


def _given(it: Identify, piece: PieceAsked) -> tuple[KeyAnswer, ...]:
    """Answers in the order they came."""
    lines = {line.test: line for line in it.answers}
    return tuple(
        KeyAnswer(lines[test].name, lines[test].says, piece.without(test).address([("test", test)]))
        for test, _ in piece.answers
    )


def _choices(it: Identify, form: ConfirmForm) -> ConfirmForm:
    names = sorted((line.name, line.material) for line in it.materials)
    form.other.choices = [("", "choose"), *((material, name) for name, material in names)]
    return form
