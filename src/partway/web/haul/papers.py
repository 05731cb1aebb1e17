"""The load sheet as PDF, to print or to keep on a phone."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.web.context import At
from partway.web.haul.plans import sheet_of
from partway.web.paper import pdf_answer

router = APIRouter()


@router.get("/haul/load/{job}/{trip}/sheet.pdf")
def load_pdf(ctx: At, job: str, trip: int) -> Response:
    """What rides on one trip, with room for what the ticket says."""
    from partway.paper.load import load_paper

    _, sheet = sheet_of(ctx, job, trip)
    return pdf_answer(load_paper(sheet, ctx.show, ctx.paper), f"load-{sheet.on}-{sheet.trip}")
