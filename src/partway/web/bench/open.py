"""A find is opened: pieces weighed into bins, the balance shown while they are typed, questions asked beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench.balancing import balance
from partway.actions.bench.counts import counted, in_working_order, opened_at_once, sure, usual_counts
from partway.actions.bench.opening import counted_by_mass
from partway.actions.bench.pieces import PieceGiven
from partway.actions.books.opening_anew import record_opening
from partway.errors import Refused
from partway.lazily import lazily
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.balance_typed import MassBalance
from partway.web.bench.anew import PutRight, anew_of, as_it_was, opening_anew
from partway.web.bench.find import FindForms, find_now, fresh_opening, gone_page, here_of, offers, page_of, right_of
from partway.web.bench.forms import OpeningForm, WeighRow, given, own_given
from partway.web.bench.work import work_page
from partway.web.context import At, RequestContext
from partway.web.forms import Form
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


@dataclass
class _Sent:
    """An opening that was sent: the find, or what is put right of it, and its form as it was typed."""

    ctx: RequestContext
    find: FindNow
    anew: PutRight | None

    @lazily
    def opening(self) -> OpeningForm:
        """The form."""
        if self.anew is not None:
            return opening_anew(self.ctx, self.anew, self.ctx.typed)
        return _opening(self.ctx, self.find)

    def now(self) -> FindNow:
        """The find as it is by now, or was before what is put right."""
        return find_now(self.ctx, self.find.id)

    def save(self) -> FormSaved:
        """Record it. Raises Refused, also to ask."""
        ctx, opening, form = self.ctx, self.opening, self.opening.form
        sure(bool(opening.weighed or opening.own or form.residue.text or form.loss.text), form.answer("unweighed"))
        with as_it_was(ctx, self.anew):
            now = self.now()
            pieces, operations = _pieces(ctx, now, opening), _operations(ctx, now, opening)
            times = _times(ctx, now, opening) if now.count > 1 else None
        recorded = record_opening(
            ctx.book,
            ctx.context(form.on.text),
            self.find.id,
            pieces,
            operations,
            form.minutes.text or 0,
            form.residue.text or None,
            form.loss.text or None,
            form.answer("gap"),
            times,
            form.agreed("sure"),
            self.anew.seen(pieces) if self.anew else (),
            str(self.anew.event.id) if self.anew else "",
        )
        left = standing.find(ctx.book, self.find.id)
        to = "/bench#main" if left.closed and not offers(ctx, left) else f"/bench/{self.find.id}#main"
        return FormSaved.of(ctx, recorded, to, right_of(ctx, left))

    def balance(self) -> MassBalance:
        """As far as it can be read."""
        with as_it_was(self.ctx, self.anew):
            return _balance(self.ctx, self.now(), self.opening)

    def whole(self) -> Page:
        """All about the find on one page again, with what was typed."""
        shown = None if self.find.closed else self.balance()
        return page_of(self.ctx, self.find.id, FindForms(opening=self.opening, balance=shown))

    def by_step(self) -> Page:
        """The page of its steps again, with what was typed."""
        if self.find.closed:
            return page_of(self.ctx, self.find.id, FindForms(opening=self.opening))
        here = self.anew.here if self.anew else here_of(self.ctx, self.find)
        return work_page(self.ctx, self.find, here, self.opening, self.balance(), self.anew)


def _sent(ctx: RequestContext, find_id: str) -> _Sent:
    """What was sent of a find. Raises Refused where what it puts right can be put right no more."""
    now, instead = find_now(ctx, find_id), ctx.typed.get("instead", "")
    anew = anew_of(ctx, now.id, instead) if instead else None
    return _Sent(ctx, anew.now if anew else now, anew)


@router.post("/bench/{find_id}/open")
def open_find(ctx: At, find_id: str) -> Response:
    """Record an opening, typed on the page of all about the find."""
    sent = _Sent(ctx, find_now(ctx, find_id), None)
    return save_form(ctx, sent.opening.form, sent.save, sent.whole, sent.opening.names)


@router.post("/bench/{find_id}/work")
def save_work(ctx: At, find_id: str) -> Response:
    """Record an opening, typed step by step, or put one right."""
    try:
        sent = _sent(ctx, find_id)
    except Refused as refused:
        return _too_late(ctx, find_id, refused)
    return save_form(ctx, sent.opening.form, sent.save, sent.by_step, sent.opening.names)


def _too_late(ctx: RequestContext, find_id: str, refused: Refused) -> Response:
    """What cannot be put right any more: said with all that was typed, or that just this was saved already."""
    form = Form(ctx.typed)

    def act() -> FormSaved:
        raise refused

    return save_form(ctx, form, act, lambda: gone_page(ctx, find_now(ctx, find_id), FindForms(other=form)))


@router.post("/bench/{find_id}/balance")
def check_balance(ctx: At, find_id: str) -> Response:
    """Where the mass went so far: the page again, or with ?part=yes the balance alone. Records nothing."""
    sent = _sent(ctx, find_id)
    if sent.find.closed:
        return render(ctx, page_of(ctx, find_id, FindForms(opening=sent.opening)), 409)
    sent.opening.form.validate()
    asked = ctx.request.query_params
    if asked.get("part") == "yes":
        return render(ctx, BalancePage(title="Mass balance", balance=sent.balance(), opening=sent.opening))
    return render(ctx, sent.by_step() if asked.get("by") == "step" else sent.whole())
