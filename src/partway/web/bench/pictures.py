"""The photographs of a find, a bin or a ticket: looked at, and taken with the telephone's camera."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar
from urllib.parse import quote

from fastapi import APIRouter, Depends
from fastapi.responses import Response

from partway.actions.pictures.picturing import picture, picture_of
from partway.actions.pictures.writing import text_of_listing
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.ledger.pictures import Taken, pictures_of
from partway.ledger.roles import Permission
from partway.photographs.cleaning import cleaned, small
from partway.photographs.photograph import DIGEST, ENDING, MEDIA_TYPE
from partway.reports.selling.listing_text import ListingText
from partway.web.bench.find import find_now
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField, Typed
from partway.web.pages import Page, render
from partway.web.posting import NOT_TYPED, FormSaved, save_form
from partway.web.sending import SentFile, sent_photograph
from partway.web.serving.failures import NotHere

router = APIRouter()
SORTS = ("find", "bin", "ticket")
# A photograph never changes under its name. It is nobody's but who asked, and nothing in it may load or run anything.
HEADERS = {
    "cache-control": "private, max-age=31536000, immutable",
    "content-security-policy": "default-src 'none'; sandbox",
    "content-disposition": "inline",
}


class PhotographForm(Form):
    """A photograph to be added: of what of the find, and words to it. The file itself comes beside the fields."""

    piece = ChoiceField("Of what")
    note = LineField("Anything to say of it")


class TextForm(Form):
    """What the ledger cannot know of a parcel."""

    part = ChoiceField("What")
    packed = LineField("Packed, it weighs", "such as 14.5 kg", mode="decimal")
    postage = LineField("Postage", mode="decimal")


@dataclass(frozen=True, kw_only=True)
class TextPage(Page):
    """The text of a listing, to be copied; None where what was typed is refused."""

    template: ClassVar[str] = "bench/text.html"
    place: ClassVar[str] = "bench"
    styles: ClassVar[tuple[str, ...]] = ("bench.css",)
    name: str
    back: str
    found: ListingText | None
    form: TextForm


@dataclass(frozen=True, kw_only=True)
class PhotographsPage(Page):
    """All photographs of one thing; `name` is what it is called, `back` its own page, `names` those of pieces."""

    template: ClassVar[str] = "bench/pictures.html"
    place: ClassVar[str] = "bench"
    styles: ClassVar[tuple[str, ...]] = ("bench.css",)
    name: str
    back: str
    address: str
    photographs: tuple[Taken, ...]
    names: Mapping[str, str]
    form: PhotographForm
    adds: bool


def photographs_page(ctx: RequestContext, sort: str, of: str, form: PhotographForm | None = None) -> PhotographsPage:
    """The page of a find, a bin or a ticket. Raises NotHere."""
    try:
        picture_of(ctx.book, ctx.context(), of, sort if sort in SORTS else "", "")
    except Refused as refused:
        raise NotHere(refused.given, refused.expected, sort) from None
    form, pieces = form or PhotographForm(), _pieces(ctx, of) if sort == "find" else []
    form.piece.choices = pieces
    form.piece.data = form.piece.data or ctx.request.query_params.get("piece", "")
    name, back = _called(ctx, sort, of)
    return PhotographsPage(
        title="Photographs",
        name=name,
        back=back,
        address=f"/photographs/{sort}/{quote(of)}",
        photographs=pictures_of(ctx.book, f"{sort}:{of}"),
        names=dict(pieces),
        form=form,
        adds=ctx.rights.may(Permission.RECORD),
    )


def _called(ctx: RequestContext, sort: str, of: str) -> tuple[str, str]:
    """What a thing is called, and the address of its page."""
    if sort == "find":
        return ctx.called.find(of), f"/bench/{quote(of)}"
    return (ctx.called.bin(of), f"/bins/{quote(of)}") if sort == "bin" else (ctx.called.ticket(of), "/haul")


def _pieces(ctx: RequestContext, find_id: str) -> list[tuple[str, str]]:
    kind = standing.find(ctx.book, find_id).kind
    known = ctx.catalogue.anatomy(kind).pieces[1:] if ctx.catalogue.knows(kind) else ()
    return [("", "all of it"), *((piece.id, piece.name) for piece in known)]


@router.get("/photographs/{sort}/{of}")
def photographs(ctx: At, sort: str, of: str) -> Response:
    """The photographs of one thing."""
    return render(ctx, photographs_page(ctx, sort, of))


@router.post("/photographs/{sort}/{of}")
def add(given: Annotated[SentFile, Depends(sent_photograph)], sort: str, of: str) -> Response:
    """One more. It is read and written anew before anybody else has to wait."""
    ctx, form = given.ctx, PhotographForm(given.ctx.typed)
    page = photographs_page(ctx, sort, of, form)
    digest = hashlib.sha256(given.content).hexdigest()
    fields = [(name, value) for name, value in ctx.typed.multi_items() if name not in NOT_TYPED]
    try:
        kept = cleaned(given.content) if given.content else None
    except Refused as refused:
        form.refuse(refused)
        return render(ctx, page, 422)

    def act() -> FormSaved:
        if kept is None:
            raise Refused("no photograph", "one from the camera, or a file", "file")
        recorded = picture(ctx.book, ctx.context(), of, kept, sort, form.piece.text, form.note.text)
        return FormSaved.of(ctx, recorded, f"{page.address}#main")

    return save_form(ctx, form, act, lambda: photographs_page(ctx, sort, of, form), content=[*fields, ("file", digest)])


@router.get("/bench/{find_id}/text")
def text_page(ctx: At, find_id: str) -> Response:
    """What may be written of a find to sell it."""
    find_now(ctx, find_id)
    asked = ctx.request.query_params
    form = TextForm(Typed(asked.multi_items()))
    form.part.choices = _pieces(ctx, find_id)
    found = None
    try:
        said = (form.part.text, form.packed.text, form.postage.text)
        found = text_of_listing(ctx.book, ctx.now, find_id, *said, exact=True) if form.validate() else None
    except Refused as refused:
        form.refuse(refused)
    name, back = _called(ctx, "find", find_id)
    page = TextPage(title="Text for a listing", name=name, back=back, found=found, form=form)
    return render(ctx, page, 200 if found else 422)


@router.get("/photograph/{size}/{name}")
def photograph(ctx: At, size: str, name: str) -> Response:
    """The bytes of one, small or whole."""
    digest = name.removesuffix(ENDING)
    content = ctx.book.photographs.content(digest) if DIGEST.fullmatch(digest) and name.endswith(ENDING) else None
    if content is None or size not in ("small", "whole"):
        raise NotHere(f'"{name[:80]}"', "a photograph that is kept here", "photograph")
    return Response(small(content) if size == "small" else content, media_type=MEDIA_TYPE, headers=HEADERS)
