"""What a buyer keeps back of its tickets, said by itself: "harbour yard charges 3 percent", "no fee at the ridge"."""

from __future__ import annotations

from collections.abc import Iterator

from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.recording.describe import Say
from partway.actions.recording.heard import hearing
from partway.actions.saying.acts.bench import slot_of
from partway.actions.saying.meant import Meaning
from partway.actions.saying.steps import SayStep
from partway.errors import Refused
from partway.ledger import trading
from partway.pricelist.layout.ticket_fees import NO_FEE, TicketFee, ticket_fee_in
from partway.quantities import plain_text, shown
from partway.reports.buyers.fee_words import fee_said
from partway.saying.clauses import Clause


def charges(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A fee becomes a term of the buyer: a sum in place of the sum before, a share in place of the share."""
    buyer = meaning.buyer(slot_of(clause, "buyer"))
    terms = trading.buyers(meaning.book)[buyer]
    was = TicketFee(terms.ticket_fee, terms.ticket_share)
    said = _said(meaning, clause) if clause.slot("fee") else NO_FEE
    now = TicketFee(said.flat or was.flat, said.share or was.share) if said != NO_FEE else NO_FEE
    if now == was:
        already = _words(meaning, was) or "keeps back nothing of a ticket"
        raise Refused(shown(clause.said), f"news: it {already} already", "fee")
    meaning.doubts.append(
        f"{_words(meaning, now) or 'keeps back nothing of a ticket'}; before: {_words(meaning, was) or 'nothing'}"
    )
    share = f"{plain_text(now.share * 100)} %" if now.share else "0"
    yield SayStep(buyers.buyer, (buyer, Terms(ticket_fee=plain_text(now.flat), ticket_share=share)))


def _said(meaning: Meaning, clause: Clause) -> TicketFee:
    """The fee that was said. A sum may be for what is brought, too: that it is of each ticket is asked unless said."""
    slot = slot_of(clause, "fee")
    fee = ticket_fee_in(f"{slot.words} fee", hearing(meaning.book))
    assert fee is not None  # noqa: S101  the grammar reads it
    if fee.flat and not clause.value("named"):
        meaning.sure(clause.said, "fee", f"it {_words(meaning, fee)}")
    return fee


def _words(meaning: Meaning, fee: TicketFee) -> str:
    return fee_said(fee.flat, fee.share, Say.of(meaning.book).money) or "keeps back nothing of a ticket"
