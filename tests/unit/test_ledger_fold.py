"""A small ledger told as a story, with what must be where after each page: assertions of balance."""

from __future__ import annotations

import dataclasses
import datetime as dt
import itertools
from decimal import Decimal, localcontext
from types import MappingProxyType

import pytest

from partway.errors import BadEvent, LedgerUnsound
from partway.ledger.balance.sheet import sheet, sort_of, tips_in
from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built
from partway.ledger.events.voids import corrections_of, void
from partway.ledger.fold.fold import EMPTY, check, fold, merge
from partway.ledger.fold.things import NO_THINGS, learn, things_in
from partway.ledger.memory import MemoryBook

KG = 1_000_000  # mg
DAY = dt.datetime(2026, 3, 14, tzinfo=dt.UTC)


def at(minute: int, what: p.Payload, happened: int | None = None) -> Event:
    """An event typed at a minute of the day, which happened then too unless said otherwise."""
    typed = DAY + dt.timedelta(minutes=minute)
    then = typed if happened is None else DAY + dt.timedelta(minutes=happened)
    return Event(built(1_773_446_400_000 + 60_000 * minute, 0), "me", then, typed, what)


STORY = (
    at(1, p.Found("f1", "fan", 1, "no", 5 * KG)),
    at(2, p.Found("f2", "bread-machine")),
    at(3, p.Opened("f1", (p.PieceOut("motor", 1, "motors", "crate", KG),), 5 * KG, (), 10, 3 * KG, 500_000)),
    at(4, p.Opened("f2", (p.PieceOut("shell", 1, "light-iron", "drum", 4 * KG),), 0, (), 20)),
    at(5, p.Recounted("drum", "light-iron", 3_900_000, 4 * KG)),
    at(6, p.Moved("crate", "drum", "motors", "light-iron", 400_000)),
    at(
        7,
        p.Ticketed(
            "t1",
            "harbour",
            (p.TicketLine("light-iron", "drum", 4 * KG, 4_100_000, Decimal("0.09"), "lb", Decimal("0.79")),),
            Decimal("0.79"),
        ),
    ),
)


@pytest.mark.parametrize(
    ("pages", "balances"),
    [
        (1, {("outside", ""): -5 * KG, ("find:f1", ""): 5 * KG}),
        (2, {("outside", ""): -5 * KG, ("find:f1", ""): 5 * KG}),  # not weighed is not zero: it is not there
        (3, {("find:f1", ""): 500_000, ("bin:crate", "motors"): KG, ("residue", ""): 3 * KG, ("loss", ""): 500_000}),
        (4, {("outside", ""): -9 * KG, ("bin:drum", "light-iron"): 4 * KG, ("find:f1", ""): 500_000}),
        (5, {("bin:drum", "light-iron"): 3_900_000, ("loss", ""): 600_000}),
        (6, {("bin:drum", "light-iron"): 4_300_000, ("bin:crate", "motors"): 600_000}),
        (7, {("bin:drum", "light-iron"): 200_000, ("buyer:harbour", "light-iron"): 4 * KG, ("loss", ""): 700_000}),
    ],
)
def test_balances_after_each_page(pages: int, balances: dict[tuple[str, str], int]) -> None:
    state = fold(STORY[:pages])
    check(state)
    assert balances.items() <= state.balances.items()
    assert not any(place in {"find:f2", "regraded"} for place, _ in state.balances)


def test_the_sheet_at_the_end() -> None:
    page = sheet(fold(STORY).balances)
    assert page.in_mg == 9 * KG
    assert (page.buyers_mg, page.people_mg, page.tips_mg) == (4 * KG, 0, 0)
    assert (page.finds_mg, page.bins_mg) == (500_000, 800_000)
    assert (page.residue_mg, page.loss_mg) == (3 * KG, 700_000)
    assert page.out_mg + page.stock_mg + page.residue_mg + page.loss_mg == page.in_mg
    assert page.buyers_mg + page.people_mg == 4 * KG and page.apart_mg == 0 and page.short == {}


def test_what_a_tip_took_is_not_kept_out_of_the_landfill() -> None:
    facts = MemoryBook(fold([*STORY, at(9, p.Traded("harbour", "tip")), at(10, p.Traded("ridge", "yard"))])).facts()
    assert tips_in(facts) == {"harbour"}
    page = sheet(fold(STORY).balances, tips_in(facts))
    assert (page.buyers_mg, page.tips_mg, page.buyers_mg + page.people_mg, page.apart_mg) == (0, 4 * KG, 0, 0)


