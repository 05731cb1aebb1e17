"""A foot spa nobody knew: opened, made a kind, found again, changed, given up. Command, page and JSON agree."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from click.testing import CliRunner, Result

from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger.events.kinds import Described
from partway.valuing.own_kinds import own_kinds


@pytest.fixture
def v(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Visitor]:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "w"))
    with visitor(tmp_path / "w", demo=True) as one:
        yield one


def run(*args: str) -> Result:
    """The command on the same workspace."""
    return CliRunner().invoke(cli, args)


def opened(v: Visitor) -> str:
    said = {
        "kind": "foot spa",
        "mass": "1.2 kg",
        "mostly": "plastic-motor",
        "cord": "yes",
        "battery": "no",
        "own": True,
    }
    find: str = v.client.post("/api/find", json=said).json()["told"]["find"]
    pieces = [
        {"piece": "pump", "mass": "0.4 kg", "grade": "motors"},
        {"piece": "power cord", "mass": "0.3 kg", "grade": "wire-cord-plugs"},
    ]
    sent = {"find": find, "pieces": pieces, "minutes": "9", "residue": "0.5 kg"}
    assert v.client.post("/api/open", json=sent).json()["told"]["new_kind"] is True
    return find


def test_its_page_offers_it_the_form_is_filled_in_and_it_is_found_by_its_names(v: Visitor) -> None:
    find = opened(v)
    assert f"/kinds/from/{find}" in v.open(f"/bench/{find}")
    page = v.open(f"/kinds/from/{find}")
    form = v.form(page, f"/kinds/from/{find}")
    values = dict(form.values)
    assert (values["name"], values["piece.1"], values["minutes"]) == ("Foot spa", "Pump", "9")
    assert values["hurts.mains"] == "y"
    answer = v.send(form, names="foot bath")
    assert answer.url.path == "/curb/foot-spa"
    assert "Mains electricity" in answer.text and "/kinds/foot-spa" in answer.text
    found = own_kinds(v.book)["foot-spa"]
    assert found.names == ("foot bath",)
    assert [(p.id, round(p.mass.likely, 3)) for p in found.pieces[1:]] == [
        ("pump", 0.4), ("power-cord", 0.3), ("waste", 0.5),
    ]  # fmt: skip
    assert "/kinds/from" not in v.open(f"/bench/{find}")
    assert v.client.get("/curb", params={"q": "Foot Bath"}).url.path == "/curb/foot-spa"
    assert "Foot spa" in v.open("/kinds") and "Foot spa" in v.open("/curb")


def test_command_page_and_json_know_the_same_kind_and_give_one_answer(v: Visitor) -> None:
    find = opened(v)
    made = run("kinds", "--from", find, "--hazards", "mains,sharp-edges")
    assert made.exit_code == 0 and "is now a kind of yours" in made.output, made.output
    text = run("kinds", "foot-spa", "--toml").stdout
    assert text == v.open("/kinds/foot-spa/toml")
    (one,) = v.client.get("/api/own-kinds").json()
    assert (one["toml"], one["flaw"]) == (text, "")
    command = json.loads(run("kinds", "foot-spa", "--json").stdout)
    assert command["pieces"] == v.client.get("/api/kinds/foot-spa").json()["pieces"]
    shown = v.client.get("/api/curb/foot-spa").json()
    assert shown["name"] == "Foot spa" and {card["id"] for card in shown["cautions"]} >= {"mains", "sharp-edges"}
    depth = run("depth", "--kind", "foot-spa", "--json")
    assert depth.exit_code == 0, depth.output
    assert json.loads(depth.stdout)["kind"] == "foot-spa"


def test_the_card_of_what_can_hurt_names_it_on_page_command_and_json(v: Visitor) -> None:
    assert "foot-spa" not in v.open("/cautions/mains")
    assert run("kinds", "--from", opened(v), "--hazards", "mains").exit_code == 0
    assert 'href="/curb/foot-spa"' in v.open("/cautions/mains")
    said = v.client.get("/api/cautions/mains").json()
    assert "foot-spa" in {one["id"] for one in said["kinds"]}
    assert said == json.loads(run("cautions", "mains", "--json").stdout)


def test_it_is_changed_what_was_not_touched_keeps_its_range_and_an_old_page_overwrites_nothing(v: Visitor) -> None:
    run("kinds", "--from", opened(v), "--hazards", "mains")
    before = own_kinds(v.book)["foot-spa"]
    old = v.open("/kinds/foot-spa")
    v.send(
        v.form(old, "/kinds/foot-spa"),
        **{"mass.1": "2 kg", "piece.4": "plate", "mass.4": "1 kg", "grade.4": "light-iron"},
    )
    after = own_kinds(v.book)["foot-spa"]
    assert after.piece("pump").mass.likely == pytest.approx(2.0)
    assert after.piece("power-cord").mass == before.piece("power-cord").mass
    assert after.piece("plate").sells[0].grade == "light-iron"
    count = v.count()
    answer = v.send(v.form(old, "/kinds/foot-spa"), name="Other")
    assert answer.status_code in (409, 422) and v.count() == count


def test_toml_is_added_changed_and_refused_with_the_words_of_check(v: Visitor, tmp_path: Path) -> None:
    text = run("kinds", "kettle", "--toml").stdout.replace('"kettle"', '"my-kettle"', 1)
    assert v.fill("/kinds", "/kinds", anatomy=text).status_code == 200
    count = v.count()
    bad = v.fill("/kinds/my-kettle", "/kinds/my-kettle/toml", anatomy=text.replace("light-iron", "lite-iron"))
    assert bad.status_code == 422 and "a known grade" in bad.text and v.count() == count
    file = tmp_path / "mine.toml"
    file.write_text(text.replace("light-iron", "lite-iron"), encoding="utf-8")
    added, checked = run("kinds", "--add", str(file)).exception, run("check", str(file)).exception
    assert isinstance(added, Refused) and isinstance(checked, Refused)
    assert (added.exit_status, str(added)) == (2, str(checked))
    assert v.count() == count


def test_one_that_ships_is_asked_about_and_answered_on_the_page(v: Visitor) -> None:
    text = run("kinds", "kettle", "--toml").stdout.replace("works = 0.4", "works = 0.5")
    asked = v.fill("/kinds", "/kinds", anatomy=text)
    assert asked.status_code == 409 and "takes the place of" in asked.text
    v.send(v.form(asked.text, "/kinds"), **{"answer-replace": "yes"})
    assert own_kinds(v.book)["kettle"].works == 0.5


def test_it_is_given_up_and_that_is_taken_back(v: Visitor) -> None:
    run("kinds", "--from", opened(v), "--hazards", "none")
    assert v.fill("/kinds/foot-spa", "/kinds/foot-spa/given-up").status_code == 200
    assert own_kinds(v.book) == {} and v.client.get("/kinds/foot-spa").status_code == 404
    *_, last = v.book.events(("described",))
    assert isinstance(last.what, Described) and not last.what.anatomy
    assert run("correct", str(last.id)).exit_code == 0
    assert set(own_kinds(v.book)) == {"foot-spa"}
    assert "Foot spa" in v.open("/books/ledger?kind=described")
