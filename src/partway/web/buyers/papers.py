"""A buyer's price sheet as PDF."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.reports.books.conflicts import mark_of
from partway.reports.buyers.one import doubts_of
from partway.web.buyers import figures
from partway.web.buyers.one import known_buyer
from partway.web.context import At
from partway.web.paper import pdf_answer

router = APIRouter()


@router.get("/papers/prices/{buyer_id}.pdf")
def prices_pdf(ctx: At, buyer_id: str) -> Response:
    """What one buyer says of each grade, with room for what it says today."""
    from partway.paper.prices import prices_paper

    known_buyer(ctx, buyer_id)
    doubts = doubts_of(ctx.conflicts_of(f"buyer:{buyer_id}"), buyer_id)
    said = {grade: mark_of(codes) for grade, codes in doubts.items()}
    made = prices_paper(figures.buyer(ctx, buyer_id), said, ctx.show, ctx.paper, ctx.today)
    return pdf_answer(made, f"prices-{buyer_id}")
