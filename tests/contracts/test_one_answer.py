"""One question, one answer: over drawn ledgers the page, JSON and the command say the same.

What has to agree: the value of each bin, the verdict at the curb, the money of an hour, what is doubtful about a
ticket, the share kept out of the landfill, what each grade is quoted at.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from decimal import Decimal
from html import unescape
from pathlib import Path
from typing import Any
from urllib.parse import quote as address

import pytest
from app_client import Visitor, visitor
from click.testing import CliRunner
from hypothesis import example, given, settings
from hypothesis import strategies as st
from ledgers.strategies import Drawn
from ledgers.yard import BUYERS, GRADES, START, Yard

from partway import display
from partway.actions.recording import zones
from partway.catalogue import shipped
from partway.catalogue.factors import factor_sets
from partway.cli.app import cli
from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.fold import standing
from partway.reports.curb.verdict_words import VERDICTS
from partway.reports.haul.ticket_words import WORDS
from partway.things.ages import NOTICE_DAYS
from partway.valuing.acts.act import MOST

NOW = START + dt.timedelta(days=19)
LOCALE = "en_CA"
SETTINGS = {"currency": "CAD", "unit": "kg", "zone": "UTC", "locale": LOCALE, "wage": "12", "division": "20 g"}
KINDS = st.sampled_from(sorted(shipped().kinds))
STATES = st.sampled_from(("yes", "no", "unknown"))
drawn = settings(max_examples=6, deadline=None)


@st.composite
def trades(draw: Callable[[st.SearchStrategy[Any]], Any]) -> list[Event]:
    """A drawn yard with everything that prices differ by: ages, minimum lots, tiers, postage, no way, no name."""
    choose = Drawn(draw)
    yard = Yard(choose)
    for name, value in SETTINGS.items():
        yard.says(p.Set(name, value))
    parcels = (p.Postage(5_000_000, Decimal(14)), p.Postage(20_000_000, Decimal(22)))
    harbour = p.Traded("harbour", "yard", "", Decimal(14), None, 20, ("li-ion",))
    yard.says(replace(harbour, ticket_fee=Decimal(5), ticket_share=Decimal("0.02")))
    yard.says(p.Traded("ridge", "mail-in", "ridge yard", shipping=parcels))
    yard.says(p.Traded("depot", choose.pick(("drop-off", "tip")), ""))
    yard.says(p.Hauled("h0", "started", ("harbour", "depot")))
    for place, grade in (("drum", "copper-2"), ("crate", "motors")):
        yard.says(p.Recounted(place, grade, choose.whole(1, 40) * 500_000, 0))
    for _ in range(choose.whole(0, 20)):
        yard.step()
    for _ in range(choose.whole(0, 8)):
        price = Decimal(choose.whole(-20, 900)) / 100 if choose.whole(0, 5) else None
        day = START.date() - dt.timedelta(days=choose.whole(0, 40))
        tier, least = choose.pick((0, 0, 5_000_000, 22_679_618)), choose.pick((0, 0, 3_000_000))
        grade, unit = choose.pick((*GRADES, "copper-light")), choose.pick(("kg", "lb", "tonne"))
        yard.says(p.Quoted(choose.pick(BUYERS), grade, price, unit, day, tier, least, ""))
    return yard.events


@contextmanager
def opened(events: list[Event]) -> Iterator[tuple[Visitor, Callable[..., str]]]:
    """The app and the command on one workspace with these events, by one clock."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(zones, "now_of", lambda _: NOW)
        with visitor(Path(folder), now=NOW) as v:
            v.book.append(events)

            def run(*words: str, refused: bool = False) -> str:
                ended = CliRunner().invoke(cli, [*words, "--workspace", folder], prog_name="partway")
                assert (ended.exit_code != 0) == refused, (words, ended.output, ended.exception)
                return str(ended.exception) if refused else ended.stdout

            yield v, run


def got(v: Visitor, path: str) -> Any:
    answer = v.client.get(path)
    assert answer.status_code == 200, answer.text[:500]
    return answer.json()


def money(amount: float | str) -> str:
    return display.money(Decimal(amount), "CAD", LOCALE)


