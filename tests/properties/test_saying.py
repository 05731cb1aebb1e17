"""Any record said in any of its forms and read back is the same record. See sentences.py for the forms."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "unit"))

from sentences import counted, dollars, fields, in_words, milligrams, paid, said, timed, together, weighed
from test_say import evening

from partway.actions.bins import bins
from partway.actions.saying.say import read_said, say
from partway.catalogue import shipped
from partway.reports.curb.names import kind_called, named
from partway.saying.lexicon import lexicon_named
from partway.saying.tokens import said_words

EN = lexicon_named("en")
LAWS = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow], max_examples=60)
KINDS = named(shipped().all_anatomies())
# Names that mean one kind alone, of words only: a name with a number in it may be a count of something else.
NAMES = sorted(
    (kind.kind, name)
    for kind in KINDS
    for name in kind.names
    if kind_called(name, KINDS) == kind.kind and all(word.sort == "word" for word in said_words(name))
)
BINS = {"motors": ["motor", "motors"], "board-low": ["low boards"], "light-iron": ["light iron"]}
GRADES = {"copper-2": "no 2 copper", "motors": "motors", "board-low": "low boards", "light-iron": "light iron"}
LIKELY = {"copper-2": (200, 600), "motors": (10, 60), "board-low": (20, 90), "light-iron": (4, 30)}  # cents a pound
BUYERS = {
    "harbour-yard": ["harbour", "harbour yard"],
    "ridge-yard": ["ridge", "ridge yard"],
    "board-buyer": ["board buyer"],
}
units = st.sampled_from(["lb", "kg"])
tenths = st.integers(1, 999)
cents = st.integers(1, 99_999)
minutes = st.integers(1, 599)


def day() -> Any:
    """The evening of the other tests, with two bins more."""
    made, state, head = _begun()
    made.book.state, made.book._head = state, head
    return made


@cache
def _begun() -> Any:
    made = evening()
    for name in ("low boards", "light iron"):
        made.do(say, f"new bin for {name}")
    return made, made.book.state, made.book._head


def recorded(text: str, made: Any = None) -> list[Any]:
    """What is recorded of a text that asks nothing; what was shown is what is saved."""
    made = made or day()
    reading = read_said(made.book, made.context(), text)
    assert reading.ready, (text, [(line.said, line.asked, line.refused) for line in reading.lines])
    done = made.do(say, text, shown=reading.shown)
    assert done.result.told == tuple(told for line in reading.lines for told in line.told)
    return [event.what for event in done.events]


@LAWS
@given(st.data(), st.sampled_from(NAMES), st.integers(1, 300), st.sampled_from(["yes", "no", "unknown", ""]))
def test_a_find(data: st.DataObject, name: tuple[str, str], count: int, works: str) -> None:
    kind, called = name
    head = data.draw(said(EN, "found", {"count": data.draw(counted(count)), "kind": called}))
    parts = [data.draw(said(EN, "works", {}, works=works))] if works else []
    (found,) = recorded(data.draw(together(head, parts)))
    assert fields(found, "kind", "count", "works", "mass_mg") == (kind, count, works or "unknown", None)


@LAWS
@given(st.data(), st.integers(2, 99), st.integers(1, 98), tenths, units)
def test_finds_of_which_some_work(data: st.DataObject, count: int, some: int, tenth: int, unit: str) -> None:
    head = data.draw(said(EN, "found", {"count": data.draw(counted(count)), "kind": "toaster"}))
    some = min(some, count)
    parts = [
        data.draw(said(EN, "works", {"count": data.draw(counted(some))}, works="yes")),
        data.draw(said(EN, "mass", {"mass": data.draw(weighed(tenth, unit))}, each="yes")),
    ]
    each = milligrams(tenth, unit)
    likely = (
        100_000 <= each <= 25_000_000
    )  # a toaster a tenth of the lightest, or ten times the heaviest, is asked about
    found = recorded(data.draw(together(head, parts)), made := day()) if likely and tenth < 80 else []
    if found:
        expected = [(some, "yes"), *([(count - some, "unknown")] if some < count else [])]
        assert [fields(one, "count", "works") for one in found] == expected
        assert [one.mass_mg for one in found] == [each * count for count, _ in expected]
        assert made


@LAWS
@given(st.data(), st.sampled_from(sorted(BINS)), tenths, units)
def test_a_bin_on_the_scale(data: st.DataObject, name: str, tenth: int, unit: str) -> None:
    slots = {"bin": data.draw(st.sampled_from(BINS[name])), "mass": data.draw(weighed(tenth, unit))}
    (counted_,) = recorded(data.draw(together(data.draw(said(EN, "weighed", slots)), [])))
    assert fields(counted_, "bin", "mass_mg") == (name, milligrams(tenth, unit))


@LAWS
@given(st.data(), cents, st.none() | cents, st.none() | cents, st.none() | minutes)
def test_a_sale(data: st.DataObject, price: int, postage: int | None, fee: int | None, time: int | None) -> None:
    head = data.draw(said(EN, "sold", {"find": "keyboard", "money": data.draw(paid(price, bare=True))}))
    parts = [
        data.draw(said(EN, name, {"money": data.draw(paid(amount, bare=True))}))
        for name, amount in (("postage", postage), ("fee", fee))
        if amount is not None
    ]
    if time is not None:
        parts.append(data.draw(said(EN, "minutes", {"minutes": data.draw(timed(time))})))
    (sold,) = recorded(data.draw(together(head, parts)))
    expected = ("keyboard-1", dollars(price), dollars(postage or 0), dollars(fee or 0), time or 0)
    assert fields(sold, "find", "price", "postage", "fee", "minutes") == expected


@LAWS
@given(st.data(), cents)
def test_money_that_went_out(data: st.DataObject, amount: int) -> None:
    tables = EN.tables["known_spending"]
    words = data.draw(st.sampled_from(sorted(tables)))
    slots = {"known_spending": " ".join(words), "money": data.draw(paid(amount, bare=True))}
    (spent,) = recorded(data.draw(together(data.draw(said(EN, "spent", slots)), [])))
    assert (spent.what.casefold(), *fields(spent, "amount", "category")) == (
        " ".join(words),
        dollars(amount),
        tables[words],
    )


@LAWS
@given(st.data(), minutes)
def test_hours_worked(data: st.DataObject, time: int) -> None:
    tables = EN.tables["activity"]
    words = data.draw(st.sampled_from(sorted(tables)))
    slots = {"activity": " ".join(words), "minutes": data.draw(timed(time))}
    (worked,) = recorded(data.draw(together(data.draw(said(EN, "worked", slots)), [])))
    assert fields(worked, "activity", "minutes") == (tables[words], time)


@LAWS
@given(st.data(), st.sampled_from(sorted(GRADES)), st.sampled_from(sorted(BUYERS)))
def test_a_price(data: st.DataObject, grade: str, buyer: str) -> None:
    """Prices that nothing makes unlikely, said exactly: what is asked about others is the price list's own."""
    amount = data.draw(st.integers(*LIKELY[grade]))
    price = f"${amount // 100}.{amount % 100:02} a lb"
    slots = {"grade": GRADES[grade], "buyer": data.draw(st.sampled_from(BUYERS[buyer])), "price": price}
    (quote,) = recorded(data.draw(together(data.draw(said(EN, "quoted", slots)), [])))
    assert fields(quote, "buyer", "grade", "price", "unit") == (buyer, grade, dollars(amount), "lb")


