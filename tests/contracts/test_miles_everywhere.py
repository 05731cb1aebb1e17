"""A workspace that counts in miles says kilometres nowhere, and the other way round: pages, commands, paper, phone.

The demo's months, once as they are and once with the unit of distance changed: every page that links lead to, a plan
with its map and load sheet, the forms that ask for a distance, the commands that tell of one, and what a phone carries.
What is for programs keeps its names: `km` in JSON and of options, `cost_per_km` and `kmh` of settings.
"""

from __future__ import annotations

import html
import io
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from app_client import NOW, Visitor, visitor
from click.testing import CliRunner
from page_words import words
from pypdf import PdfReader
from test_haul_page import plan, stocked
from test_names_not_ids import LINK

from partway.actions.curb.rounds import past_round
from partway.actions.home.settings import set_, set_many
from partway.cli.app import cli
from partway.ledger import trading
from partway.ledger.fold.standing import settings
from partway.web.pocket.carried.all import Carrying

OTHER = {
    "mi": re.compile(r"\bkm\b|km/h|\bkilomet", re.IGNORECASE),
    "km": re.compile(r"\bmi\b|\bmiles?\b|\bmph\b", re.IGNORECASE),
}
OWN = {"mi": re.compile(r"\d mi\b"), "km": re.compile(r"\d km\b")}
NOT_WALKED = ("/api", "/books/export", "/pocket", "/bins/labels", "/kinds/", "/static")
ONE_OF = ("/curb/", "/what/", "/cautions/", "/prices/", "/place/", "/bench/", "/bins/", "/books/ledger/")
FEW = 3
UNITS = ("km", "mi")
EITHER = re.compile(r"such as [^.]*")  # a hint may name the other unit as what may be typed, too


@pytest.fixture(scope="module", params=UNITS)
def there(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Visitor, str]]:
    """The demo, with a round that has its distance, in one unit or the other."""
    unit = request.param
    with visitor(tmp_path_factory.mktemp(unit), demo=True) as v:
        past_round(v.book, v.context(), "west streets", "6:10", "7:40", "12 km")
        if unit == "mi":
            set_many(v.book, v.context(), {"distance": "mi", "cost_per_km": "0.56 /mi", "kmh": "28 mph"})
        yield v, unit


def said_otherwise(text: str, unit: str) -> list[str]:
    """What a text says in the other unit, with a little of what stands around it."""
    return [text[max(0, m.start() - 40) : m.end() + 20] for m in OTHER[unit].finditer(text)]


def pages(v: Visitor) -> Iterator[tuple[str, str]]:
    """Every page that links lead to, a few of those that are alike, with what it says."""
    todo, seen, alike = ["/"], set[str](), dict.fromkeys(ONE_OF, 0)
    hauls = trading.hauls(v.book)
    kinds = ("hauled", "traded", "round")
    events = [e for kind in kinds for e in v.book.newest(2, kinds=(kind,))]
    fixed = ["/rounds", "/settings", "/buyers/new", *(f"/buyers/{buyer}" for buyer in trading.buyers(v.book))]
    todo += [*fixed, *(f"/haul/{haul}" for haul in list(hauls)[-2:]), *(f"/books/ledger/{e.id}" for e in events)]
    while todo:
        path = todo.pop()
        bare = path.partition("?")[0]
        if bare in seen or bare.startswith(NOT_WALKED):
            continue
        seen.add(bare)
        start = next((one for one in ONE_OF if bare.startswith(one)), "")
        if start:
            alike[start] += 1
            if alike[start] > 3 * FEW:
                continue
        answer = v.client.get(path)
        assert answer.status_code == 200, path
        if "text/html" in answer.headers["content-type"]:
            yield path, words(answer.text)
            todo += sorted(html.unescape(link) for link in LINK.findall(answer.text))


def test_the_other_unit_is_found() -> None:
    assert said_otherwise("ridge yard, 14 km away", "mi") and said_otherwise("Road kilometres from home", "mi")
    assert said_otherwise("Road miles from home", "km") and said_otherwise("30 mph", "km")
    assert not said_otherwise("cost_per_km and kmh, 14 mi", "mi") and not said_otherwise("no mistake, 14 km", "km")