def text_of(html: str) -> str:
    """What is read of a piece of a page."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


def squeezed(text: str) -> str:
    return " ".join(text.split())


@drawn
@given(trades())
def test_the_value_of_each_bin(events: list[Event]) -> None:
    with opened(events) as (v, run):
        short, whole, page = got(v, "/api/stock"), got(v, "/api/filling"), v.open("/bins")
        assert json.loads(run("stock", "--json")) == short
        values = {line["bin"]: line["value"] for line in whole["lines"]}
        assert {line["bin"]: line["best"] and line["best"]["value"] for line in short["lines"]} == values
        assert short["value"] == whole["value"] == sum(value or 0.0 for value in values.values())
        assert f"{money(short['value'])} at the best quotes" in squeezed(run("stock"))
        for line in short["lines"]:
            name, value = line["bin"], values[line["bin"]]
            one = got(v, f"/api/bins/{address(name)}/offers")["line"]
            assert (one["value"], one["days"], one["mass_kg"]) == (value, line["days"], line["mass_kg"])
            shown = money(value) if value is not None else ""
            assert not shown or shown in text_of(v.open(f"/bins/{address(name)}"))
            row = re.search(rf'<a class="line" href="/bins/{address(name)}">.*?</a>', page, re.DOTALL)
            assert row is not None
            if line["mass_kg"] > 0:
                (worth,) = re.findall(r'<small class="n">(.*?)</small>', row[0], re.DOTALL)
                assert text_of(worth) == squeezed(shown)
        _same_ages(short, got(v, "/api/overview"), json.loads(run("overview", "--json")))


def _same_ages(short: Any, today: Any, command: Any) -> None:
    """Where the best price of what is in a bin is too old to count on, today asks for one; and nowhere else."""
    assert command["stale"] == today["stale"]
    asked = {one["grade"]: one["days"] for one in today["stale"]}
    for line in short["lines"]:
        if line["mass_kg"] > 0:
            days = line["best"]["days"] if line["best"] else None
            assert (line["grade"] in asked) == (days is None or days > NOTICE_DAYS)
            assert asked.get(line["grade"], days) == days


@drawn
@given(trades(), KINDS, STATES)
@example([], "phone-tablet", "yes")
def test_the_verdict_at_the_curb(events: list[Event], kind: str, works: str) -> None:
    with opened(events) as (v, run):
        if shipped().anatomy(kind).became:  # one that was split
            asked = v.client.get(f"/api/curb/{kind}?works={works}")
            assert asked.status_code == 409
            assert {one["answer"] for one in asked.json()["choices"]} > set(shipped().anatomy(kind).became)
            assert run("curb", kind, "--works", works, refused=True) == asked.json()["detail"]
            return
        said, page = got(v, f"/api/curb/{kind}?works={works}"), v.open(f"/curb/{kind}?works={works}")
        assert json.loads(run("curb", kind, "--works", works, "--json")) == said
        told = squeezed(run("curb", kind, "--works", works))
        assert f"{said['name']}: {VERDICTS[said['verdict']]}." in told
        if said["shown"] and not (said["shown"]["money"]["high"] < 0.005):
            assert squeezed(display.rough(Decimal(said["shown"]["money"]["expected"]), "CAD", LOCALE)) in told
        assert re.findall(r'<p class="verdict is-([a-z-]+)">', page) == [said["verdict"]]
        brings = re.search(r'<p class="brings"><strong>(.*?)</strong>', page)
        if brings is not None:
            about = display.rough(Decimal(said["shown"]["money"]["expected"]), "CAD", LOCALE)
            assert text_of(brings[1]) == squeezed(about)


@drawn
@given(trades())
def test_what_comes_next(events: list[Event]) -> None:
    """Home, /api/today and the command name the same acts in the same order, and the page's links all open."""
    with opened(events) as (v, run):
        said, home = got(v, "/api/today")["acts"], v.open("/")
        assert json.loads(run("today", "--json"))["acts"] == said and len(said) <= MOST
        titles = re.findall(r"^  [1-5]\. (.+)$", run("today"), re.MULTILINE)
        assert len(titles) == len(said)
        shown = re.findall(r'<a class="act [^"]*" href="([^"]*)">.*?<b><bdi>(.*?)</bdi>', home, re.DOTALL)
        if 'class="firststeps"' not in home:  # else too little is there yet for a day
            assert [unescape(title) for _, title in shown] == titles
        for link, _ in shown:
            v.open(unescape(link).partition("#")[0])


