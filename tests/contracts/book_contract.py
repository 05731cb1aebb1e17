"""The contract of ledger.book.Book, to be run against every implementation.

Subclass it in a test module with a fixture `book` that gives an empty book:

    class TestMemoryBook(BookContract):
        @pytest.fixture
        def book(self) -> Book: ...

What a book must say is computed from the list of its events by `ledger.fold.fold`, which the laws in
properties/test_ledger.py hold against rules in words and against a model of its own.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import threading
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledgers.clashing import town
from ledgers.devices import seeded_fleet
from ledgers.strategies import ledgers, payloads
from ledgers.yard import START, START_MS, Seeded, seeded_history
from plain_conflicts import plain_conflicts

from partway.errors import Refused
from partway.ledger.balance.sheet import sheet
from partway.ledger.book import Book, Which
from partway.ledger.events import kinds as p
from partway.ledger.events.codec import to_text
from partway.ledger.events.event import Event
from partway.ledger.events.ids import IdMaker, built
from partway.ledger.events.subjects import subjects_of
from partway.ledger.fold.fold import fold
from partway.ledger.fold.history import Flow

BIG = 10**13  # mg, the largest mass of one event
US = dt.timedelta(microseconds=1)
MINUTE = dt.timedelta(minutes=1)


def at(number: int, what: p.Payload, happened: dt.datetime | None = None, who: str = "me") -> Event:
    """An event, the later in the order of ids the greater its number."""
    typed = START + dt.timedelta(minutes=number)
    return Event(built(START_MS + 60_000 * number, number), who, happened or typed, typed, what)


def says_what_follows(book: Book, events: Iterable[Event]) -> None:
    """The book says exactly what follows from these events, no more and no less."""
    held = list(events)
    state = fold(held)
    assert dict(book.balances()) == state.balances
    assert dict(book.facts()) == {key: word.value for key, word in state.facts.items()}
    assert dict(book.accounts()) == state.accounts
    assert book.voided() == state.voided
    assert [to_text(event) for event in book.events()] == [to_text(state.events[key]) for key in sorted(state.events)]
    assert sheet(book.balances()).apart_mg == 0


class BookContract:
    """Everything actions rely on."""

    def test_an_empty_book(self, book: Book) -> None:
        assert book.append([]) == 0
        assert book.event(built(1, 1)) is None
        says_what_follows(book, [])

    def test_append_says_how_many_were_new(self, book: Book) -> None:
        history = seeded_history(1, 10)
        assert book.append(history[:4]) == 4
        assert book.append(history[:4]) == 0
        assert book.append(history[2:7]) == 3
        assert book.append([*history[7:], *history[7:]]) == len(history) - 7
        says_what_follows(book, history)

    def test_deciding_keeps_all_of_it_or_nothing(self, book: Book) -> None:
        history = seeded_history(1, 10)
        with book.deciding():
            book.append(history[:3])
            with book.deciding():
                assert len(list(book.events())) == 3  # what it appended, it reads
                book.append(history[3:5])
        says_what_follows(book, history[:5])

        def fails() -> None:
            with book.deciding():
                with book.deciding():
                    book.append(history[5:7])
                raise ZeroDivisionError

        with pytest.raises(ZeroDivisionError):
            fails()
        says_what_follows(book, history[:5])
        assert book.append(history) == len(history) - 5

    def test_a_question_inside_that_is_dealt_with_keeps_the_rest(self, book: Book) -> None:
        history = seeded_history(1, 10)
        with book.deciding():
            book.append(history[:3])
            with pytest.raises(Refused), book.deciding():
                raise Refused("a question", "an answer", "here")
            book.append(history[3:5])
        says_what_follows(book, history[:5])

    def test_an_append_that_is_refused_inside_keeps_nothing_whatever_follows(self, book: Book) -> None:
        one, other = at(1, p.Set("wage", "12")), at(1, p.Set("wage", "13"))

        def carries_on() -> None:
            with book.deciding():
                book.append([one])
                with pytest.raises(Refused):
                    book.append([at(2, p.Set("unit", "lb")), other])
                book.append([at(3, p.Set("unit", "kg"))])

        with pytest.raises(Refused, match="other content"):
            carries_on()
        says_what_follows(book, [])
        assert book.append([other]) == 1

    def test_who_decides_is_alone(self, book: Book) -> None:
        """Each thread reads what the others wrote before it, so that all of them count."""

        def count() -> None:
            for _ in range(5):
                with book.deciding():
                    number = int(book.facts("setting:").get(("setting:trips", "value"), "0"))
                    book.append([at(number + 1, p.Set("trips", str(number + 1)))])

        threads = [threading.Thread(target=count) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(60)
        assert book.facts("setting:trips", "value") == {("setting:trips", "value"): "20"}

    @pytest.mark.parametrize("seed", range(4))
    def test_it_says_what_follows_after_every_append(self, book: Book, seed: int) -> None:
        """Events arrive in any order, in files that overlap, with corrections of corrections before their targets."""
        history = seeded_history(seed, 25, corrections=12)
        dice, held = Random(seed), []
        arriving = dice.sample(history, len(history))
        while arriving:
            many = dice.randint(1, 6)
            batch, arriving = arriving[:many], arriving[many:]
            held += batch
            assert book.append(batch + dice.sample(held, min(2, len(held)))) == len(batch)
            says_what_follows(book, held)

    @settings(
        max_examples=15,
        deadline=None,
        suppress_health_check=[
            HealthCheck.function_scoped_fixture,
            HealthCheck.too_slow,
            HealthCheck.differing_executors,  # one test for every book
        ],
    )
    @given(data=st.data())
    def test_any_events_at_all(self, book: Book, data: st.DataObject) -> None:
        """The book is kept from one example to the next, so each gets ids of its own, in the same order."""
        held = list(book.events())
        make = IdMaker(lambda: START_MS + 10**6)
        drawn = data.draw(ledgers())
        after = held[-1].id if held else None
        new = {event.id: make(after) for event in drawn}
        events = []
        for event in drawn:
            what = event.what
            if isinstance(what, p.Corrected):
                what = dataclasses.replace(what, event=new.get(what.event, what.event))
            events.append(dataclasses.replace(event, id=new[event.id], what=what))
        assert book.append(data.draw(st.permutations(events))) == len(events)
        says_what_follows(book, held + events)

    @pytest.mark.parametrize("kind", sorted(payloads))
    def test_each_kind_is_there_to_the_last_digit(self, book: Book, kind: str) -> None:
        event = next(event for seed in range(50) for event in seeded_history(seed, 40) if event.kind == kind)
        book.append([event])
        there = book.event(event.id)
        assert there == event and there is not None and to_text(there) == to_text(event)

    # --- what is refused ---

    def test_one_id_with_other_content_is_refused_whole(self, book: Book) -> None:
        history = seeded_history(2, 6)
        book.append(history[:3])
        other = dataclasses.replace(history[0], who="somebody else")
        with pytest.raises(Refused):
            book.append([history[3], other, history[4]])
        says_what_follows(book, history[:3])

    def test_two_contents_of_one_id_in_one_append_are_refused(self, book: Book) -> None:
        with pytest.raises(Refused):
            book.append([at(1, p.Set("wage", "12")), at(1, p.Set("wage", "13"))])
        says_what_follows(book, [])

    def test_money_with_other_digits_is_other_content(self, book: Book) -> None:
        book.append([at(1, p.Paid("harbour", Decimal("4.1")))])
        with pytest.raises(Refused):
            book.append([at(1, p.Paid("harbour", Decimal("4.10")))])

    @pytest.mark.parametrize(
        "bad",
        [
            at(2, p.Found("f2", "fan", mass_mg=5.0)),  # type: ignore[arg-type]
            at(2, p.Found("f2", "fan", mass_mg=-5)),
            at(2, p.Paid("harbour", 4.1)),  # type: ignore[arg-type]
            at(2, p.Paid("harbour", Decimal("NaN"))),
            at(2, p.Corrected(at(3, p.Set("a", "b")).id)),
            at(2, p.Tested("f2", "yes"), happened=dt.datetime(2026, 3, 14)),
        ],
        ids=["float mass", "negative mass", "float money", "no number", "looks ahead", "no zone"],
    )
    def test_an_impossible_event_is_refused_with_its_whole_append(self, book: Book, bad: Event) -> None:
        good = at(1, p.Found("f1", "fan", mass_mg=5))
        with pytest.raises(Refused):
            book.append([good, bad])
        says_what_follows(book, [])
        assert book.append([good]) == 1

    # --- balances, facts, accounts ---

    def test_places_are_asked_for_by_how_they_begin_letter_by_letter(self, book: Book) -> None:
        names = ("a_b", "axb", "a%b", "A_b", "a_bc", "é", "e\u0301", "a\\b", "a'b", "[a]b", "*", "a?b")
        events = [at(n, p.Recounted(name, "motors", 5 + n, 0)) for n, name in enumerate(names)]
        events.append(at(50, p.Found("a_b", "fan", mass_mg=7)))
        book.append(events)
        everything = book.balances()
        for name in (*names, "", "a", "zzz"):
            asked = {key for key in everything if key[0].startswith(f"bin:{name}")}
            assert set(book.balances(f"bin:{name}")) == asked
        assert set(book.balances("bin:a_b")) == {("bin:a_b", "motors"), ("bin:a_bc", "motors")}
        assert dict(book.balances("find:")) == {("find:a_b", ""): 7}
        assert len(everything) == len(names) + 3  # loss, outside and the find

    def test_what_comes_to_nothing_is_not_there(self, book: Book) -> None:
        found = at(1, p.Found("f1", "fan", mass_mg=5))
        book.append([found, at(2, p.Discarded("f1", 5, 5))])
        assert dict(book.balances()) == {("outside", ""): -5, ("residue", ""): 5}
        book.append([at(3, p.Paid("harbour", Decimal("1.10"))), at(4, p.Paid("harbour", Decimal("-1.1")))])
        assert dict(book.accounts()) == {}
        book.append([at(5, p.Corrected(found.id)), at(6, p.Corrected(at(2, p.Discarded("f1", 5, 5)).id))])
        assert dict(book.balances()) == {}

    def test_the_largest_masses_add_up(self, book: Book) -> None:
        book.append([at(n, p.Found(f"f{n}", "fan", mass_mg=BIG)) for n in range(1000)])
        assert dict(book.balances("outside")) == {("outside", ""): -1000 * BIG}

    def test_facts_by_subject_and_name(self, book: Book) -> None:
        events = [at(1, p.Found("f1", "fan", works="no")), at(2, p.Found("f10", "fan")), at(3, p.Tested("f10", "yes"))]
        book.append([*events, at(4, p.Binned("f1", "motors"))])
        assert dict(book.facts("find:f10", "works")) == {("find:f10", "works"): "yes"}
        assert {subject for subject, _ in book.facts("find:f1")} == {"find:f1", "find:f10"}
        assert dict(book.facts(name="grade")) == {("bin:f1", "grade"): "motors"}
        assert dict(book.facts("Find:")) == {} == dict(book.facts("find:", "nothing"))
        assert book.facts("bin:f1")["bin:f1", "name"] == ""  # said to be empty, which is not the same as not said

    def test_the_last_to_happen_has_the_last_word_whenever_it_is_typed(self, book: Book) -> None:
        late, early = START + dt.timedelta(days=1), START - dt.timedelta(days=1)
        one, two, three = (
            at(1, p.Set("wage", "10"), happened=late),
            at(2, p.Set("wage", "11"), happened=early),
            at(3, p.Set("wage", "9"), happened=late),
        )
        book.append([three])
        book.append([two, one])
        assert dict(book.facts()) == {("setting:wage", "value"): "9"}  # at the same moment: the later id
        book.append([at(4, p.Corrected(three.id))])
        assert dict(book.facts()) == {("setting:wage", "value"): "10"}
        book.append([at(5, p.Corrected(one.id))])
        assert dict(book.facts()) == {("setting:wage", "value"): "11"}
        book.append([at(6, p.Corrected(at(5, p.Corrected(one.id)).id))])
        assert dict(book.facts()) == {("setting:wage", "value"): "10"}

    def test_moments_are_told_apart_to_the_microsecond(self, book: Book) -> None:
        whole = START.replace(microsecond=0)
        book.append(
            [at(1, p.Set("wage", "later"), happened=whole + US), at(2, p.Set("wage", "sooner"), happened=whole)]
        )
        assert dict(book.facts()) == {("setting:wage", "value"): "later"}

    def test_money_adds_up_exactly(self, book: Book) -> None:
        book.append([at(n, p.Spent("blades", Decimal("0.1"), "blades")) for n in range(30)])
        book.append([at(99, p.Spent("fuel", Decimal("0.000001"), "fuel"))])
        book.append([at(100 + n, p.Spent("fuel", Decimal("9999999999.999999"), "fuel")) for n in range(300)])
        sums = book.accounts("spent:")
        assert sums == {
            "spent:blades": Decimal(-3),
            "spent:fuel": -(300 * Decimal("9999999999.999999")) - Decimal("1e-6"),
        }
        assert all(type(amount) is Decimal for amount in sums.values())
        assert dict(book.accounts("spent:b")) == {"spent:blades": Decimal(-3)}
        assert dict(book.accounts("paid:")) == {}

    def test_what_was_read_does_not_change_later(self, book: Book) -> None:
        book.append([at(1, p.Found("f1", "fan", mass_mg=5))])
        balances, facts, voided = book.balances(), book.facts(), book.voided()
        before = (dict(balances), dict(facts), voided)
        book.append([at(2, p.Corrected(at(1, p.Set("a", "b")).id))])
        assert (dict(balances), dict(facts), voided) == before
        assert dict(book.balances()) == {}

    # --- events ---

    @pytest.mark.parametrize(
        ("kinds", "wanted"),
        [
            (("found",), lambda event: event.kind == "found"),
            (("found", "opened", "sold"), lambda event: event.kind in {"found", "opened", "sold"}),
            (("no such kind",), lambda _: False),
        ],
    )
    def test_events_of_some_kinds(self, book: Book, kinds: Sequence[str], wanted: Callable[[Event], bool]) -> None:
        history = seeded_history(3, 60, corrections=5)
        book.append(history[::-1])
        assert list(book.events(kinds)) == [event for event in history if wanted(event)]

    def test_subjects_of_some_kinds(self, book: Book) -> None:
        history = seeded_history(4, 60, corrections=5)
        book.append(history)
        for kinds in (("opened", "sold"), ("quoted",), ("corrected",)):
            about = {s for event in history if event.kind in kinds for s in subjects_of(event)}
            assert book.subjects(kinds) == about
            assert book.subjects(kinds, "find:") == {s for s in about if s.startswith("find:")}
        assert book.subjects(("opened",), "find:")  # or the history has nothing to tell them apart by

    @pytest.mark.parametrize(
        "asked", [Which("find:", "kind", "closed"), Which("find:", "closed", "note"), Which("bin:", "grade", "closed")]
    )
    def test_subjects_of_which_one_field_is_said_and_another_is_not(self, book: Book, asked: Which) -> None:
        """The same as all facts, balances and subjects, without those that are not asked for."""
        history = seeded_history(2, 90, corrections=9)
        book.append([*history, at(9000, p.Tested("never-found", "yes")), at(9001, p.Discarded("never-found", 5, 5))])
        facts = book.facts(asked.prefix)
        wanted = {of for of, name in facts if name == asked.said} - {of for of, name in facts if name == asked.unsaid}
        assert wanted  # or there is nothing to tell apart
        assert book.facts(asked) == {key: value for key, value in facts.items() if key[0] in wanted}
        assert book.facts(asked, asked.said).keys() == {(of, asked.said) for of in wanted}
        balances = book.balances(asked.prefix)
        assert book.balances(asked) == {key: mg for key, mg in balances.items() if key[0] in wanted}
        for kinds in (("opened", "sold"), ("found", "tested"), ("recounted",)):
            assert book.subjects(kinds, asked) == book.subjects(kinds, asked.prefix) & wanted

    def test_a_find_that_is_closed_and_open_again(self, book: Book) -> None:
        """What closed it does not count any more."""
        asked = Which("find:", "kind", "closed")
        found, gone = at(1, p.Found("f1", "fan", mass_mg=5)), at(2, p.Discarded("f1", 5, 5))
        book.append([found])
        assert book.balances(asked) == {("find:f1", ""): 5}
        book.append([gone])
        assert book.facts(asked) == {} and book.balances(asked) == {} and book.subjects(("found",), asked) == set()
        book.append([at(3, p.Corrected(gone.id))])
        assert book.facts(asked, "kind") == {("find:f1", "kind"): "fan"}
        assert book.subjects(("discarded",), asked) == {"find:f1"}  # also one that does not count

    def test_events_about_one_subject(self, book: Book) -> None:
        history = seeded_history(4, 60, corrections=5)
        book.append(history)
        subjects = {subject for event in history for subject in subjects_of(event)}
        assert {subject.partition(":")[0] for subject in subjects} >= {"find", "bin", "buyer", "ticket", "event"}
        for subject in subjects:
            about = [event for event in history if subject in subjects_of(event)]
            assert list(book.events(subject=subject)) == about
        assert list(book.events(subject="find:")) == []  # one subject, not all that begin so

    def test_events_between_two_times(self, book: Book) -> None:
        """From a moment on, it included, up to another, it not included."""
        moments = [START + n * US for n in (-1, 0, 1, 999_999, 1_000_000, 1_000_001)]
        events = [at(n, p.Set("wage", str(n)), happened=moment) for n, moment in enumerate(moments)]
        book.append(events)
        assert list(book.events(since=START)) == events[1:]
        assert list(book.events(until=START)) == events[:1]
        assert list(book.events(since=moments[2], until=moments[4])) == events[2:4]
        assert list(book.events(since=START, until=START)) == []
        elsewhere = START.astimezone(dt.timezone(dt.timedelta(hours=-3)))
        assert list(book.events(since=elsewhere, until=elsewhere + US)) == events[1:2]

    def test_events_by_everything_at_once(self, book: Book) -> None:
        history = seeded_history(5, 80)
        book.append(history)
        middle = START + dt.timedelta(minutes=20)
        asked = book.events(("recounted", "moved"), "bin:drum", middle, middle + US)
        assert list(asked) == [
            event
            for event in history
            if event.kind in {"recounted", "moved"} and "bin:drum" in subjects_of(event) and event.happened == middle
        ]

    # --- what a stretch of time came to ---

    def test_what_moved_is_what_the_balances_say(self, book: Book) -> None:
        """Against the balances, which add up the same movements in another way."""
        history = seeded_history(8, 150, corrections=20)
        book.append(history)
        net: Counter[str] = Counter()
        for (source, target, _), mg in book.moved().items():
            assert mg > 0 and source != target
            net[source.partition(":")[0]] -= mg
            net[target.partition(":")[0]] += mg
        held: Counter[str] = Counter()
        for (place, _), mg in book.balances().items():
            held[place.partition(":")[0]] += mg
        assert {place: mg for place, mg in net.items() if mg} == {place: mg for place, mg in held.items() if mg}
        kinds = {source for source, _, _ in book.moved() if source.startswith("find:")}
        assert kinds >= {"find:fan", "find:bread-machine", "find:desktop-pc"}

    def test_stretches_add_up_to_the_whole(self, book: Book) -> None:
        book.append(seeded_history(9, 120, corrections=10))
        moments: list[dt.datetime | None] = [None, START + 20 * MINUTE, START + 40 * MINUTE, None]
        parts = list(pairwise(moments))
        moved: Counter[tuple[str, str, str]] = Counter()
        openings: Counter[str] = Counter()
        for since, until in parts:
            assert book.moved(since, until) and book.posted(since, until)  # or there is nothing to tell them apart by
            moved.update(book.moved(since, until))
            openings.update(book.openings(since, until))
        assert moved == book.moved()
        assert openings == book.openings()
        posted = [line for part in parts for line in book.posted(*part)]
        assert [line.happened for line in posted] == [line.happened for line in book.posted()]
        assert Counter(posted) == Counter(book.posted())

    def test_what_is_posted_adds_up_to_the_accounts(self, book: Book) -> None:
        book.append(seeded_history(10, 120, corrections=10))
        sums: dict[str, Decimal] = {}
        for line in book.posted():
            sums[line.account] = sums.get(line.account, Decimal(0)) + line.amount
        assert {account: amount for account, amount in sums.items() if amount} == book.accounts()

    @pytest.mark.parametrize("seed", range(3))
    def test_summed_balances_make_the_same_sheet(self, book: Book, seed: int) -> None:
        """Finds that hold something are one; bins, buyers and finds that are short stand as they are."""
        short = [at(9000 + n, p.Discarded(f"never-{n}", 5 + n, 5 + n)) for n in range(2)]
        book.append([*seeded_history(seed, 90, corrections=5), *short])
        balances, summed = book.balances(), book.summed()
        assert sheet(summed, ("harbour",)) == sheet(balances, ("harbour",))
        assert len(sheet(summed).short) >= 2
        held = {key: mg for key, mg in balances.items() if key[0].startswith("find:") and mg > 0}
        assert summed == {
            **{key: mg for key, mg in balances.items() if key not in held},
            **({("find:", ""): sum(held.values())} if held else {}),
        }

    def test_sums_by_tag(self, book: Book) -> None:
        """Exact, by ticket; what does not count is not in it, and what comes to nothing is not there."""
        paid = [
            at(1, p.Paid("harbour", Decimal("0.10"), "t1")),
            at(2, p.Paid("harbour", Decimal("0.20"), "t1")),
            at(3, p.Paid("harbour", Decimal("7"), "t2")),
            at(4, p.Paid("harbour", Decimal("1.5"))),
            at(5, p.Paid("ridge", Decimal("2"), "t1")),
            at(6, p.Worked("bench", 9, "f1")),
        ]
        book.append([*paid, at(7, p.Corrected(paid[2].id))])
        assert book.tagged("paid:") == {
            ("paid:harbour", "t1"): Decimal("0.30"),
            ("paid:harbour", ""): Decimal("1.5"),
            ("paid:ridge", "t1"): Decimal(2),
        }

    def test_sums_by_tag_add_up_to_the_accounts(self, book: Book) -> None:
        book.append(seeded_history(10, 120, corrections=10))
        sums: dict[str, Decimal] = {}
        for (account, _), amount in book.tagged().items():
            assert amount
            sums[account] = sums.get(account, Decimal(0)) + amount
        assert {account: amount for account, amount in sums.items() if amount} == book.accounts()

    def test_a_stretch_by_kinds_as_they_are_called_now(self, book: Book) -> None:
        """By hand: two finds, one of them first taken for another kind, opened into two bins, and a part sold."""
        wrong, right = at(1, p.Found("f1", "radio", mass_mg=10)), at(2, p.Found("f1", "fan", mass_mg=10))
        opened = p.Opened("f1", (p.PieceOut("motor", 1, "motors", "a", 6), p.PieceOut("body", 1, "iron", "b", 3)), 10)
        sold = p.Parted("f2", "guard", 2, 4, 0, Decimal("5.50"), minutes=3)
        book.append([
            wrong,
            right,
            at(3, dataclasses.replace(opened, minutes=12, loss_mg=1)),
            at(4, p.Found("f2", "kettle")),
            at(5, sold),
            at(6, p.Moved("a", "b", "motors", "motors", 6)),
            at(7, p.Moved("b", "b", "motors", "iron", 6)),
            at(8, p.Opened("f2", (), 0, (p.Run("whole", "open"),))),
            at(9, p.Worked("collect", 30)),
            at(10, p.Hauled("fan", "finished", minutes=40)),
            at(11, p.Corrected(wrong.id, "a fan", right.id)),
        ])  # fmt: skip
        assert dict(book.moved()) == {
            ("outside", "find:fan", ""): 10,
            ("find:fan", "bin", "motors"): 6,
            ("find:fan", "bin", "iron"): 3,
            ("find:fan", "loss", ""): 1,
            ("outside", "find:kettle", ""): 4,
            ("find:kettle", "people", ""): 4,
            ("bin", "regraded", "motors"): 6,
            ("regraded", "bin", "iron"): 6,
        }
        assert [(line.by, line.account, line.amount, line.tag, line.of) for line in book.posted()] == [
            ("opened", "minutes:bench", Decimal(12), "f1", "fan"),
            ("sold", "minutes:list", Decimal(3), "f2", "kettle"),
            ("sold", "parts", Decimal("11.00"), "f2", "kettle"),
            ("worked", "minutes:collect", Decimal(30), "", ""),
            ("hauled", "minutes:haul", Decimal(40), "fan", ""),
        ]
        assert book.posted()[0].happened == START + 3 * MINUTE
        assert dict(book.openings()) == {"fan": 1}

    def test_what_nobody_called_by_a_kind(self, book: Book) -> None:
        found = at(1, p.Found("f1", "fan", mass_mg=10))
        book.append([found, at(2, p.Opened("f1", (p.PieceOut("motor", 1, "motors", "a", 6),), 10, minutes=5))])
        book.append([at(3, p.Corrected(found.id))])
        assert dict(book.moved()) == {("find:", "bin", "motors"): 6}
        assert dict(book.openings()) == {"": 1}
        assert [(line.tag, line.of) for line in book.posted()] == [("f1", "")]

    def test_the_newest_events_page_by_page(self, book: Book) -> None:
        history = seeded_history(11, 150, corrections=5)
        book.append(history)
        asks: list[dict[str, Any]] = [{}, {"kinds": ("opened", "ticketed")}, {"subject": "bin:drum"}]
        for asked in (*asks, {"since": START + 20 * MINUTE}):
            every = list(book.events(**asked))[::-1]
            pages: list[Event] = []
            before = None
            while page := book.newest(7, before, **asked):
                assert len(page) <= 7
                pages += page
                before = page[-1].id
            assert pages == every and len(every) > 7
        assert not book.newest(0)

    def test_events_that_do_not_count_are_kept(self, book: Book) -> None:
        wrong = at(1, p.Found("f1", "fan", mass_mg=5))
        right = at(2, p.Found("f1", "fan", mass_mg=6))
        undo = at(3, p.Corrected(wrong.id, "slip", right.id))
        book.append([undo])
        assert book.voided() == frozenset()
        book.append([wrong, right])
        assert list(book.events()) == [wrong, right, undo]
        assert book.event(wrong.id) == wrong
        assert book.voided() == {wrong.id}
        assert dict(book.balances("find:")) == {("find:f1", ""): 6}

    def test_reading_that_stops_half_way_is_in_nobodys_way(self, book: Book) -> None:
        history = seeded_history(6, 30)
        book.append(history[:-1])
        reading = book.events()
        assert next(reading) == history[0]
        assert book.append(history[-1:]) == 1
        says_what_follows(book, history)

    def test_texts_come_back_letter_by_letter(self, book: Book) -> None:
        notes = (
            "'); drop table event; --",
            'say "no"',
            "a\nb\tc",
            "Ünïcødé ✂ 🔩",
            "e\u0301 é",
            "\\x00 %s {} ?",
            " padded ",
        )
        events = [at(n, p.Found(f"f{n}", "fan", note=note), who=f"Zoë {n}") for n, note in enumerate(notes)]
        book.append(events)
        assert list(book.events()) == events
        assert [book.facts(f"find:f{n}", "note")[f"find:f{n}", "note"] for n in range(len(notes))] == list(notes)

    # --- over time ---

    def test_flows_are_the_movements_of_what_counts_as_they_happened(self, book: Book) -> None:
        """Held against the meaning of each event: added up, the flows of a place are its balance."""
        history = seeded_history(8, 120, corrections=9)
        book.append(history)
        flows = book.flows("bin:")
        voided = book.voided()
        assert {flow.event for flow in flows}.isdisjoint(voided)
        assert [(flow.happened, flow.event) for flow in flows] == sorted((f.happened, f.event) for f in flows)
        for (place, grade), mg in book.balances("bin:").items():
            into = sum(f.move.mg for f in flows if (f.move.target, f.move.grade) == (place, grade))
            assert into - sum(f.move.mg for f in flows if (f.move.source, f.move.grade) == (place, grade)) == mg
        middle = START + dt.timedelta(minutes=20)
        assert book.flows("bin:drum", middle) == [
            flow
            for flow in book.flows()
            if flow.happened >= middle and "bin:drum" in (flow.move.source, flow.move.target)
        ]
        assert all(book.event(flow.event).kind == flow.kind for flow in flows)  # type: ignore[union-attr]

    def test_arrivals_are_the_last_flows_into_each_place(self, book: Book) -> None:
        book.append(seeded_history(8, 120, corrections=9))
        into: dict[str, list[Flow]] = {f"bin:none-{n}": [] for n in range(120)}  # more than one statement asks for
        for flow in reversed(book.flows("bin:")):
            if flow.move.target.startswith("bin:"):
                into.setdefault(flow.move.target, []).append(flow)
        assert len(into["bin:drum"]) > 2 and len(into) > 121
        assert book.arrivals(list(into), 99) == into
        assert book.arrivals(["bin:drum", "bin:dru"], 2) == {"bin:drum": into["bin:drum"][:2], "bin:dru": []}
        assert book.arrivals([], 9) == {}

    def test_whose_hours_are_does_not_hang_on_when_it_was_asked(self, book: Book) -> None:
        """Corrections are read as they come, an older one too, as a merge brings it: as if all were there at once."""
        hours = [at(n, p.Worked("bench", 10 + n), who="kim") for n in range(3)]
        right = [at(10 + n, p.Worked("bench", 20 + n), who="sam") for n in range(3)]
        marks = [at(20 + n, p.Corrected(hours[n].id, "slip", right[n].id), who="sam") for n in range(3)]
        book.append(hours)
        for n in (1, 2, 0):  # the last to come is the oldest
            book.append([right[n], marks[n]])
            by = {line.amount: line.who for line in book.posted()}
            assert by[Decimal(20 + n)] == "kim" and set(by.values()) == {"kim"}

    def test_words_are_all_that_was_said_on_a_field_and_the_last_is_the_fact(self, book: Book) -> None:
        history = seeded_history(13, 300, corrections=9)
        book.append(history)
        words = book.words(["quote:harbour:", "quote:ridge:motors:"], "heard")
        counting = [event for event in history if event.id not in book.voided()]
        quoted = [(event, event.what) for event in counting if isinstance(event.what, p.Quoted)]
        asked = [e for e, q in quoted if q.buyer == "harbour" or (q.buyer, q.grade) == ("ridge", "motors")]
        assert {word.event for word in words} == {event.id for event in asked} and len(words) == len(asked) > 3
        assert [(word.happened, word.event) for word in words] == sorted((w.happened, w.event) for w in words)
        last = {word.subject: word.value for word in words}
        assert all(value == book.facts(subject)[subject, "heard"] for subject, value in last.items())
        assert book.words([], "heard") == [] == book.words(["quote:"], "no such field")
        assert book.words(["quote:"], "heard", START + dt.timedelta(days=900)) == []
        middle = words[len(words) // 2].happened  # from a moment on, that moment included
        since = book.words(["quote:harbour:", "quote:ridge:motors:"], "heard", middle)
        assert since == [word for word in words if word.happened >= middle] != words

    def test_words_asked_again_are_those_of_now(self, book: Book) -> None:
        """What was said since they were asked for is in them, and what was taken back is not."""
        for day in range(3):
            assert [word.value for word in book.words(["setting:"], "value")] == [str(n) for n in range(day)]
            book.append([at(day, p.Set("wage", str(day)))])
        book.append([at(9, p.Corrected(at(1, p.Set("wage", "1")).id))])
        assert [word.value for word in book.words(["setting:"], "value")] == ["0", "2"]

    # --- what cannot all be true ---

    @pytest.mark.parametrize("seed", [0, 1, 2, 4, 7])  # each with conflicts
    def test_it_lists_what_cannot_all_be_true(self, book: Book, seed: int) -> None:
        """Of two or three devices, whose events arrive one by one and mixed; held against a plain check of them all."""
        names = ("aaaaaaaa", "bbbbbbbb", "cccccccc")[: 2 + seed % 2]
        events = town(Seeded(100 + seed), names, 60).union()
        for event in Random(seed).sample(events, len(events)):
            book.append([event])
        listed = {(one.code, frozenset(one.events), one.mg) for one in book.conflicts()}
        assert listed == plain_conflicts(events) != set()

    @pytest.mark.parametrize("seed", range(6))
    def test_what_two_devices_recorded_arrives_the_newest_first(self, book: Book, seed: int) -> None:
        """So every recount and weighing comes before what it depends on, also before an earlier one of its place."""
        held: list[Event] = []
        for event in seeded_fleet(seed, 12)[::-1]:
            assert book.append([event]) == 1
            held.append(event)
            assert dict(book.balances()) == fold(held).balances

    # --- size ---

    def test_many_events_in_one_append(self, book: Book) -> None:
        history = seeded_history(7, 2500, corrections=200)
        assert book.append(history) == len(history)
        says_what_follows(book, history)

    def test_a_long_chain_of_corrections_in_any_order(self, book: Book) -> None:
        found = at(0, p.Found("f1", "fan", mass_mg=5))
        chain = [found]
        for number in range(1, 302):
            chain.append(at(number, p.Corrected(chain[-1].id)))
        mixed = Random(1).sample(chain, len(chain))
        book.append(mixed[:150])
        book.append(mixed[150:])
        assert dict(book.balances()) == {}  # 301 corrections: an odd number
        says_what_follows(book, chain)
        book.append([at(400, p.Corrected(chain[-1].id))])
        assert dict(book.balances("find:")) == {("find:f1", ""): 5}
