"""Things that nobody's catalogue has, from the curb to the ticket: by page, by JSON and by command.

The harbour yard and its prices are invented. A sandwich toaster, a foot spa, a gas fireplace, a bag of mixed screws and
a box of leads: none of them is a kind that ships, so the first test fails where one becomes one.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from app_client import Visitor, visitor

from partway.actions.bench import finds
from partway.actions.books.corrections import correct
from partway.actions.buyers import buyers, quoting
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.actions.plans.plan import Limits, plan
from partway.actions.recording.context import record
from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.cli import main
from partway.errors import Refused
from partway.ledger.events.kinds import Found, Opened
from partway.ledger.fold import standing
from partway.ledger.memory import MemoryBook
from partway.storage.exchange.package import write_package
from partway.storage.exchange.union import unite
from partway.storage.exchange.unpack import read_package
from partway.storage.scenario.scenario import read_scenario_text
from partway.storage.scenario.write import scenario_text
from partway.things.anatomy import Anatomy
from partway.things.traits import traits_in

PRICES = {
    "light-iron": "0.20 /kg",
    "e-scrap-mixed": "0.20 /kg",
    "motors": "0.90 /kg",
    "wire-cord-plugs": "1.60 /kg",
    "wire-string-lights": "0.60 /kg",
    "brass-dirty": "3.50 /kg",
    "stainless-dirty": "0.70 /kg",
}
SPA = "foot-spa~plastic-motor~cord-yes~motor-yes~1-3kg"


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as v:
        prepare(v)
        yield v


def prepare(v: Visitor) -> None:
    for name, value in (("currency", "CAD"), ("unit", "kg"), ("wage", "12"), ("payload", "400 kg")):
        set_(v.book, v.context(), name, value)
    buyers.buyer(v.book, v.context(), "harbour-yard", buyers.Terms(kind="yard", km="8"))
    for grade, price in PRICES.items():
        quoting.quote(v.book, v.context(), "harbour-yard", grade, price)


def sent(v: Visitor, address: str, status: int = 200, **body: Any) -> Any:
    answer = v.client.post(f"/api/{address}", json=body)
    assert answer.status_code == status, answer.text
    return answer.json()


def asked(v: Visitor, address: str, status: int = 200) -> Any:
    answer = v.client.get(f"/api/{address}")
    assert answer.status_code == status, answer.text
    return answer.json()


def test_none_of_them_ships() -> None:
    assert not {"sandwich-toaster", "foot-spa", "gas-fireplace", "bag-of-screws", "box-of-leads"} & set(shipped().kinds)


def test_from_the_curb_to_the_ticket(yard: Visitor) -> None:
    """At the curb by page; found, opened with pieces of its own, binned, hauled and ticketed by JSON."""
    page = yard.open("/curb?q=foot+spa")
    assert "Not in the catalogue: say what it is mostly" in page
    answer = yard.client.get(
        "/curb/unknown",
        params={
            "it-name": "foot spa",
            "it-mostly": "plastic-motor",
            "it-cord": "yes",
            "it-motor": "yes",
            "it-heavy": "2.1",
        },
    )
    assert answer.url.path == f"/curb/{SPA}"
    assert "a guess from what was said of it" in answer.text
    for card in ("Mains electricity", "Live on its own battery", "Lithium-ion battery".lower()):
        assert answer.text.index(card) < answer.text.index('class="brings')  # names before the first number
    assert yard.fill(f"/curb/{SPA}", f"/curb/{SPA}/taken", mass="2.1 kg").status_code == 200
    now = standing.find(yard.book, "foot-spa-1")
    assert (now.kind, now.mg, now.source) == (SPA, 2_100_000, "curb")
    assert "Foot spa" in yard.open("/curb")  # among those found lately

    sent(yard, "find", kind="sandwich toaster", mostly="steel", cord="yes", own=True, mass="6 kg")
    sent(yard, "find", kind="gas fireplace", mostly="steel", mass="45 kg")
    sent(yard, "find", kind="bag of screws", mostly="screws", mass="3 kg")
    sent(yard, "find", kind="box of leads~", mostly="cables", mass="5 kg")
    bench = yard.open("/bench?hours=99&all=yes")
    for name in ("Foot spa", "Sandwich toaster", "Gas fireplace", "Bag of screws", "Box of leads"):
        assert name in bench
    assert bench.index("Gas appliance") < bench.index("CA$")
    for find in standing.finds(yard.book):
        assert "guess" in yard.open(f"/bench/{find}/whole")

    assert "Gas appliance" in yard.open("/books/overview")
    scenario = scenario_from_book(yard.book, yard.app.state.partway.setup.clock().date())
    planned = plan(scenario, Limits(seconds=20.0))
    names = {scenario.anatomies[find.kind].name for find in scenario.finds}
    assert names == {"Foot spa", "Sandwich toaster", "Gas fireplace", "Bag of screws", "Box of leads"}
    assert any("Bag of screws is not in the catalogue" in note for note in planned.notes)

    found = sent(
        yard,
        "open",
        find="foot-spa-1",
        operations=["take-battery", "cut-cord"],
        minutes="14",
        pieces=[
            {"piece": "cord", "mass": "0.12 kg"},
            {"piece": "pump", "mass": "0.5 kg", "grade": "motors"},
            {"piece": "tub and shell", "mass": "1.4 kg", "grade": "residue"},
        ],
        gap="loss",
    )
    assert ["pump", 1, "motors", 500_000] in [list(piece) for piece in found["told"]["pieces"]]
    assert standing.find(yard.book, "foot-spa-1").closed
    sent(yard, "open", find="bag-of-screws-1", pieces=[{"piece": "whole", "mass": "3 kg", "grade": "light-iron"}])
    sent(yard, "sell", find="sandwich-toaster-1", price="15")
    sent(yard, "discard", find="gas-fireplace-1")
    ticket = sent(
        yard,
        "ticket",
        buyer="harbour-yard",
        lines=[{"grade": "motors", "mass": "0.5 kg", "price": "0.90 /kg"}],
    )
    assert ticket["events"]
    for page_at in ("/", "/bench", "/bins", "/books", "/books/ledger", "/books/flows", "/haul"):
        yard.open(page_at)
    lines = {line["line"]["name"] for line in asked(yard, "per-hour?months=0")["kinds"]}
    assert {"Foot spa", "Bag of screws"} <= lines


def test_the_money_at_the_curb_on_the_page_and_by_json_is_one_and_wide(yard: Visitor) -> None:
    told = asked(yard, "curb/foot%20spa?mostly=plastic-motor&cord=yes&motor=yes&mass=2.1kg")
    assert told == asked(yard, f"curb/{quote(SPA)}")
    assert told["kind"] == SPA
    money = told["shown"]["money"]
    assert money["high"] > 1.5 * money["low"] > 0
    assert "is a guess from what was said of it" in " ".join(told["notes"])
    sent(yard, "find", kind=SPA, mass="2 kg")
    at_bench = asked(yard, "finds/foot-spa-1/bench")["brings"]
    assert at_bench["high"] > at_bench["low"]


def test_what_is_near_is_asked_about_once(yard: Visitor) -> None:
    """By JSON: the question has the near kinds, and that it is none of them; its answer is sent as the kind."""
    question = sent(yard, "find", 409, kind="sandwich toaster", mostly="steel")
    assert [choice["answer"] for choice in question["choices"]] == ["toaster", "toaster-oven", "sandwich-toaster~"]
    assert not standing.finds(yard.book)
    sent(yard, "find", kind="sandwich-toaster~", mostly="steel")
    assert traits_in(standing.find(yard.book, "sandwich-toaster-1").kind) is not None
    what = sent(yard, "find", 409, kind="foot spa")
    assert what["option"] == "mostly"
    assert len(standing.finds(yard.book)) == 1


def test_two_of_one_name_with_other_traits_are_two_lines_of_a_plan(yard: Visitor) -> None:
    sent(yard, "find", kind="foot spa", mostly="plastic-motor", mass="2 kg")
    sent(yard, "find", kind="foot spa", mostly="steel", mass="2 kg")
    kinds = {now.kind for now in standing.finds(yard.book).values()}
    assert len(kinds) == 2
    scenario = scenario_from_book(yard.book, yard.app.state.partway.setup.clock().date())
    assert {find.kind for find in scenario.finds} == kinds == set(scenario.anatomies)
    again = read_scenario_text(scenario_text(scenario), "week.toml")  # export-scenario, and what reads it
    assert again.finds == scenario.finds
    assert {kind: as_known(a) for kind, a in again.anatomies.items()} == {
        kind: as_known(a) for kind, a in scenario.anatomies.items()
    }


def as_known(anatomy: Anatomy) -> Anatomy:
    """A file holds a weighed guess as it is known by now, its operations in the order of the work."""
    known = replace(anatomy, operations=tuple(sorted(anatomy.operations, key=lambda op: (op.on, op.id))), learned=())
    return replace(known, guessed=False)


def test_by_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def run(*arguments: str, status: int = 0) -> str:
        monkeypatch.setattr(sys, "argv", ["partway", *arguments, "--workspace", str(tmp_path / "w")])
        with pytest.raises(SystemExit) as left:
            sys.exit(main())  # type: ignore[func-returns-value]
        said = capsys.readouterr()
        assert (left.value.code or 0) == status, said
        return said.out + said.err

    run("set", "currency", "CAD")
    assert "--unknown" in run("find", "sandwich toaster", "--mostly", "steel", "--yes", status=2)
    assert "--mostly" in run("find", "foot spa", "--yes", status=2)
    assert "steel, iron" in run("find", "foot spa", "--mostly", "gold bars", "--yes", status=2)
    told = run("find", "foot spa", "--mostly", "plastic-motor", "--cord", "yes", "--motor", "yes", "--mass", "2.1kg")
    assert "mostly plastic with a motor" in told
    assert told.index("Mains electricity") < told.index("Found: foot spa")
    run("find", "sandwich toaster", "--mostly", "steel", "--unknown")
    assert "take-battery" in run("open", "foot-spa-1", "pump=0.5kg:motors", "--gap", "left", status=2)
    assert "grade" in run("open", "foot-spa-1", "--op", "take-battery", "pump=0.5kg", "--gap", "left", status=2)
    run("open", "foot-spa-1", "--op", "take-battery", "pump=0.5kg:motors", "--gap", "left")
    ledger = run("ledger", "--json")
    assert "foot-spa-1: foot-spa, mostly plastic-motor, cord: yes, motor: yes, 2.1 kg" in ledger
    assert "pump 500 g into motors" in ledger
    listed = json.loads(run("overview", "--json"))
    assert {line["name"] for line in listed["waiting"]} == {"Foot spa", "Sandwich toaster"}


def test_what_was_said_of_it_is_corrected_as_its_other_fields(yard: Visitor) -> None:
    sent(yard, "find", kind="foot spa", mostly="plastic-motor", mass="2.1 kg")

    def said(**changes: str) -> str:
        (event,) = [e for e in yard.book.events(("found",)) if e.id not in yard.book.voided()]
        correct(yard.book, yard.context(), str(event.id), changes=changes)
        return standing.find(yard.book, "foot-spa-1").kind

    assert said(mostly="steel", battery="no") == "foot-spa~steel~battery-no~1-3kg"
    assert said(cord="yes") == "foot-spa~steel~cord-yes~battery-no~1-3kg"
    assert said(mass="12 kg") == "foot-spa~steel~cord-yes~battery-no~10-30kg"
    assert said(kind="foot bath") == "foot-bath~steel~cord-yes~battery-no~10-30kg"
    with pytest.raises(Refused, match="mostly"):
        said(mostly="")
    with pytest.raises(Refused, match="one of steel, iron"):
        said(mostly="unobtainium")
    assert said(kind="fan") == "fan"  # a kind of the catalogue needs nothing more said of it
    (event,) = [e for e in yard.book.events(("found",)) if e.id not in yard.book.voided()]
    assert event.what == Found("foot-spa-1", "fan", mass_mg=12_000_000)
    page = yard.open(f"/books/ledger/{event.id}")
    assert "Mostly" not in page


def test_it_goes_out_and_comes_back(yard: Visitor, tmp_path: Path) -> None:
    sent(yard, "find", kind="foot spa", mostly="plastic-motor", cord="yes", mass="2.1 kg")
    write_package(yard.book, tmp_path / "out")
    again = MemoryBook()
    unite(again, read_package(tmp_path / "out"))
    assert standing.find(again, "foot-spa-1").kind == standing.find(yard.book, "foot-spa-1").kind


def test_what_stays_shut_is_not_opened_with_pieces_of_its_own(yard: Visitor) -> None:
    sent(yard, "find", kind="wine cooler", mostly="steel", mass="18 kg", own=True)
    page = yard.open("/bench/wine-cooler-1/whole")
    assert "Other pieces came out of it" not in page
    pieces = [{"piece": "compressor", "mass": "5 kg", "grade": "sealed-unit"}]
    sent(yard, "open", 422, find="wine-cooler-1", pieces=pieces, gap="left")


@pytest.mark.parametrize(
    ("body", "message"),
    [
        ({"kind": "microwave", "mostly": "steel"}, "which the catalogue knows"),
        ({"kind": "foot spa", "mostly": "gold bars"}, "gold bars"),
        ({"kind": "~~~", "own": True, "mostly": "steel"}, "a name with letters"),
        ({"kind": "foot spa", "mostly": "steel", "cord": "perhaps"}, "cord"),
        ({"kind": "foot spa", "cord": "yes"}, "what it is mostly"),
    ],
)
def test_what_is_refused_writes_nothing(yard: Visitor, body: dict[str, Any], message: str) -> None:
    before = yard.count()
    answer = yard.client.post("/api/find", json=body)
    assert answer.status_code in {400, 409, 422}
    assert message in answer.text
    assert yard.count() == before


def test_the_form_says_what_is_missing(yard: Visitor) -> None:
    answer = yard.client.get("/curb/unknown", params={"it-name": "foot spa"})
    assert answer.status_code == 422
    assert "say what it is mostly" in answer.text
    assert 'value="foot spa"' in answer.text


def test_asked_is_a_refusal_of_the_action(yard: Visitor) -> None:
    with pytest.raises(Asked) as said:
        finds.find(yard.book, yard.context(), "foot spa")
    assert said.value.option == "mostly"
    assert dict(said.value.choices) == shipped().guesses.names


def test_its_pieces_are_weighed_on_its_page(yard: Visitor) -> None:
    """Rows for pieces that nobody knew of: the same event as by JSON, and what is wrong stands beside the row."""
    sent(yard, "find", kind="foot spa", mostly="plastic", battery="no", mass="2 kg")
    html = yard.open("/bench/foot-spa-1/whole")
    assert "Other pieces came out of it" in html
    form = yard.form(html, "/bench/foot-spa-1/open#open")
    rows: dict[str, str | list[str]] = {
        "open-own.1": "Pump, small",
        "open-own-mass.1": "0.6 kg",
        "open-own-into.1": "motors",
        "open-own.2": "tub",
        "open-own-mass.2": "1.4 kg",
    }
    rows |= {name: [] for name, _ in form.values if name.startswith("open-done.")}  # no step was done
    answer = yard.send(form, **rows)
    assert answer.status_code == 422
    assert "no grade" in answer.text
    assert "Pump, small" in answer.text  # what was typed is still there
    form = yard.form(answer.text, "/bench/foot-spa-1/open#open")
    answer = yard.send(form, **(rows | {"open-own-into.2": "residue", "open-minutes": "9"}))
    assert answer.status_code == 200, answer.text
    (event,) = yard.book.events(("opened",))
    assert isinstance(event.what, Opened)
    said = [(piece.piece, piece.count, piece.grade, piece.mass_mg) for piece in event.what.pieces]
    assert said == [("pump-small", 1, "motors", 600_000), ("tub", 1, "residue", 1_400_000)]
    assert event.what.minutes == 9
    assert standing.find(yard.book, "foot-spa-1").closed


def test_a_kind_of_the_catalogue_has_no_pieces_of_its_own(yard: Visitor) -> None:
    sent(yard, "find", kind="fan", mass="4 kg")
    assert "Other pieces came out of it" not in yard.open("/bench/fan-1/whole")
    pieces = [{"piece": "thingamajig", "mass": "1 kg", "grade": "motors"}]
    sent(yard, "open", 422, find="fan-1", pieces=pieces, gap="left")


def test_near_kinds_and_none_of_these_stand_on_one_page(yard: Visitor) -> None:
    page = yard.open("/curb?q=sandwich+toaster")
    assert 'href="/curb/toaster"' in page
    assert "None of these: say what it is mostly" in page
    part = yard.open("/curb?q=sandwich+toaster&part=found")
    assert "<html" not in part
    assert "None of these: say what it is mostly" in part


def test_what_a_later_version_said_of_a_find_is_not_guessed_at(yard: Visitor) -> None:
    """A word for `mostly` that this version's table has not: the find is there, its worth unknown."""
    spa = Found("foot-spa-1", "foot-spa", mass_mg=2_000_000, mostly="unobtainium")
    record(yard.book, yard.context(), [spa], None)
    assert "foot-spa" in yard.open("/bench")
    assert yard.client.get("/bench/foot-spa-1").status_code == 200
    for page in ("/", "/haul", "/books", "/curb"):
        yard.open(page)