@drawn
@given(trades())
def test_what_an_hour_brought(events: list[Event]) -> None:
    with opened(events) as (v, run):
        today, books = got(v, "/api/today")["earned"], got(v, "/api/per-hour")["report"]["weeks"]
        assert json.loads(run("today", "--json"))["earned"] == today == books
        if today["per_hour"] is not None:
            shown = squeezed(money(today["per_hour"]))
            assert f"{shown} in the last 4 weeks" in text_of(v.open("/books"))
            assert f"{shown} an hour" in squeezed(run("today"))
            home = v.open("/")
            assert shown in text_of(home) or 'class="firststeps"' in home  # too little is there yet for a day


@drawn
@given(trades())
def test_the_kinds_worth_stopping_for(events: list[Event]) -> None:
    with opened(events) as (v, run):
        said = got(v, "/api/curb")
        assert json.loads(run("curb", "--json")) == said
        names = [line["name"] for line in said["lines"][:3] if len(line["name"]) < 30]  # longer ones may be cut short
        page = squeezed(run("curb"))
        assert [page.index(name) for name in names] == sorted(page.index(name) for name in names)


@drawn
@given(trades(), st.sampled_from(("1", "3", "0")))
def test_what_the_books_say_of_kinds_and_yards(events: list[Event], months: str) -> None:
    with opened(events) as (v, run):
        said, yards = got(v, f"/api/per-hour?months={months}"), got(v, f"/api/per-yard?months={months}")
        assert json.loads(run("books", "--months", months, "--json")) == said
        assert json.loads(run("books", "--per", "yard", "--months", months, "--json")) == yards
        kinds, page = run("books", "--per", "kind", "--months", months), text_of(v.open(f"/books?months={months}"))
        places, rounds = got(v, f"/api/per-place?months={months}"), got(v, "/api/rounds")
        assert json.loads(run("books", "--per", "place", "--months", months, "--json")) == places
        if months == "0" and rounds["count"] == len(rounds["latest"]):  # the rounds' own page: the same money
            assert sum(one["rounds"] for one in places["lines"]) == rounds["count"]
            each = sum(one["net"] for one in rounds["latest"])
            assert sum(one["net"] for one in places["lines"]) == pytest.approx(each)
        for line in places["lines"]:
            if line["per_hour"] is not None:
                assert squeezed(money(line["per_hour"])) in page
        if said["per_hour"] is not None and said["kinds"]:
            assert squeezed(money(said["per_hour"])) in squeezed(kinds)
            assert squeezed(money(said["per_hour"])) in page
        sales = sum((Decimal(line["sales"]) + Decimal(line["deductions"]) for line in yards["lines"]), Decimal(0))
        through = next((one["money"] for one in said["report"]["activities"] if one["activity"] == "haul"), None)
        assert through is None or through == pytest.approx(float(sales))
        for line in yards["lines"]:
            if line["per_hour"] is not None:
                assert squeezed(money(line["per_hour"])) in squeezed(run("books", "--per", "yard", "--months", months))


@drawn
@given(trades())
def test_who_pays_what_and_whom_to_call(events: list[Event]) -> None:
    with opened(events) as (v, run):
        sheet, calls = got(v, "/api/prices"), got(v, "/api/calls")
        assert json.loads(run("prices", "--json")) == sheet and json.loads(run("buyers", "--json")) == calls
        page, said = text_of(v.open("/prices")), squeezed(run("prices"))
        for row in (row for family in sheet["families"] for row in family["rows"]):
            quoted = [price for cell in row["cells"] for price in cell["prices"]]
            if quoted:
                assert row["name"] in said and row["name"] in page
            for price in quoted:
                if price["each"] is None:
                    assert squeezed(display.price(Decimal(price["price"]), "CAD", price["unit"], LOCALE)) in said
        buyers = squeezed(run("buyers"))
        assert [buyers.index(f"{row['name']} ({row['kind']}") for row in calls] == sorted(
            buyers.index(f"{row['name']} ({row['kind']}") for row in calls
        )