@pytest.mark.parametrize(
    ("place", "grade", "sort"),
    [
        ("bin:a", "residue", "residue"), ("bin:a", "zinc", "bin"), ("bin:a", "iron", "bin"), ("find:a", "", "find"),
        ("find:a", "residue", "find"), ("buyer:t", "iron", "tip"), ("buyer:y", "residue", "buyer"),
        ("residue", "", "residue"), ("people", "iron", "people"),
    ],
)  # fmt: skip
def test_a_place_is_of_one_sort(place: str, grade: str, sort: str) -> None:
    assert sort_of(place, grade, {"t"}) == sort


def test_a_bin_that_gave_more_than_it_had_is_named() -> None:
    """Sold before it was weighed in: the books still balance, and say where something is missing."""
    page = sheet(fold(STORY[-1:]).balances)
    assert page.short == {("bin:drum", "light-iron"): -4_100_000}
    assert page.apart_mg == 0


def test_a_sheet_of_unsound_balances_says_how_far_apart_they_are() -> None:
    assert sheet({("outside", ""): -5, ("bin:drum", "motors"): 3}).apart_mg == 2
    assert sheet({("outside", ""): -5, ("elsewhere", ""): 5}).apart_mg == 5


def test_check_finds_what_does_not_balance() -> None:
    state = fold(STORY)
    lost = {**state.balances, ("bin:drum", "light-iron"): 199_999}
    with pytest.raises(LedgerUnsound, match="-1 mg apart"):
        check(dataclasses.replace(state, balances=MappingProxyType(lost)))
    stuck = {**state.balances, ("regraded", "motors"): 1, ("regraded", "copper-2"): -1}
    with pytest.raises(LedgerUnsound, match="between two grades"):
        check(dataclasses.replace(state, balances=MappingProxyType(stuck)))


# --- corrections -----------------------------------------------------------------------------------


def corrects(minute: int, target: Event) -> Event:
    return at(minute, p.Corrected(target.id))


FIRST = at(1, p.Found("f1", "fan", mass_mg=5))
UNDO = corrects(2, FIRST)
REDO = corrects(3, UNDO)
AGAIN = corrects(4, REDO)


@pytest.mark.parametrize(
    ("events", "voided"),
    [
        ([FIRST], set()),
        ([UNDO], set()),  # what it names is not there yet
        ([UNDO, FIRST], {FIRST.id}),
        ([FIRST, UNDO], {FIRST.id}),
        ([FIRST, UNDO, REDO], {UNDO.id}),
        ([REDO, FIRST], set()),
        ([REDO, FIRST, UNDO], {UNDO.id}),
        ([FIRST, UNDO, REDO, AGAIN], {FIRST.id, REDO.id}),
        ([FIRST, UNDO, corrects(5, FIRST)], {FIRST.id}),
        ([FIRST, UNDO, corrects(5, FIRST), REDO], {FIRST.id, UNDO.id}),  # one of two corrections still stands
    ],
)
def test_which_events_count(events: list[Event], voided: set[object]) -> None:
    state = fold(events)
    assert state.voided == voided
    there = FIRST in events and FIRST.id not in voided
    assert state.balances == ({("outside", ""): -5, ("find:f1", ""): 5} if there else {})


def test_a_correction_that_looks_ahead_corrects_nothing() -> None:
    """Else two corrections could name each other, and whether either counts would have no answer."""
    later = at(9, p.Set("wage", "12"))
    ahead = at(8, p.Corrected(later.id))
    itself = at(7, p.Corrected(at(7, p.Set("a", "b")).id))
    assert corrections_of([ahead, itself]) == {}
    assert fold([ahead, later, itself]).voided == frozenset()


def test_a_long_chain_needs_no_recursion() -> None:
    chain = {built(n + 1, 0): built(n, 0) for n in range(50_000)}
    assert len(void(chain)) == 25_000


def test_a_fact_falls_back_to_the_word_before() -> None:
    one, two, three = at(1, p.Set("wage", "10")), at(2, p.Set("wage", "11")), at(3, p.Set("wage", "12"), happened=0)
    book = MemoryBook()
    book.append([three, two, one])
    assert book.facts() == {("setting:wage", "value"): "11"}  # the last to happen, not the last typed
    book.append([corrects(4, two)])
    assert book.facts() == {("setting:wage", "value"): "10"}
    book.append([corrects(5, one)])
    assert book.facts() == {("setting:wage", "value"): "12"}
    book.append([corrects(6, three)])
    assert book.facts() == {}


def test_words_that_happened_at_once_are_settled_by_id() -> None:
    one, two = at(1, p.Set("wage", "10"), happened=0), at(2, p.Set("wage", "9"), happened=0)
    for order in ([one, two], [two, one]):
        assert MemoryBook(fold(order)).facts() == {("setting:wage", "value"): "9"}


