"""The books of a year: to the cent with the ledger, as a spreadsheet and as CSV, and nothing typed is ever run.

The spreadsheet is read by another library (openpyxl), the CSV by the standard library's reader.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from app_client import Visitor, visitor
from click.testing import CliRunner
from ledger_day import Day, found, stocked, trading_day

from partway.actions.bench import selling
from partway.actions.books.last_act import act_of
from partway.actions.books.money import paid, spend
from partway.actions.books.undoing import take_back
from partway.actions.curb.round_report import rounds_earned
from partway.actions.curb.rounds import past_round
from partway.actions.haul.hauls import finish, start
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.tickets import LineGiven, ticket
from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.reports.books.told.year import YearBooks, report_year, years_of
from partway.storage.refusals import BadLedger
from partway.storage.yearbook.files import as_csv, as_spreadsheet, form_of, guarded
from partway.valuing.earned import earned_in

HOSTILE = ('=HYPERLINK("http://x")', "+1+1", "-2+3", "@SUM(A1)", " =1+1", "＝1")


def books(day: Day, year: int = 2026) -> YearBooks:
    return report_year(day.book, year, day.now)


def traded() -> Day:
    """A ticket of 8 kg copper at 8 less 1.50, of which 40 is paid; a microwave for 30; fuel; a haul and a round."""
    day = trading_day(unit="kg")
    stocked(day, copper_2=10)
    day.do(start, ["harbour"])
    lines, less = [LineGiven("copper-2", "8 kg", "8 /kg", own="yard")], [("moisture", "1.50")]
    day.do(ticket, "harbour", lines, deductions=less)
    day.do(finish, km="28.5", minutes=65)
    day.do(paid, "harbour", "40")
    day.do(selling.sell, found(day, "microwave", mass="12 kg"), "30", fee="3.90")
    day.do(spend, "a full tank", "52.10", "fuel")
    day.do(past_round, "gull street", "7:00", "8:00", km="6")
    return day


def test_a_year_by_hand() -> None:
    now = books(traded())
    assert {one.category: one.amount for one in now.categories} == {
        "Sold to buyers": Decimal(64),
        "Taken off by buyers": Decimal("-1.5"),
        "Parts and whole things sold": Decimal(30),
        "Selling fees": Decimal("-3.9"),
        "Spent: fuel": Decimal("-52.1"),
    }
    assert (now.income, now.costs, now.net) == (Decimal(94), Decimal("-57.5"), Decimal("36.5"))
    assert now.received == 40
    (owed,) = now.open
    assert (owed.buyer, owed.total, owed.received, owed.open) == (
        "harbour",
        Decimal("62.5"),
        Decimal(40),
        Decimal("22.5"),
    )
    assert [(one.purpose, one.where, one.km) for one in now.drives] == [
        ("Collecting round", "gull street", 6),
        ("Haul to buyers", "harbour", Decimal("28.5")),
    ]
    assert now.km == Decimal("34.5")


def test_it_adds_up_with_the_ledger_also_after_something_was_taken_back() -> None:
    day = traded()
    day.do(spend, "blades", "12.34", "tools")
    day.do(take_back, [str(event.id) for event in act_of(day.book, day.context())], "typed twice")
    whole = earned_in(day.book.posted())
    now = books(day)
    assert "Spent: tools" not in {one.category for one in now.categories}
    assert sum((one.amount for one in now.lines), Decimal(0)) == now.net == whole.net
    assert sum((one.amount for one in now.categories), Decimal(0)) == now.net


def test_an_open_item_is_open_as_of_the_end_of_its_year() -> None:
    day = traded()
    day.now = dt.datetime(2027, 1, 5, 12, tzinfo=day.now.tzinfo)
    day.do(paid, "harbour", "22.50")
    assert [one.open for one in books(day).open] == [Decimal("22.5")]
    assert (books(day, 2027).open, books(day, 2027).received) == ((), Decimal("22.5"))
    assert years_of(day.book, day.now) == (2027, 2026)


def test_the_last_hour_of_a_year_is_of_that_year_where_one_lives() -> None:
    """At four hours west of Greenwich 11 in the evening of 31 December is the next year in UTC."""
    day = trading_day()
    day.now = dt.datetime(2026, 12, 31, 22, 58, tzinfo=day.now.tzinfo)
    day.do(spend, "gloves", "9.99", "tools")
    assert [one.day for one in books(day).lines] == [dt.date(2026, 12, 31)] and not books(day, 2027).lines


def sheets(written: bytes) -> dict[str, list[tuple[Any, ...]]]:
    workbook = openpyxl.load_workbook(io.BytesIO(written))
    return {sheet.title: list(sheet.values) for sheet in workbook.worksheets}


def tables(written: bytes) -> dict[str, list[list[str]]]:
    with zipfile.ZipFile(io.BytesIO(written)) as package:
        return {
            name.partition("-")[0]: list(csv.reader(io.StringIO(package.read(name).decode("utf-8-sig"), newline="")))
            for name in package.namelist()
        }


def test_both_forms_say_the_same_to_the_cent() -> None:
    now = books(traded())
    sheet, table = sheets(as_spreadsheet(now)), tables(as_csv(now))
    amounts = [row[4] for row in sheet["Money"][1:]]
    assert all(isinstance(one, int | float) for one in amounts) and any(one < 0 for one in amounts)
    assert sum(Decimal(str(one)) for one in amounts) == sum(Decimal(row[4]) for row in table["money"][1:]) == now.net
    assert sheet["Categories"][-1][2] == 36.5 and Decimal(table["categories"][-1][2]) == now.net
    assert sheet["Open items"][1][5] == 22.5 and Decimal(table["open"][1][5]) == Decimal("22.5")
    assert sheet["Mileage"][-1][3] == 34.5 and Decimal(table["mileage"][-1][3]) == now.km
    assert sheet["Money"][1][0] == dt.datetime(2026, 3, 14) and table["money"][1][0] == "2026-03-14"
    assert any("No tax advice" in str(row[0]) for row in sheet["Notes"])


def test_places_stand_in_a_sheet_of_their_own_and_in_no_sum() -> None:
    day = traded()
    finds, prices = standing.finds(day.book), scenario_from_book(day.book, day.now.date(), counting=False, waiting={})
    with_rounds = report_year(day.book, 2026, day.now, rounds_earned(day.book, prices, finds))
    assert with_rounds.lines == books(day).lines and with_rounds.net == books(day).net
    sheet, table = sheets(as_spreadsheet(with_rounds))["Places, estimated"], tables(as_csv(with_rounds))["places"]
    (one,) = with_rounds.places
    assert (one.place, one.rounds, one.km, one.minutes) == ("gull street", 1, Decimal(6), 60)
    assert len(sheet) == len(table) == 2
    assert sheet[1][:5] == ("gull street", 1, one.finds, 6, 60) and sheet[1][9] == round(one.per_hour or 0, 2)
    assert Decimal(table[1][9]) == Decimal(one.per_hour or 0).quantize(Decimal("0.01"))
    assert any("None of it is in a sum" in note for note in with_rounds.notes)


def test_no_text_is_ever_run_and_no_number_becomes_one() -> None:
    day = trading_day()
    for text in HOSTILE:
        day.do(spend, text, "1", "tools")
    now = books(day)
    workbook = openpyxl.load_workbook(io.BytesIO(as_spreadsheet(now)))
    cells = [cell for row in workbook["Money"].iter_rows(min_row=2) for cell in row]
    assert {cell.data_type for cell in cells} <= {"s", "n", "d"} and not any(cell.hyperlink for cell in cells)
    assert {text.strip() for text in HOSTILE} == {
        str(row[3]).strip() for row in sheets(as_spreadsheet(now))["Money"][1:]
    }
    rows = tables(as_csv(now))["money"][1:]
    assert all(row[3].startswith("'") for row in rows) and {Decimal(row[4]) for row in rows} == {-1}


@pytest.mark.parametrize("text", ["harbour yard", "a - b", "3 = 3", "'quoted", ""])
def test_a_plain_text_is_left_as_it_is(text: str) -> None:
    assert guarded(text) == text


def test_a_file_of_another_form_is_refused() -> None:
    with pytest.raises(Refused, match="xlsx"):
        form_of("books.pdf")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("town")


@pytest.fixture(scope="module")
def town(folder: Path) -> Iterator[Visitor]:
    """The invented months; no test here changes them."""
    with visitor(folder, demo=True) as v:
        yield v


def test_page_file_json_and_command_say_the_same(town: Visitor, folder: Path, tmp_path: Path) -> None:
    report = town.client.get("/api/year/2026").json()
    net = Decimal(str(report["net"]))
    written = town.client.get("/books/year/2026.xlsx")
    assert 'filename="books-2026.xlsx"' in written.headers["content-disposition"]
    assert sum(Decimal(str(row[4])) for row in sheets(written.content)["Money"][1:]) == net
    assert sum(Decimal(row[4]) for row in tables(town.client.get("/books/year/2026.zip").content)["money"][1:]) == net
    assert f"{net:,.2f}" in town.open("/books/year")
    file = tmp_path / "books.zip"
    workspace = ["--workspace", str(folder)]
    told = CliRunner().invoke(cli, ["year", "2026", "-o", str(file), *workspace])
    assert told.exit_code == 0 and f"{net:,.2f}" in told.output
    assert file.read_bytes() == town.client.get("/books/year/2026.zip").content
    again = CliRunner().invoke(cli, ["year", "2026", "-o", str(file), *workspace])
    assert isinstance(again.exception, BadLedger)


@pytest.mark.parametrize(
    "address", ["/books/year/2026.pdf", "/books/year/1066.zip", "/books/year?year=x", "/books/year/2026"]
)
def test_what_is_not_there_is_said(town: Visitor, address: str) -> None:
    assert town.client.get(address).status_code == 404
