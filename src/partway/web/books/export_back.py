"""A file of a ledger read back: first what it would change, then, if it is wanted, the events that are new.

What was looked at is kept until the ledger changes, so that exactly that is added; after a change it is looked at anew.
"""

from __future__ import annotations

import hashlib
import tempfile
import zipfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from fastapi.responses import Response

from partway.errors import Refused
from partway.ledger.photographs import PhotographsInMemory
from partway.storage.exchange.jsonl import read_lines
from partway.storage.exchange.package_photographs import photographs_of
from partway.storage.exchange.preview import Changes, changes
from partway.storage.exchange.union import Arrivals, added, arrivals
from partway.storage.exchange.unpack import read_package
from partway.storage.photographs.carried import carry
from partway.web.books.export import ExportPage, export_page_of
from partway.web.cache import cached
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.sending import SentFile, sent_file

router = APIRouter()
MOST = 30  # lines of each sort


@dataclass(frozen=True, slots=True)
class Looked:
    """What a file would add and change."""

    found: Arrivals
    told: Changes
    photographs: PhotographsInMemory


@dataclass(frozen=True, slots=True)
class File:
    """A file by what is in it; the content itself is no longer there once it was looked at."""

    digest: str
    content: bytes = field(default=b"", compare=False)


class TakeForm(Form):
    """Which of the files that were looked at."""

    digest = LineField("File")


@dataclass(frozen=True, kw_only=True)
class PreviewPage(Page):
    """What would change. Each list is cut at so many lines; the counts are whole."""

    template: ClassVar[str] = "books/preview.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "export"
    name: str
    looked: Looked
    most: int
    take: TakeForm


@router.post("/books/export/look")
def look(given: Annotated[SentFile, Depends(sent_file)]) -> Response:
    """What a file would change. Nothing is written."""
    ctx = given.ctx
    if not given.content:
        return _refused(ctx, Refused("no file", "a file that partway wrote", "file"))
    file = File(hashlib.sha256(given.content).hexdigest(), given.content)
    try:
        looked = _looked(ctx, file)
    except Refused as refused:
        return _refused(ctx, refused)
    page = PreviewPage(
        title="What would change",
        name=given.name[:200],
        looked=looked,
        most=MOST,
        take=TakeForm(digest=file.digest),
    )
    return render(ctx, page)


@router.post("/books/export/take")
def take(ctx: At) -> Response:
    """Add what is new of a file that was looked at."""
    form = TakeForm(ctx.typed)

    def act() -> FormSaved:
        looked = _looked(ctx, File(form.digest.text))
        count = len(added(ctx.book, looked.found, looked.photographs).new)
        return FormSaved.onward("/books/ledger", f"{count} event{'' if count == 1 else 's'} added")

    return save_form(ctx, form, act, lambda: export_page_of(ctx, form.problem or "Nothing was added."), decides=False)


def _refused(ctx: RequestContext, refused: Refused) -> Response:
    page: ExportPage = export_page_of(ctx, str(refused))
    return render(ctx, page, 422)


@cached
def _looked(ctx: RequestContext, given: File) -> Looked:
    """Read from a file of its own name, so that a refusal says which line or table it was. Raises Refused."""
    if not given.content:
        raise Refused("a file looked at before the ledger changed", "the file once more, to look at it anew", "form")
    with tempfile.TemporaryDirectory(prefix="partway-") as folder:
        file = Path(folder) / "file"
        file.write_bytes(given.content)
        packed = zipfile.is_zipfile(file)
        file = file.rename(file.with_suffix(".zip" if packed else ".jsonl"))
        try:
            found = arrivals(ctx.book, read_package(file) if packed else read_lines(file))
            photographs = _photographs(found, file) if packed else PhotographsInMemory()
        except Refused as refused:
            where = refused.where.replace(f"{folder}/", "")
            raise Refused(refused.given, refused.expected, where) from None
    return Looked(found, changes(ctx.book, found), photographs)


def _photographs(found: Arrivals, file: Path) -> PhotographsInMemory:
    """Those that came along: no more than the app takes at once, so they wait in memory."""
    waiting = PhotographsInMemory()
    with photographs_of(file) as source:
        carry(found.new, source, waiting)
    return waiting
