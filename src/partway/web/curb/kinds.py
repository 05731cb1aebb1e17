"""Kinds of one's own: all of them, one to change, and one to make of a find that was opened."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import PlainTextResponse, Response

from partway.actions.what.own_kinds import add_kinds, give_up_kind, say_plain, seen_kind
from partway.catalogue.cards import CautionCard, shipped_cards
from partway.catalogue.named import hazards_of
from partway.catalogue.plain import PlainKind, anatomy_of, plain_of
from partway.catalogue.shipped import shipped
from partway.errors import BadCatalogue, Refused
from partway.ledger.events.fields import LONGEST_ANATOMY
from partway.quantities import shown
from partway.reports.what.own_kinds import OwnKind
from partway.things.anatomy import Anatomy
from partway.valuing.own_kinds import kind_or_flaw, texts_of
from partway.web.context import At, RequestContext
from partway.web.curb import figures
from partway.web.curb.kinds_form import KindFilled, kind_form, kind_said
from partway.web.forms import Form, TextField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()
WAS = "was"  # what the kind was when the page was shown, so that an old page overwrites nothing in silence
HOME = "/kinds"


class TomlForm(Form):
    """Anatomies as TOML."""

    anatomy = TextField("Anatomies as TOML", "what partway check calls sound", most=LONGEST_ANATOMY)


@dataclass(frozen=True, kw_only=True)
class KindsPage(Page):
    """All kinds of one's own, and where more come in."""

    template: ClassVar[str] = "curb/own.html"
    place: ClassVar[str] = "curb"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    kinds: tuple[OwnKind, ...]
    form: TomlForm


@dataclass(frozen=True, kw_only=True)
class OwnKindPage(Page):
    """One kind to fill in, or to change. `filled` is None where the kind says more than the form can: then `text` is
    there alone. `find` is what it is made of, where it is new.
    """

    template: ClassVar[str] = "curb/own_kind.html"
    place: ClassVar[str] = "curb"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    kind: str
    find: str
    cautions: tuple[CautionCard, ...]
    filled: KindFilled | None
    was: str
    text: TomlForm | None
    flaw: str


@router.get("/kinds")
def kinds_page(ctx: At) -> Response:
    """All kinds of one's own."""
    return render(ctx, _all(ctx))


@router.post("/kinds")
def add(ctx: At) -> Response:
    """Anatomies from elsewhere become kinds of one's own."""
    form = TomlForm(ctx.typed)

    def act() -> FormSaved:
        return FormSaved.of(ctx, add_kinds(ctx.book, ctx.context(), form.anatomy.text, form.agreed("replace")), HOME)

    return save_form(ctx, form, act, lambda: _all(ctx, form))


@router.get("/kinds/from/{find}")
def from_find(ctx: At, find: str) -> Response:
    """A kind of one's own, filled in from what came out of a find."""
    return render(ctx, _new(ctx, find, _seen(ctx, find)))


@router.post("/kinds/from/{find}")
def make(ctx: At, find: str) -> Response:
    """Make it a kind of one's own."""
    was = _seen(ctx, find)
    filled = kind_form(ctx, was, ctx.typed)

    def act() -> FormSaved:
        _same(ctx, _mark(repr(was)))
        recorded = say_plain(ctx.book, ctx.context(), kind_said(ctx, filled), filled.form.agreed("replace"))
        return FormSaved.of(ctx, recorded, f"/curb/{was.kind}")

    return save_form(ctx, filled.form, act, lambda: _new(ctx, find, was, filled))


@router.get("/kinds/{kind}")
def kind_page(ctx: At, kind: str) -> Response:
    """One of them, to change."""
    return render(ctx, _one(ctx, kind))


@router.get("/kinds/{kind}/toml")
def toml(ctx: At, kind: str) -> Response:
    """One of them as TOML, as it can be added elsewhere."""
    return PlainTextResponse(_text(ctx, kind), media_type="application/toml")


