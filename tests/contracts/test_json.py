"""`--json` to the letter of docs/model.md: its keys, its sums, valid by the schema we publish, alone on stdout."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from warm import commands

KEYS = {
    "status", "objective", "bound", "gap", "money", "hours", "open", "sales", "parts", "kept", "routes", "next_hour",
    "notes",
}  # fmt: skip
MONEY = {"sales", "parts", "shipping", "fees", "driving", "wage", "kept"}


def printed(*arguments: str, fresh: bool = False) -> Any:
    """What a command prints, run as a process, forked or `fresh`: nothing but JSON on stdout, nothing on stderr."""
    if fresh:
        command = [sys.executable, "-m", "partway", *arguments]
        done = subprocess.run(command, capture_output=True, text=True, check=True)  # noqa: S603
    else:
        done = commands().run("partway.cli:main", *arguments)
    assert (done.returncode, done.stderr) == (0, "")
    return json.loads(done.stdout)


@pytest.fixture(scope="module", params=["harbour-week", "quay-day"])
def scenario(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> str:
    file = tmp_path_factory.mktemp("demo") / "demo.toml"
    assert commands().run("partway.cli:main", "demo", request.param, "--save", str(file)).returncode == 0
    return str(file)


def test_a_plan(scenario: str) -> None:
    plan = printed("plan", "--scenario", scenario, "--json", fresh=True)
    jsonschema.validate(plan, printed("schema", "plan"))
    assert plan.keys() >= KEYS
    assert plan["money"].keys() == MONEY
    assert sum(plan["money"].values()) == pytest.approx(plan["objective"], abs=1e-9)
    assert plan["status"] == "optimal"
    assert plan["bound"] >= plan["objective"]
    assert plan["hours"].keys() == {"bench", "away"}
    assert all(line.keys() >= {"kind", "piece", "operation", "times"} for line in plan["open"])
    assert all(line.keys() >= {"trip", "buyer", "grade", "mass_kg", "price_per_kg", "amount"} for line in plan["sales"])
    for line in plan["sales"]:
        assert line["amount"] == pytest.approx(line["mass_kg"] * line["price_per_kg"])
        assert line["trip"] is None or line["buyer"] in plan["routes"][line["trip"] - 1]


def test_a_depth(scenario: str) -> None:
    depth = printed("depth", "--scenario", scenario, "--kind", "fan", "--json")
    jsonschema.validate(depth, printed("schema", "depth"))
    assert depth["value"] >= depth["as_is"]


def test_the_scenario_is_one_by_its_own_schema(scenario: str) -> None:
    import tomllib

    text = Path(scenario).read_text(encoding="utf-8")
    as_json = json.loads(json.dumps(tomllib.loads(text), default=str))  # a TOML day is a text of format date
    jsonschema.validate(as_json, printed("schema", "scenario"))
