"""What docs/never.md promises of the command line: cautions first, no unchecked plan, nothing overwritten."""

from __future__ import annotations

from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from partway.actions.plans import plan as planning
from partway.cli.app import run
from partway.planning.instance.frozen import Instance
from partway.planning.learned.memory import LearnedSearch
from partway.planning.search.search import OnFound, OnProgress, SearchFound, search
from partway.storage.scenario.scenario import read_scenario
from partway.things.scenario import Scenario

EXAMPLE = resources.files("partway.catalogue") / "demo" / "harbour-week.toml"


@pytest.fixture
def week(tmp_path: Path) -> Path:
    path = tmp_path / "week.toml"
    path.write_text(EXAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
    return path


def status_of(arguments: list[str]) -> object:
    with pytest.raises(SystemExit) as left:
        run(arguments)
    return left.value.code


def squeezed(text: str) -> str:
    """Text on one line, however the page was broken."""
    return " ".join(text.split())


def before_money(page: str, scenario: Scenario) -> str:
    """All that a page says before its first amount of money."""
    start, found, _ = page.partition(f"{scenario.currency} ")
    assert found, "a page without money proves nothing"
    return start.casefold()


def test_cautions_come_before_any_money_on_the_plan(week: Path, capsys: pytest.CaptureFixture[str]) -> None:
    scenario = read_scenario(week)
    hurts = [caution.id for caution in planning.plan(scenario).cautions]
    assert {"mains", "hv-capacitor", "li-ion", "lead-acid"} <= set(hurts)
    assert status_of(["plan", "--scenario", str(week)]) == 0
    start = before_money(squeezed(capsys.readouterr().out), scenario)
    missing = [name for name in hurts if scenario.cautions[name].first.casefold() not in start]
    assert missing == []


@pytest.mark.parametrize("kind", ["microwave", "laptop", "fridge"])
def test_cautions_come_before_any_money_on_a_depth_page(
    kind: str, week: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    scenario = read_scenario(week)
    cautions = scenario.anatomies[kind].cautions
    assert cautions
    assert status_of(["depth", "--scenario", str(week), "--kind", kind]) == 0
    start = before_money(squeezed(capsys.readouterr().out), scenario)
    missing = [name for name in cautions if scenario.cautions[name].first.casefold() not in start]
    assert missing == []


def test_a_plan_that_fails_its_check_is_not_shown(
    week: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def miscounting(
        instance: Instance,
        seconds: float = 10.0,
        gap: float = 1e-6,
        on_progress: OnProgress | None = None,
        on_found: OnFound | None = None,
        *,
        known: LearnedSearch | None = None,
    ) -> SearchFound:
        found = search(instance, seconds, gap, on_progress, on_found, known=known)
        kept = (found.decision.kept[0] + 1, *found.decision.kept[1:])
        return replace(found, decision=replace(found.decision, kept=kept))

    monkeypatch.setattr(planning, "search", miscounting)
    assert status_of(["plan", "--scenario", str(week)]) == 1
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "failed its own check" in shown.err
    assert status_of(["plan", "--scenario", str(week), "--json"]) == 1
    assert capsys.readouterr().out == ""


def test_saving_the_demo_overwrites_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.toml"
    assert status_of(["demo", "--save", str(path)]) == 0
    assert path.read_text(encoding="utf-8") == EXAMPLE.read_text(encoding="utf-8")
    path.write_text("my own week", encoding="utf-8")
    capsys.readouterr()
    assert status_of(["demo", "--save", str(path)]) == 2
    assert str(path) in squeezed(capsys.readouterr().err)
    assert path.read_text(encoding="utf-8") == "my own week"
    assert list(tmp_path.iterdir()) == [path]
