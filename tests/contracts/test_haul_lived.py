"""Hauls lived as a user does, by page, JSON and command alike: what each took along, one ticket quickly, the sheet."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from decimal import Decimal
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor
from hung import HUNG
from waiting import until
from warm import commands

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.haul import hauls
from partway.actions.home import settings
from partway.ledger import trading
from partway.reports.geo import geo_uri
from partway.storage.workspace import FILE

KG = 1_000_000
STOCK = {"copper-2": "9", "light-iron": "0.30", "motors": "0.80", "brass-yellow": "5", "wire-building": "3"}


def words(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


@pytest.fixture
def town(tmp_path: Path) -> Iterator[Visitor]:
    """Five grades of 20 kg in the bins that the harbour yard quotes. Invented."""
    with visitor(tmp_path) as v:
        known = {"currency": "CAD", "unit": "kg", "locale": "en_CA", "cost_per_km": "0.40", "wage": "12"}
        for name, value in known.items():
            settings.set_(v.book, v.context(), name, value)
        buyers.buyer(v.book, v.context(), "harbour-yard", buyers.Terms(kind="yard", name="harbour yard", km="9"))
        for grade, price in STOCK.items():
            quoting.quote(v.book, v.context(), "harbour-yard", grade, f"{price} /kg")
            bins.add_bin(v.book, v.context(), grade)
            bins.recount(v.book, v.context(), grade, 20 * KG)
        yield v


def started(v: Visitor, note: str = "") -> str:
    return str(hauls.start(v.book, v.context(), ["harbour-yard"], note).result.haul)


def test_page_and_json_say_what_it_took_along_after_the_bins_changed(town: Visitor) -> None:
    started(town)
    bins.recount(town.book, town.context(), "copper-2", 90 * KG)
    page = words(town.open("/haul/haul-1"))
    assert "Taken along, as it was in the bins" in page and "20 kg at $9.00/kg" in page and "90 kg" not in page
    (stop,) = town.client.get("/api/hauls/haul-1").json()["stops"]
    took = {line["grade"]: (line["took_mg"], line["amount"]) for line in stop["lines"]}
    assert took["copper-2"] == (20 * KG, "180.00")  # 20 x 9.00


def test_two_hauls_promise_a_bin_once_on_page_and_in_json(town: Visitor) -> None:
    started(town, "Planned: harbour-yard copper-2 20 kg at 9")
    started(town)
    page = town.open("/haul/haul-2")
    assert '<a href="/haul/haul-1">another haul</a>' in page and "20 kg more ride with" in words(page)
    (stop,) = town.client.get("/api/hauls/haul-2").json()["stops"]
    copper = next(line for line in stop["lines"] if line["grade"] == "copper-2")
    assert (copper["took_mg"], copper["short_mg"], copper["held_by"]) == (0, 20 * KG, ["haul-1"])
    body = {"stops": ["harbour-yard"], "note": "Planned: harbour-yard copper-2 5 kg at 9"}
    refused = town.client.post("/api/haul/start", json=body)
    assert refused.status_code == 422 and "haul-1 has 20.0 kg along" in refused.text


def test_a_plan_leaves_out_what_rides_already_by_page_json_and_command(town: Visitor, tmp_path: Path) -> None:
    started(town, "Planned: harbour-yard copper-2 20 kg at 9; harbour-yard motors 5 kg at 0.8")
    stock = town.client.get("/api/scenario").json()["stock"]
    assert "copper-2" not in stock and stock["motors"] == "15 kg" and stock["brass-yellow"] == "20 kg"
    page = words(town.open(planned(town)))
    assert "Under way: harbour yard . What that took along is not planned again" in page
    note = (
        "The haul to harbour yard is under way, and what it took along is left out of the plan: No. 2 copper (20.0 kg)"
    )
    assert note in page
    assert note in json.loads(command(tmp_path, "plan", "--json").stdout)["notes"][-1]


def test_by_command_a_haul_says_what_it_takes_along(town: Visitor, tmp_path: Path) -> None:
    first = command(tmp_path, "haul", "start", "harbour-yard", "--note", "Planned: harbour-yard copper-2 15 kg at 9")
    assert first.returncode == 0 and "takes along 15 kg of No. 2 copper" in first.stdout
    second = command(tmp_path, "haul", "start", "harbour-yard", "--note", "Planned: harbour-yard copper-2 6 kg at 9")
    assert second.returncode == 2 and second.stdout == ""
    assert (
        "at most the 5.0 kg that no haul under way took along: today's haul, harbour yard [haul-1] has" in second.stderr
    )
    shown = command(tmp_path, "haul", "show", "haul-1")
    assert "took along 15 kg of No. 2 copper" in shown.stdout
    told = json.loads(command(tmp_path, "haul", "show", "haul-1", "--json").stdout)
    assert told["stops"][0]["lines"][0]["took_mg"] == 15 * KG


def command(where: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Forked from one that has imported the command line (tests/warm.py)."""
    return commands().run("partway.cli:main", *arguments, **_settings(where))


