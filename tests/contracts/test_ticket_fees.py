"""Fees of a ticket in every place that speaks of money, against sums worked out by hand.

A yard keeps back a share of what a ticket pays, and a flat sum (what a fee is: common practice, no source). All of it
is invented. What a place values has to be what is left: as if the yard quoted that much less, and kept back nothing.
"""

from __future__ import annotations

import io
import json
import re
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor
from click.testing import CliRunner
from pypdf import PdfReader

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.buyers.price_lists import read_list, save_list
from partway.actions.haul import hauls
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.home import settings
from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger import trading
from partway.pricelist import answer

KG = 1_000_000
PRICES = {"copper-2": "8.00", "motors": "1.20", "light-iron": "0.20", "copper-light": "6.80", "boards-low": "2.00"}
SETTINGS = {"currency": "CAD", "unit": "kg", "wage": "5", "locale": "en_CA", "zone": "UTC", "cost_per_km": "0.10"}
SOON = 120.0  # seconds after which a test gives up waiting for a plan; nothing is asserted of how long it takes


@contextmanager
def yard(share: str = "", flat: str = "", left: Decimal = Decimal(1)) -> Iterator[tuple[Visitor, Path]]:
    """A workspace with one yard, which quotes `left` of the usual prices."""
    with tempfile.TemporaryDirectory() as folder, visitor(Path(folder)) as v:
        for name, value in SETTINGS.items():
            settings.set_(v.book, v.context(), name, value)
        terms = buyers.Terms(
            kind="yard", name="harbour yard", km="2", minutes="10", ticket_share=share or None, ticket_fee=flat or None
        )
        buyers.buyer(v.book, v.context(), "harbour-yard", terms)
        for grade, price in PRICES.items():
            quoting.quote(v.book, v.context(), "harbour-yard", grade, f"{Decimal(price) * left} /kg")
        for grade in ("copper-2", "motors"):
            bins.add_bin(v.book, v.context(), grade)
        bins.recount(v.book, v.context(), "copper-2", 10 * KG)
        finds.find(v.book, v.context(), "microwave", works="no")
        yield v, Path(folder)


def got(v: Visitor, path: str) -> Any:
    answered = v.client.get(path)
    assert answered.status_code == 200, answered.text[:300]
    return answered.json()


