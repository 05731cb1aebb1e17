"""Buyers, single quotes and whole price lists."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from ledger_day import Day, trading_day

from partway.actions.buyers import buyers, quoting
from partway.actions.buyers import price_lists as lists
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import QuoteGiven, price_said, quote, quotes
from partway.errors import Hint, Refused
from partway.ledger import trading
from partway.pricelist import answer
from partway.things.buyers import phone_address


def test_a_buyer_is_added_and_changed_field_by_field() -> None:
    day = trading_day()
    told = day.do(buyer, "harbour", Terms(km="15.5", name="harbour yard")).result
    assert (told.new, set(told.changed)) == (False, {"km", "name"})
    now = trading.buyers(day.book)["harbour"]
    assert (now.kind, now.km, now.minutes, now.refuses) == ("yard", Decimal("15.5"), 20, ("li-ion",))
    boards = trading.buyers(day.book)["boards"]
    assert [(step.up_to_mg, step.cost) for step in boards.shipping] == [
        (4_535_924, Decimal(14)),
        (18_143_695, Decimal(22)),
    ]


def test_a_telephone_number_is_kept_as_typed_called_as_dialled_and_taken_back() -> None:
    """The address of a call: RFC 3966, 5.1 and 5.3; its global example is tel:+1-201-555-0123 (from memory)."""
    day = trading_day()
    for said, address in {
        "+1-201-555-0123": "tel:+12015550123",
        "(555)  0142": "tel:5550142",
        "555.0142 ext. 7": "tel:5550142;ext=7",
        "555 0142x7": "tel:5550142;ext=7",
    }.items():
        day.do(buyer, "harbour", Terms(phone=said))
        kept = trading.buyers(day.book)["harbour"].phone
        assert (kept, phone_address(kept)) == (" ".join(said.split()), address)
    assert day.do(buyer, "harbour", Terms(phone="")).result.changed == ("phone",)
    assert trading.buyers(day.book)["harbour"].phone == "" == phone_address("")


@pytest.mark.parametrize(
    ("buyer_id", "terms", "expected"),
    [
        ("new", Terms(), "the kind of a new buyer"),
        ("new", Terms(kind="scrapyard"), "known kind of buyer"),
        ("home", Terms(kind="yard"), "home is where trips start"),
        ("New Yard!", Terms(kind="yard"), "letters, digits"),
        ("new", Terms(kind="yard", km="-2"), "from 0"),
        ("new", Terms(kind="yard", km="far"), "a distance from 0 to"),
        ("new", Terms(kind="yard", at="44"), "latitude"),
        ("new", Terms(kind="yard", at="91, 0"), "from -90"),
        ("new", Terms(kind="yard", minutes="2 days"), "a time"),
        ("new", Terms(kind="yard", minutes="30 h"), "at most a day"),
        ("new", Terms(kind="yard", phone="ask for Jo"), "a telephone number"),
        ("new", Terms(kind="yard", phone="12"), "a telephone number"),
        ("new", Terms(kind="yard", phone="1" * 16), "a telephone number"),
        ("new", Terms(kind="yard", phone="555-0142; rm"), "a telephone number"),
        ("new", Terms(kind="yard", refuses=["lithium-iron"]), "known grade, family or hazard"),
        ("new", Terms(kind="yard", shipping=[("10 lb", "14")]), "mail-in"),
        ("new", Terms(kind="mail-in", shipping=[("10 lb", "14"), ("9 lb", "16")]), "more than the step"),
    ],
)
def test_buyers_that_cannot_be(buyer_id: str, terms: Terms, expected: str) -> None:
    assert expected in Day().refuses(buyer, buyer_id, terms).expected


def test_a_quote_keeps_the_unit_it_was_said_in() -> None:
    day = trading_day()
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    told = day.do(quote, "harb", "copper-2", "4.20 / lb").result.quotes[0]
    assert (told.price, told.unit, told.before, told.before_unit) == (Decimal("4.20"), "lb", Decimal("4.10"), "lb")
    heard = trading.quotes(day.book, "harbour")
    assert [(q.grade, q.price, q.unit, q.on) for q in heard] == [
        ("copper-2", Decimal("4.20"), "lb", dt.date(2026, 3, 14))
    ]


def test_tiers_and_minimum_lots_are_kept_apart_and_withdrawn_together() -> None:
    day = trading_day()
    day.do(quote, "ridge", "copper-2", "4.30 /lb")
    day.do(quote, "ridge", "copper-2", "4.50 /lb", "60 lb", None)
    day.do(quote, "ridge", "motors", "0.44 /lb", None, "50 lb")
    assert len(trading.quotes(day.book, "ridge", "copper-2")) == 2
    events = day.do(quote, "ridge", "copper-2", "no").events
    assert [event.what.from_mg for event in events] == [0, 27_215_542]
    assert [q.price for q in trading.quotes(day.book, "ridge", "copper-2")] == [None, None]


@pytest.mark.parametrize(
    ("text", "price", "unit"),
    [
        ("4.10 /lb", "4.10", "lb"),
        ("38 c/lb", "0.38", "lb"),
        ("38¢ per lb", "0.38", "lb"),
        ("180 /short ton", "180", "short ton"),
        ("CAD 0.25/kg", "0.25", "kg"),
        ("-110 / tonne", "-110", "tonne"),
        ("0 /lb", "0", "lb"),
    ],
)
def test_prices_as_they_are_said(text: str, price: str, unit: str) -> None:
    assert price_said(text, "CAD", "price") == (Decimal(price), unit)


@pytest.mark.parametrize("text", ["4.10", "4.10 /ton", "EUR 4 /lb", "four /lb", "4,10 /lb", "5 /mg", "1 /L"])
def test_prices_that_are_none(text: str) -> None:
    with pytest.raises(Refused):
        price_said(text, "CAD", "price")


@pytest.mark.parametrize(
    ("who", "grade", "price", "expected"),
    [
        ("harbor-yard", "copper-2", "4 /lb", "known buyer"),
        ("harbour", "cooper-2", "4 /lb", 'did you mean "copper-2"'),
        ("harbour", "copper-2", "4 /ton", "short ton"),
        ("harbour", "li-ion", "0.5 /lb", "another grade"),
    ],
)
def test_quotes_that_cannot_be(who: str, grade: str, price: str, expected: str) -> None:
    assert expected in trading_day().refuses(quote, who, grade, price).expected


def test_a_list_is_saved_as_a_whole_or_not_at_all() -> None:
    day = trading_day()
    good = QuoteGiven("copper-2", "4.10 /lb")
    day.refuses(quotes, "harbour", [good, QuoteGiven("motors", "0.38 /ton")])
    day.refuses(quotes, "harbour", [good, QuoteGiven("copper-2", "4.20 /lb")])
    day.refuses(quotes, "harbour", [])
    assert trading.quotes(day.book) == ()
    day.do(quotes, "harbour", [good, QuoteGiven("motors", "0.38 /lb"), QuoteGiven("motors", "0.40 /lb", "100 lb")])
    assert len(trading.quotes(day.book)) == 3


def test_a_dictated_list_is_understood_and_saved() -> None:
    day = trading_day(unit="lb")
    lines = lists.read_list(
        day.book, "harbour", "no 2 copper 4.10, motors 38c, light iron .09, 304 stainless not taking"
    )
    told = day.do(lists.save_list, "harbour", lines).result
    assert [(q.grade, q.price, q.unit) for q in told.quotes] == [
        ("copper-2", Decimal("4.10"), "lb"),
        ("motors", Decimal("0.38"), "lb"),
        ("light-iron", Decimal("0.09"), "lb"),
        ("stainless-304", None, "kg"),
    ]


def test_a_list_with_a_question_is_not_saved_until_it_is_answered() -> None:
    day = trading_day(unit="lb")
    lines = lists.read_list(day.book, "harbour", "no 2 copper 4.10, brass 2.40")
    said = day.refuses(lists.save_list, "harbour", lines)
    assert "brass" in said.given
    asked = next(line for line in lines if line.question)
    lines = answer(lines, asked.position, "brass-yellow")
    told = day.do(lists.save_list, "harbour", lines).result
    assert [q.grade for q in told.quotes] == ["copper-2", "brass-yellow"]


def test_an_answer_about_a_name_holds_for_this_person_at_this_buyer() -> None:
    day = trading_day(unit="lb")
    lines = lists.read_list(day.book, "harbour", "brass 2.40", who=day.context().who)
    assert lines[0].question
    day.do(lists.save_list, "harbour", answer(lines, 1, "brass-yellow"))
    (line,) = lists.read_list(day.book, "harbour", "brass 2.45", who=day.context().who)
    assert (line.status, line.grade) == ("understood", "brass-yellow")
    assert lists.read_list(day.book, "harbour", "brass 3.40", who="somebody else")[0].question
    before = len(list(day.book.events()))
    day.do(lists.save_list, "harbour", lists.read_list(day.book, "harbour", "brass 2.45", who=day.context().who))
    assert len(list(day.book.events())) == before + 1  # the price; the word is known


def test_what_plain_names_were_answered_to_mean_for_a_list_is_known_from_then_on() -> None:
    day = trading_day(unit="lb")
    who = day.context().who
    text = "#2 copper 4.10, brass 2.40, stainless .50"
    lines = lists.read_list(day.book, "harbour", text, who=who)
    (asks,) = [line for line in lines if line.question]
    day.do(lists.save_list, "harbour", answer(lines, asks.position, "yes"))
    far = lists.read_list(day.book, "harbour", "brass 3.10, stainless .90", who=who)
    assert [line.grade for line in far] == ["brass-yellow", "stainless-304"]


def test_what_holds_for_the_whole_ticket_goes_into_the_note_once() -> None:
    """What is no plain fee of each ticket; one that is becomes a term: tests/contracts/test_ticket_fees.py."""
    day = trading_day(unit="lb")
    text = "no 2 copper 4.10\n3% fee if it is wet\n$5 fee under 20 lb"
    told = day.do(lists.save_list, "harbour", lists.read_list(day.book, "harbour", text)).result
    assert [(term.said, term.noted) for term in told.terms] == [
        ("3% fee if it is wet", True),
        ("$5 fee under 20 lb", True),
    ]
    note = trading.buyers(day.book)["harbour"].note
    assert note.endswith("3% fee if it is wet; $5 fee under 20 lb")
    told = day.do(lists.save_list, "harbour", lists.read_list(day.book, "harbour", text)).result
    assert not told.terms and trading.buyers(day.book)["harbour"].note == note
    long = f"no 2 copper 4.10\n4% fee {'if it is wet ' * 20}"
    told = day.do(lists.save_list, "harbour", lists.read_list(day.book, "harbour", long)).result
    assert [term.noted for term in told.terms] == [False] and trading.buyers(day.book)["harbour"].note == note


def test_a_list_needs_a_unit_a_buyer_and_something_in_it() -> None:
    day = trading_day()
    for arguments in (("harbour", "motors 38c"), ("nobody", "motors 38c")):
        with pytest.raises(Refused):
            lists.read_list(day.book, *arguments)
    from partway.actions.home.settings import set_

    day.do(set_, "unit", "lb")
    with pytest.raises(Refused, match="a price list"):
        lists.read_list(day.book, "harbour", "  ")


def test_no_buyers_yet() -> None:
    assert Day().refuses(quoting.quote, "harbour", "copper-2", "4 /lb").hint == Hint("new-buyer")
    assert buyers.KINDS == ("yard", "mail-in", "drop-off", "tip")


@pytest.mark.parametrize("said", ["6 each", "6 ea.", "6 apiece", "6 /piece", "6 per piece", "6 a piece", "6/pc"])
def test_a_price_by_the_piece_is_one_by_mass_through_what_a_piece_weighs(said: str) -> None:
    day = trading_day()
    day.do(quote, "harbour", "alternator", said, piece="5 kg")
    (heard,) = trading.quotes(day.book, "harbour", "alternator")
    assert (heard.price, heard.unit) == (Decimal("1.2"), "kg")
    assert "5 kg" in heard.said


def test_what_one_piece_weighs_is_taken_from_where_a_list_takes_it_and_named() -> None:
    """The alternator of the catalogue, of 4.5, 5.5 and 8 kg; then what this buyer said."""
    day = trading_day(unit="lb")
    (told,) = day.do(quote, "harbour", "alternator", "6 a piece").result.quotes
    (heard,) = trading.quotes(day.book, "harbour", "alternator")
    assert heard.each and heard.piece_mg == told.piece_mg and told.piece_by == "the mean of what is sold as it"
    (line,) = lists.read_list(day.book, "harbour", "car alternators 6 each")
    assert line.piece_mg == told.piece_mg
    day.do(quote, "harbour", "alternator", "6 each", piece="5 kg")
    (told,) = day.do(quote, "harbour", "alternator", "7 apiece").result.quotes
    assert (told.piece_mg, told.piece_by) == (5_000_000, "as said before")


def test_a_price_by_the_piece_needs_the_mass_and_one_by_mass_does_not_take_it() -> None:
    day = trading_day()
    assert day.refuses(quote, "harbour", "lead-acid", "6 each").field == "piece"
    assert "by the piece" in day.refuses(quote, "harbour", "alternator", "6 /kg", piece="5 kg").expected
    assert day.refuses(quote, "harbour", "alternator", "sixish each", piece="5 kg")
