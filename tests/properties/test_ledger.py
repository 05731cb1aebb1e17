"""Laws of the ledger, whatever happened: docs/model.md, "The ledger", and the project's own rules of the event ledger.

Masses and money are held against the model in ledgers/yard.py and against sums written here straight from the
payloads; which events count against the rule as it is said in words.
"""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from functools import cache
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from ledgers.strategies import Drawn, histories, ledgers, payloads, yards
from ledgers.yard import START, START_MS, Yard

from partway.errors import BadEvent
from partway.ledger.balance.sheet import sheet
from partway.ledger.events import kinds as p
from partway.ledger.events.codec import from_json, from_text, payload_from, to_json, to_text
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built
from partway.ledger.events.meaning import effects_of
from partway.ledger.events.shapes import payload_text
from partway.ledger.fold.fold import EMPTY, State, check, fold, merge
from partway.ledger.memory import MemoryBook

MANY = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
anything = histories() | ledgers()


def counting(events: list[Event]) -> set[UUID]:
    """The rule in words: an event counts unless some correction that counts names it. Corrections look back."""
    corrections = [event for event in events if isinstance(event.what, p.Corrected) and event.what.event < event.id]

    @cache
    def counts(event_id: UUID) -> bool:
        return not any(
            c.what.event == event_id and counts(c.id) for c in corrections if isinstance(c.what, p.Corrected)
        )

    return {event.id for event in events if counts(event.id)}


def oracle(events: list[Event]) -> tuple[dict[str, int], dict[str, Fraction]]:
    """Mass by place (all grades together) and money and minutes by account, of the events that count, added up anew."""
    places: dict[str, int] = {}
    accounts: dict[str, Fraction] = {}
    counts = counting(events)
    for event in events:
        if event.id in counts:
            for move in effects_of(event).moves:
                places[move.source] = places.get(move.source, 0) - move.mg
                places[move.target] = places.get(move.target, 0) + move.mg
            for entry in effects_of(event).entries:
                accounts[entry.account] = accounts.get(entry.account, Fraction(0)) + Fraction(entry.amount)
    return {k: v for k, v in places.items() if v}, {k: v for k, v in accounts.items() if v}


def by_place(state: State) -> dict[str, int]:
    sums: dict[str, int] = {}
    for (place, _), mg in state.balances.items():
        sums[place] = sums.get(place, 0) + mg
    return {place: mg for place, mg in sums.items() if mg}


def last_words(events: list[Event]) -> dict[tuple[str, str], str]:
    """Of what counts, read in the order it happened, then of ids: each fact's last word."""
    counts = counting(events)
    words: dict[tuple[str, str], str] = {}
    for event in sorted(events, key=lambda event: (event.happened, event.id)):
        if event.id in counts:
            words.update({(fact.subject, fact.name): fact.value for fact in effects_of(event).facts})
    return words


# --- mass ------------------------------------------------------------------------------------------


@MANY
@given(anything)
def test_mass_in_is_mass_out_and_stock_and_residue_and_loss(events: list[Event]) -> None:
    state = fold(events)
    check(state)
    assert sum(state.balances.values()) == 0
    assert all(state.balances.values()), "a zero was kept"
    page = sheet(state.balances, tips=("ridge", "a"))
    assert page.apart_mg == 0
    assert page.in_mg == page.out_mg + page.finds_mg + page.bins_mg + page.residue_mg + page.loss_mg
    assert page.buyers_mg + page.people_mg + page.tips_mg == page.out_mg


@MANY
@given(yards())
def test_masses_are_those_of_the_model(yard: Yard) -> None:
    state = fold(yard.events)
    expected = {(f"find:{name}", ""): mg for name, mg in yard.finds.items() if mg}
    expected |= {(f"bin:{place}", grade): mg for (place, grade), mg in yard.bins.items() if mg}
    expected |= {(f"buyer:{buyer}", grade): mg for (buyer, grade), mg in yard.sold.items() if mg}
    others = {"people": yard.people, "residue": yard.residue, "loss": yard.lost, "outside": -yard.brought}
    expected |= {(place, ""): mg for place, mg in others.items() if mg}
    assert state.balances == expected
    page = sheet(state.balances)
    assert (page.in_mg, page.buyers_mg, page.loss_mg) == (yard.brought, sum(yard.sold.values()), yard.lost)
    assert page.bins_mg == sum(yard.bins.values())


@MANY
@given(histories())
def test_no_find_is_ever_short_unless_something_was_corrected(events: list[Event]) -> None:
    if not any(event.kind == "corrected" for event in events):
        assert not [key for key in sheet(fold(events).balances).short if key[0].startswith("find:")]


# --- money -----------------------------------------------------------------------------------------


@MANY
@given(yards())
def test_money_adds_to_the_cent(yard: Yard) -> None:
    accounts = fold(yard.events).accounts
    expected = {account: amount for account, amount in yard.money.items() if amount}
    expected |= {f"minutes:{activity}": Fraction(n) for activity, n in yard.minutes.items() if n}
    assert {account: Fraction(amount) for account, amount in accounts.items()} == expected


