"""One find at the bench: what to mind, what to do, its picture, its steps, and all that can be recorded of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, cast, get_args
from urllib.parse import quote

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.books.opening_anew import last_opening
from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.ledger.pictures import Taken, pictures_of
from partway.reports.bench.balance_typed import MassBalance
from partway.reports.bench.find import FindAtBench
from partway.reports.bench.steps_rows import PiecePlace, PieceRow, any_place, weighing_rows
from partway.reports.books.conflicts import ConflictLine
from partway.things.traits import said_kind
from partway.valuing.finds.seen import is_new_kind
from partway.valuing.finds.waiting import Unvalued
from partway.valuing.learned.offers import OnOffer
from partway.web.bench import figures
from partway.web.bench.also import ALSO, Also
from partway.web.bench.forms import OpeningForm, TestForm, opening_of
from partway.web.books.notes import NotesHere, notes_here
from partway.web.context import At, RequestContext
from partway.web.drawings.anatomy import By, Picture, anatomy_picture
from partway.web.forms import ChoiceField, Form, Typed
from partway.web.pages import Page, render
from partway.web.posting import NOT_TYPED
from partway.web.serving.failures import NotHere

router = APIRouter()
SUPPOSED = ("yes", "no")
RESTS = ("found", "opened", "sold", "returned", "weighed")  # what a draft of an opening rests on
SOME = 50  # events of one find that are looked through


@dataclass(frozen=True)
class FindForms:
    """The forms of the page; None for one that is fresh. `other` was of another page, and is shown as it was typed."""

    opening: OpeningForm | None = None
    test: TestForm | None = None
    also: Also | None = None
    balance: MassBalance | None = None
    other: Form | None = None


@dataclass(frozen=True, kw_only=True)
class FindPage(Page):
    """One find. `cautions` are its kind's, `others` those of all that it may come to. `here` is None where it cannot be
    reckoned with: `unknown` says why (kind, rest, currency). `conflicts` are what of it is in doubt. `note` is what
    decides about its kind.
    """

    template: ClassVar[str] = "bench/find.html"
    place: ClassVar[str] = "bench"
    styles: ClassVar[tuple[str, ...]] = ("bench.css", "bench-find.css")
    scripts: ClassVar[tuple[str, ...]] = ("bench.js",)
    find: FindNow
    conflicts: tuple[ConflictLine, ...]
    here: FindAtBench | None
    picture: Picture | None
    unknown: str
    note: str
    by: By
    cautions: tuple[CautionCard, ...]
    others: tuple[CautionCard, ...]
    opening: OpeningForm
    test: TestForm
    also: tuple[Also, ...]
    balance: MassBalance | None
    offers: bool
    state: str
    doing: str
    photographs: tuple[Taken, ...]
    notes: NotesHere


@dataclass(frozen=True, kw_only=True)
class GonePage(Page):
    """A find of which nothing is left; `typed` is what was about to be recorded of it.

    `offers`: a kind of one's own can be made of what came out. `right` is where its last opening is put right, empty
    where that cannot be. `draft` is the name of what may still be typed on this phone and was not saved.
    """

    template: ClassVar[str] = "bench/gone.html"
    place: ClassVar[str] = "bench"
    find: FindNow
    conflicts: tuple[ConflictLine, ...]
    problem: str
    offers: bool
    right: str
    draft: str
    notes: NotesHere
    typed: tuple[tuple[str, str], ...] = field(default=())


def find_now(ctx: RequestContext, find_id: str) -> FindNow:
    """The find of an address, closed or not. Raises NotHere."""
    try:
        return standing.find(ctx.book, find_id)
    except KeyError:
        raise NotHere(f'"{find_id[:80]}"', "a find of this workspace", "find") from None


def page_of(ctx: RequestContext, find_id: str, typed_in: FindForms | None = None) -> FindPage | GonePage:
    """The page of a find, with forms that were filled in already."""
    now, typed_in = find_now(ctx, find_id), typed_in or FindForms()
    if now.closed:
        return gone_page(ctx, now, typed_in)
    asked = ctx.request.query_params
    by = cast(By, asked.get("by", "value") if asked.get("by") in get_args(By) else "value")
    here, unknown = reckoned(ctx, now, asked.get("works", ""))
    own, others = cautions_of(ctx, now, here)
    return FindPage(
        title=here.name if here else name_of(ctx, now),
        find=now,
        conflicts=ctx.conflicts_of(f"find:{now.id}"),
        here=here,
        picture=anatomy_picture(here.tree, by) if here else None,
        unknown=unknown,
        note=ctx.catalogue.anatomy(now.kind).note if ctx.catalogue.knows(now.kind) else "",
        by=by,
        cautions=own,
        others=others,
        opening=typed_in.opening or fresh_opening(ctx, now, here),
        test=typed_in.test or TestForm(prefix="test-"),
        also=_all_also(ctx, now, typed_in, asked.get("part", "")),
        balance=typed_in.balance,
        offers=offers(ctx, now),
        state=state_of(ctx, now),
        doing=asked.get("do", ""),
        photographs=pictures_of(ctx.book, f"find:{now.id}"),
        notes=notes_here(ctx, f"find:{now.id}"),
    )


def offers(ctx: RequestContext, now: FindNow) -> bool:
    """Whether what came out of a find is offered as a kind of one's own: no catalogue knew it, and it was weighed."""
    return is_new_kind(ctx.book, now)