def read(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


def run(folder: Path, *words: str) -> str:
    ended = CliRunner().invoke(cli, [*words, "--workspace", str(folder)], prog_name="partway")
    assert ended.exit_code == 0, ended.output
    return " ".join(ended.stdout.split())


# Every address that values something by what a buyer pays; a yard alone here, so that each speaks of it.
VALUES = [
    "/api/stock", "/api/filling", "/api/bins/copper-2/offers", "/api/bins/motors/offers", "/api/today", "/api/queue",
    "/api/depth?kind=microwave", "/api/identify?answer=magnet=none", "/api/in-sight?things=microwave&kg=20",
    "/api/curb", "/api/curb/microwave?works=no", "/api/curb/window-fan?works=yes",
    "/api/curb/bread-machine?works=unknown",
]  # fmt: skip
# What is said of the yard's own words, and of the moment: not what anything is worth.
SAID = {"price", "per_kg", "unit", "said", "ticket_share", "ticket_fee", "quoted_today", "quoted_flip", "flip", "today",
        "id", "order", "typed", "last", "clock"}  # fmt: skip


def worths(told: Any, path: str = "") -> Iterator[tuple[str, float]]:
    """All figures of an answer, by where they stand, but for what was said."""
    if isinstance(told, dict):
        for name, value in told.items():
            if name not in SAID or isinstance(value, (dict, list)):
                yield from worths(value, f"{path}.{name}")
    elif isinstance(told, list):
        for n, value in enumerate(told):
            yield from worths(value, f"{path}[{n}]")
    elif isinstance(told, (int, float)) and not isinstance(told, bool):
        yield path, float(told)


def test_what_things_are_worth_is_what_a_yard_leaves_of_its_prices() -> None:
    """Three quarters of each price, whether the yard quotes them or keeps a quarter back; and less than all of it."""
    with yard("25 %") as (v, _):
        kept_back = {path: dict(worths(got(v, path))) for path in VALUES}
    with yard(left=Decimal("0.75")) as (v, _):
        quoted = {path: dict(worths(got(v, path))) for path in VALUES}
    with yard() as (v, _):
        in_full = {path: dict(worths(got(v, path))) for path in VALUES}
    for path in VALUES:
        assert kept_back[path] == pytest.approx(quoted[path], rel=1e-6, abs=1e-6), path
    told = {path for path in VALUES if kept_back[path] != pytest.approx(in_full[path], rel=1e-6, abs=1e-6)}
    assert told == set(VALUES), set(VALUES) - told  # the fee shows in each of them


@pytest.fixture(scope="module")
def planned() -> Iterator[tuple[Visitor, Path, str]]:
    """A yard that keeps back a quarter of a ticket and 5 dollars, with a plan that sells it 10 kg at 8.00."""
    with yard("25 %", "5") as (v, folder):
        path = str(v.fill("/haul", "/haul").url.path)
        end = time.monotonic() + SOON
        while not v.client.get(f"{path}/now").json()["over"]:
            assert time.monotonic() < end, "no plan"
            time.sleep(0.05)
        yield v, folder, path.rpartition("/")[2]


def test_a_plan_and_its_papers_have_the_fee_off(planned: tuple[Visitor, Path, str]) -> None:
    """What 10 kg in a bin and a microwave make at 8.00 and the like, on the ticket; a quarter and 5 are kept back."""
    v, _, job = planned
    plan = got(v, f"/api/plan/{job}")["plan"]
    (sale,) = [line for line in plan["sales"] if line["grade"] == "copper-2"]
    (stop,) = plan["stops"]
    gross = sum(line["amount"] for line in plan["sales"])
    fee = gross / 4 + 5
    assert sale["price_per_kg"] == pytest.approx(8.0) and sale["amount"] == pytest.approx(8.0 * sale["mass_kg"])
    assert (stop["fee"], stop["expected"]) == (pytest.approx(fee), pytest.approx(gross - fee))
    assert stop["low"] < stop["expected"] < stop["high"] < gross
    assert (plan["money"]["sales"], plan["money"]["fees"]) == (pytest.approx(gross), pytest.approx(-fee))
    assert plan["cash"]["expected"] == pytest.approx(gross - fee + plan["money"]["driving"] + plan["money"]["parts"])
    road = plan["money"]["driving"] - 5.0 * plan["hours"]["away"]  # an hour counts 5
    assert plan["go_because"]["worth"] == pytest.approx(gross - fee + road)
    paid, off = f"${gross - fee:.2f}", f"Its fee of ${fee:.2f} is off."
    for page in (f"/haul/plan/{job}", f"/haul/load/{job}/1"):
        assert paid in read(v.open(page)) and off in read(v.open(page)), page
    pdf = PdfReader(io.BytesIO(v.client.get(f"/haul/load/{job}/1/sheet.pdf").content))
    text = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
    assert paid in text and off in text and f"${gross:.2f}" not in text


def test_a_plan_at_the_terminal_names_the_fee(planned: tuple[Visitor, Path, str]) -> None:
    _, folder, _ = planned
    (stop,) = json.loads(run(folder, "plan", "--json"))["stops"]
    assert f"harbour yard keeps back CAD {stop['fee']:.2f} as its fee" in run(folder, "plan")


def test_what_a_bin_is_worth_has_the_share_off_and_names_the_flat_fee() -> None:
    with yard("25 %", "5") as (v, folder):
        (at,) = got(v, "/api/bins/copper-2/offers")["at_buyers"]
        assert (at["value"], at["net_per_kg"], Decimal(at["ticket_fee"])) == (60.0, 6.0, Decimal(5))
        page, told = read(v.open("/bins/copper-2")), run(folder, "bin", "copper-2")
        for said in (page, told):
            assert "$60.00" in said and "after its share of the ticket" in said
            assert "each ticket there costs $5.00" in said
        assert "less $5.00 a ticket" in read(v.open("/bins"))
        assert "Each ticket of harbour yard costs $5.00, which is in no bin's worth" in run(folder, "stock")
        assert "keeps back 25 % and $5.00 of each ticket that pays" in read(v.open("/prices"))
        for said in (read(v.open("/buyers/harbour-yard")), run(folder, "buyer", "harbour-yard")):
            assert "Keeps back 25 % and $5.00 of each ticket that pays" in said
        pdf = PdfReader(io.BytesIO(v.client.get("/papers/prices/harbour-yard.pdf").content))
        assert "Keeps back 25 % and $5.00" in " ".join(pdf.pages[0].extract_text().split())


def sold(v: Visitor, *more: Any, total: str | None = None, less: Any = ()) -> Any:
    """10 kg at 8.00 on a ticket, back in the bin for the next one."""
    line = [LineGiven("copper-2", "10 kg", "8.00 /kg", own="yard"), *more]
    told = ticket(v.book, v.context(), "harbour-yard", line, total, less).result
    bins.recount(v.book, v.context(), "copper-2", 10 * KG)
    return told


def test_a_ticket_has_its_fee_and_that_is_no_doubt() -> None:
    with yard("25 %", "5") as (v, folder):
        told = sold(v)  # no total said: the fee is off, and named
        assert (told.total, told.deductions, told.gap) == (55, (("fee", Decimal(25)),), 0)
        assert "less fee: $25.00" in run(folder, "ticket", "harbour-yard", "copper-2 10 kg at 8.00 /kg ~yard")
        bins.recount(v.book, v.context(), "copper-2", 10 * KG)
        assert sold(v, total="55.00").deductions == (("fee", Decimal(25)),)  # just so much less than its lines
        assert sold(v, total="80.00").deductions == ()  # none was kept back this time
        as_said = sold(v, less=[("admin fee", "25.00")])
        assert (as_said.total, as_said.verdict) == (55, told.verdict)
        more = sold(v, less=[("admin fee", "30.00")])  # five more than its terms say
        assert more.verdict != told.verdict and "5.00" in more.say
        wet = sold(v, less=[("moisture", "2.00")])
        assert (wet.total, dict(wet.deductions)) == (53, {"moisture": Decimal(2), "fee": Decimal(25)})
        with pytest.raises(Refused, match="while the lines less deductions"):
            sold(v, total="50.00")


def test_a_haul_should_come_to_what_is_left_and_the_books_have_what_came() -> None:
    with yard("25 %", "5") as (v, folder):
        hauls.start(v.book, v.context(), ["harbour-yard"])
        (stop,) = got(v, "/api/hauls/haul-1")["stops"]
        assert (Decimal(stop["expected"]), Decimal(stop["fee"])) == (Decimal(55), Decimal(25))
        assert "should come to $55.00 with its fee of $25.00 off" in read(v.open("/haul/haul-1"))
        assert "should come to $55.00, its fee of $25.00 off" in run(folder, "haul", "show", "haul-1")
        form = v.open("/haul/haul-1/ticket/harbour-yard?masses=planned")
        assert "$55.00 its fee of $25.00 off" in read(form)
        ticket(
            v.book, v.context(), "harbour-yard", [LineGiven("copper-2", "10 kg", "8.00 /kg", own="yard")], haul="haul-1"
        )
        (line,) = got(v, "/api/per-yard?months=0")["lines"]
        assert Decimal(line["sales"]) + Decimal(line["deductions"]) == 55
        owed = next(iter(trading.owed(v.book).values()))
        assert owed.open == 55


def test_nothing_is_kept_back_where_nothing_is_sold() -> None:
    with yard("25 %", "5") as (v, _):
        quoting.quote(v.book, v.context(), "harbour-yard", "light-iron", "-0.10 /kg")
        bins.add_bin(v.book, v.context(), "light-iron")
        bins.recount(v.book, v.context(), "light-iron", 50 * KG)
        told = ticket(
            v.book, v.context(), "harbour-yard", [LineGiven("light-iron", "50 kg", "-0.10 /kg", own="yard")]
        ).result
        assert (told.total, len(told.deductions)) == (Decimal(-5), 0)
        bins.recount(v.book, v.context(), "light-iron", 50 * KG)
        mixed = sold(v, LineGiven("light-iron", "50 kg", "-0.10 /kg", own="yard"))
        assert mixed.total == 50  # 80 - 5, a quarter of 80, and 5


SAYINGS = {
    "2% admin on the ticket": (0, "0.02"),
    "5 a load": (5, 0),
    "three bucks scale fee": (3, 0),
    "1.5 % handling fee, $2 scale fee": (2, "0.015"),
}


@pytest.mark.parametrize(("said", "fee"), SAYINGS.items())
def test_a_list_asks_once_whether_a_fee_counts(said: str, fee: tuple[Any, Any]) -> None:
    with yard() as (v, _):
        text = f"no 2 copper 8.20\n{said}"
        lines = read_list(v.book, "harbour-yard", text)
        asks = [line for line in lines if line.question]
        assert {line.asks for line in asks} == {"fee"}
        with pytest.raises(Refused):
            save_list(v.book, v.context(), "harbour-yard", lines)
        for line in asks:
            lines = answer(lines, line.position, "yes")
        told = save_list(v.book, v.context(), "harbour-yard", lines).result
        terms = trading.buyers(v.book)["harbour-yard"]
        assert (terms.ticket_fee, terms.ticket_share) == (Decimal(fee[0]), Decimal(fee[1])) == told.keeps_back
        assert terms.note == ""
        again = read_list(v.book, "harbour-yard", text)
        assert not [line for line in again if line.question]
        save_list(v.book, v.context(), "harbour-yard", again)
        assert trading.buyers(v.book)["harbour-yard"] == terms
        dearer = read_list(v.book, "harbour-yard", "no 2 copper 8.20\n9 % admin fee, $9 scale fee")
        assert [line.asks for line in dearer if line.question]


def test_a_fee_that_is_none_stays_in_the_note_and_is_not_asked_again() -> None:
    with yard() as (v, _):
        text = "no 2 copper 8.20\n2% admin on the ticket"
        lines = read_list(v.book, "harbour-yard", text)
        (asks,) = [line for line in lines if line.question]
        save_list(v.book, v.context(), "harbour-yard", answer(lines, asks.position, "no"))
        terms = trading.buyers(v.book)["harbour-yard"]
        assert (terms.note, terms.ticket_share) == ("2% admin on the ticket", Decimal(0))
        assert not [line for line in read_list(v.book, "harbour-yard", text) if line.question]


@pytest.mark.parametrize("said", ["10 cents off a pound if wet", "5% deducted if wet", "minimum 50 lb a load"])
def test_what_is_no_fee_of_each_ticket_is_not_asked_about(said: str) -> None:
    with yard() as (v, _):
        lines = read_list(v.book, "harbour-yard", f"no 2 copper 8.20\n{said}")
        assert [line.asks for line in lines if line.question] == []


@pytest.mark.parametrize("share", ["2", "100 %", "-2 %", "two", "0.02", "2 % 3 %"])
def test_a_share_that_is_none_is_refused_and_nothing_written(share: str) -> None:
    with yard("2 %", "3") as (v, _):
        before = v.count()
        with pytest.raises(Refused, match="percent"):
            buyers.buyer(v.book, v.context(), "harbour-yard", buyers.Terms(ticket_share=share, ticket_fee="9"))
        with pytest.raises(Refused, match="an amount"):
            buyers.buyer(v.book, v.context(), "harbour-yard", buyers.Terms(ticket_fee="-1"))
        assert v.count() == before


def test_terms_of_a_form_change_and_end() -> None:
    with yard() as (v, folder):
        sent = {"terms-ticket_fee": "5", "terms-ticket_share": "2.5 %"}
        v.fill("/buyers/harbour-yard", "/buyers/harbour-yard/terms", **sent)
        terms = trading.buyers(v.book)["harbour-yard"]
        assert (terms.ticket_fee, terms.ticket_share) == (Decimal(5), Decimal("0.025"))
        v.fill("/buyers/harbour-yard", "/buyers/harbour-yard/terms", **dict.fromkeys(sent, ""))
        assert trading.buyers(v.book)["harbour-yard"].ticket_share == 0
        run(folder, "buyer", "harbour-yard", "--ticket-fee", "3.50", "--ticket-share", "1 %")
        body = {"buyer": "harbour-yard", "ticket_share": "two percent"}
        assert v.client.post("/api/buyer", json=body).status_code == 200
        terms = trading.buyers(v.book)["harbour-yard"]
        assert (terms.ticket_fee, terms.ticket_share) == (Decimal("3.50"), Decimal("0.02"))


def test_a_list_that_says_a_fee_alone_is_told_where_it_goes() -> None:
    with yard() as (v, _):
        before = v.count()
        with pytest.raises(Refused, match="terms"):
            read_list(v.book, "harbour-yard", "2% admin on the ticket")
        assert v.count() == before
