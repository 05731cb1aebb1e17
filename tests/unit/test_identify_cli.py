"""`partway identify`: JSON to its schema, cautions before money, asking in turn, confirming, the guides."""

from __future__ import annotations

import json
from importlib import resources
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from partway.cli.app import cli
from partway.cli.context import CommandContext
from partway.errors import Refused
from partway.storage.scenario.scenario import read_scenario
from partway.storage.schemas import report_schema

WEEK = str(resources.files("partway.catalogue") / "demo" / "harbour-week.toml")


@pytest.fixture(autouse=True)
def _no_ledger(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "none"))


def says(*arguments: str, reply: str | None = None) -> str:
    result = CliRunner().invoke(cli, ["identify", *arguments], input=reply, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def report(*arguments: str) -> Any:
    found = json.loads(says(*arguments, "--json"))
    jsonschema.validate(found, report_schema("identify"))
    return found


def refused(*arguments: str) -> Refused:
    with pytest.raises(Refused) as caught:
        CliRunner().invoke(cli, ["identify", *arguments], catch_exceptions=False)
    return caught.value


def squeezed(text: str) -> str:
    return " ".join(text.split())


# --- JSON and page ---------------------------------------------------------------------------------------------


def test_json_adds_up_and_is_valid_by_its_schema() -> None:
    found = report("--context", "loose", "--answer", "magnet=none", "--answer", "look=yellow", "--mass", "2 lb")
    assert sum(line["chance"] for line in found["materials"]) == pytest.approx(1.0)
    assert found["mass_kg"] == pytest.approx(0.90718474)
    assert found["currency"] is None
    assert found["bin"] == found["bins"][0]["grade"] == "brass-yellow"
    assert found["expected"] == pytest.approx(found["bins"][0]["expected"])
    rates = [line["per_minute"] for line in found["tests"]]
    assert rates == sorted(rates, reverse=True)
    assert {line["test"] for line in found["tests"]}.isdisjoint({"look", "magnet"})


def test_prices_come_from_the_scenario_and_the_wage_with_them() -> None:
    found = report("--scenario", WEEK, "--context", "taps", "--answer", "look=bright")
    scenario = read_scenario(Path(WEEK))
    assert (found["currency"], found["wage"]) == (scenario.currency, scenario.hours.wage)
    assert found["on"] == scenario.on.isoformat()
    quoted = {quote.grade for buyer in scenario.buyers for quote in buyer.quotes}
    assert quoted & {"brass-taps", "zinc-diecast", "brass-yellow"}, "or nothing is compared"
    for line in found["bins"]:
        assert (line["how"] == "quoted") == (line["grade"] in quoted), line


def test_the_order_of_answers_on_the_command_line_changes_nothing() -> None:
    said = ["look=grey", "magnet=none", "drag=weak"]
    forth = report(*(word for each in said for word in ("--answer", each)))
    back = report(*(word for each in said[::-1] for word in ("--answer", each)))
    assert forth == back


@pytest.mark.parametrize("arguments", [("--scenario", WEEK), ()])
def test_what_can_hurt_comes_before_any_money(arguments: tuple[str, ...]) -> None:
    """With magnesium likely, its card and all that is never done stand before the first amount."""
    asked = ("--answer", "look=grey", "--answer", "magnet=none", "--answer", "weight=plastic", *arguments)
    page = squeezed(says(*asked))
    money = "of No. 2 copper" if not arguments else f"{report(*asked)['currency']} "
    start, found, _ = page.partition(money)
    assert found
    for words in ("Never acid", "Never burning", "Never sparking", "Never filing, striking or breaking ceramic"):
        assert words in start
    assert "Magnesium dust" in start
    assert "class D extinguisher" in start


def test_unquoted_is_not_shown_as_a_price_of_zero() -> None:
    page = squeezed(says("--context", "taps", "--answer", "look=bright"))
    assert "Mixed plastics (unquoted, counted as bringing nothing)" in page


@pytest.mark.parametrize(
    ("arguments", "given", "where"),
    [
        (("--answer", "magnet"), '"magnet"', "answer"),
        (("--answer", "magnet=none", "--answer", "magnet=weak"), '"magnet=weak"', "answer"),
        (("--answer", "drag=weak"), '"drag=weak"', "answer"),
        (("--context", "attic"), '"attic"', "context"),
        (("--mass", "2"), '"2"', "mass"),
        (("--mass", "0 kg"), '"0 kg"', "mass"),
        (("--guide", "tubes"), '"tubes"', "guide"),
        (("--guide", "wire", "purple"), '"purple"', "feature"),
        (("green",), '"green"', "identify"),
    ],
)
def test_what_cannot_be_is_refused(arguments: tuple[str, ...], given: str, where: str) -> None:
    said = refused(*arguments)
    assert said.given == given
    assert where in said.where
    assert said.exit_status == 2


def test_a_workspace_that_is_named_has_to_be_there(tmp_path: Path) -> None:
    assert "without a ledger" in refused("--workspace", str(tmp_path / "nowhere")).given


# --- asking in turn ----------------------------------------------------------------------------------------------


@pytest.fixture
def somebody(monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody is there to answer."""
    monkeypatch.setattr(CommandContext, "may_ask", property(lambda self: not self.as_json))


@pytest.mark.usefixtures("somebody")
def test_it_asks_until_no_test_can_change_the_bin() -> None:
    said = says("--context", "screws", reply="4\n1\n" + "0\n" * 9)
    assert "look: What does its surface look like" in said
    assert "So far: " in said
    assert squeezed(said).count("Never acid") == 2, "said once while asking, once on the page"
    assert "Nothing: no test that is left" in squeezed(said)


@pytest.mark.usefixtures("somebody")
def test_not_sure_goes_on_and_back_takes_the_last_answer_away() -> None:
    said = says("--context", "taps", reply="9\nb\n2\nb\n0\nq\n")
    assert "a number from 0 to 7, b or q" in said
    assert "there is nothing to go back to" in said
    assert said.count("look: What does its surface look like") == 3
    assert "look: not sure" in said
    assert "partway identify --context taps --answer look=not-sure --confirm MATERIAL" in said


@pytest.mark.usefixtures("somebody")
def test_answers_given_beforehand_stay_and_a_density_is_asked_as_a_number() -> None:
    given = ["look=grey", "magnet=none", "weight=not-sure", "drag=not-sure", "colour=not-sure", "hardness=not-sure"]
    options = [word for each in [*given, "continuity=not-sure", "ring=not-sure"] for word in ("--answer", each)]
    said = says(*options, reply="b\nheavy\n2.7\n")
    assert "there is nothing to go back to" in said
    assert "from 0.2 to 25 g/cm3" in squeezed(said)
    assert "density by displacement: 2.7+-0.081 g/cm3" in squeezed(said)
    assert "taken to be off by 3%" in squeezed(said)


# --- confirming --------------------------------------------------------------------------------------------------


def test_confirmed_pieces_are_recorded_learned_from_and_taken_back(tmp_path: Path) -> None:
    where = ("--workspace", str(tmp_path / "book"))
    before = {m["material"]: m["chance"] for m in report("--context", "taps")["materials"]}
    confirm = ("--context", "taps", "--answer", "look=bright", "--confirm", "chrome-zinc", "--count", "40")
    recorded = json.loads(says(*confirm, *where, "--mass", "9 kg", "--json", "--who", "me"))
    assert [event["kind"] for event in recorded["events"]] == ["identified"]
    assert recorded["told"]["known"] == 40
    learned = report("--context", "taps", *where)
    chances = {m["material"]: m["chance"] for m in learned["materials"]}
    assert learned["confirmed"] == 40
    assert chances["chrome-zinc"] == pytest.approx((before["chrome-zinc"] * 40 + 40) / 80)
    assert report("--context", "loose", *where)["confirmed"] == 0, "each context learns for itself"
    event = recorded["events"][0]["id"]
    listed = CliRunner().invoke(cli, ["ledger", "--json", *where]).output
    assert "40 × chrome-zinc from taps" in squeezed(listed)
    assert CliRunner().invoke(cli, ["correct", event, *where, "--who", "me"]).exit_code == 0
    again = report("--context", "taps", *where)
    assert again["confirmed"] == 0
    assert {m["material"]: m["chance"] for m in again["materials"]} == pytest.approx(before)


def test_a_correction_puts_the_count_right(tmp_path: Path) -> None:
    where = ("--workspace", str(tmp_path / "book"))
    recorded = json.loads(says("--confirm", "lead", "--count", "30", *where, "--json", "--who", "me"))
    event = recorded["events"][0]["id"]
    done = CliRunner().invoke(cli, ["correct", event, "--set", "count=3", *where, "--who", "me"])
    assert done.exit_code == 0, done.output
    assert report("--context", "loose", *where)["confirmed"] == 3


def test_the_caution_comes_with_what_was_confirmed(tmp_path: Path) -> None:
    said = says("--confirm", "magnesium", "--workspace", str(tmp_path / "book"), "--who", "me")
    assert said.index("class D extinguisher") < said.index("Kept: magnesium, for a bin of Magnesium")


@pytest.mark.parametrize("material", ["gold", "abs", "chrome"])
def test_what_no_key_knows_is_not_recorded(material: str, tmp_path: Path) -> None:
    said = refused("--confirm", material, "--workspace", str(tmp_path / "book"), "--who", "me")
    assert said.where == "confirm"


# --- guides ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("guide", "features", "grade"),
    [
        ("boards", ["green", "cpu-socket", "slots"], "board-pc"),
        ("boards", ["green", "fingers"], "board-finger-card"),
        ("boards", ["brown", "power-parts"], "board-low"),
        ("boards", ["memory-module", "fingers"], "memory-gold"),
        ("boards", ["phone-size", "many-chips", "shields"], "board-phone"),
        ("boards", ["ceramic-lid"], "cpu-ceramic"),
        ("wire", ["sheath", "flat-house", "solid", "red"], "wire-house-cable"),
        ("wire", ["bulbs"], "wire-string-lights"),
        ("wire", ["braid"], "wire-coax"),
        ("wire", ["plug", "sheath"], "wire-cord-plugs"),
        ("wire", ["white"], "al-wire-insulated"),
        ("wire", ["bare", "shiny", "red"], "copper-bare-bright"),
    ],
)
def test_what_is_seen_makes_the_grade(guide: str, features: list[str], grade: str) -> None:
    """Common practice, no source."""
    found = json.loads(says("--guide", guide, *features, "--json"))
    assert found["matches"][0]["grade"] == grade
    assert found["matches"][0]["whole"]
    assert found["matches"][0]["spoils"]


def test_a_guide_says_what_to_look_for_and_never_what_was_seen() -> None:
    found = json.loads(says("--guide", "boards", "green", "--json"))
    assert {"fingers", "cpu-socket"} == set(found["look_for"])
    assert "green" not in found["look_for"]
    assert len(found["matches"]) > 2


@pytest.mark.parametrize(
    ("guide", "features", "never"),
    [
        ("boards", ["green", "few-chips", "cpu-socket"], "board-mid"),
        ("wire", ["sheath", "thick", "plug", "red"], "wire-heavy-cord"),
        ("wire", ["single", "solid", "thick", "red", "magnetic"], "wire-building"),
    ],
)
def test_a_grade_that_lacks_what_is_seen_is_not_named_at_all(guide: str, features: list[str], never: str) -> None:
    without = json.loads(says("--guide", guide, *features[:2], "--json"))
    assert never in {match["grade"] for match in without["matches"]}
    found = json.loads(says("--guide", guide, *features, "--json"))
    assert never not in {match["grade"] for match in found["matches"]}


def test_a_guide_says_what_has_to_come_off_first() -> None:
    page = squeezed(says("--guide", "boards", "green", "slots", "battery"))
    assert "a battery still on it: off with it first" in page
    assert page.index("Never filing") < page.index("of No. 2 copper")


def test_each_grade_of_a_guide_is_reached_by_what_it_shows() -> None:
    from partway.catalogue import shipped

    for guide in shipped().key.guides.values():
        for row in guide.rows:
            found = json.loads(says("--guide", guide.id, *row.shows, "--json"))
            assert row.grade in {match["grade"] for match in found["matches"] if match["whole"]}, row.grade
