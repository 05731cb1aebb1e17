"""A find is opened: pieces weighed into bins, the balance shown while they are typed, questions asked beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench.balancing import balance
from partway.actions.bench.counts import counted, in_working_order, opened_at_once, sure, usual_counts
from partway.actions.bench.opening import counted_by_mass, open_up
from partway.actions.bench.pieces import PieceGiven
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.balance_typed import MassBalance
from partway.web.bench.find import FindForms, find_now, fresh_opening, here_of, offers, page_of
from partway.web.bench.forms import OpeningForm, WeighRow, given, own_given
from partway.web.context import At, RequestContext
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class BalancePage(Page):
    """The balance alone, to be put into the page while somebody types."""

    template: ClassVar[str] = "bench/balance.html"
    balance: MassBalance
    opening: OpeningForm


def _opening(ctx: RequestContext, now: FindNow) -> OpeningForm:
    return fresh_opening(ctx, now, here_of(ctx, now), ctx.typed)


def _operations(ctx: RequestContext, now: FindNow, opening: OpeningForm) -> list[str]:
    return in_working_order(ctx.book, now, opening.operations) if opening.operations else []


def _count(row: WeighRow, usual: dict[str, int]) -> int:
    text = (row.count.data or "").strip()
    return counted(text, f"piece {row.row.piece}") if text else usual.get(row.row.piece, row.row.count)


def _times(ctx: RequestContext, now: FindNow, opening: OpeningForm) -> int:
    """How many are opened: as typed or answered, else as the masses tell. Raises Refused, also to ask."""
    form = opening.form
    said = form.count.text or form.answer("count") or ""
    if said or now.count == 1:
        return opened_at_once(ctx.book, now, said)
    pieces = [*(given(row, 1) for row in opening.weighed), *(own_given(row, 1) for row in opening.own)]
    operations = _operations(ctx, now, opening)
    rest = form.residue.text or None, form.loss.text or None
    return counted_by_mass(ctx.book, now, pieces, operations, *rest, form.answer("gap"))


def _pieces(ctx: RequestContext, now: FindNow, opening: OpeningForm) -> list[PieceGiven]:
    times = _times(ctx, now, opening)
    usual = usual_counts(ctx.book, now, _operations(ctx, now, opening), times)
    own = [own_given(row, counted(row.count.text or "1", row.name.text)) for row in opening.own]
    return [*(given(row, _count(row, usual)) for row in opening.weighed), *own]


def _balance(ctx: RequestContext, now: FindNow, opening: OpeningForm) -> MassBalance:
    """As far as it can be read; a count that cannot be is taken as the usual one until it is saved."""
    try:
        pieces = _pieces(ctx, now, opening)
    except Refused:
        pieces = [given(row, row.row.count) for row in opening.weighed] + [own_given(row, 1) for row in opening.own]
    form = opening.form
    return balance(ctx.book, now, pieces, _operations(ctx, now, opening), form.residue.text, form.loss.text)


@router.post("/bench/{find_id}/open")
def open_find(ctx: At, find_id: str) -> Response:
    """Record an opening."""
    now = find_now(ctx, find_id)
    opening = _opening(ctx, now)
    form = opening.form

    def act() -> FormSaved:
        now = find_now(ctx, find_id)  # as it is by now
        sure(bool(opening.weighed or opening.own or form.residue.text or form.loss.text), form.answer("unweighed"))
        recorded = open_up(
            ctx.book,
            ctx.context(form.on.text),
            find_id,
            _pieces(ctx, now, opening),
            _operations(ctx, now, opening),
            form.minutes.text or 0,
            form.residue.text or None,
            form.loss.text or None,
            form.answer("gap"),
            _times(ctx, now, opening) if now.count > 1 else None,
            form.agreed("sure"),
        )
        left = standing.find(ctx.book, find_id)
        to = "/bench#main" if left.closed and not offers(ctx, left) else f"/bench/{find_id}#main"
        return FormSaved.of(ctx, recorded, to)

    def again() -> Page:
        shown = None if now.closed else _balance(ctx, now, opening)
        return page_of(ctx, find_id, FindForms(opening=opening, balance=shown))

    return save_form(ctx, form, act, again, opening.names)


@router.post("/bench/{find_id}/balance")
def check_balance(ctx: At, find_id: str) -> Response:
    """Where the mass went so far: the page again, or with ?part=yes the balance alone. Records nothing."""
    now = find_now(ctx, find_id)
    opening = _opening(ctx, now)
    if now.closed:
        return render(ctx, page_of(ctx, find_id, FindForms(opening=opening)), 409)
    opening.form.validate()
    found = _balance(ctx, now, opening)
    if ctx.request.query_params.get("part") == "yes":
        return render(ctx, BalancePage(title="Mass balance", balance=found, opening=opening))
    return render(ctx, page_of(ctx, find_id, FindForms(opening=opening, balance=found)))