def _call(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "partway", *arguments]


def _env(where: Path) -> dict[str, str]:
    return os.environ | _settings(where)


def _settings(where: Path) -> dict[str, str]:
    return {"PARTWAY_WORKSPACE": str(where), "PARTWAY_WHO": "me", "COLUMNS": "500"}


def test_of_two_processes_that_set_out_at_once_one_has_the_bin(town: Visitor, tmp_path: Path) -> None:
    assert (tmp_path / FILE).exists()
    lot = "Planned: harbour-yard copper-2 20 kg at 9"
    call = _call("haul", "start", "harbour-yard", "--note", lot)
    both = [
        subprocess.Popen(call, env=_env(tmp_path), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)  # noqa: S603
        for _ in range(2)
    ]
    said = [process.communicate(timeout=HUNG) for process in both]
    assert sorted(process.returncode for process in both) == [0, 2], said
    assert len(trading.hauls(town.book)) == 1


# -- the ticket ---------------------------------------------------------------------------------------

TICKET = "/haul/haul-1/ticket/harbour-yard"


def typed(v: Visitor, **masses: str) -> dict[str, str]:
    """Bare numbers, by grade, in the fields of their rows."""
    form = dict(v.form(v.open(TICKET), TICKET).values)
    return {f"mass_{name[6:]}": masses[g] for name, g in form.items() if name.startswith("grade_") and g in masses}


def test_five_lines_are_five_bare_numbers(town: Visitor) -> None:
    started(town)
    before = town.count()
    masses = typed(town, **dict.fromkeys(STOCK, "20"))
    assert len(masses) == 5
    answer = town.fill(TICKET, TICKET, **masses)
    assert answer.status_code == 200 and town.count() == before + 1
    (ticket,) = trading.tickets(town.book).values()
    assert ticket.total == Decimal("362.00")  # 20 x (9 + 0.30 + 0.80 + 5 + 3)
    assert {line.bin for line in ticket.lines} == set(STOCK) and {line.mass_mg for line in ticket.lines} == {20 * KG}


def test_a_bare_price_is_per_the_unit_that_was_expected(town: Visitor) -> None:
    quoting.quote(town.book, town.context(), "harbour-yard", "copper-2", "4.10 /lb")
    started(town)
    row = next(iter(typed(town, **{"copper-2": "20"})))[5:]
    town.fill(TICKET, TICKET, **{f"mass_{row}": "20", f"price_{row}": "4.00"})
    (ticket,) = trading.tickets(town.book).values()
    assert [(line.price, line.unit) for line in ticket.lines] == [(Decimal("4.00"), "lb")]


def test_a_line_paid_as_another_grade_needs_its_own_price(town: Visitor) -> None:
    started(town)
    row = next(iter(typed(town, **{"copper-2": "20"})))[5:]
    answer = town.fill(TICKET, TICKET, **{f"mass_{row}": "20", f"grade_{row}": "copper-light"})
    assert answer.status_code == 422 and f'id="price_{row}-wrong"' in answer.text


def test_a_part_of_a_bin_that_rides_is_what_left_it(town: Visitor) -> None:
    started(town, "Planned: harbour-yard copper-2 8 kg at 9")
    town.fill(TICKET, TICKET, mass_0="7.9")
    (ticket,) = trading.tickets(town.book).values()
    assert [(line.own_mg, line.own_by) for line in ticket.lines] == [(7_900_000, "yard")]  # nobody weighed those 8 kg
    assert town.book.balances("bin:copper-2")[("bin:copper-2", "copper-2")] == 12_100_000


def test_a_whole_bin_that_rode_is_what_left_it_though_more_came_in_since(town: Visitor) -> None:
    started(town)
    bins.recount(town.book, town.context(), "copper-2", 50 * KG)
    town.fill(TICKET, TICKET, **typed(town, **{"copper-2": "19.5"}))
    (ticket,) = trading.tickets(town.book).values()
    assert [(line.own_mg, line.own_by) for line in ticket.lines] == [(20 * KG, "bin")]


