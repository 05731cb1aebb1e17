"""A form with a photograph in it, as a browser sends it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from fastapi import Request
from starlette.datastructures import UploadFile

from partway.photographs.limits import SENT_MOST
from partway.web.context import AppState, RequestContext
from partway.web.forms import Typed


@dataclass(frozen=True, slots=True)
class SentPhotograph:
    """A photograph that somebody sent, and the request it came with."""

    ctx: RequestContext
    content: bytes


async def sent_photograph(request: Request) -> SentPhotograph:
    """The photograph of a form, read no further than one may be long."""
    async with request.form(max_files=1, max_fields=20) as form:
        file = form.get("file")
        ctx = RequestContext(request, cast(AppState, request.app.state.partway), Typed.of(form))
        if isinstance(file, UploadFile):
            return SentPhotograph(ctx, await file.read(SENT_MOST + 1))
    return SentPhotograph(ctx, b"")
