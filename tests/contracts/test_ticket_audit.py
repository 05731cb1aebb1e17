"""A ticket is held against the quote that was in force: the same doubts from the command, the page and as JSON."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from decimal import Decimal
from html import unescape
from pathlib import Path
from random import Random
from typing import Any

import pytest
from app_client import Visitor, visitor

from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.haul import hauls
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.home import settings
from partway.actions.recording.context import Context
from partway.actions.recording.describe import Say, describe
from partway.ledger.events.ids import new_id
from partway.reports.haul.ticket_words import WORDS

KG = 1_000_000
GRADES = ("copper-2", "light-iron", "brass-yellow")
LB = Decimal("0.45359237")  # kilograms, exactly (NIST Special Publication 811, B.8)


@pytest.fixture
def at(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as v:
        for name, value in {"currency": "CAD", "unit": "kg", "zone": "America/Toronto", "division": "20 g"}.items():
            settings.set_(v.book, v.context(), name, value)
        terms = buyers.Terms(kind="yard", name="harbour yard", km="9")
        buyers.buyer(v.book, v.context(), "harbour-yard", terms)
        yield v


def stock(v: Visitor, grade: str, kg: int) -> None:
    bins.add_bin(v.book, v.context(), grade)
    bins.recount(v.book, v.context(), grade, kg * KG)


def on(v: Visitor, day: str) -> Context:
    """At noon of a day in Toronto."""
    happened = dt.datetime.fromisoformat(f"{day}T12:00-05:00")
    return Context("tester", v.app.state.partway.setup.clock, new_id, happened)


def seen(v: Visitor, haul: str = "haul-1") -> list[dict[str, Any]]:
    """The tickets of a haul, as JSON has them."""
    found: list[dict[str, Any]] = v.client.get(f"/api/hauls/{haul}").json()["stops"][0]["tickets"]
    return found


def doubts(line: dict[str, Any]) -> list[tuple[str, str | None]]:
    return [(doubt["what"], doubt["money"]) for doubt in line["doubts"]]


def test_an_underpayment_stays_when_a_newer_price_is_heard(at: Visitor) -> None:
    stock(at, "copper-2", 30)
    hauls.start(at.book, at.context(), ["harbour-yard"])
    quoting.quote(at.book, at.context(), "harbour-yard", "copper-2", "9.00 /kg")
    ticket(
        at.book, at.context(), "harbour-yard", [LineGiven("copper-2", "10 kg", "8.50 /kg", own="yard")], haul="haul-1"
    )
    before = seen(at)[0]["lines"][0]
    assert (before["quoted"], doubts(before)) == ("9.00", [("below-quote", "5.00")])  # 10 kg at 0.50
    quoting.quote(at.book, at.context(), "harbour-yard", "copper-2", "8.50 /kg")  # later on the same day
    assert seen(at)[0]["lines"][0] == before
    quoting.quote(at.book, at.context(), "harbour-yard", "copper-2", "no")
    assert seen(at)[0]["lines"][0] == before
    assert WORDS["below-quote"] in at.open("/haul/haul-1")


def test_a_price_within_the_range_that_was_quoted_is_in_no_doubt(at: Visitor) -> None:
    """Quoted 8.00 to 9.00, which counts at 8.50; what is below 8.00 is short of that, 10 kg at 0.25."""
    stock(at, "copper-2", 30)
    quoting.quote(at.book, at.context(), "harbour-yard", "copper-2", "8 to 9 dollars a kilo")
    for price, doubted in {"8.00 /kg": [], "8.20 /kg": [], "7.75 /kg": [("below-quote", Decimal("2.50"))]}.items():
        line = ticket(at.book, at.context(), "harbour-yard", [LineGiven("copper-2", "10 kg", price, own="yard")])
        (told,) = line.result.lines
        assert (told.quoted, told.quoted_ends) == (Decimal("8.5"), (Decimal(8), Decimal(9)))
        assert [(doubt.what, doubt.money) for doubt in told.doubts] == doubted, price


def test_a_back_dated_ticket_is_not_held_against_a_later_price(at: Visitor) -> None:
    stock(at, "copper-2", 30)
    quoting.quote(at.book, on(at, "2026-03-02"), "harbour-yard", "copper-2", "7.00 /kg")
    quoting.quote(at.book, on(at, "2026-03-12"), "harbour-yard", "copper-2", "9.00 /kg")
    line = [LineGiven("copper-2", "10 kg", "7.00 /kg", own="yard")]
    for day, quoted in {"2026-03-01": None, "2026-03-05": Decimal("7.00"), "2026-03-13": Decimal("9.00")}.items():
        told = ticket(at.book, on(at, day), "harbour-yard", line).result
        assert told.lines[0].quoted == quoted
        assert [doubt.what for doubt in told.lines[0].doubts] == (["below-quote"] if day == "2026-03-13" else [])


def test_tiers_and_minimums_are_reached_by_the_mass_of_the_line_and_a_withdrawn_price_is_none(at: Visitor) -> None:
    stock(at, "copper-2", 400)

    def quoted(kg: str, day: str) -> Decimal | None:
        line = LineGiven("copper-2", f"{kg} kg", "1 /kg", own="yard")
        found: Decimal | None = ticket(at.book, on(at, day), "harbour-yard", [line]).result.lines[0].quoted
        return found

    heard = (at.book, on(at, "2026-03-02"), "harbour-yard", "copper-2")
    quoting.quote(*heard, "7 /kg", None, "5 kg")
    quoting.quote(*heard, "8 /kg", "50 kg")
    assert [quoted(kg, "2026-03-03") for kg in ("4", "5", "49", "50")] == [None, 7, 7, 8]
    quoting.quote(at.book, on(at, "2026-03-04"), "harbour-yard", "copper-2", "no")
    assert [quoted(kg, "2026-03-05") for kg in ("5", "50")] == [None, None]
    assert quoted("50", "2026-03-03") == 8  # the day before it was withdrawn


def test_a_quote_of_late_in_the_evening_is_of_its_own_day(at: Visitor) -> None:
    """23:30 in Toronto is the next day in UTC; looked at in summer time it would be half past midnight."""
    stock(at, "copper-2", 30)
    evening = dt.datetime.fromisoformat("2026-03-05T23:30-05:00")
    clock = at.app.state.partway.setup.clock
    late = Context("tester", lambda: clock().astimezone(evening.tzinfo), new_id, evening)
    quoting.quote(at.book, late, "harbour-yard", "copper-2", "7.00 /kg")
    assert at.client.get("/api/quotes").json()[0]["on"] == "2026-03-05"
    line = [LineGiven("copper-2", "10 kg", "7 /kg", own="yard")]
    after = Context("tester", clock, new_id, evening + dt.timedelta(minutes=10))
    assert ticket(at.book, after, "harbour-yard", line).result.lines[0].quoted == 7


def test_command_page_and_json_have_the_same_doubts_of_drawn_tickets(at: Visitor) -> None:
    random = Random(10)
    for grade in GRADES:
        stock(at, grade, 9000)
    planned = "Planned: harbour-yard copper-2 20 kg at 9; harbour-yard light-iron 100 kg at 0.3"
    hauls.start(at.book, at.context(), ["harbour-yard"], planned)
    told: dict[str, tuple[list[Any], Decimal]] = {}
    prices: dict[str, Decimal] = {}
    kinds = set()
    for turn in range(16):
        grade = random.choice(GRADES)
        if turn == 8:
            buyers.buyer(at.book, at.context(), "harbour-yard", buyers.Terms(refuses=["light-iron"]))
        if turn < 8 or grade != "light-iron":
            prices[grade] = Decimal(random.randint(1, 900)) / 100
            quoting.quote(at.book, at.context(), "harbour-yard", grade, f"{prices[grade]} /kg")
        lines = [drawn(random, g) for g in random.sample(GRADES, random.randint(1, 3))]
        body = {"buyer": "harbour-yard", "lines": lines, "haul": "haul-1", "as_printed": True}
        if random.random() < 0.3:
            body["total"] = "1.00"
        name, by_line, gap, text = typed(at, body) if turn % 2 else sent(at, body)
        told[name] = by_line, gap
        kinds |= {what for line in by_line for what, _ in line} | ({"total"} if gap else set())
        for given, line in zip(lines, by_line, strict=True):
            assert ("below-quote" in dict(line)) == below(given, prices.get(given["grade"]))
        if text:
            assert count_words(text) == {word: n for word, n in tally(by_line).items() if n}
    assert kinds == {*WORDS, "total"}  # each of them was drawn
    page = at.open("/haul/haul-1")
    for one in seen(at):
        by_line, gap = told[one["ticket"]]
        assert [doubts(line) for line in one["lines"]] == by_line, one["ticket"]
        assert Decimal(one["gap"]) == gap
        part = unescape(re.split(r'<div class="ticket" ', page.partition(f'id="{one["ticket"]}"')[2])[0])
        assert count_words(part) == {word: n for word, n in tally(by_line).items() if n}
        assert ("The total differs" in part) == bool(gap)


def drawn(random: Random, grade: str) -> dict[str, Any]:
    """A line, mostly with something wrong with it."""
    grams = random.randint(1, 40) * 500
    line = {
        "grade": grade,
        "mass": f"{grams} g",
        "price": f"{Decimal(random.randint(1, 900)) / 100} /{random.choice(['kg', 'lb'])}",
        "own": f"{grams + random.choice([0, 10, 21, 4000])} g",
    }
    if grade == "copper-2" and random.random() < 0.3:
        line |= {"grade": "copper-light", "bin": "copper-2"}  # paid as less than it was brought as
    return line | ({"amount": "3.33"} if random.random() < 0.3 else {})


def below(given: dict[str, Any], quoted: Decimal | None) -> bool:
    """Whether a line pays less than the last price heard, by plain arithmetic."""
    price, unit = given["price"].split(" /")
    per_unit = (quoted or Decimal(0)) * (LB if unit == "lb" else 1)
    return quoted is not None and per_unit - Decimal(price) > Decimal("0.0005")


def typed(v: Visitor, body: dict[str, Any]) -> tuple[str, list[Any], Decimal, str]:
    """Recorded as the command does, with the lines that it prints."""
    lines = [LineGiven(**line) for line in body["lines"]]
    found = ticket(v.book, v.context(), body["buyer"], lines, body.get("total"), (), body["haul"], "", True).result
    by_line = [[(d.what, None if d.money is None else str(d.money)) for d in line.doubts] for line in found.lines]
    return found.ticket, by_line, found.gap, "\n".join(describe(found, Say.of(v.book)))


def sent(v: Visitor, body: dict[str, Any]) -> tuple[str, list[Any], Decimal, str]:
    """Recorded through the JSON interface."""
    answer = v.client.post("/api/ticket", json=body)
    assert answer.status_code == 200, answer.text
    found = answer.json()["told"]
    return found["ticket"], [doubts(line) for line in found["lines"]], Decimal(found["gap"]), ""


def tally(by_line: list[Any]) -> dict[str, int]:
    """How often each doubt's words have to stand there."""
    whats = [what for line in by_line for what, _ in line]
    return {words: whats.count(what) for what, words in WORDS.items()}


def count_words(text: str) -> dict[str, int]:
    return {words: text.count(words) for words in WORDS.values() if words in text}
