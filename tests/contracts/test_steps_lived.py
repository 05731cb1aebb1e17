"""A fan of one's own whose motor comes out once both covers are off: added by command, planned, opened in part."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from click.testing import CliRunner, Result

from partway.actions.bins import bins
from partway.actions.home.settings import set_
from partway.cli.app import cli
from partway.errors import BadCatalogue
from partway.valuing.own_kinds import own_kinds

FAN = """
[[anatomy]]
kind = "shop-fan"
works = 0.5
cautions = ["mains"]

  [[anatomy.piece]]
  id = "whole"
  name = "Shop fan"
  mass_kg = 25.0
  sells = [ { grade = "light-iron", share = 0.8 } ]

  [[anatomy.piece]]
  id = "left"
  name = "Left cover"
  mass_kg = 2.5
  sells = [ { grade = "al-cast" } ]

  [[anatomy.piece]]
  id = "right"
  name = "Right cover"
  mass_kg = 2.0
  sells = [ { grade = "al-cast" } ]

  [[anatomy.piece]]
  id = "motor"
  mass_kg = 9.0
  sells = [ { grade = "motors" } ]

  [[anatomy.piece]]
  id = "frame"
  mass_kg = "rest"
  sells = [ { grade = "light-iron" } ]

  [[anatomy.operation]]
  id = "left-off"
  name = "left cover off"
  on = "whole"
  minutes = 4
  gives = [ { piece = "left" } ]

  [[anatomy.operation]]
  id = "right-off"
  name = "right cover off"
  on = "whole"
  minutes = 9
  gives = [ { piece = "right" } ]

  [[anatomy.operation]]
  id = "motor-out"
  name = "motor out"
  on = "whole"
  after = ["left-off", "right-off"]
  minutes = [10, 15, 20]
  gives = [ { piece = "motor" }, { piece = "frame" } ]
"""
YARD = """
[scenario]
name = "two covers"
currency = "CAD"
on = 2026-03-14
[hours]
bench = {bench}
away = 3.0
wage = 12.0
[vehicle]
payload = "450 kg"
cost_per_km = 0.3
[[buyer]]
id = "harbour"
kind = "yard"
km = 4.0
price = [
  {{ grade = "al-cast", price = "1.60 /kg", on = 2026-03-10 }},
  {{ grade = "motors", price = "1.00 /kg", on = 2026-03-10 }},
  {{ grade = "light-iron", price = "0.20 /kg", on = 2026-03-10 }},
]
[[find]]
kind = "shop-fan"
works = "no"
"""


@pytest.fixture
def v(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Visitor]:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "w"))
    with visitor(tmp_path / "w") as one:
        for name, value in (("currency", "CAD"), ("unit", "kg"), ("wage", "12")):
            set_(one.book, one.context(), name, value)
        bins.add_bin(one.book, one.context(), "al-cast")
        bins.add_bin(one.book, one.context(), "light-iron")
        yield one


def run(*args: str) -> Result:
    """The command on the same workspace."""
    result = CliRunner().invoke(cli, args)
    assert result.exit_code == 0, result.output
    return result


def planned(folder: Path, bench: float) -> list[str]:
    """What a plan of a scenario file opens, within so many hours."""
    file = folder / "fan.toml"
    file.write_text(YARD.format(bench=bench) + FAN, encoding="utf-8")
    plan = json.loads(run("plan", "--scenario", str(file), "--json").stdout)
    assert plan["status"] == "optimal"
    return [one["name"] for one in plan["open"]]


def test_a_plan_takes_both_covers_off_before_the_motor_or_one_where_there_is_no_more_time(tmp_path: Path) -> None:
    """By hand: left 4.00 - .40 of iron for 4 minutes, right 3.20 - .32 for 9, motor 9.00 + 2.30 - 3.28 for 15."""
    assert planned(tmp_path, 1.0) == ["left cover off", "right cover off", "motor out"]
    assert planned(tmp_path, 0.25) == ["left cover off", "right cover off"]
    assert planned(tmp_path, 0.1) == ["left cover off"]


def test_depth_says_what_to_do_in_turn_and_warns_of_nothing_that_is_done(tmp_path: Path) -> None:
    file = tmp_path / "fan.toml"
    file.write_text(YARD.format(bench=1.0) + FAN, encoding="utf-8")
    said = run("depth", "--scenario", str(file), "--kind", "shop-fan").output
    done = said.partition("DO\n")[2]
    assert done.index("Left cover off") < done.index("Right cover off") < done.index("Motor out")
    assert "STOP BEFORE" not in said
    steps = json.loads(run("depth", "--scenario", str(file), "--kind", "shop-fan", "--json").stdout)["steps"]
    assert [step["operation"] for step in steps if step["chosen"]] == [
        "left-off", "right-off.after-left-off", "motor-out",
    ]  # fmt: skip


def test_a_kind_of_ones_own_in_steps_is_kept_shown_and_opened_after_one_cover(v: Visitor, tmp_path: Path) -> None:
    file = tmp_path / "shop-fan.toml"
    file.write_text(FAN, encoding="utf-8")
    run("check", str(file))
    run("kinds", "--add", str(file))
    kept = own_kinds(v.book)["shop-fan"]
    assert [op.on for op in kept.operations if op.id == "motor-out"] == ["whole.after-left-off+right-off"]
    text = run("kinds", "shop-fan", "--toml").stdout
    assert "after =" not in text and 'id = "whole.after-left-off"' in text
    again = tmp_path / "again.toml"
    again.write_text(text, encoding="utf-8")
    run("check", str(again))
    find = v.client.post("/api/find", json={"kind": "shop-fan", "mass": "25 kg"}).json()["told"]["find"]
    assert "Left cover" in v.open(f"/bench/{find}/whole")
    sent = {
        "find": find,
        "pieces": [
            {"piece": "left", "mass": "2.5 kg", "grade": "al-cast"},
            {"piece": "whole.after-left-off", "mass": "22.5 kg", "grade": "light-iron"},
        ],
        "minutes": "4",
    }
    saved = v.client.post("/api/open", json=sent)
    assert saved.status_code == 200, saved.text


def test_a_file_that_cannot_hold_is_refused_with_one_message(tmp_path: Path) -> None:
    file = tmp_path / "fan.toml"
    file.write_text(FAN.replace('"right-off"]', '"rigt-off"]'), encoding="utf-8")
    with pytest.raises(BadCatalogue) as refused:
        CliRunner().invoke(cli, ["check", str(file)], catch_exceptions=False)
    said = str(refused.value)
    assert 'anatomy[shop-fan].operation[motor-out].after: got "rigt-off"' in said
    assert 'did you mean "right-off"?' in said
