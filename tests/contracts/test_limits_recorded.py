"""Limits of buyers and days as a person records them: on the pages, by the JSON interface, in the plan that follows."""

from __future__ import annotations

import datetime as dt
import json
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import NOW, Visitor, visitor
from click.testing import CliRunner, Result
from workspaces import made

from partway.actions.bins import bins
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.actions.plans.plan import plan
from partway.cli import main
from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger import trading

KG_PER_LB = 0.45359237  # exact: yard and pound agreement of 1959
DAY = NOW.date()  # a Friday


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        for name, value in (("currency", "CAD"), ("unit", "lb"), ("wage", "10")):
            set_(there.book, there.context(), name, value)
        buyer(there.book, there.context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
        bins.add_bin(there.book, there.context(), "lead-acid", holds="400 lb")
        yield there


def test_five_batteries_at_six_each_from_the_page_to_the_plan(there: Visitor) -> None:
    saved = there.fill(
        "/buyers/harbour",
        "/buyers/harbour/quote",
        **{
            "quote-grade": "lead-acid",
            "quote-price": "6",
            "quote-unit": "each",
            "quote-piece": "40 lb",
            "quote-most": "5 pieces",
        },
    )
    assert saved.status_code in (200, 303)
    (heard,) = trading.quotes(there.book, "harbour")
    assert (heard.most_pieces, heard.each, heard.most_mg) == (5, True, 0)
    assert heard.piece_mg == round(40 * KG_PER_LB * 1e6)
    page = there.open("/buyers/harbour")
    assert "6.00 each, at most 5" in page
    set_(there.book, there.context(), "keep_factor", "0.8")  # by the price of room they would wait for a load
    report = plan(scenario_from_book(there.book, DAY))
    (sale,) = report.sales
    assert sale.pieces == pytest.approx(5.0, abs=1e-6) and sale.amount == pytest.approx(30.0, abs=1e-3)


def test_what_one_weighs_belongs_to_a_number_of_pieces(there: Visitor) -> None:
    with pytest.raises(Refused, match="what one piece weighs"):
        quote(there.book, there.context(), "harbour", "lead-acid", "0.20 /lb", most="5 pieces")
    with pytest.raises(Refused, match="at least the smallest lot"):
        quote(there.book, there.context(), "harbour", "lead-acid", "0.20 /lb", minimum="10 lb", most="5 lb")
    quote(there.book, there.context(), "harbour", "lead-acid", "0.20 /lb", most="300 lb")
    (sale,) = plan(scenario_from_book(there.book, DAY)).sales
    assert sale.mass_kg == pytest.approx(300 * KG_PER_LB)


def test_opening_hours_are_typed_on_the_page_and_a_closed_day_is_not_driven(there: Visitor) -> None:
    quote(there.book, there.context(), "harbour", "lead-acid", "0.50 /lb")
    typed = {"terms-open": "mon-thu 8:00-16:30; sat 08:00-12:00"}
    there.fill("/buyers/harbour", "/buyers/harbour/terms", **typed)
    assert trading.buyers(there.book)["harbour"].open == ("mon-thu 8:00-16:30", "sat 08:00-12:00")
    assert "Open mon-thu 8:00-16:30, sat 08:00-12:00." in there.open("/buyers/harbour")
    report = plan(scenario_from_book(there.book, DAY))
    assert report.routes == () and any("opens on 21 March 2026" in note for note in report.notes)
    tomorrow = scenario_from_book(there.book, DAY + dt.timedelta(days=1))
    assert plan(tomorrow).routes == (("harbour",),) and "leave not set, taken as 08:00." in tomorrow.notes
    bad = there.fill("/buyers/harbour", "/buyers/harbour/terms", **{"terms-open": "weekdays till five"})
    assert bad.status_code == 422 and "opening hours such as" in bad.text


def test_settings_of_trips_and_lifting_reach_the_plan(there: Visitor) -> None:
    for name, value in (("trip", "2.5"), ("leave", "9:30"), ("helpers", "1"), ("lift", "90 lb")):
        set_(there.book, there.context(), name, value)
    it = scenario_from_book(there.book, DAY)
    assert (it.hours.trip, it.hours.leave, it.hours.helpers) == (2.5, 9.5, 1)
    assert it.vehicle is not None and it.vehicle.lift_kg == pytest.approx(90 * KG_PER_LB)


def test_the_json_interface_takes_all_of_it(there: Visitor) -> None:
    hours = {"buyer": "ridge", "kind": "yard", "km": "4", "open": ["sat 08:00-12:00"]}
    said = {"buyer": "ridge", "grade": "lead-acid", "price": "6 each", "piece": "40 lb", "most": "5 pieces"}
    for address, body in (("/api/buyer", hours), ("/api/quote", said)):
        answer = there.client.post(address, json=body)
        assert answer.status_code == 200, answer.text
    assert trading.buyers(there.book)["ridge"].open == ("sat 08:00-12:00",)
    assert [q.most_pieces for q in trading.quotes(there.book, "ridge")] == [5]


def test_all_of_it_by_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(made(tmp_path / "mine")))

    def run(*words: str, status: int = 0) -> str:
        monkeypatch.setattr(sys, "argv", ["partway", *words])
        with pytest.raises(SystemExit) as left:
            main()
        out, err = capsys.readouterr()
        assert (left.value.code or 0) == status, err
        return out or err

    for name, value in (("currency", "CAD"), ("unit", "kg"), ("wage", "0"), ("lift", "40 kg"), ("trip", "3")):
        run("set", name, value)
    hours = "no hours at all"
    assert "opening hours such as" in run("buyer", "harbour", "--kind", "yard", "--open", hours, status=2)
    days = [word for day in ("mon-fri 00:00-24:00", "sat,sun 00:00-24:00") for word in ("--open", day)]
    run("buyer", "harbour", "--kind", "yard", "--km", "9", *days)
    run("quote", "harbour", "lead-acid", "6 each", "--piece", "18 kg", "--most", "5 pieces")
    run("bin", "lead-acid", "--holds", "200 kg")
    (sale,) = json.loads(run("plan", "--json"))["sales"]
    assert sale["pieces"] == pytest.approx(5.0, abs=1e-6) and sale["each"] == pytest.approx(6.0, abs=1e-3)
    assert "5 at 6.00 each" in run("plan")


