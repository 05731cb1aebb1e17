"""The ledger out of the house: as a Data Package, as lines of events, or as a checked copy of the file."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import FileResponse, Response
from starlette.background import BackgroundTask

from partway.quantities import shown
from partway.storage.backup.backup import backup
from partway.storage.backup.backups import note_backup
from partway.storage.exchange.jsonl import write_lines
from partway.storage.exchange.package import write_package
from partway.storage.store import SqlBook
from partway.web.context import At, RequestContext
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()


@dataclass(frozen=True, slots=True)
class ExportForm:
    """A form the ledger can be taken away in."""

    id: str
    name: str
    ending: str
    media_type: str
    words: str
    write: Callable[[SqlBook, Path], int]


FORMS = {
    form.id: form
    for form in (
        ExportForm(
            "package",
            "Data Package",
            ".zip",
            "application/zip",
            "Tables as CSV that say what their columns mean: for a spreadsheet, or to keep. It can be read back.",
            write_package,
        ),
        ExportForm(
            "events",
            "Lines of events",
            ".jsonl",
            "application/jsonl",
            "One event a line, each with its own check: for another machine, or a program. It can be read back.",
            lambda book, file: write_lines(book.recorded(), file),
        ),
        ExportForm(
            "backup",
            "Backup",
            ".sqlite",
            "application/vnd.sqlite3",
            "A copy of the ledger's file, opened and checked before you get it. partway restore makes it the ledger.",
            backup,
        ),
    )
}


@dataclass(frozen=True, kw_only=True)
class ExportPage(Page):
    """The forms to choose from; `events` is how many events go with each; `wrong` what a file was refused for."""

    template: ClassVar[str] = "books/export.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "export"
    forms: tuple[ExportForm, ...]
    events: int
    wrong: str


@router.get("/books/export")
def export_page(ctx: At) -> Response:
    """What can be taken away."""
    return render(ctx, export_page_of(ctx))


def export_page_of(ctx: RequestContext, wrong: str = "") -> ExportPage:
    """The page, with what was wrong with a file that was to be read back."""
    return ExportPage(title="Export", forms=tuple(FORMS.values()), events=ctx.book.state()[0], wrong=wrong)


@router.get("/books/export/{form_id}")
def export(ctx: At, form_id: str) -> Response:
    """The whole ledger in one file, written anew for each who asks and gone once it was sent."""
    form = FORMS.get(form_id)
    if form is None:
        raise NotHere(shown(form_id), f"one of {', '.join(FORMS)}", "export")
    folder = tempfile.mkdtemp(prefix="partway-")
    name = f"partway-{ctx.today}{form.ending}"
    try:
        count = form.write(ctx.book, Path(folder) / name)
    except BaseException:
        shutil.rmtree(folder)
        raise
    if form_id == "backup":
        note_backup(ctx.book, "", count, ctx.now)
    gone = BackgroundTask(shutil.rmtree, folder)
    return FileResponse(Path(folder) / name, media_type=form.media_type, filename=name, background=gone)