@LAWS
@given(st.data(), st.sampled_from(["yes", "no"]))
def test_a_test(data: st.DataObject, works: str) -> None:
    (tested,) = recorded(data.draw(together(data.draw(said(EN, "tested", {"find": "oven"}, works=works)), [])))
    assert fields(tested, "find", "works") == ("microwave-1", works)


@LAWS
@given(st.data(), cents)
def test_an_offer(data: st.DataObject, amount: int) -> None:
    slots = {"find": "keyboard", "money": data.draw(paid(amount, bare=True))}
    (listed,) = recorded(data.draw(together(data.draw(said(EN, "listed", slots)), [])))
    assert fields(listed, "find", "asking", "count") == ("keyboard-1", dollars(amount), 1)


@LAWS
@given(st.data(), minutes, st.integers(2, 8), st.integers(3, 9), units)
def test_an_opening(data: st.DataObject, time: int, cord: int, transformer: int, unit: str) -> None:
    head = data.draw(said(EN, "opened", {"find": "microwave"}))
    weights = {"cord": cord, "transformer": transformer * 10}
    parts = [
        data.draw(said(EN, "piece", {"piece": piece, "mass": data.draw(weighed(tenth, unit))}))
        for piece, tenth in weights.items()
    ]
    parts += [data.draw(said(EN, "minutes", {"minutes": data.draw(timed(time))}))]
    parts += [data.draw(said(EN, "rest", {}, gap="left"))]
    made = day()
    text = data.draw(together(head, parts))
    reading = read_said(made.book, made.context(), text)
    answers = {line.option: "yes" for line in reading.open if line.option.endswith("sure")}  # far from others: a slip?
    done = made.do(say, text, answers)
    (opened,) = (event.what for event in done.events if event.kind == "opened")
    assert opened.minutes == time
    assert {p.piece: p.mass_mg for p in opened.pieces} == {p: milligrams(t, unit) for p, t in weights.items()}


