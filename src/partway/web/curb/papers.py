"""The curb card as PDF."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.curb import curb as look
from partway.reports.curb.card import report_curb_card
from partway.web.context import At
from partway.web.curb import figures
from partway.web.paper import pdf_answer

router = APIRouter()


@router.get("/papers/curb.pdf")
def curb_pdf(ctx: At) -> Response:
    """Kinds worth stopping for, what can hurt first."""
    from partway.paper.curb import curb_paper

    card = report_curb_card(ctx.prices, figures.ranking(ctx), look.kinds(ctx.prices))
    return pdf_answer(curb_paper(card, ctx.show, ctx.paper), f"curb-{card.ranking.on}")