LIST = "car batteries 6 each of 40 lb max 5, no 2 copper 4.10 max 400 lb"


def test_a_list_says_the_most_and_by_the_piece_from_the_page_to_the_plan(there: Visitor) -> None:
    page = there.fill("/buyers/harbour/list", "/buyers/harbour/list", text=LIST)
    assert "6.00 each, one weighs 40 lb, max 5 pieces" in page.text and "All understood" in page.text
    saved = there.send(there.form(page.text, "/buyers/harbour/list"), step="save")
    assert saved.url.path == "/buyers/harbour", saved.text
    heard = {q.grade: q for q in trading.quotes(there.book, "harbour")}
    assert (heard["lead-acid"].most_pieces, heard["lead-acid"].each) == (5, True)
    assert heard["lead-acid"].piece_mg == round(40 * KG_PER_LB * 1e6)
    assert (heard["copper-2"].most_mg, heard["copper-2"].each) == (round(400 * KG_PER_LB * 1e6), False)
    assert "6.00 each, at most 5" in there.open("/buyers/harbour")
    set_(there.book, there.context(), "wage", "0")  # so that it goes at once
    (sale,) = plan(scenario_from_book(there.book, DAY)).sales
    assert sale.pieces == pytest.approx(5.0, abs=1e-6) and sale.amount == pytest.approx(30.0, abs=1e-3)


def test_the_next_list_knows_what_one_weighs_and_says_which_maximum_ends(there: Visitor) -> None:
    said = {"buyer": "harbour", "text": LIST}
    assert there.client.post("/api/quotes", json=said).status_code == 200
    again = {"buyer": "harbour", "text": "car batteries 7 each, no 2 copper 4.20"}
    rows = [one["row"] for one in there.client.post("/api/quotes/preview", json=again).json()]
    assert [row["read_as"] for row in rows] == [
        "Lead-acid batteries 7.00 each, one weighs 40 lb",
        "No. 2 copper 4.20 /lb",
    ]
    assert [row["most_ends"] for row in rows] == ["at most 5 pieces", "at most 400 lb"]
    page = there.fill("/buyers/harbour/list", "/buyers/harbour/list", text=again["text"])
    assert "Until now at most 5 pieces: that ends, this price says none." in page.text
    assert there.client.post("/api/quotes", json=again).status_code == 200
    assert [(q.most_mg, q.most_pieces) for q in trading.quotes(there.book, "harbour")] == [(0, 0), (0, 0)]


def test_what_one_piece_weighs_is_asked_on_the_page(there: Visitor) -> None:
    page = there.fill("/buyers/harbour/list", "/buyers/harbour/list", text="lead acid batteries 6 each max 5")
    assert "what does one piece weigh" in page.text and "What one piece weighs" in page.text
    told = there.send(there.form(page.text, "/buyers/harbour/list"), **{"other-1": "40 lb"})
    assert "6.00 each, one weighs 40 lb, max 5 pieces" in told.text


def test_a_list_by_command_tells_the_maximum_that_ends(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(made(tmp_path / "mine")))

    def run(*words: str) -> Result:
        result = CliRunner().invoke(cli, words)
        assert result.exit_code == 0, result.output
        return result

    for name, value in (("currency", "CAD"), ("unit", "lb")):
        run("set", name, value)
    run("buyer", "harbour", "--kind", "yard", "--km", "9")
    assert "Lead-acid batteries 6.00 each, one weighs 40 lb, max 5 pieces" in run("quotes", "harbour", LIST).stderr
    again = run("quotes", "harbour", "car batteries 7 each max 8, no 2 copper 4.20").stderr
    assert "until now at most 400 lb: that ends" in again and "at most 5 pieces: that ends" not in again
