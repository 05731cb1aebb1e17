"""The books in the app: every page, every form wrong and right, and files that can be read back.

A correction is held against the balance sheet and the ledger itself, a file against the book it came from.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from app_client import NOW, Visitor, visitor
from httpx2 import Response

from partway.actions.bench import finds, listing, selling
from partway.actions.bins import bins
from partway.actions.home import settings
from partway.actions.recording.context import Context
from partway.ledger import trading
from partway.ledger.balance.sheet import sheet, tips_in
from partway.ledger.events.codec import to_text
from partway.ledger.events.ids import new_id
from partway.ledger.memory import MemoryBook
from partway.storage.exchange.jsonl import read_lines
from partway.storage.exchange.unpack import read_package
from partway.storage.store import SqlBook
from partway.storage.workspace import open_file

HOSTILE = "<script>alert(1)</script> \u202eبرد 🔩"
EVENT = re.compile(r"/books/ledger/([0-9a-f-]{36})")
PAGES = ("/books", "/books?months=0", "/books/flows", "/books/flows?months=12&every=yes", "/books/ledger")
MORE = ("/books/money", "/books/export")


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """The invented months; no test here changes them."""
    with visitor(tmp_path_factory.mktemp("town"), demo=True) as v:
        yield v


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Visitor]:
    """A workspace with a currency, one weighed find and one bin."""
    with visitor(tmp_path) as v:
        context = Context("tester", lambda: NOW, new_id)
        settings.set_(v.book, context, "currency", "CAD")
        settings.set_(v.book, context, "unit", "kg")
        finds.find(v.book, context, "microwave", mass="13 kg")
        bins.add_bin(v.book, context, "copper-2")
        yield v


def after_a_look(desk: Visitor, page: str, action: str, **values: str) -> Response:
    """A correction sent from its page: what follows is shown first and nothing is recorded, then it is agreed to."""
    before = desk.count()
    shown = desk.fill(page, action, **values)
    assert shown.status_code == 409 and "What follows" in shown.text and desk.count() == before
    return desk.send(desk.form(shown.text, action), **{"answer-looked": "yes"})


def last(book: SqlBook, kind: str) -> str:
    return str(book.newest(1, kinds=(kind,))[0].id)


@pytest.mark.parametrize("page", [*PAGES, *MORE])
def test_every_page_opens_on_months_and_on_nothing(town: Visitor, tmp_path: Path, page: str) -> None:
    assert "<h1>" in town.open(page)
    with visitor(tmp_path) as empty:
        text = empty.open(page)
        assert "NaN" not in text and "None" not in text


@pytest.mark.parametrize(
    "address",
    [
        *("/books?months=7", "/books/flows?months=x", "/books/ledger?before=x"),
        *("/books/ledger/x", "/books/export/x", f"/books/ledger/{new_id(None)}"),
    ],
)
def test_addresses_that_lead_nowhere_say_so(town: Visitor, address: str) -> None:
    assert "expected" in town.open(address, 404)


def test_the_overview_says_what_is_not_cash_and_what_was_kept_out_of_the_landfill(town: Visitor) -> None:
    text = town.open("/books")
    assert "an hour this month" in text or "No hours this month yet" in text
    assert "By kind: not cash." in text
    assert "Hours that belong to no kind" in text
    assert "of all that has left" in text
    bars, table = text.count('class="bar'), text.partition('aria-label="Months"')[2].partition("</table>")[0]
    assert bars == table.count('scope="row"') - table.count("no hours") > 1


def test_what_is_over_and_done_warns_of_nothing(town: Visitor) -> None:
    text = town.open("/books?months=12").partition("By kind: what an hour")[2]
    assert "Microwave oven" in text and "Careful" not in text


def test_the_drawing_and_the_tables_have_the_same_flows(town: Visitor) -> None:
    text = town.open("/books/flows?months=0&every=yes")
    drawing, _, tables = text.partition("The same in numbers")
    ribbons = re.findall(r'class="ribbon".*?<title>(.+?) to (.+?): ([\d.,]+) lb</title>', drawing)
    listed, _, came = tables.partition("What came in, and where from")
    rows = listed.count('<td><span class="hidden">to </span>') + came.count('<td><span class="hidden">to </span>')
    into_kinds = came.partition("collected")[2].partition("</tbody>")[0].count("to </span>")
    assert rows - into_kinds == len(ribbons) > 20
    whole = sheet(town.book.balances())
    pounds = sum(float(mass.replace(",", "")) for _, target, mass in ribbons if target == "residue")
    assert pounds == pytest.approx(whole.residue_mg / 453_592.37, abs=0.1)  # the demo weighs in lb


def test_all_of_it_so_far_is_the_balance_sheet(town: Visitor) -> None:
    """International pound, 0.45359237 kg exactly (NIST SP 811, appendix B)."""
    text = town.open("/books").partition("Kept out of the landfill")[2]
    shown = dict(re.findall(r"<dt>(.+?)</dt><dd>([\d.,]+) lb</dd>", text))
    whole = sheet(town.book.balances(), tips_in(town.book.facts("buyer:", "terms")))
    expected = {
        "Came in": whole.in_mg,
        "To recyclers": whole.buyers_mg,
        "Reused: parts and whole": whole.people_mg,
        "Still here": whole.stock_mg,
        "Residue": whole.residue_mg,
        "Gone to a tip": whole.tips_mg,
        "Lost, by the scales": whole.loss_mg,
    }
    pounds = {name: float(mass.replace(",", "")) for name, mass in shown.items()}
    assert pounds == pytest.approx({name: mg / 453_592.37 for name, mg in expected.items()}, rel=0.02)
    diverted = re.findall(r'class="verdict">([\d.,]+) lb', text)[0]
    assert float(diverted.replace(",", "")) == pytest.approx((whole.buyers_mg + whole.people_mg) / 453_592.37, rel=0.01)


def test_what_was_asked_for_parts_stands_beside_what_they_got(desk: Visitor) -> None:
    context = Context("tester", lambda: NOW, new_id)
    finds.find(desk.book, context, "stand-mixer", works="yes")
    offered = listing.put_on_offer(desk.book, context, "stand-mixer-1", "80")
    selling.sell(desk.book, context, "stand-mixer-1", "60", listing=offered.result.listing)
    text = desk.open("/books/money").partition('id="resale"')[2].partition("</ul>")[0]
    assert "Stand mixer" in text and "CA$60.00" in text
    assert "1 sold, asked CA$80.00 at first: 75 % of it" in " ".join(text.split())


def test_what_is_still_to_come_is_the_sum_of_the_open_tickets(town: Visitor) -> None:
    text = town.open("/books/money")
    said = re.findall(r'class="verdict">\D*([\d.,]+) still to come', text)[0]
    owed = sum(ticket.open for ticket in trading.owed(town.book).values())
    assert Decimal(said.replace(",", "")) == owed > 0


def test_the_ledger_page_by_page_is_the_whole_ledger(town: Visitor) -> None:
    address, seen = "/books/ledger?kind=opened", []
    while address:
        text = town.open(address)
        seen += EVENT.findall(text)
        older = re.search(r'href="([^"]+)" rel="next"', text)
        address = older[1].replace("&amp;", "&") if older else ""
    assert list(dict.fromkeys(seen)) == [str(e.id) for e in town.book.events(("opened",))][::-1]


@pytest.mark.parametrize("asked", ["about=nothing-there", "since=soon", "until=3026-99-99", f"about={HOSTILE}"])
def test_a_filter_that_is_not_understood_is_said_beside_its_field(town: Visitor, asked: str) -> None:
    text = town.open(f"/books/ledger?{asked}", 422)
    assert 'class="field bad"' in text and "<script>alert" not in text


def test_a_kind_of_event_that_there_is_not(town: Visitor) -> None:
    assert "expected" in town.open("/books/ledger?kind=opend", 422)


def test_what_was_taken_back_is_struck_through_and_says_so(desk: Visitor) -> None:
    found = last(desk.book, "found")
    answer = after_a_look(desk, f"/books/ledger/{found}", f"/books/ledger/{found}/back", why="not mine")
    assert answer.status_code == 200
    assert "no longer counts" in answer.text and "<s>" in answer.text and "not mine" in answer.text
    assert f"/books/ledger/{found}/back" not in answer.text
    assert dict(desk.book.balances("find:")) == {}
    listed = desk.open("/books/ledger?kind=found")
    assert "<s>" in listed and "no longer counts" in listed


def test_an_event_put_right_counts_instead_and_only_what_was_said_is_new(desk: Visitor) -> None:
    found = last(desk.book, "found")
    action = f"/books/ledger/{found}/anew"
    answer = after_a_look(
        desk, f"/books/ledger/{found}", action, **{"set-mass": "12.5 kg", "set-reason": "wrong scale"}
    )
    assert answer.status_code == 200 and "What counts instead" in answer.text
    assert dict(desk.book.balances("find:")) == {("find:microwave-1", ""): 12_500_000}
    right = desk.book.newest(1, kinds=("found",))[0].what
    assert getattr(right, "count", None) == 1 and getattr(right, "kind", None) == "microwave"
    listed = desk.open("/books/ledger?kind=found")
    assert EVENT.findall(listed).count(last(desk.book, "found")) == 2  # its own line, and what counts instead


def test_a_correction_can_be_taken_back_too(desk: Visitor) -> None:
    found = last(desk.book, "found")
    after_a_look(desk, f"/books/ledger/{found}", f"/books/ledger/{found}/back")
    undo = last(desk.book, "corrected")
    page = desk.open(f"/books/ledger/{undo}")
    assert "What it took back counts again" in page and "/anew" not in page
    after_a_look(desk, f"/books/ledger/{undo}", f"/books/ledger/{undo}/back")
    assert dict(desk.book.balances("find:")) == {("find:microwave-1", ""): 13_000_000}


@pytest.mark.parametrize(
    ("typed", "status", "said"),
    [
        ({}, 422, "at least one field"),
        ({"set-mass": "a lot"}, 422, 'class="field bad"'),
        ({"set-kind": HOSTILE}, 422, 'class="field bad"'),
        ({"set-count": "0"}, 422, "a whole number of at least 1"),
        ({"set-note": "x" * 201}, 422, 'class="field bad"'),
        ({"set-mass": ""}, 422, 'class="field bad"'),
    ],
)
def test_what_cannot_be_said_instead_is_refused_and_kept(
    desk: Visitor, typed: dict[str, str], status: int, said: str
) -> None:
    found, before = last(desk.book, "found"), desk.count()
    answer = desk.fill(f"/books/ledger/{found}", f"/books/ledger/{found}/anew", **typed)
    assert (answer.status_code, desk.count()) == (status, before)
    assert said in answer.text and "<script>alert" not in answer.text


def test_what_later_events_rest_on_is_not_taken_back(desk: Visitor) -> None:
    found = last(desk.book, "found")
    finds.test(desk.book, Context("tester", lambda: NOW, new_id), "microwave-1", "no")
    before = desk.count()
    answer = desk.fill(f"/books/ledger/{found}", f"/books/ledger/{found}/back")
    assert answer.status_code == 422 and "later events speak" in answer.text
    assert desk.count() == before


def test_masses_that_stand_are_named_before_anything_is_put_right(desk: Visitor) -> None:
    context = Context("tester", lambda: NOW, new_id)
    bins.recount(desk.book, context, "copper-2", "5 kg")
    first = last(desk.book, "recounted")
    bins.recount(desk.book, context, "copper-2", "4 kg")
    assert "What stands whatever you change here" in desk.open(f"/books/ledger/{first}")
    assert "What stands whatever" not in desk.open(f"/books/ledger/{last(desk.book, 'recounted')}")


def test_hours_and_spending_are_recorded_once_and_can_be_put_right(desk: Visitor) -> None:
    form = desk.form(desk.open("/books/money"), "/books/money/hours")
    for _ in range(2):  # sent twice: saved once
        answer = desk.send(form, **{"hours-activity": "collect", "hours-time": "1 h 30", "hours-on": "yesterday"})
        assert answer.status_code == 200
    assert [getattr(e.what, "minutes", 0) for e in desk.book.events(("worked",))] == [90]
    answer = desk.fill("/books/money", "/books/money/spend", **{"spend-what": HOSTILE, "spend-amount": "12.50"})
    assert answer.status_code == 422  # a mark that turns the direction of writing is no printable text
    answer = desk.fill("/books/money", "/books/money/spend", **{"spend-what": "<b>fuel</b>", "spend-amount": "12.50"})
    assert answer.status_code == 200 and "<b>fuel" not in answer.text and "&lt;b&gt;fuel" in answer.text
    assert f"/books/ledger/{last(desk.book, 'spent')}" in answer.text
    assert "12.50" in desk.open("/books")


@pytest.mark.parametrize(
    ("form", "typed"),
    [
        ("hours", {}),
        ("hours", {"hours-activity": "sleeping", "hours-time": "1 h"}),
        ("hours", {"hours-activity": "bench", "hours-time": "long"}),
        ("hours", {"hours-activity": "bench", "hours-time": "1 h", "hours-find": "nothing"}),
        ("hours", {"hours-activity": "bench", "hours-time": "1 h", "hours-on": "3026-01-01"}),
        ("hours", {"hours-activity": "bench", "hours-time": "9" * 5000}),
        ("spend", {}),
        ("spend", {"spend-what": "fuel", "spend-amount": "-3"}),
        ("spend", {"spend-what": "fuel", "spend-amount": "1e400"}),
        ("spend", {"spend-what": "fuel", "spend-amount": "3", "spend-category": HOSTILE}),
        ("spend", {"spend-what": "fuel" * 1000, "spend-amount": "3"}),
    ],
)
def test_money_and_hours_that_are_wrong_are_refused_beside_their_field(
    desk: Visitor, form: str, typed: dict[str, str]
) -> None:
    before = desk.count()
    answer = desk.fill("/books/money", f"/books/money/{form}", **typed)
    assert (answer.status_code, desk.count()) == (422, before)
    assert 'class="error"' in answer.text and "<script>alert" not in answer.text
    for value in typed.values():
        if len(value) < 100 and "<" not in value:
            assert value in answer.text  # what was typed is still there


def test_what_came_in_for_a_ticket_asks_where_it_is_too_much(tmp_path: Path) -> None:
    with visitor(tmp_path, demo=True) as v:
        page = v.open("/books/money")
        ticket, buyer = re.findall(r'<option value="(ticket-\d+)">([^<,]+),', page)[0]
        typed = {"paid-buyer": buyer, "paid-ticket": ticket, "paid-amount": "99999"}
        before = v.count()
        asked = v.fill("/books/money", "/books/money/paid", **typed)
        assert (
            asked.status_code == 409
            and "is open" in asked.text
            and "it is what came in" in asked.text
            and v.count() == before
        )
        again = v.form(asked.text, "/books/money/paid")
        answer = v.send(again, **{"answer-as_printed": "yes"})
        assert answer.status_code == 200 and v.count() == before + 1
        assert f'<option value="{ticket}"' not in answer.text


def test_money_without_a_currency_says_what_to_set(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        answer = v.fill("/books/money", "/books/money/spend", **{"spend-what": "fuel", "spend-amount": "3"})
        assert answer.status_code == 422 and "a currency for this workspace" in answer.text


def test_what_is_taken_away_is_the_whole_ledger(town: Visitor, tmp_path: Path) -> None:
    wanted = [to_text(event) for event in town.book.events()]
    for form, ending in (("package", ".zip"), ("events", ".jsonl"), ("backup", ".sqlite")):
        answer = town.client.get(f"/books/export/{form}")
        assert answer.status_code == 200
        assert f'filename="partway-{NOW.date()}{ending}"' in answer.headers["content-disposition"]
        file = tmp_path / f"ledger{ending}"
        file.write_bytes(answer.content)
        if form == "backup":
            with open_file(file) as copy:
                assert [to_text(event) for event in copy.events()] == wanted
            continue
        read = read_package(file) if form == "package" else read_lines(file)
        book = MemoryBook()
        book.append([event for _, event in read])
        assert [to_text(event) for event in book.events()] == wanted
        assert dict(book.balances()) == dict(town.book.balances())
    with zipfile.ZipFile(io.BytesIO(town.client.get("/books/export/package").content)) as package:
        assert "datapackage.json" in package.namelist()


def test_a_file_is_looked_at_before_anything_is_added(desk: Visitor, town: Visitor) -> None:
    content = town.client.get("/books/export/events").content
    events, before = town.count(), desk.count()
    for name, file in (("town.jsonl", content), ("town.zip", town.client.get("/books/export/package").content)):
        page = desk.client.post("/books/export/look", files={"file": (name, file)})
        assert page.status_code == 200 and desk.count() == before
        assert f"Add {events:,} events" in page.text and name in page.text
    form = desk.form(page.text, "/books/export/take")
    for _ in range(2):  # sent twice: added once
        answer = desk.send(form)
        assert answer.status_code == 200 and desk.count() == before + events
    assert f"{events} events added" in answer.text
    again = desk.client.post("/books/export/look", files={"file": ("town.jsonl", content)})
    assert "0 new events" in again.text and "/books/export/take" not in again.text


def test_a_file_that_was_looked_at_before_the_ledger_changed_is_looked_at_again(desk: Visitor, town: Visitor) -> None:
    content = town.client.get("/books/export/events").content
    page = desk.client.post("/books/export/look", files={"file": ("town.jsonl", content)})
    bins.recount(desk.book, Context("tester", lambda: NOW, new_id), "copper-2", "5 kg")
    before = desk.count()
    answer = desk.send(desk.form(page.text, "/books/export/take"))
    assert answer.status_code == 422 and "once more" in answer.text and desk.count() == before


@pytest.mark.parametrize(
    "content", [b"", b"no ledger", b"PK\x03\x04 not a package", HOSTILE.encode(), b"\x00" * 10_000]
)
def test_a_file_that_is_no_ledger_is_refused_in_words(desk: Visitor, content: bytes) -> None:
    before = desk.count()
    answer = desk.client.post("/books/export/look", files={"file": ("<b>x.jsonl", content)})
    assert (answer.status_code, desk.count()) == (422, before)
    assert "expected" in answer.text and "partway-" not in answer.text and "<b>x" not in answer.text


def test_a_look_at_no_file_at_all(desk: Visitor) -> None:
    answer = desk.fill("/books/export", "/books/export/look")
    assert answer.status_code == 422 and "a file that partway wrote" in answer.text
