"""Labels for bins as PDF."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.web.bins.labels import labels_asked
from partway.web.context import At
from partway.web.paper import pdf_answer

router = APIRouter()


@router.get("/papers/labels.pdf")
def labels_pdf(ctx: At) -> Response:
    """A sheet of labels to cut: for each bin, or for those asked for."""
    from partway.paper.labels import labels_paper

    asked = labels_asked(ctx)
    return pdf_answer(labels_paper(asked.labels, ctx.show, asked.paper, asked.size, ctx.today), "labels")
