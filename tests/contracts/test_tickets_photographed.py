"""A photograph of a ticket: its lines come into the ticket's form, and nothing is recorded before somebody looked."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from photographs import saved, scene

from partway.catalogue import shipped
from partway.ledger.events.kinds import Ticketed
from partway.pricelist.tickets.rows import read_ticket
from partway.storage.photographs.folder import FOLDER
from partway.web.haul import ticket_typed

SENT = saved(scene())


@pytest.fixture
def v(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path / "w", demo=True) as there:
        yield there


def stop_of(v: Visitor) -> tuple[str, list[dict[str, str]]]:
    """A stop of the haul under way that took something along: its page, and the lines it should have."""
    (haul,) = [one["id"] for one in v.client.get("/api/hauls").json() if one["status"] == "started"]
    stops = v.client.get(f"/api/hauls/{haul}").json()["stops"]
    stop = next(stop for stop in stops if len(stop["lines"]) > 1)
    return f"/haul/{haul}/ticket/{stop['buyer']}", stop["lines"]


def read(v: Visitor, page: str, text: str, monkeypatch: pytest.MonkeyPatch, content: bytes = SENT) -> tuple[int, str]:
    monkeypatch.setattr(ticket_typed, "can_read", lambda: True)
    monkeypatch.setattr(ticket_typed, "text_in", lambda sent: text)
    form = v.form(v.open(page), f"{page}/photograph#main")
    values = {name: value for name, value in form.values if name != "file"}
    answer = v.client.post(f"{page}/photograph", data=values, files={"file": ("a.jpg", content, "image/jpeg")})
    return answer.status_code, answer.text


def test_the_lines_come_into_the_form_and_are_recorded_after_a_look(
    v: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, (one, other, *_) = stop_of(v)
    text = f"""HARBOUR YARD
    TICKET NO. 10442
    {other["name"]}  0.08 lb  0.50 /lb  0.04
    {one["name"]}  0.8 lb  2.00 /lb  1.60
    TOTAL  1.64
    Thank <you>"""
    before, tickets = v.count(), len(list(v.book.events(("ticketed",))))
    status, shown = read(v, page, text, monkeypatch)
    assert status == 200 and "hold each line against the paper" in shown and "Thank &lt;you&gt;" in shown
    form = v.form(shown, page)
    given = dict(form.values)
    assert (given["mass_0"], given["price_0"], given["mass_1"], given["price_1"]) == (
        "0.8 lb",
        "2.00 /lb",
        "0.08 lb",
        "0.50 /lb",
    ), "each in the row of what the haul took along"
    assert (given["grade_0"], given["grade_1"], given["total"], given["number"]) == (
        one["grade"],
        other["grade"],
        "1.64",
        "10442",
    )
    assert v.count() == before and not (Path(v.book.where).parent / FOLDER).exists(), "nothing is saved by reading"
    answer = v.client.post(page, data={**given, "mass_0": "0.79 lb", "total": "1.62"}, follow_redirects=False)
    assert answer.status_code == 303, "as it was put right by whoever looked"
    *_, event = v.book.events(("ticketed",))
    assert isinstance(event.what, Ticketed) and len(list(v.book.events(("ticketed",)))) == tickets + 1
    assert {line.grade: line.price for line in event.what.lines} == {
        one["grade"]: Decimal("2.00"),
        other["grade"]: Decimal("0.50"),
    }
    assert (event.what.total, event.what.number) == (Decimal("1.62"), "10442")


def test_what_was_not_read_is_empty_and_said(v: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    """A mass that nobody could read, a sum that is not one, a name of nothing: each is said beside its line."""
    page, (one, other, *_) = stop_of(v)
    text = f"""{one["name"]}  ????  2.00 /lb  81.00
    {other["name"]}  12 lb  0.50 /lb  9.00
    Odds and ends  3 lb  1.00 /lb  3.00"""
    status, shown = read(v, page, text, monkeypatch)
    assert status == 200
    for words in ("The mass was not read.", "Mass times price is not the amount", "Which grade is it?"):
        assert shown.count(words) == 1, words
    given = dict(v.form(shown, page).values)
    rows = int(given["rows"])
    assert given["mass_0"] == "" and given["amount_1"] == "9.00" and given[f"grade_{rows - 1}"] == ""
    before = v.count()
    assert v.client.post(page, data=given).status_code == 422, "as it stands it is not recorded"
    assert v.count() == before


@pytest.mark.parametrize("content", [b"", b"<svg onload=alert(1)>", SENT[:200]])
def test_what_is_no_photograph_is_refused_with_one_message(
    content: bytes, v: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, _ = stop_of(v)
    monkeypatch.setattr("partway.photographs.reading.can_read", lambda: True)
    monkeypatch.setattr(ticket_typed, "can_read", lambda: True)
    before = v.count()
    form = v.form(v.open(page), f"{page}/photograph#main")
    values = {name: value for name, value in form.values if name != "file"}
    answer = v.client.post(f"{page}/photograph", data=values, files={"file": ("a.jpg", content, "image/jpeg")})
    assert answer.status_code == 422 and answer.text.count('role="alert"') == 1
    assert v.count() == before


def test_where_nothing_reads_the_page_says_what_it_takes(v: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    page, _ = stop_of(v)
    monkeypatch.setattr(ticket_typed, "can_read", lambda: False)
    shown = v.open(page)
    assert "/photograph#main" not in shown and "partway[reading]" in shown


@pytest.mark.parametrize(
    ("line", "unit", "comma", "expected"),
    [
        ("No. 2 copper  45.3 lb  4.10 /lb  185.73", "lb", False, ("copper-2", "45.3 lb", "4.10 /lb", "185.73", ())),
        ("No. 2 copper 45.3 4.10 185.73", "lb", False, ("copper-2", "45.3 lb", "4.10 /lb", "185.73", ())),
        ("No. 2 copper 52.0 6.7 45.3 4.10 185.73", "lb", False, ("copper-2", "45.3 lb", "4.10 /lb", "185.73", ())),
        ("No. 2 copper 45,3 kg 4,10 185,73", "kg", True, ("copper-2", "45,3 kg", "4,10 /kg", "185,73", ())),
        ("No. 2 copper 45,3 lb 4.10 /lb 185.73", "lb", False, ("copper-2", "", "4.10 /lb", "185.73", ("mass",))),
        ("HMS 1  1,250 lb  180 /short ton  112.50", "lb", False,
         ("heavy-melt-1", "1250 lb", "180 /short ton", "112.50", ())),
        ("Motors 30 lb $.40/1b = $12.00", "lb", False, ("motors", "30 lb", ".40 /lb", "12.00", ())),
        ("Motors 30 lb @ .40", "lb", False, ("motors", "30 lb", ".40 /lb", "", ("amount",))),
        ("Motors 30 lb .40 12.02", "lb", False, ("motors", "30 lb", ".40 /lb", "12.02", ("sum",))),
        ("Motors  26.4 1b0.41 /1b 10.82", "kg", False, ("motors", "26.4 lb", "0.41 /lb", "10.82", ())),
        ("Red brass  220.33.05671.92", "lb", False, ("brass-red", "", "", "", ("mass", "price", "amount"))),
        ("Copper 10 lb 4.00 40.00", "lb", False, ("", "10 lb", "4.00 /lb", "40.00", ("grade",))),
    ],
)  # fmt: skip
def test_a_line_as_it_is_printed(
    line: str, unit: str, comma: bool, expected: tuple[str, str, str, str, tuple[str, ...]]
) -> None:
    (row,) = read_ticket(line, shipped().grades, "CAD", unit, comma=comma).rows
    assert (row.grade, row.mass, row.price, row.amount, row.doubts) == expected


def test_what_is_no_line_is_kept_beside(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "RIDGE YARD\nTicket #A-2210\nSubtotal 40.00\nTotal weight 345 lb\n\nTOTAL: $366.23\nThank you"
    found = read_ticket(text, shipped().grades, "CAD", "lb")
    assert (found.rows, found.total, found.number) == ((), "366.23", "A-2210")
    assert found.rest == ("RIDGE YARD", "Subtotal 40.00", "Total weight 345 lb", "Thank you")