@drawn
@given(trades(), st.integers(1, 900), st.integers(0, 3))
def test_what_is_doubtful_about_a_ticket(events: list[Event], cents: int, off: int) -> None:
    with opened(events) as (v, run):
        full = [one for one in standing.bins(v.book).values() if one.mg >= 2_000_000]  # each of two tickets takes 1 kg
        if not full:
            return
        now = full[0]
        made = Decimal(cents) * 9 / 1000 + off
        line = f"{now.grade} 0.9 kg at {Decimal(cents) / 100} /kg = {made:.2f} ~1 kg @{now.id}"
        words = ("ticket", "harbour", line, "--haul", "h0", "--as-printed")
        told = json.loads(run(*words, "--json"))["told"]
        text = run(*words)
        first, second = got(v, "/api/hauls/h0")["stops"][0]["tickets"][-2:]
        assert [line["doubts"] for line in told["lines"]] == [line["doubts"] for line in first["lines"]]
        assert (told["gap"], told["lines"][0]["quoted"]) == (first["gap"], first["lines"][0]["quoted"])
        assert counted(text) == tally([second])
        tickets = [one for stop in got(v, "/api/hauls/h0")["stops"] for one in stop["tickets"]]
        assert counted(text_of(v.open("/haul/h0"))) == tally(tickets)


def tally(tickets: list[Any]) -> Counter[str]:
    """How often each doubt's words have to stand there."""
    return Counter(WORDS[d["what"]] for one in tickets for line in one["lines"] for d in line["doubts"])


def counted(text: str) -> Counter[str]:
    return +Counter({words: squeezed(text).count(words) for words in WORDS.values()})


@drawn
@given(trades())
def test_what_was_kept_out_of_the_landfill(events: list[Event]) -> None:
    with opened(events) as (v, run):
        today, whole = got(v, "/api/overview")["handled"], got(v, "/api/diverted")["whole"]
        assert json.loads(run("overview", "--json"))["handled"] == today
        told = got(v, "/api/impact")
        assert today["diverted_share"] == whole["share"]
        assert today["diverted_kg"] == pytest.approx(whole["diverted"] / 1e6)
        if whole["share"] is not None and whole["ends"]["came"]:
            shown = re.search(r"(-?[0-9.,]+) % of all that has left", text_of(v.open("/books")))
            assert shown is not None and abs(float(shown[1].replace(",", "")) - 100 * whole["share"]) <= 0.5
            assert f"({whole['share']:.0%} of what has left)" in squeezed(run("overview"))
        assert told["recycled_kg"] + told["reused_kg"] == pytest.approx(whole["diverted"] / 1e6)


@drawn
@given(trades(), st.sampled_from(sorted(factor_sets())), st.sampled_from(("1", "0")))
def test_what_that_spared(events: list[Event], factors: str, months: str) -> None:
    with opened(events) as (v, run):
        report = got(v, f"/api/impact?set={factors}&months={months}")
        assert json.loads(run("impact", "--set", factors, "--months", months, "--json")) == report
        assert report["counted_kg"] + report["uncounted_kg"] == pytest.approx(report["recycled_kg"])
        if report["spared"]:
            kg = display.mass(round(report["kg_co2e"] * 1e6), "kg", LOCALE)
            assert f"{kg} CO" in text_of(v.open(f"/books/impact?set={factors}&months={months}"))
            assert kg in squeezed(run("impact", "--set", factors, "--months", months))


PEOPLE = ("Ann", "Ben", "Cleo")


@st.composite
def shared(draw: Callable[[st.SearchStrategy[Any]], Any]) -> list[Event]:
    """What several people recorded together: hours, tickets, parts and what was spent."""
    events = draw(trades())
    who = draw(st.lists(st.sampled_from(PEOPLE), min_size=len(events), max_size=len(events)))
    return [replace(event, who=one) for event, one in zip(events, who, strict=True)]


@drawn
@given(shared(), st.sampled_from(("1", "3", "0")))
def test_what_each_person_brought_is_all_of_it(events: list[Event], months: str) -> None:
    with opened(events) as (v, run):
        said = got(v, f"/api/per-hour?months={months}")["report"]
        assert json.loads(run("books", "--months", months, "--json"))["report"]["people"] == said["people"]
        whole, people = said["window"], said["people"]
        for theirs, all_of_it in (("sold", whole["income"]), ("spent", whole["costs"])):
            assert sum((Decimal(one[theirs]) for one in people), Decimal(0)) == Decimal(all_of_it)
        assert sum(one["worked"] for one in people) == sum(whole["minutes"].values())
        assert {one["who"] for one in people} <= set(PEOPLE)
        page, table = text_of(v.open(f"/books?months={months}")), run("books", "--per", "person", "--months", months)
        for one in people:
            assert one["net"] == str(Decimal(one["sold"]) + Decimal(one["spent"]))
            shown = squeezed(money(one["net"]))
            assert shown in squeezed(table)
            assert len(people) == 1 or (shown in page and one["who"] in page)
