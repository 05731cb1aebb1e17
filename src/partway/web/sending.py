"""A form with a file in it, as a browser sends it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from fastapi import Request
from starlette.datastructures import UploadFile

from partway.photographs.limits import SENT_MOST
from partway.web.context import AppState, RequestContext
from partway.web.forms import Typed

WHOLE = -1  # the app takes no body beyond its limit


@dataclass(frozen=True, slots=True)
class SentFile:
    """A file that somebody sent, under the name it has with them, and the request it came with; nothing for none."""

    ctx: RequestContext
    name: str
    content: bytes


async def sent_file(request: Request) -> SentFile:
    """The file of a form, whole."""
    return await _sent(request, 10, WHOLE)


async def sent_photograph(request: Request) -> SentFile:
    """The photograph of a form, read no further than one may be long."""
    return await _sent(request, 20, SENT_MOST + 1)


async def _sent(request: Request, fields: int, most: int) -> SentFile:
    async with request.form(max_files=1, max_fields=fields) as form:
        file = form.get("file")
        ctx = RequestContext(request, cast(AppState, request.app.state.partway), Typed.of(form))
        if isinstance(file, UploadFile):
            return SentFile(ctx, file.filename or "", await file.read(most))
    return SentFile(ctx, "", b"")
