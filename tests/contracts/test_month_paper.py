"""A month on paper: money to the cent and mass to the gram as the ledger has them, whichever month it is."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from papers import FIRE, HOSTILE, SIZES, WRITTEN, YARD, asked, colours_of, pages_of, size_of, text_of

from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.buyers import buyers
from partway.actions.haul import tickets
from partway.actions.home import settings
from partway.actions.recording.context import Context
from partway.paper.month import month_paper
from partway.reports.books.told.month import MonthReport, report_month
from partway.web.pocket.carried.all import Carrying


def on(v: Visitor, month: int, day: int, hour: int = 12) -> Context:
    """Recorded as of a day of 2026."""
    return replace(v.context(), happened=dt.datetime(2026, month, day, hour, tzinfo=dt.UTC))


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """A ticket in February and one in March, spendings and hours in both, at a yard whose name would be markup."""
    with visitor(tmp_path_factory.mktemp("month")) as v:
        for name, value in {"currency": "CAD", "unit": "kg", "locale": "en_CA"}.items():
            settings.set_(v.book, v.context(), name, value)
        buyers.buyer(v.book, on(v, 1, 1), "harbour", buyers.Terms(kind="yard", name=HOSTILE, km="9"))
        bins.add_bin(v.book, on(v, 1, 2), "motors", holds="50 kg")
        tickets.ticket(
            v.book, on(v, 2, 28, 23), "harbour", [tickets.LineGiven("motors", "10.001 kg", "0.80 /kg", own="yard")]
        )
        tickets.ticket(
            v.book, on(v, 3, 1, 0), "harbour", [tickets.LineGiven("motors", "12.345 kg", "1.00 /kg", own="yard")]
        )
        money.spend(v.book, on(v, 2, 14), "fuel, full tank", "62.43", "fuel")
        money.spend(v.book, on(v, 3, 14), "blades", "9.99", "saw-blades")
        money.hours(v.book, on(v, 3, 15), "collect", "2 h")
        yield v


def report(town: Visitor, month: int) -> MonthReport:
    return report_month(town.book, dt.date(2026, month, 1), town.context().clock())


@pytest.fixture(scope="module")
def march(town: Visitor) -> str:
    answer = town.client.get("/papers/month/2026-03.pdf")
    assert answer.status_code == 200 and answer.headers["content-type"] == "application/pdf"
    assert size_of(answer.content) == pytest.approx(SIZES["letter"], abs=0.5) and colours_of(answer.content) == 0
    return text_of(answer.content)


def test_march_by_hand(march: str) -> None:
    """12.345 kg at 1.00 are 12.35; less 9.99 leaves 2.36, over two hours 1.18 an hour; 50 - 22.346 kg are left."""
    for said in ("Left: $2.36, $1.18 an hour", "$12.35", "-$9.99", "Collect 2 h", "12.345 kg", "27.654 kg"):
        assert said in march, said
    assert "up to 20 March 2026" in march and "No tax advice" in march


def test_february_ends_where_march_begins(town: Visitor) -> None:
    """10.001 kg at 0.80 are 8.00, less 62.43; 39.999 kg were there at its end."""
    text = text_of(town.client.get("/papers/month/2026-02.pdf").content)
    for said in ("Left: -$54.43", "all of it", "10.001 kg", "39.999 kg"):
        assert said in text, said
    assert "Collect" not in text and "$12.35" not in text


def test_the_months_add_up_to_the_ledger_to_the_cent_and_to_the_milligram(town: Visitor) -> None:
    every = [report(town, month) for month in (1, 2, 3)]
    for one in every:
        assert sum((line.amount for line in one.money), Decimal(0)) == one.earned.net
    cash = ("sales:", "deductions:", "parts", "spent:")
    ledger = sum((sum_ for name, sum_ in town.book.accounts().items() if name.startswith(cash)), Decimal(0))
    assert sum((one.earned.net for one in every), Decimal(0)) == ledger == Decimal("-52.07")  # by hand: -54.43 + 2.36
    gone = sum(town.book.balances("buyer:harbour").values())
    assert sum(one.ends.recycled for one in every) == gone == 22_346_000
    assert every[-1].ends.stock == sum(town.book.balances("bin:").values())
    assert sum(one.ends.came for one in every) == 50_000_000


def test_a_name_stays_text_and_what_the_fonts_lack_is_named(march: str) -> None:
    assert f"Sold to buyers: {WRITTEN}" in march and "Spent: saw blades" in march and FIRE in march
    assert any(word in march for word in YARD)


def test_what_is_in_doubt_says_so_and_a_long_month_goes_on(town: Visitor) -> None:
    known, one = Carrying(town.book, town.context().clock()), report(town, 3)
    many = replace(
        one, doubt="two devices disagree", money=tuple(replace(one.money[0], of=f"yard {n}") for n in range(90))
    )
    pages = pages_of(month_paper(many, known.show, "a4").pdf)
    text = " ".join(pages)
    assert len(pages) > 1 and f"page 1 of {len(pages)}" in pages[0]
    assert text.index("In doubt: two devices disagree") < text.index("Came in", text.index("Where the weight went"))
    assert [n for n in range(90) if not re.search(rf"yard {n}\b", text)] == []


@pytest.mark.parametrize("month", ["2026-04", "2026-13", "march", "0000-01", "2026-3"])
def test_no_paper_of_a_month_that_is_none(town: Visitor, tmp_path: Path, month: str) -> None:
    town.open(f"/papers/month/{month}.pdf", 404)
    status, said = asked(town, "month", "2999-01" if month == "2026-04" else month, "-o", str(tmp_path / "m.pdf"))
    assert status == 2 and "a month up to this one" in said and list(tmp_path.iterdir()) == []


def test_the_command_writes_the_same_and_never_twice(town: Visitor, tmp_path: Path) -> None:
    file = tmp_path / "feb.pdf"
    status, said = asked(town, "month", "2026-02", "-o", str(file), "--json")
    assert status == 0 and json.loads(said)["left"] == "-54.43", said
    page = town.client.get("/papers/month/2026-02.pdf").content
    assert text_of(file.read_bytes()) == text_of(page)
    assert asked(town, "month", "-o", str(file))[0] == 2
    assert 'href="/papers/month/2026-03.pdf"' in town.open("/books")