def _all_also(ctx: RequestContext, now: FindNow, typed_in: FindForms, part: str) -> tuple[Also, ...]:
    """The forms that stand on the page; those about offers where something of the find is on offer."""
    there = [(one.listing, f"{one.name} at {ctx.show.money(one.asking)}") for one in _offers_of(ctx, now)]
    forms = [_also(ctx, kind, now, typed_in, part) for kind in ALSO if there or not kind.OFFERED]
    for asked in (one for form in forms if form.OFFERED for one in form):
        if isinstance(asked, ChoiceField):
            asked.choices = there
    return tuple(forms)


def _offers_of(ctx: RequestContext, now: FindNow) -> tuple[OnOffer, ...]:
    try:
        found = figures.offers(ctx, ctx.today).offers
    except Refused:  # no currency, so no money is shown
        return ()
    return tuple(one for one in found if one.find == now.id)


def _also(ctx: RequestContext, kind: type[Also], now: FindNow, typed_in: FindForms, part: str) -> Also:
    """A form as it was filled in, or fresh; where it asks what of the find, with the find's pieces to choose from."""
    form = typed_in.also if isinstance(typed_in.also, kind) else kind(prefix=f"{kind.NAME}-", what=part)
    for f in form:
        if isinstance(f, ChoiceField) and f.short_name != "listing":
            f.choices = _pieces(ctx, now)
    form.TEXT = form.advise(ctx, now)  # type: ignore[misc]
    return form


def reckoned(ctx: RequestContext, now: FindNow, works: str) -> tuple[FindAtBench | None, str]:
    """The find at the bench, in a condition that is supposed where `works` says so; or None and why it is not."""
    supposed = works if works in SUPPOSED else None
    try:
        found = figures.find(ctx, now, supposed)
    except Refused:
        return None, "currency"
    return (None, found.why) if isinstance(found, Unvalued) else (found, "")


def here_of(ctx: RequestContext, now: FindNow) -> FindAtBench | None:
    """The find as it is known, for its forms."""
    return reckoned(ctx, now, "")[0]


def rows_of(ctx: RequestContext, now: FindNow, here: FindAtBench | None) -> tuple[PieceRow, ...]:
    """The rows to weigh its pieces in; none for a kind that is not in the catalogue."""
    if not ctx.catalogue.knows(now.kind):
        return ()
    bins = figures.bins_by_grade(ctx)
    steps, left = (here.steps, here.left) if here else ((), ())
    return weighing_rows(ctx.catalogue.anatomy(now.kind), steps, left, bins, ctx.catalogue.grades)


