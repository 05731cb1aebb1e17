"""Haul on the web, as a browser without scripts sees it: plan, watch, stop, defend, slide, accept, tickets, finish."""

from __future__ import annotations

import math
import re
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.haul import hauls
from partway.actions.home import settings
from partway.actions.plans.jobs import JobNow
from partway.actions.plans.jobs_child import Progress
from partway.storage.store import SqlBook

SOON = 60.0  # seconds after which a test gives up waiting for a plan; nothing is asserted of how long it takes
HOSTILE = "<script>alert(1)</script> \u202eevil\u202c \U0001f525"


def stocked(book: SqlBook, v: Visitor) -> None:
    """Copper, iron and batteries; a yard for the metal and a depot for the batteries. Invented."""

    def do(action: Callable[..., Any], *given: Any) -> None:
        action(book, v.context(), *given)

    for name, value in {"currency": "CAD", "unit": "kg", "wage": "5", "cost_per_km": "0.3"}.items():
        do(settings.set_, name, value)
    yard = buyers.Terms(kind="yard", name="harbour yard", km="9", minutes="20", note="ring at the side gate")
    do(buyers.buyer, "harbour-yard", yard)
    do(buyers.buyer, "town-depot", buyers.Terms(kind="drop-off", name="town depot", km="4", minutes="10"))
    for grade, price in {"copper-2": "9 /kg", "light-iron": "0.30 /kg"}.items():
        do(quoting.quote, "harbour-yard", grade, price)
    do(quoting.quote, "town-depot", "li-ion", "3.00 /kg")
    for grade, kg in {"copper-2": 20, "light-iron": 200, "li-ion": 15}.items():
        do(bins.add_bin, grade)
        do(bins.recount, grade, kg * 1_000_000)
    do(finds.find, "bread-machine", 2, None, "no")


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(Path(tmp_path_factory.mktemp("haul"))) as v:
        stocked(v.book, v)
        yield v


def plan(v: Visitor, **values: str) -> str:
    """Fill in the form, wait for the plan; its address."""
    answer = v.fill("/haul", "/haul", **values)
    assert answer.status_code == 200, answer.text[:3000]
    return waited(v, str(answer.url.path))


def waited(v: Visitor, path: str) -> str:
    end = time.monotonic() + SOON
    while not v.client.get(f"{path}/now").json()["over"]:
        assert time.monotonic() < end
        time.sleep(0.02)
    return path


def words(html: str) -> str:
    """What a page says, without its markup."""
    text = re.sub(r"<(script|style).*?</\1>", " ", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text))


def test_a_plan_puts_what_can_hurt_before_the_money(at: Visitor) -> None:
    before = at.count()
    html = at.open(plan(at))
    assert at.count() == before
    text = words(html)
    start = text.index("The plan", text.index("Books"))
    lithium = text.index("Lithium-ion battery", start)
    assert "$" not in text[start:lithium]
    assert "Proven best" in text
    assert "harbour yard" in text and "town depot" in text
    # 15 kg at 3, 20 kg at 9
    assert "CA$45.00" in text and "CA$180.00" in text


def test_the_map_says_that_directions_are_not_known(at: Visitor) -> None:
    html = at.open(plan(at))
    assert "Not to compass" in html
    svg = html[html.index("<svg") : html.index("</svg>")]
    assert "style=" not in svg and "<script" not in svg
    assert svg.count('circle class="stop"') == 2 and svg.count('class="home"') == 1


def test_hours_day_and_vehicle_are_taken(at: Visitor) -> None:
    text = words(at.open(plan(at, payload="100 kg", volume="500 L", away="3", trips="1")))
    assert "of the 100 kg it carries" in text and "of 500 L" in text
    nothing = words(at.open(plan(at, on="2020-01-01")))  # before anything was quoted
    assert "No drive" in nothing


def test_the_load_sheet_is_for_the_road(at: Visitor) -> None:
    path = plan(at).replace("/haul/plan/", "/haul/load/")
    text = words(at.open(f"{path}/1"))
    assert text.index("Lithium-ion battery") < text.index("should pay")
    assert "check your place card" in text and "ring at the side gate" in text
    assert "Load first what comes off last" in text
    at.open(f"{path}/9", 404)
    at.open("/haul/load/nothing/1", 404)


