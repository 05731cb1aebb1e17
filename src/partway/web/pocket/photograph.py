"""A photograph that a phone kept without signal comes back: by itself, under its own id, and once.

It is no part of the list of entries: one that is too large or damaged would hold up all of them. The phone sends it
after them, so that a find or a ticket it noted itself is there by then.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any
from uuid import UUID

from fastapi import APIRouter, Depends, Query
from fastapi import Body as Raw
from pydantic import AwareDatetime

from partway.actions.pictures.picturing import picture
from partway.actions.pictures.results import PictureResult
from partway.actions.pocket.intents import Act, Intent
from partway.actions.pocket.take_back import take_back
from partway.actions.recording.context import Context, Recorded
from partway.errors import Refused
from partway.ledger.book import Book
from partway.photographs.cleaning import cleaned
from partway.photographs.photograph import Photograph
from partway.web.api.bodies import LINE
from partway.web.api.problems import WRITING, may
from partway.web.api.writing import key_header
from partway.web.bench.api_pictures import PhotographRoute
from partway.web.context import At
from partway.web.pocket.bodies import SCHEMA
from partway.web.pocket.rows import BackAnswer, row_of
from partway.web.pocket.state import state_of

WHAT = "pictured"
OF = ("find", "bin", "ticket")  # what a phone takes photographs of: the fields of its entry
posts = APIRouter(
    prefix="/pocket",
    tags=["pocket"],
    route_class=PhotographRoute,
    dependencies=[Depends(key_header)],
    responses=may(*WRITING),
)
Said = Annotated[str, Query(max_length=LINE)]


def act_with(kept: Photograph) -> Act:
    """What keeps this photograph of the find or a piece of it, the bin, or the ticket that an entry names."""

    def act(book: Book, context: Context, given: Mapping[str, Any]) -> Recorded[PictureResult]:
        sort = sort_of(given)
        return picture(book, context, given[sort], kept, sort, given.get("piece", ""), given.get("note", ""))

    return act


def sort_of(given: Mapping[str, Any]) -> str:
    """What a photograph is of: the one field of its entry that says so. Raises Refused where none or several do."""
    said = [sort for sort in OF if given.get(sort)]
    if len(said) != 1:
        named = " and ".join(f"a {sort}" for sort in said) or "nothing that it is of"
        raise Refused(named, "one find, one bin or one ticket", said[0] if said else OF[0])
    return said[0]


@posts.post("/photograph")
def photograph(
    ctx: At,
    photograph: Annotated[
        bytes, Raw(media_type="image/jpeg", min_length=1, description="The file: JPEG, PNG or WebP.")
    ],
    id_: Annotated[
        UUID, Query(alias="id", description="A version 7 UUID that the phone made: it is kept once under it.")
    ],
    workspace: Annotated[str, Query(max_length=LINE, description="The workspace, as the phone was given it.")],
    typed: Annotated[AwareDatetime, Query(description="When it was taken, by the phone's clock (RFC 3339).")],
    find: Annotated[
        str, Query(max_length=LINE, description="The find; one that the phone noted goes by @ and the id of its entry.")
    ] = "",
    bin_: Annotated[str, Query(alias="bin", max_length=LINE, description="In its place: the bin.")] = "",
    ticket: Annotated[
        str, Query(max_length=LINE, description="In its place: the ticket, @ and the id of its entry as with a find.")
    ] = "",
    piece: Annotated[str, Query(max_length=LINE, description="The piece of the find that it shows.")] = "",
    note: Said = "",
) -> BackAnswer:
    """Take a photograph that a phone kept without signal, of one find, bin or ticket. It is done, known already,
    refused or asked about like an entry of the list; of another workspace it is refused (409). Place and time in the
    file are not kept.
    """
    intent = Intent(id_, WHAT, _body(find=find, bin=bin_, ticket=ticket, piece=piece, note=note), typed)
    try:
        act = act_with(cleaned(photograph, "photograph"))  # before anybody has to wait for the ledger
    except Refused as refused:
        act = _refusing(refused)
    answers = take_back(ctx.book, ctx.context(), workspace, [intent], {WHAT: act})
    return BackAnswer(
        SCHEMA, tuple(row_of(answer, ctx.named_anew()) for answer in answers), state_of(ctx.book, ctx.clock().date())
    )


def _refusing(refused: Refused) -> Act:
    """What says that the file is no photograph, once the workspace is known to be the one that it was taken for."""

    def act(book: Book, context: Context, given: Mapping[str, Any]) -> Recorded[PictureResult]:
        raise refused

    return act


def _body(**said: str) -> dict[str, str]:
    """The fields of an entry that say something."""
    return {field: text for field, text in said.items() if text}