def test_the_sum_runs_along_and_records_nothing(town: Visitor) -> None:
    started(town)
    form = dict(town.form(town.open(TICKET), TICKET).values)
    masses = typed(town, **{"copper-2": "10", "motors": "2.5", "light-iron": "heavy"})
    before = town.count()
    part = town.client.post(f"{TICKET}/sum?part=yes", data=form | masses).text
    assert "2 lines, 12.5 kg" in words(part) and "$92.00" in words(part)  # 10 x 9 + 2.5 x 0.80
    row = next(name for name, mass in masses.items() if mass == "2.5")[5:]
    assert re.search(rf'<output data-made="{row}">\$2.00</output>', part)
    whole = town.client.post(f"{TICKET}/sum", data=form | masses).text
    assert 'value="heavy"' in whole and "$92.00" in words(whole) and town.count() == before
    off = town.client.post(f"{TICKET}/sum?part=yes", data=form | masses | {f"amount_{row}": "1.50"}).text
    assert "$1.50, makes $2.00" in words(off)


def test_the_line_that_is_wrong_stands_in_its_place_and_all_that_was_typed_stays(town: Visitor) -> None:
    started(town)
    form = dict(town.form(town.open(TICKET), TICKET).values)
    masses = typed(town, **dict.fromkeys(STOCK, "20"))
    row = next(name for name in masses if form[f"grade_{name[5:]}"] == "motors")[5:]
    masses[f"mass_{row}"] = "4"  # far from the 20 kg that ride
    answer = town.fill(TICKET, TICKET, **masses)
    assert answer.status_code == 422
    entry = answer.text[answer.text.index('<fieldset class="entry bad">') :]
    entry = entry[: entry.index("</fieldset>")]
    assert f'name="mass_{row}"' in entry and f'id="own_{row}-wrong"' in entry and '<details class="rest" open>' in entry
    assert answer.text.count('class="entry bad"') == 1
    assert f"Line {int(row) + 1}, Electric motors: What left the bin" in words(answer.text)
    kept = dict(town.form(answer.text, TICKET).values)
    assert all(kept[name] == value for name, value in masses.items())


def test_two_lines_of_one_grade_are_told_apart(town: Visitor) -> None:
    started(town)
    masses = typed(town, **{"copper-2": "20"})
    rows = {"rows": "7", "grade_5": "copper-2", "mass_5": "3", "price_5": "9", "bin_5": "", "own_5": "3 kg"}
    answer = town.fill(TICKET, TICKET, **masses, **rows)
    assert answer.status_code == 422 and 'id="own_5-wrong"' in answer.text


def test_one_verdict_first_and_small_differences_folded_under_a_stated_amount(town: Visitor) -> None:
    """At 12 an hour three minutes are 0.60. 20 kg at 0.28 instead of 0.30 are 0.40; at 8.80 instead of 9, 4.00."""
    started(town)
    masses = typed(town, **{"copper-2": "20", "light-iron": "20"})
    form = dict(town.form(town.open(TICKET), TICKET).values)
    prices = {"copper-2": "8.80", "light-iron": "0.28"}
    given = {f"price_{name[5:]}": prices[form[f"grade_{name[5:]}"]] for name in masses}
    page = town.fill(TICKET, TICKET, **masses, **given).text
    shown, folded = page.split("how they were judged", 1)
    text = words(shown)
    assert text.index("Ask about the price of the No. 2 copper") < text.index("Ticket", text.index("Ask about"))
    assert "No. 2 copper. Paid below the quote: $4.00" in text and "$0.40" not in text
    assert "1 small difference" in words(folded) and "Paid below the quote: $0.40" in words(folded)
    assert "What is under $0.60 is shown in here alone: to ask about it takes 3 minutes" in words(folded)
    small = town.client.get("/api/hauls/haul-1").json()["small"]
    assert small == {"money": "0.60", "minutes": 3, "wage": "12"}


# -- the way, and the sheet ---------------------------------------------------------------------------


def planned(v: Visitor, **values: str) -> str:
    answer = v.fill("/haul", "/haul", **values)
    return waited(v, str(answer.url.path))


def waited(v: Visitor, path: str) -> str:
    """Asked again and again without a pause, the app took the processor from the search it waited for."""
    until(lambda: v.client.get(f"{path}/now").json()["over"], 120)
    return path


def test_one_stop_has_no_map_and_two_have(town: Visitor) -> None:
    path = planned(town)
    assert "<svg" not in town.open(path) and "Set out on it" in words(town.open(path))
    assert town.client.get(f"/api{path.removeprefix('/haul')}/map").json() is None
    buyers.buyer(town.book, town.context(), "town-depot", buyers.Terms(kind="drop-off", name="town depot", km="4"))
    bins.add_bin(town.book, town.context(), "li-ion")
    bins.recount(town.book, town.context(), "li-ion", 150 * KG)
    quoting.quote(town.book, town.context(), "town-depot", "li-ion", "3 /kg")
    assert "<svg" in town.open(planned(town))


