"""Labels for bins, and where what is in them came from, as PDF."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.reports.bins.origin import report_origins
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


@router.get("/papers/origin.pdf")
def origin_pdf(ctx: At) -> Response:
    """What is in bins, or in those asked for, and what it came from, for a yard that asks."""
    from partway.paper.origin import origin_paper

    sheet = report_origins(ctx.book, ctx.request.query_params.getlist("bin"), ctx.now)
    return pdf_answer(origin_paper(sheet, ctx.show, ctx.paper), f"origin-{sheet.on}")
