"""A photograph by the JSON interface: the bytes of the file are the body, what it is of stands in the address."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Body as Raw
from fastapi import Query, Request

from partway.actions.pictures import picturing
from partway.actions.pictures.results import PictureResult
from partway.actions.recording.saved import Saved
from partway.photographs.cleaning import cleaned
from partway.quantities import shown
from partway.web.api.bodies import LINE
from partway.web.api.writing import WritingRoute, body_of, saving, writing
from partway.web.context import At
from partway.web.serving.failures import NotJson

SORTS = ("image/jpeg", "image/png", "image/webp")


class PhotographRoute(WritingRoute):
    """A route whose body is a photograph. What is in it is looked at later: a stated type proves nothing."""

    async def taken(self, request: Request) -> bytes:
        """The body, whole. Raises Refused for another type."""
        kind = request.headers.get("content-type", "")
        if kind.partition(";")[0].strip().lower() not in SORTS:
            raise NotJson(shown(kind) if kind else "a body of no stated type", " | ".join(SORTS), "content-type")
        return await body_of(request)


router = writing("bench", PhotographRoute)
Said = Annotated[str, Query(max_length=LINE)]


@router.post("/picture")
def picture(
    ctx: At,
    photograph: Annotated[
        bytes, Raw(media_type="image/jpeg", min_length=1, description="The file: JPEG, PNG or WebP.")
    ],
    of: Annotated[str, Query(max_length=LINE, description="The name of the find, bin, ticket or kind.")],
    sort: Annotated[Literal["find", "bin", "ticket", "kind"], Query(description="What `of` names.")] = "find",
    piece: Annotated[str, Query(max_length=LINE, description="The piece that it shows.")] = "",
    note: Said = "",
    on: Annotated[str, Query(max_length=LINE, description="When it was taken; empty for now.")] = "",
) -> Saved[PictureResult]:
    """Keep a photograph, and record what it is of. It is written anew: place and time in it are not kept."""
    kept = cleaned(photograph, "body")
    return saving(ctx, lambda: picturing.picture(ctx.book, ctx.context(on), of, kept, sort, piece, note))