def test_no_page_says_the_other_unit(there: tuple[Visitor, str]) -> None:
    v, unit = there
    wrong, own = {}, set[str]()
    for path, text in pages(v):
        # where one is chosen both are named
        if found := said_otherwise(text.replace("kilometres miles", "") if path == "/settings" else text, unit):
            wrong[path] = found
        if OWN[unit].search(text):
            own.add(path)
    assert wrong == {}
    assert any(path.startswith("/buyers/") for path in own) and any(path.startswith("/haul/") for path in own)
    assert "/rounds" in own or "/books/ledger" in {path.partition("?")[0] for path in own}


def test_what_a_phone_carries_says_one_unit(there: tuple[Visitor, str]) -> None:
    v, unit = there
    said = str(Carrying(v.book, NOW.astimezone(v.app.state.partway.clock().tzinfo)).pocket())
    assert said_otherwise(said, unit) == [] and OWN[unit].search(said)


@pytest.fixture(scope="module", params=UNITS)
def day(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Visitor, str]]:
    """Two buyers and what to take to them, all distances of it typed into forms without a unit."""
    unit = request.param
    with visitor(tmp_path_factory.mktemp(f"day-{unit}")) as v:
        set_(v.book, v.context(), "distance", unit)
        stocked(v.book, v)
        set_many(v.book, v.context(), {"wage": "1", "cost_per_km": "0.01"})  # both are worth the way in either unit
        v.fill("/buyers/town-depot", "/buyers/town-depot/terms", **{"terms-km": "4"})
        v.fill("/buyers/harbour-yard", "/buyers/harbour-yard/terms", **{"terms-km": "9.5"})
        yield v, unit


def run(v: Visitor, *arguments: str) -> str:
    done = CliRunner().invoke(cli, [*arguments, "--workspace", str(Path(v.book.where).parent)], prog_name="partway")
    assert done.exit_code == 0, (arguments, done.output, done.exception)
    return done.output


def test_a_day_says_one_unit_and_keeps_kilometres(day: tuple[Visitor, str]) -> None:
    """Golden for both: the same numbers typed into the same forms are miles here and kilometres there."""
    v, unit = day
    per = Decimal("1.609344") if unit == "mi" else Decimal(1)
    known = trading.buyers(v.book)
    assert (known["harbour-yard"].km, known["town-depot"].km) == (Decimal("9.5") * per, 4 * per)
    assert f"9.5 {unit} away" in words(v.open("/buyers/harbour-yard"))
    planned_at = plan(v)
    planned, sheet = v.open(planned_at), planned_at.replace("/haul/plan/", "/haul/load/")
    pdf = v.client.get(f"{sheet}/1/sheet.pdf").content
    printed = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    for text in (words(planned), words(v.open(f"{sheet}/1")), printed):
        assert said_otherwise(text, unit) == [] and OWN[unit].search(text)
    bar = re.search(r'<g class="bar">.*?<text[^>]*>([^<]*)', planned, re.DOTALL)
    assert bar is not None and re.fullmatch(rf"[125]0* {unit}", bar[1]), bar  # round in the unit that is shown
    v.fill(planned_at, f"{planned_at}/accept/1")
    assert said_otherwise(words(v.open("/haul")), unit) == []
    haul = next(iter(trading.started(v.book)))
    v.fill(f"/haul/{haul}/finish", f"/haul/{haul}/finish", km="31", minutes="2 h")
    told = words(v.open(f"/haul/{haul}"))
    assert f"31 {unit}" in told and "planned" in told and said_otherwise(told, unit) == []
    assert trading.hauls(v.book)[haul].stops


COMMANDS = [
    ["today"], ["overview"], ["buyers"], ["buyer", "harbour-yard"], ["plan"], ["rounds"], ["ledger"], ["books"],
    ["year"],
    ["say", "hauled to harbour yard", "--yes"], ["say", "back home, drove thirty {far}", "--yes"],
    ["round", "--where", "west streets", "--from", "18:10", "--to", "19:40", "--on", "yesterday", "--{unit}", "12"],
    ["rounds", "--on", "yesterday"],
]  # fmt: skip


