"""A ticket is held against the terms that stood when it was printed, not against what was agreed later."""

from __future__ import annotations

from ledger_day import stocked, trading_day

from partway.actions.buyers import buyers
from partway.actions.haul.tickets import LineGiven, ticket
from partway.ledger import trading


def test_terms_agreed_after_a_ticket_do_not_reach_back_to_it() -> None:
    day = trading_day()
    stocked(day, copper_2=5)
    day.do(ticket, "harbour", [LineGiven("copper-2", "5 kg", "9 /kg")])
    (printed,) = day.book.events(["ticketed"])
    day.do(buyers.buyer, "harbour", buyers.Terms(minutes="99"))
    terms = trading.terms_on(day.book, "harbour", printed)
    assert terms is not None and terms.minutes == 20
    assert trading.buyers(day.book)["harbour"].minutes == 99
    assert trading.terms_on(day.book, "nobody", printed) is None
