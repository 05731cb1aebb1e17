"""A month as PDF."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.errors import Refused
from partway.reports.books.month import month_named, report_month
from partway.web.context import At
from partway.web.paper import pdf_answer
from partway.web.serving.failures import NotHere

router = APIRouter()


@router.get("/papers/month/{month}.pdf")
def month_pdf(ctx: At, month: str) -> Response:
    """Money, hours, buyers and mass of one month, written as 2026-03."""
    from partway.paper.month import month_paper

    try:
        first = month_named(month, ctx.now)
    except Refused as refused:
        raise NotHere(refused.given, refused.expected, refused.where) from None
    return pdf_answer(month_paper(report_month(ctx.book, first, ctx.now), ctx.show, ctx.paper), f"month-{first:%Y-%m}")