def fresh_opening(
    ctx: RequestContext, now: FindNow, here: FindAtBench | None, typed: Typed | None = None
) -> OpeningForm:
    """The form of an opening of a find, as typed where something was."""
    steps = here.steps if here else ()
    known = ctx.catalogue.anatomy(now.kind).operations if ctx.catalogue.knows(now.kind) else ()
    chosen = {step.operation for step in steps}
    others = [op for op in known if op.id not in chosen and not op.asks]
    return opening_of(rows_of(ctx, now, here), steps, others, typed, _free(ctx, now))


def _free(ctx: RequestContext, now: FindNow) -> tuple[PiecePlace, ...]:
    """Where pieces may go that nobody knew of; nowhere for a kind that names all its pieces."""
    if not ctx.catalogue.knows(now.kind):
        return ()
    anatomy = ctx.catalogue.anatomy(now.kind)
    if not anatomy.guessed or anatomy.whole.stop:
        return ()
    bins = figures.bins_by_grade(ctx)
    return tuple(any_place(bins, ctx.catalogue.grades))


def cautions_of(
    ctx: RequestContext, now: FindNow, here: FindAtBench | None
) -> tuple[tuple[CautionCard, ...], tuple[CautionCard, ...]]:
    """The cards of its kind, and those of all that it may come to: what is done first, then what could be."""
    if not ctx.catalogue.knows(now.kind):
        return (), ()
    anatomy = ctx.catalogue.anatomy(now.kind)
    hazards = [*(card.id for card in (here.cautions if here else ())), *hazards_of(anatomy, ctx.catalogue.grades)]
    known, others = ctx.catalogue.cautions, [h for h in hazards if h not in anatomy.cautions]
    return cards_by_hazard(known, [(now.kind, anatomy.cautions)]), cards_by_hazard(known, [(now.kind, others)])


def _pieces(ctx: RequestContext, now: FindNow) -> list[tuple[str, str]]:
    if not ctx.catalogue.knows(now.kind):
        return [("", "all of it")]
    anatomy = ctx.catalogue.anatomy(now.kind)
    inside = [piece for piece in anatomy.pieces[1:] if piece.answer_to is None]
    return [("", f"{anatomy.name}, whole"), *((piece.id, piece.name) for piece in inside)]


def name_of(ctx: RequestContext, now: FindNow) -> str:
    """What a find is called: its kind's name, or what somebody called a thing that no kind is."""
    return ctx.catalogue.anatomy(now.kind).name if ctx.catalogue.knows(now.kind) else said_kind(now.kind)


def right_of(ctx: RequestContext, now: FindNow) -> str:
    """Where the last opening of a find is put right; nothing for one that was not opened, or where more came after."""
    found = last_opening(ctx.book, ctx.context(), now.id)
    return f"/bench/{quote(now.id)}/work?instead={found.id}" if found else ""


def draft_of(now: FindNow) -> str:
    """The name under which a phone keeps what is typed of an opening."""
    return f"open:{now.id}"


def state_of(ctx: RequestContext, now: FindNow) -> str:
    """What the find is like, by the last event that says so: a draft of another state is not put back unasked."""
    voided = ctx.book.voided()
    found = [event for event in ctx.book.newest(SOME, kinds=RESTS, subject=f"find:{now.id}") if event.id not in voided]
    return str(found[0].id) if found else ""


def gone_page(ctx: RequestContext, now: FindNow, typed_in: FindForms) -> GonePage:
    """What became of a find of which nothing is left."""
    forms = [typed_in.opening.form if typed_in.opening else None, typed_in.test, typed_in.also, typed_in.other]
    said = [form.problem or "; ".join(text for *_, text in form.wrong) for form in forms if form]
    typed = [(name, value) for name, value in ctx.typed.multi_items() if value.strip() and name not in NOT_TYPED]
    return GonePage(
        title=name_of(ctx, now),
        find=now,
        conflicts=ctx.conflicts_of(f"find:{now.id}"),
        problem=" ".join(said),
        offers=offers(ctx, now),
        right=right_of(ctx, now),
        draft=draft_of(now),
        notes=notes_here(ctx, f"find:{now.id}"),
        typed=tuple(typed),
    )


@router.get("/bench/{find_id}/whole")
def whole_page(ctx: At, find_id: str) -> Response:
    """All about one find on one page, or what became of it."""
    return render(ctx, page_of(ctx, find_id))