def test_a_plan_stopped_before_it_had_a_bound_says_so(at: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    path, jobs = plan(at), at.app.state.partway.jobs
    done: JobNow = jobs.now(path.rpartition("/")[2])
    assert done.plan is not None
    first = Progress(done.plan.objective, math.inf, 0.1)
    loose = replace(done, plan=replace(done.plan, status="gap", bound=None, gap=None, doubts=()), progress=(first,))
    monkeypatch.setattr(jobs, "now", lambda _: loose)
    assert "A better plan may exist; by how much is not known yet." in words(at.open(path))
    slid = words(at.open(f"{path}/if?wage=6"))
    assert "A better one may exist; by how much is not known yet." in slid
    sent = at.client.get(f"/api/plan/{done.id}").json()
    assert (sent["plan"]["bound"], sent["plan"]["gap"]) == (None, None)
    assert (sent["progress"]["bound"], sent["progress"]["gap"]) == (None, None)


def test_every_line_is_defended_on_request(at: Visitor) -> None:
    path = plan(at)
    answer = at.fill(path, f"{path}/why")
    defended = waited(at, str(answer.url.path))
    assert defended != path
    text = words(at.open(defended))
    assert "Without this line the plan is worth" in text
    assert "It turns over" in text


def test_sliders_say_what_would_be_done_instead(at: Visitor) -> None:
    path = plan(at)
    html = at.open(f"{path}/if")
    assert "Nothing is moved" in html
    # Dear hours: the drive does not pay any more.
    query = f"{path}/if?wage=500"
    end = time.monotonic() + SOON
    while "would be done" not in (html := at.open(query)):
        assert "data-watch" in html and time.monotonic() < end
        time.sleep(0.02)
    text = words(html)
    assert "What would be done instead" in text
    assert "No drive at all" in text and "20 kg → 0 kg" in text


@pytest.mark.parametrize("query", ["bench=-1", "wage=lots", "lot=nobody/iron", f"price={HOSTILE}&was="])
def test_a_slider_out_of_bounds_is_refused_in_words(at: Visitor, query: str) -> None:
    html = at.open(f"{plan(at)}/if?{query}", 422)
    assert "expected" in html and "<script>alert" not in html


WRONG = [
    ("bench", "-1"),
    ("bench", "tenish"),
    ("away", "1e99"),
    ("trips", "100"),
    ("trips", "2.5"),
    ("wage", HOSTILE),
    ("on", "next week"),
    ("payload", "0 kg"),
    ("payload", "a van"),
    ("volume", "-4 L"),
    ("bench", "9" * 300),
]


@pytest.mark.parametrize(("name", "value"), WRONG)
def test_what_cannot_be_planned_for_is_said_beside_its_field(at: Visitor, name: str, value: str) -> None:
    before = at.count()
    answer = at.fill("/haul", "/haul", **{name: value})
    assert answer.status_code == 422
    assert f'id="{name}-wrong"' in answer.text
    assert "<script>alert" not in answer.text
    kept = dict(at.form(answer.text, "/haul").values)
    assert kept[name] == value
    assert at.count() == before


def test_the_same_form_twice_is_one_search(at: Visitor) -> None:
    form = at.form(at.open("/haul"), "/haul")
    first, second = at.send(form, bench="5.5"), at.send(form, bench="5.5")
    assert first.url == second.url
    waited(at, str(first.url.path))


def test_a_stale_or_foreign_page_plans_nothing(at: Visitor) -> None:
    form = at.form(at.open("/haul"), "/haul")
    answer = at.send(form, token="made-up", bench="3")  # noqa: S106 - the name of a field
    assert answer.status_code == 409
    assert dict(at.form(answer.text, "/haul").values)["bench"] == "3"
    crossed = at.client.post("/haul", data=dict(form.values), headers={"sec-fetch-site": "cross-site"})
    assert crossed.status_code == 403


def test_what_is_not_there_is_not_there(at: Visitor) -> None:
    for path in (
        "/haul/plan/none",
        "/haul/plan/none/now",
        "/haul/plan/none/if",
        "/haul/haul-99",
        "/haul/haul-99/finish",
    ):
        at.open(path, 404)


def test_a_search_can_be_stopped_from_its_page(tmp_path: Path) -> None:
    from long_haul import endless_haul

    from partway.actions.plans.plan import Limits

    with visitor(tmp_path) as v:
        stocked(v.book, v)
        jobs = v.app.state.partway.jobs
        job = jobs.submit(endless_haul(), Limits(600.0, 0.0))
        path = f"/haul/plan/{job}"
        end = time.monotonic() + SOON
        while not any(math.isfinite(said.bound) for said in jobs.now(job).progress):
            assert time.monotonic() < end
            time.sleep(0.02)
        html = v.open(path)
        assert "Looking for a better plan" in html
        assert '<noscript><meta http-equiv="refresh"' in html
        assert "none yet" not in html
        v.open("/haul")  # other pages answer meanwhile
        v.send(v.form(html, f"{path}/stop"))
        text = words(v.open(waited(v, path)))
        assert "Best so far" in text and "at most" in text and "Stopped after" in text


def test_without_a_currency_nothing_is_planned(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        answer = v.fill("/haul", "/haul")
        assert answer.status_code == 422 and "currency" in answer.text


def test_nothing_known_is_no_error(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        settings.set_(v.book, v.context(), "currency", "CAD")
        assert "No buyer that you can drive to" in v.open("/haul")
        assert "No drive" in v.open(plan(v))


def test_a_plan_says_when_the_ledger_has_moved_on(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stocked(v.book, v)
        path = plan(v)
        assert "The ledger has changed" not in v.open(path)
        bins.recount(v.book, v.context(), "copper-2", 10_000_000)
        assert "The ledger has changed" in v.open(path)


# -- tickets ------------------------------------------------------------------------------------------


@pytest.fixture
def on_the_way(tmp_path: Path) -> Iterator[tuple[Visitor, str]]:
    """A trip set out on, as accepting it records it; where its page is."""
    with visitor(tmp_path) as v:
        stocked(v.book, v)
        lots = (
            "town-depot li-ion 15 kg at 3",
            "harbour-yard copper-2 20 kg at 9",
            "harbour-yard light-iron 200 kg at 0.3",
        )
        hauls.start(v.book, v.context(), ["town-depot", "harbour-yard"], f"Planned: {'; '.join(lots)}")
        yield v, "/haul/haul-1"


def entry(haul: str) -> str:
    return f"{haul}/ticket/harbour-yard"


def fields(v: Visitor, path: str) -> dict[str, str]:
    return dict(v.form(v.open(path), path.partition("?")[0]).values)


def row_of(form: dict[str, str], grade: str) -> int:
    return next(int(name[6:]) for name, value in form.items() if name.startswith("grade_") and value == grade)


def test_an_accepted_trip_waits_for_its_tickets(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stocked(v.book, v)
        path = plan(v)
        haul = str(v.fill(path, f"{path}/accept/1").url.path)
        assert haul == "/haul/haul-1"
        text = words(v.open(haul))
        assert "Taken along as planned" in text and "20 kg at CA$9.00/kg" in text
        assert text.index("Lithium-ion battery") < text.index("CA$")
        assert "Hand over first what can hurt" in text
        assert "haul-1" in v.open("/haul")
        assert "haul-1" in v.open("/haul/haul-1/finish")


def test_a_trip_is_set_out_on_once_by_one_form(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stocked(v.book, v)
        path = plan(v)
        form = v.form(v.open(path), f"{path}/accept/1")
        v.send(form)
        count = v.count()
        again = v.send(form)
        assert v.count() == count and "saved already" in again.text
        twice = v.send(v.form(v.open(path), f"{path}/accept/1"))  # said again on purpose: it is on board already
        assert twice.status_code == 422 and v.count() == count
        said = words(twice.text)
        assert "that no haul under way took along: today&#39;s haul" in said, said[said.find("took along") - 200 :][
            :500
        ]
        assert "haul-1" not in said
        assert v.client.post(f"{path}/accept/7", data={"token": form.values[0][1]}).status_code in (409, 422)


def test_masses_are_read_off_the_ticket_unless_asked_for(on_the_way: tuple[Visitor, str]) -> None:
    v, haul = on_the_way
    form = fields(v, entry(haul))
    copper = row_of(form, "copper-2")
    assert (form[f"price_{copper}"], form[f"mass_{copper}"]) == ("", "")
    assert "20 kg at CA$9.00/kg" in v.open(entry(haul)) and "Other price, /kg" in v.open(entry(haul))
    filled = fields(v, f"{entry(haul)}?masses=planned")
    assert filled[f"mass_{copper}"] == "20 kg"


def test_a_ticket_is_recorded_and_held_against_plan_and_scale(on_the_way: tuple[Visitor, str]) -> None:
    v, haul = on_the_way
    form = fields(v, entry(haul))
    copper, iron = row_of(form, "copper-2"), row_of(form, "light-iron")
    answer = v.fill(
        entry(haul),
        entry(haul),
        **{f"mass_{copper}": "19 kg", f"own_{copper}": "all", f"price_{copper}": "8.80 /kg", f"mass_{iron}": "200 kg"},
        number="4711",
    )
    assert answer.status_code == 200 and answer.url.path == haul
    text = words(answer.text)
    assert "The yard&#39;s scale says less than mine: CA$8.80" in text
    assert "Paid below the quote: CA$3.80" in text and "Paid below the plan: CA$3.80" in text
    assert "CA$227.20 is open" in text  # 19 x 8.80 + 200 x 0.30
    paid = v.fill(haul, f"{haul}/paid/ticket-1", **{"ticket-1-amount": "227.20"})
    assert "Paid in full" in paid.text
    assert v.book.accounts("sales")


def test_arithmetic_is_asked_about_and_nothing_is_saved_until_it_is_answered(on_the_way: tuple[Visitor, str]) -> None:
    v, haul = on_the_way
    form = fields(v, entry(haul))
    copper = row_of(form, "copper-2")
    count = v.count()
    asked = v.fill(entry(haul), entry(haul), **{f"mass_{copper}": "20 kg", f"amount_{copper}": "150"})
    assert asked.status_code == 409 and v.count() == count
    assert "answer-as_printed" in asked.text
    again = v.form(asked.text, entry(haul))
    answer = v.send(again, **{"answer-as_printed": "yes"})
    assert answer.status_code == 200 and v.count() == count + 1
    assert "Mass times price is not the amount" in answer.text


def test_more_rows_keep_what_was_typed_and_save_nothing(on_the_way: tuple[Visitor, str]) -> None:
    v, haul = on_the_way
    form = v.form(v.open(entry(haul)), entry(haul))
    count = v.count()
    answer = v.send(form, mass_0="1.5 kg", number=HOSTILE, more="yes")
    after = dict(v.form(answer.text, entry(haul)).values)
    assert (after["mass_0"], after["number"]) == ("1.5 kg", HOSTILE)
    assert int(after["rows"]) == int(dict(form.values)["rows"]) + 2
    assert v.count() == count
    for rows in ("59", "60", "9999", "many"):
        answer = v.send(v.form(answer.text, entry(haul)), more="yes", rows=rows)
        assert answer.status_code == 200
    answer = v.send(v.form(answer.text, entry(haul)), more="yes", rows="60")
    assert int(dict(v.form(answer.text, entry(haul)).values)["rows"]) == 60


TICKETS_WRONG = [
    ({"mass_0": "heavy"}, "mass_0"),
    ({"mass_0": "20 kg", "price_0": "cheap"}, "price_0"),
    ({"mass_0": "20 kg", "grade_0": "moonshine"}, "grade_0"),
    ({"mass_0": "20 kg", "amount_0": "1.234"}, "amount_0"),
    ({"mass_0": "4 kg"}, "own_0"),
    ({"mass_0": "4 kg", "own_0": "900 kg"}, "own_0"),
    ({"mass_0": "4 kg", "own_0": HOSTILE}, "own_0"),
    ({}, "mass_0"),
    ({"mass_0": "20 kg", "total": "x"}, "total"),
    ({"mass_0": "20 kg", "on": "tomorrow-ish"}, "on"),
    ({"mass_0": "20 kg", "number": "n" * 5000}, "number"),
    ({"mass_0": "20 kg", "less_0": "dirt", "off_0": "much"}, "off_0"),
]


@pytest.mark.parametrize(("values", "field"), TICKETS_WRONG, ids=str)
def test_a_ticket_that_cannot_be_read_is_said_beside_its_field(
    on_the_way: tuple[Visitor, str], values: dict[str, str], field: str
) -> None:
    v, haul = on_the_way
    form = v.form(v.open(entry(haul)), entry(haul))
    copper = row_of(dict(form.values), "copper-2")
    named = {
        re.sub(r"(grade|mass|price|amount|own|bin)_0", rf"\1_{copper}", name): value for name, value in values.items()
    }
    field = re.sub(r"(grade|mass|price|amount|own|bin)_0", rf"\1_{copper}", field) if values else field
    count = v.count()
    answer = v.send(form, **named)
    assert answer.status_code == 422
    assert f'id="{field}-wrong"' in answer.text, words(answer.text)[:2000]
    assert "~" not in words(answer.text) and "partway recount" not in answer.text  # words of the command line
    assert v.count() == count
    kept = dict(v.form(answer.text, entry(haul)).values)
    assert all(kept[name] == value for name, value in named.items())


def test_a_haul_is_finished_with_its_way_and_time(on_the_way: tuple[Visitor, str]) -> None:
    v, haul = on_the_way
    finish = f"{haul}/finish"
    bad = v.fill(finish, finish, km="far", minutes="2 h 10")
    assert bad.status_code == 422 and 'id="km-wrong"' in bad.text
    bad = v.fill(finish, finish, km="31", minutes="ages")
    assert bad.status_code == 422 and 'id="minutes-wrong"' in bad.text
    bad = v.fill(finish, finish, km="31", note=HOSTILE)  # it holds marks that turn text around
    assert bad.status_code == 422 and 'id="note-wrong"' in bad.text
    done = v.fill(finish, finish, km="31", minutes="2 h 10", note="<b>all</b> went well")
    assert done.status_code == 200 and "<b>all" not in done.text
    assert "31 km" in done.text and "2 h 10" in done.text
    again = v.fill(finish, finish, km="31", minutes="2 h 10")
    assert again.status_code == 422 and "which is finished" in again.text


def test_tickets_and_money_of_another_haul_are_not_there(on_the_way: tuple[Visitor, str]) -> None:
    v, haul = on_the_way
    v.open(f"{haul}/ticket/nobody", 404)
    token = dict(v.form(v.open(entry(haul)), entry(haul)).values)["token"]
    assert v.client.post(f"{haul}/paid/ticket-9", data={"token": token}).status_code == 404


def test_the_demo_has_hauls_to_look_at(tmp_path: Path) -> None:
    with visitor(tmp_path, demo=True) as v:
        html = v.open("/haul")
        assert "Hauls gone by" in html
        for haul in sorted(set(re.findall(r'href="(/haul/haul-\d+)"', html)))[:3]:
            v.open(haul)


def test_a_plan_says_whether_to_go_or_wait_and_a_shed_says_how_long_it_has_room(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stocked(v.book, v)
        text = words(v.open(plan(v)))
        said = re.search(r"Go: the load brings (CA\$[\d,.]+) after its drive\.", text)
        assert said is not None
        v.fill("/settings", "/settings", storage="8 m3", inflow="70 kg")
        text = words(v.open(plan(v)))
        assert re.search(r"Go: the load brings CA\$[\d,.]+ after its drive, CA\$[\d,.]+ in a week; ", text)
        assert re.search(r"the shed has room for \d+ weeks\.", text)