def test_no_command_says_the_other_unit(day: tuple[Visitor, str]) -> None:
    v, unit = day
    far = {"km": "kilometres", "mi": "miles"}[unit]
    own, haul = 0, next(iter(trading.hauls(v.book)))
    for given in (*COMMANDS, ["haul", "show", haul]):
        told = run(v, *(word.format(unit=unit, far=far) for word in given))
        assert said_otherwise(told, unit) == [], given
        own += OWN[unit].search(told) is not None
    assert own >= 5  # a buyer, a plan, the ledger, a round, a haul
    per = Decimal("1.609344") if unit == "mi" else Decimal(1)
    last = [event.what for event in v.book.newest(9, kinds=("hauled", "round"))]
    assert {getattr(what, "km", None) for what in last} >= {30 * per, 12 * per}
    assert settings(v.book)["distance"] == unit


def test_a_program_sends_kilometres_wherever_it_is(day: tuple[Visitor, str]) -> None:
    """A number alone under a name that says km is in km, in JSON and as an option; a unit beside it counts."""
    v, unit = day
    mile = Decimal("1.609344")
    for text, km in (("14", Decimal(14)), ("fourteen", Decimal(14)), ("9 mi", 9 * mile), ("9 km", Decimal(9))):
        assert v.client.post("/api/buyer", json={"buyer": "ridge-yard", "kind": "yard", "km": text}).status_code < 300
        assert trading.buyers(v.book)["ridge-yard"].km == km, unit
        run(v, "buyer", "town-depot", "--km", text)
        assert trading.buyers(v.book)["town-depot"].km == km, unit
    run(v, "buyer", "town-depot", "--mi", "2.5")
    assert trading.buyers(v.book)["town-depot"].km == Decimal("2.5") * mile
    told = v.client.get("/api/buyers/town-depot").json()
    assert Decimal(str(told["km"])) == Decimal("2.5") * mile
    terms = next(event for event in v.book.newest(1, kinds=("traded",)))
    run(v, "correct", str(terms.id), "--set", "km=3", "--yes")
    assert trading.buyers(v.book)["town-depot"].km == 3


def test_both_options_at_once_are_refused(day: tuple[Visitor, str]) -> None:
    v, _ = day
    given = ["buyer", "town-depot", "--km", "4", "--mi", "3", "--workspace", str(Path(v.book.where).parent)]
    before = v.count()
    done = CliRunner().invoke(cli, given, prog_name="partway")
    assert done.exit_code == 2 and "give one of them" in done.output and v.count() == before


def test_what_was_said_is_put_right_in_the_unit_it_is_shown_in(day: tuple[Visitor, str]) -> None:
    v, unit = day
    event = next(one for one in v.book.newest(9, kinds=("round",)))
    page = v.open(f"/books/ledger/{event.id}")
    assert said_otherwise(words(page), unit) == []
    form = v.form(page, f"/books/ledger/{event.id}/anew")
    (name,) = [name for name, value in form.values if value == f"12 {unit}"]
    looked = v.send(form, **{name: "13"})
    v.send(v.form(looked.text, form.action), **{"answer-looked": "yes", name: "13"})
    kms = {getattr(one.what, "km", None) for one in v.book.newest(3, kinds=("round",))}
    assert 13 * (Decimal("1.609344") if unit == "mi" else 1) in kms


def test_a_distance_that_will_not_do_is_refused_in_the_unit_of_the_place(day: tuple[Visitor, str]) -> None:
    v, unit = day
    before = v.count()
    answer = v.fill("/buyers/town-depot", "/buyers/town-depot/terms", **{"terms-km": "far"})
    assert answer.status_code == 422 and v.count() == before
    said = words(answer.text)
    assert f'such as "12 {unit}"' in said and said_otherwise(said, unit) == []


def test_a_price_of_driving_typed_into_settings_is_per_the_unit_named_there(day: tuple[Visitor, str]) -> None:
    v, unit = day
    assert f"What a {'mile' if unit == 'mi' else 'kilometre'} costs you" in words(v.open("/settings"))
    v.fill("/settings", "/settings", cost_per_km="0.56", kmh="28")
    kept = settings(v.book)
    assert kept["cost_per_km"] == ("0.56 /mi" if unit == "mi" else "0.56")
    assert kept["kmh"] == ("28 mph" if unit == "mi" else "28")
    assert said_otherwise(words(v.open("/settings")).replace("kilometres miles", ""), unit) == []
    v.fill("/settings", "/settings", wage="2")  # what was not touched is not said anew
    assert settings(v.book)["cost_per_km"] == kept["cost_per_km"]