@MANY
@given(ledgers(most=20))
def test_the_largest_amounts_add_up_exactly_too(events: list[Event]) -> None:
    counts = counting(events)
    parts, sales = Fraction(0), Fraction(0)
    for event in (event for event in events if event.id in counts):
        if isinstance(event.what, p.Parted):
            parts += Fraction(event.what.price) * event.what.count
        if isinstance(event.what, p.Returned):
            parts -= Fraction(event.what.refund)
        if isinstance(event.what, p.Ticketed):
            sales += sum(Fraction(line.amount) for line in event.what.lines)
    accounts = fold(events).accounts
    assert Fraction(accounts.get("parts", Decimal(0))) == parts
    assert sum(Fraction(amount) for name, amount in accounts.items() if name.startswith("sales:")) == sales


# --- folding and merging ---------------------------------------------------------------------------


@MANY
@given(anything, st.data())
def test_any_order_and_any_repetition_gives_the_same_state(events: list[Event], data: st.DataObject) -> None:
    state = fold(events)
    assert fold(data.draw(st.permutations(events))) == state
    assert fold(events + events[::-1]) == state
    assert fold(events, state) == state


@MANY
@given(anything, st.data())
def test_folding_in_parts_is_folding_the_whole(events: list[Event], data: st.DataObject) -> None:
    mixed = data.draw(st.permutations(events))
    cut = data.draw(st.integers(0, len(events)))
    a, b = mixed[:cut], mixed[cut:]
    assert fold(b, fold(a)) == fold(a + b) == fold(a, fold(b))
    one_by_one = EMPTY
    for event in mixed:
        one_by_one = fold([event], one_by_one)
    assert one_by_one == fold(events)


@MANY
@given(anything, st.data())
def test_merge_is_commutative_associative_and_idempotent(events: list[Event], data: st.DataObject) -> None:
    shares = st.lists(st.booleans(), min_size=len(events), max_size=len(events))
    a, b, c = (fold([event for event, mine in zip(events, data.draw(shares), strict=True) if mine]) for _ in range(3))
    assert merge(a, b) == merge(b, a)
    assert merge(merge(a, b), c) == merge(a, merge(b, c))
    assert merge(a, a) == a == merge(a, EMPTY) == merge(EMPTY, a)
    assert merge(merge(a, b), b) == merge(a, b)
    assert merge(a, b) == fold([*a.events.values(), *b.events.values()])


@MANY
@given(anything)
def test_state_is_what_the_rules_say_in_words(events: list[Event]) -> None:
    state = fold(events)
    places, accounts = oracle(events)
    assert state.events == {event.id: event for event in events}
    assert state.voided == set(state.events) - counting(events)
    assert by_place(state) == places
    assert {account: Fraction(amount) for account, amount in state.accounts.items()} == accounts
    assert {key: word.value for key, word in state.facts.items()} == last_words(events)


@MANY
@given(histories(most=8), st.data())
def test_one_id_with_other_content_is_refused_from_both_sides(events: list[Event], data: st.DataObject) -> None:
    if not events:
        return
    event = data.draw(st.sampled_from(events))
    other = Event(event.id, event.who, event.happened, event.typed, p.Set("wage", "something else"), event.schema)
    for one, two in ((events, [other]), ([other], events)):
        with pytest.raises(BadEvent, match="other content"):
            fold(two, fold(one))
        with pytest.raises(BadEvent, match="other content"):
            merge(fold(one), fold(two))


# --- corrections -----------------------------------------------------------------------------------


@MANY
@given(histories(most=8), st.integers(0, 6), st.data())
def test_a_chain_of_corrections_takes_back_and_gives_back(events: list[Event], links: int, data: st.DataObject) -> None:
    """An odd chain is as if the target had never been, an even one as if it had never been corrected."""
    plain = [event for event in events if event.kind != "corrected"]
    if not plain:
        return
    target = data.draw(st.sampled_from(plain))
    chain, last = [], target.id
    for number in range(links):
        last_id = built(START_MS + 10**9 + number, 0)
        chain.append(Event(last_id, "me", START, START, p.Corrected(last)))
        last = last_id
    state = fold(data.draw(st.permutations(plain + chain)))
    without = [event for event in plain if event.id != target.id]
    expected = fold(without if links % 2 else plain)
    assert (state.balances, state.facts, state.accounts) == (expected.balances, expected.facts, expected.accounts)


@MANY
@given(histories())
def test_taking_everything_back_leaves_nothing(events: list[Event]) -> None:
    plain = [event for event in events if event.kind != "corrected"]
    undo = [
        Event(built(START_MS + 10**9 + n, 0), "me", START, START, p.Corrected(event.id))
        for n, event in enumerate(plain)
    ]
    state = fold(undo + plain)
    assert not state.balances and not state.facts and not state.accounts
    assert state.voided == {event.id for event in plain}


