"""The calculators: a form whose answer stands in its address."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar, cast
from urllib.parse import urlencode

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue.cards import CautionCard, shipped_cards
from partway.errors import Refused
from partway.reports.calculators.answer import Answer
from partway.reports.calculators.density import Density
from partway.reports.calculators.own_cautions import COMMANDS
from partway.web.context import At, RequestContext
from partway.web.forms import Form, Typed
from partway.web.pages import Page, render
from partway.web.what import figures
from partway.web.what.calculator_forms import MoneyForm
from partway.web.what.calculators import CALCULATORS, Asks, Calculator, Filled

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class CalculatorPage(Page):
    """A calculator with what was typed, and its answer where there is one. `onward` leads to the test key with it."""

    template: ClassVar[str] = "what/calculator.html"
    place: ClassVar[str] = "what"
    styles: ClassVar[tuple[str, ...]] = ("what.css",)
    of: Calculator
    cautions: tuple[CautionCard, ...]
    answer: Answer | None
    form: Form
    filled: Filled
    more: bool
    onward: str


def _page(ctx: RequestContext, of: Calculator) -> tuple[CalculatorPage, int]:
    given = [(name, text) for name, text in ctx.request.query_params.multi_items() if name in of.make(None, {})]
    filled = Filled() if given else figures.filled(ctx, of.name)
    form = of.make(Typed(given) if given else None, filled.values)
    if isinstance(form, MoneyForm):
        form.counted = ctx.settings.get("currency", "")
    answer = _answered(form, of) if given else None
    wrong = bool(form.wrong or form.problem)
    page = CalculatorPage(
        title=of.title,
        of=of,
        cautions=answer.cautions if answer else shipped_cards(COMMANDS[of.name]),
        answer=answer,
        form=form,
        filled=filled,
        more=any(form[name].errors or form[name].data for row in of.more for name in row if given),
        onward=_onward(answer),
    )
    return page, 422 if wrong else 200


def _answered(form: Form, of: Calculator) -> Answer | None:
    if not form.validate():
        return None
    try:
        return cast(Asks, form).ask()
    except Refused as refused:
        form.refuse(refused, of.names)
        return None


def _onward(answer: Answer | None) -> str:
    if not isinstance(answer, Density):
        return ""
    said = f"density={answer.density:.4g}+-{answer.uncertainty:.2g}"
    return f"/what/key?{urlencode({'context': 'loose', 'answer': said})}"


def _at(of: Calculator) -> Callable[[RequestContext], Response]:
    def page(ctx: At) -> Response:
        return render(ctx, *_page(ctx, of))

    return page


for calculator in CALCULATORS.values():
    router.get(f"/what/{calculator.name}")(_at(calculator))