def test_money_that_comes_to_nothing_leaves_no_account() -> None:
    state = fold([at(1, p.Paid("harbour", Decimal("7.55"))), at(2, p.Paid("harbour", Decimal("-7.55")))])
    assert state.accounts == {}


def test_money_does_not_depend_on_how_exact_the_callers_decimals_are() -> None:
    events = [
        at(1, p.Paid("harbour", Decimal("1234.56"))),
        at(2, p.Paid("harbour", Decimal("8765.4321"))),
        at(3, p.Spent("petrol", Decimal("1234.56"), "fuel")),
        at(4, p.Parted("f1", "motor", 3, 5, 5, Decimal("1234.56"), Decimal("111.11"), Decimal("22.222"))),
        at(5, p.Ticketed("t1", "ridge", (), Decimal(0), (p.Deduction("moisture", Decimal("1234.56")),))),
    ]
    with localcontext() as rough:
        rough.prec = 3
        state = fold([corrects(6, events[0])], fold(events))
    assert state.accounts == {
        "paid:harbour": Decimal("8765.4321"),
        "spent:fuel": Decimal("-1234.56"),
        "parts": Decimal("3703.68"),
        "parts-fees": Decimal("-111.11"),
        "parts-postage": Decimal("-22.222"),
        "deductions:ridge": Decimal("-1234.56"),
    }


# --- conflicts and empties -------------------------------------------------------------------------


def test_nothing_is_nothing() -> None:
    assert fold([]) == EMPTY == merge(EMPTY, EMPTY)
    check(EMPTY)
    assert sheet({}).apart_mg == 0


def test_one_id_with_other_content_is_refused_and_nothing_is_taken() -> None:
    other = dataclasses.replace(STORY[0], who="mate")
    book = MemoryBook(fold(STORY[:1]))
    before = book.state
    with pytest.raises(BadEvent, match=f"^event {STORY[0].id}: got"):
        book.append([STORY[1], other])
    assert book.state is before
    with pytest.raises(BadEvent):
        fold([STORY[0], other])


def test_money_written_otherwise_is_other_content() -> None:
    with pytest.raises(BadEvent):
        fold([at(1, p.Paid("harbour", Decimal("4.1"))), at(1, p.Paid("harbour", Decimal("4.10")))])


def test_all_that_an_event_names_is_learned_whatever_it_names_first() -> None:
    """An event of two things, the first one of schema 1: the second, of a device's own, is known all the same."""
    maker = built(1_773_446_400_000, 7)
    moved = p.Moved("crate", "drum", "motors", "light-iron", 400_000)
    event = dataclasses.replace(
        at(1, moved), schema=2, device="0a1b2c3d", order=at(1, moved).happened, refs=(("bin:drum", maker),)
    )
    assert [maker for _, maker in things_in(event)] == [None, maker]
    things, _ = learn(NO_THINGS, [event])
    assert things.bare == {"bin:crate"}
    assert things.keys == {("bin", maker): "bin:drum"}


def test_of_several_names_for_one_thing_the_first_events_counts_in_whatever_order_they_come() -> None:
    """By hand: the smallest id says "drum"; later ones call it "barrel" and "keg", and those names are free."""
    maker = built(1_773_446_400_000, 7)
    drum, barrel, keg = (
        dataclasses.replace(
            at(minute, p.Recounted(name, "copper-2", 0, 1)),
            schema=2,
            device="0a1b2c3d",
            order=at(minute, p.Recounted(name, "copper-2", 0, 1)).happened,
            refs=((f"bin:{name}", maker),),
        )
        for minute, name in ((1, "drum"), (2, "barrel"), (3, "keg"))
    )
    for events in itertools.permutations((drum, barrel, keg)):
        things, anew = learn(NO_THINGS, events)
        assert (things.keys, anew) == ({("bin", maker): "bin:drum"}, False)
        assert things.plain() == {"bin:drum"}
        one_by_one, changes = NO_THINGS, list[bool]()
        for event in events:
            one_by_one, anew = learn(one_by_one, [event])
            changes.append(anew)
        assert one_by_one == things
        firsts = [min(e.id for e in events[: n + 1]) for n in range(3)]
        assert changes == [n > 0 and firsts[n] != firsts[n - 1] for n in range(3)]


def test_a_state_cannot_be_written_to() -> None:
    state = fold(STORY)
    with pytest.raises(TypeError):
        state.balances["loss", ""] = 0  # type: ignore[index]