# --- writing and reading ---------------------------------------------------------------------------


@MANY
@given(anything)
def test_what_is_written_is_read_back_exactly(events: list[Event]) -> None:
    for event in events:
        data = to_json(event)
        assert from_json(data) == event
        assert from_json(json.loads(json.dumps(data))) == event
        text = to_text(event)
        assert from_text(text) == event
        assert to_text(from_text(text)) == text  # to the last digit: 4.1 stays 4.1, 4.10 stays 4.10
        assert payload_from(event.kind, payload_text(event.what)) == event.what


@MANY
@given(ledgers())
def test_texts_are_alike_only_for_events_that_are_alike(events: list[Event]) -> None:
    for one in events:
        for other in events:
            assert (to_text(one) == to_text(other)) == (one.id == other.id)


@pytest.mark.parametrize("kind", sorted(payloads))
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_each_kind_survives_the_text(kind: str, data: st.DataObject) -> None:
    what = data.draw(payloads[kind])
    event = Event(built(START_MS, 1), "me", START, START, what)
    assert event.kind == kind
    assert from_text(to_text(event)) == event


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(st.text(max_size=8), inside, max_size=3),
    max_leaves=6,
)


@MANY
@given(ledgers(), st.data())
def test_an_event_with_any_field_replaced_is_read_or_refused_in_our_words(
    events: list[Event], data: st.DataObject
) -> None:
    """Whatever is read can be written again: nothing half-understood is let in."""
    if not events:
        return
    table = to_json(data.draw(st.sampled_from(events)))
    inside = data.draw(st.booleans()) and table["data"]
    target = table["data"] if inside else table
    target[data.draw(st.sampled_from(sorted(target)))] = data.draw(json_values)
    try:
        event = from_json(table, "file.jsonl, line 3")
    except BadEvent as refusal:
        assert str(refusal).startswith("file.jsonl, line 3") and "; expected " in str(refusal)
    else:
        assert from_json(to_json(event)) == event


@MANY
@given(st.text(max_size=40) | json_values.map(json.dumps))
def test_any_text_is_read_or_refused(text: str) -> None:
    with pytest.raises(BadEvent):
        from_text(text)


# --- a book in use ---------------------------------------------------------------------------------


class BookInUse(RuleBasedStateMachine):
    """Two phones type, exchange files and correct one another; at every moment both books hold together."""

    @initialize(data=st.data())
    def open(self, data: st.DataObject) -> None:
        self.yard = Yard(Drawn(data.draw))
        self.books = (MemoryBook(), MemoryBook())
        self.held: tuple[list[Event], list[Event]] = ([], [])

    @rule(data=st.data(), phone=st.integers(0, 1))
    def type_something(self, data: st.DataObject, phone: int) -> None:
        self.yard.choose = Drawn(data.draw)
        before = len(self.yard.events)
        self.yard.step()
        self._append(phone, self.yard.events[before:])

    @rule(data=st.data(), phone=st.integers(0, 1))
    def correct(self, data: st.DataObject, phone: int) -> None:
        self.yard.choose = Drawn(data.draw)
        if self.yard.events:
            self.yard.corrected()
            self._append(phone, self.yard.events[-1:])

    @rule(data=st.data(), phone=st.integers(0, 1))
    def send_a_file(self, data: st.DataObject, phone: int) -> None:
        """Some events of one phone, in any order, some of which the other may have already."""
        mine = self.held[phone]
        self._append(1 - phone, data.draw(st.lists(st.sampled_from(mine), max_size=6)) if mine else [])

    @rule(phone=st.integers(0, 1))
    def an_event_that_is_refused_leaves_nothing_behind(self, phone: int) -> None:
        before = self.books[phone].state
        new = Event(built(START_MS + 10**10, 1), "me", START, START, p.Found("x", "fan", mass_mg=5))
        bad = Event(built(START_MS + 10**10, 2), "me", START, START, p.Found("y", "fan", mass_mg=-5))
        with pytest.raises(BadEvent):
            self.books[phone].append([new, bad])
        assert self.books[phone].state == before

    @invariant()
    def both_books_hold_together(self) -> None:
        for book, held in zip(getattr(self, "books", ()), getattr(self, "held", ()), strict=True):
            check(book.state)
            assert book.state == fold(held)
            assert sheet(book.balances()).apart_mg == 0

    def teardown(self) -> None:
        if hasattr(self, "books"):
            one, two = self.books
            one_had, two_had = list(one.events()), list(two.events())
            one.append(two_had)
            two.append(one_had)
            assert one.state == two.state == fold(self.yard.events)

    def _append(self, phone: int, events: list[Event]) -> None:
        known = {event.id for event in self.held[phone]}
        new = {event.id: event for event in events if event.id not in known}
        assert self.books[phone].append(events) == len(new)
        self.held[phone].extend(new.values())


BookInUse.TestCase.settings = settings(max_examples=40, stateful_step_count=20, deadline=None)
TestBookInUse = BookInUse.TestCase