@LAWS
@given(st.data(), st.sampled_from(sorted(BUYERS)))
def test_what_is_no_longer_taken_and_taken_again(data: st.DataObject, buyer: str) -> None:
    slots = {"buyer": data.draw(st.sampled_from(BUYERS[buyer])), "grade": "light iron"}
    made = day()
    before = [said(EN, "takes", slots, takes="no"), said(EN, "takes", slots, takes="yes")]
    first, again = (recorded(data.draw(together(data.draw(way), [])), made)[0] for way in before)
    assert "light-iron" in first.refuses
    assert "light-iron" not in again.refuses


@LAWS
@given(st.data(), st.integers(1, 200), st.integers(4, 30), st.booleans())
def test_a_ticket(data: st.DataObject, pounds: int, price: int, total: bool) -> None:
    """Of what is in the bin, at a price to the cent: whole pounds, so that the product is exact."""
    made = day()
    made.do(bins.recount, "light-iron", f"{pounds} lb")
    head = data.draw(said(EN, "ticketed", {"buyer": data.draw(st.sampled_from(BUYERS["harbour-yard"]))}))
    mass = data.draw(st.sampled_from([f"{pounds} lb", f"{pounds} pounds", f"{in_words(pounds)} lbs"]))
    per = f"${price // 100}.{price % 100:02} a lb"
    parts = [data.draw(said(EN, "line", {"grade": "light iron", "mass!": mass, "price": per}))]
    if total:
        parts.append(data.draw(said(EN, "total", {"money": data.draw(paid(pounds * price, bare=False))})))
    made_of = recorded_with(made, f"{head}, " + ", ".join(parts))
    (ticket,) = (what for what in made_of if what.KIND == "ticketed")
    (line,) = ticket.lines
    assert (ticket.buyer, ticket.total) == ("harbour-yard", dollars(pounds * price))
    assert fields(line, "grade", "mass_mg", "price") == ("light-iron", milligrams(pounds * 10, "lb"), dollars(price))


def recorded_with(made: Any, text: str) -> list[Any]:
    """What is recorded where each question for what is far from others is answered with yes."""
    reading = read_said(made.book, made.context(), text)
    answers = {line.option: line.choices[0][0] for line in reading.open if line.option.endswith(("sure", "own"))}
    reading = read_said(made.book, made.context(), text, answers)
    assert reading.ready, (text, [(line.said, line.asked, line.refused) for line in reading.lines])
    return [event.what for event in made.do(say, text, answers, shown=reading.shown).events]


@LAWS
@given(st.data(), minutes)
def test_a_single_step(data: st.DataObject, time: int) -> None:
    slots = {"piece": "cord", **({"find": "microwave"} if data.draw(st.booleans()) else {})}
    head = data.draw(said(EN, "took", slots))
    parts = [data.draw(said(EN, "minutes", {"minutes": data.draw(timed(time))}))]
    (opened,) = recorded(data.draw(together(head, parts)))
    assert fields(opened, "find", "minutes", "closes") == ("microwave-1", time, False)
    assert [run.operation for run in opened.runs] == ["cord-and-tray"]


WORDS = st.lists(st.text("abcdefgh", min_size=1, max_size=8), min_size=1, max_size=6)


@LAWS
@given(st.data(), WORDS, st.sampled_from(["yes", "no", ""]))
def test_a_note(data: st.DataObject, words: list[str], works: str) -> None:
    """To the letter, but for the case in which it was said."""
    head = data.draw(said(EN, "found", {"count": "2", "kind": "toasters"}))
    parts = [data.draw(said(EN, "works", {"count": "two"}, works=works))] if works else []
    parts.append(data.draw(said(EN, "note", {"words": " ".join(words)})))
    (found,) = recorded(data.draw(together(head, parts)))
    assert (found.count, found.works, found.note.casefold()) == (2, works or "unknown", " ".join(words))


@LAWS
@given(st.data(), st.sampled_from(sorted(BUYERS)), st.integers(10, 60), st.integers(1, 30))
def test_a_range(data: st.DataObject, buyer: str, low: int, more: int) -> None:
    """Both ends are kept, and the middle counts."""
    high = low + more
    forms = [f"{low} to {high} cents", f"{low}c to {high}c", f"{in_words(low)} to {in_words(high)} cents"]
    price = f"{data.draw(st.sampled_from(forms))} a lb"
    slots = {"grade": "motors", "buyer": data.draw(st.sampled_from(BUYERS[buyer])), "price": price}
    (quote,) = recorded(data.draw(together(data.draw(said(EN, "quoted", slots)), [])))
    assert fields(quote, "buyer", "grade", "low", "high") == (buyer, "motors", dollars(low), dollars(high))
    assert quote.price == (dollars(low) + dollars(high)) / 2