@router.post("/kinds/{kind}")
def change(ctx: At, kind: str) -> Response:
    """Say one anew."""
    was = _plain(kind_or_flaw(_text(ctx, kind), kind))
    if was is None:
        raise NotHere(shown(kind), "a kind that the form can show; others are changed as TOML", "kind")
    filled = kind_form(ctx, was, ctx.typed)

    def act() -> FormSaved:
        _same(ctx, _mark(_text(ctx, kind)))
        return FormSaved.of(ctx, say_plain(ctx.book, ctx.context(), kind_said(ctx, filled)), f"{HOME}/{kind}")

    return save_form(ctx, filled.form, act, lambda: _one(ctx, kind, filled=filled))


@router.post("/kinds/{kind}/toml")
def change_text(ctx: At, kind: str) -> Response:
    """Say one anew as TOML."""
    form = TomlForm(ctx.typed)

    def act() -> FormSaved:
        _same(ctx, _mark(_text(ctx, kind)))
        return FormSaved.of(ctx, add_kinds(ctx.book, ctx.context(), form.anatomy.text, form.agreed("replace")), HOME)

    return save_form(ctx, form, act, lambda: _one(ctx, kind, text=form))


@router.post("/kinds/{kind}/given-up")
def give_up(ctx: At, kind: str) -> Response:
    """It is no kind of one's own any more."""
    form = TomlForm(ctx.typed)

    def act() -> FormSaved:
        return FormSaved.of(ctx, give_up_kind(ctx.book, ctx.context(), kind), HOME)

    return save_form(ctx, form, act, lambda: _one(ctx, kind, text=form))


def _all(ctx: RequestContext, form: TomlForm | None = None) -> KindsPage:
    return KindsPage(title="Kinds of your own", kinds=figures.own_kinds(ctx), form=form or TomlForm())


def _new(ctx: RequestContext, find: str, was: PlainKind, filled: KindFilled | None = None) -> OwnKindPage:
    return OwnKindPage(
        title=f"{was.name}: a kind of your own",
        kind=was.kind,
        find=find,
        cautions=shipped_cards(was.hazards),
        filled=filled or kind_form(ctx, was),
        was=ctx.typed.get(WAS, "") or _mark(repr(was)),
        text=None,
        flaw="",
    )


def _one(ctx: RequestContext, kind: str, filled: KindFilled | None = None, text: TomlForm | None = None) -> OwnKindPage:
    said = _text(ctx, kind)
    found = kind_or_flaw(said, kind)
    plain = _plain(found)
    anatomy = found if isinstance(found, Anatomy) else None
    return OwnKindPage(
        title=anatomy.name if anatomy else kind,
        kind=kind,
        find="",
        cautions=shipped_cards(hazards_of(anatomy, ctx.catalogue.grades)) if anatomy else (),
        filled=filled or (kind_form(ctx, plain) if plain else None),
        was=ctx.typed.get(WAS, "") or _mark(said),
        text=text or TomlForm(None, anatomy=said),
        flaw="" if anatomy else str(found),
    )


def _seen(ctx: RequestContext, find: str) -> PlainKind:
    try:
        return seen_kind(ctx.book, find)
    except Refused as refused:
        raise NotHere(refused.given, refused.expected, "find") from None


def _text(ctx: RequestContext, kind: str) -> str:
    known = texts_of(ctx.book)
    if kind not in known:
        raise NotHere(shown(kind), "a kind of your own", "kind")
    return known[kind]


def _plain(found: Anatomy | BadCatalogue) -> PlainKind | None:
    """The kind as the form shows it; None where the form would drop something of it."""
    plain = plain_of(found) if isinstance(found, Anatomy) else None
    return plain if plain and anatomy_of(plain, shipped().grades, shipped().cautions) == found else None


def _same(ctx: RequestContext, mark: str) -> None:
    if ctx.typed.get(WAS, "") not in ("", mark):
        raise Refused("a page from before it was changed", "another look at how it stands now", "kind")


def _mark(text: str) -> str:
    return sha256(text.encode()).hexdigest()[:16]
