"""What cannot all be true, and where each can be settled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.reports.books.conflicts import ConflictLine
from partway.web.context import At
from partway.web.pages import Page, render

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class ConflictsPage(Page):
    """All conflicts of the ledger."""

    template: ClassVar[str] = "books/conflicts.html"
    place: ClassVar[str] = "books"
    styles: ClassVar[tuple[str, ...]] = ("books.css",)
    here: str = "ledger"
    conflicts: tuple[ConflictLine, ...]


@router.get("/books/conflicts")
def conflicts_page(ctx: At) -> Response:
    """All of them."""
    return render(ctx, ConflictsPage(title="To settle", conflicts=ctx.conflicts))