def test_a_place_that_is_known_leads_to_the_phones_own_map(town: Visitor) -> None:
    started(town)
    assert "geo:" not in town.open("/haul/haul-1")
    at = buyers.Terms(kind="yard", name="harbour yard", km="9", at="30.70, -40.62")
    buyers.buyer(town.book, town.context(), "harbour-yard", at)
    assert 'href="geo:30.7,-40.62"' in town.open("/haul/haul-1")
    assert town.client.get("/api/hauls/haul-1").json()["stops"][0]["geo"] == "geo:30.7,-40.62"
    hauls.finish(town.book, town.context(), "haul-1")
    path = planned(town)
    assert 'href="geo:30.7,-40.62"' in town.open(path)
    assert 'href="geo:30.7,-40.62"' in town.open(f"{path.replace('/plan/', '/load/')}/1")


def test_a_place_as_rfc_5870_writes_it() -> None:
    """Its grammar, section 3.3: coordinates are decimal numerals without an exponent (RFC 5870, June 2010)."""
    number = r"-?[0-9]+(\.[0-9]+)?"
    for at in ((Decimal("48.2010"), Decimal("16.3695")), (0.0000004, -179.99), (Decimal(-90), Decimal(0))):
        assert re.fullmatch(rf"geo:{number},{number}", geo_uri(at)), at
    assert geo_uri((Decimal("48.2010"), Decimal("16.3695"))) == "geo:48.201,16.3695"  # the example of section 6.1
    assert geo_uri(None) == ""


def test_finds_still_unopened_are_a_choice_of_two(town: Visitor) -> None:
    finds.find(town.book, town.context(), "bread-machine", 5, None, "no")
    quoting.quote(town.book, town.context(), "harbour-yard", "motors", "4 /kg")  # invented, so that opening pays
    path = planned(town)
    text = words(town.open(path))
    assert "It counts on what is in no bin yet" in text and "Open these first" in text
    assert 'href="/bench/bread-machine-1"' in town.open(path)
    before = town.count()
    job = path.removeprefix("/haul/plan/")
    asked = town.client.post(f"/api/plan/{job}/accept/1", json={})
    assert asked.status_code == 409 and "unopened" in asked.text and town.count() == before
    token = dict(town.form(town.open(path), f"{path}/accept/1").values)["token"]
    bare = town.client.post(f"{path}/accept/1", data={"token": token})
    assert bare.status_code == 409 and "still to come out of finds" in words(bare.text) and town.count() == before
    other = waited(town, str(town.fill(path, f"{path}/bins").url.path))
    alone = words(town.open(other))
    assert "Set out on it" in alone and "It counts on" not in alone and town.count() == before
    assert town.fill(other, f"{other}/accept/1").url.path == "/haul/haul-1"


def test_the_load_sheet_is_ticked_from_the_last_stop_to_the_first_and_its_weight_runs(town: Visitor) -> None:
    buyers.buyer(town.book, town.context(), "town-depot", buyers.Terms(kind="drop-off", name="town depot", km="4"))
    bins.add_bin(town.book, town.context(), "li-ion")
    bins.recount(town.book, town.context(), "li-ion", 150 * KG)
    quoting.quote(town.book, town.context(), "town-depot", "li-ion", "3 /kg")
    path = planned(town)
    job = path.removeprefix("/haul/plan/")
    sheet: dict[str, Any] = town.client.get(f"/api/plan/{job}/load/1").json()
    html = town.open(f"/haul/load/{job}/1")
    order = [stop["name"] for stop in sheet["stops"]]
    assert len(order) == 2
    places = [html.index(f"<bdi>{name}</bdi>", html.index('class="loading"')) for name in order]
    assert places == sorted(places, reverse=True)  # what comes off last goes in first
    lots = [lot for stop in reversed(sheet["stops"]) for lot in stop["lots"]]
    running = 0.0
    for lot in lots:
        running += lot["mass_kg"]
        assert lot["on_board_kg"] == pytest.approx(running)
        assert f'name="lot-{lot["line"]}"' in html
    assert running == pytest.approx(sheet["mass_kg"])
    assert f'data-draft="load:{job}:1"' in html
    assert all([not lot["hazards"] for lot in stop["lots"]] == sorted(not lot["hazards"] for lot in stop["lots"])
               for stop in sheet["stops"])  # fmt: skip
