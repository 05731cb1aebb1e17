"""Whatever stands in a scenario file, the loader either reads it or refuses it; it never stumbles.

Random bytes, random text, and a good scenario whose tables are deleted, doubled, renamed, moved and
overwritten with hostile values.
"""

from __future__ import annotations

import datetime as dt
import sys
import tomllib
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "contracts"))

from bad_scenarios import GOOD

from partway.errors import Refused
from partway.storage.scenario.opening import read_tables
from partway.storage.scenario.scenario import check_file, read_scenario, read_scenario_text
from partway.things.scenario import Scenario

BASE = tomllib.loads(GOOD)
quick = settings(
    max_examples=300,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)

HOSTILE: list[Any] = [
    *(
        None,
        "",
        " ",
        "0",
        "-0",
        "nan",
        "inf",
        "home",
        "whole",
        "rest",
        "..",
        "../../x",
        "a\nb",
        "\x1b[31m",
        "\0",
    ),
    *(
        "x" * 5000,
        "{given}",
        "%s",
        "\u202e",
        "\u0661 kg",
        "1e999 kg",
        "5 kg kg",
        "1 /lb/lb",
        "/",
        "¢/lb",
        "1e15 /kg",
    ),
    *(True, False, 0, -1, 1, 10**18, 10**400, -(10**400), int("f" * 5000, 16)),
    *(0.0, -0.0, 1e-320, 1e308, -1e308, float("nan"), float("inf"), float("-inf")),
    *([], {}, [[]], [{}], [None], {"": {}}, [[1, 2], {"a": 1}], ["a", 1, None], {"id": []}),
    *(dt.date(1, 1, 1), dt.date(9999, 12, 31), dt.time(23, 59), dt.datetime(2026, 3, 14, 9, 0)),
    *("4.10 /lb", "10 lb", "copper-2", "li-ion", "model-car", "piece-a", "bread-machine", "motor-small"),
]


def nodes(tree: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Paths of everything in a tree of tables and arrays."""
    found = [path]
    children = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for key, child in children:
        if isinstance(child, dict | list):
            found += nodes(child, (*path, key))
        else:
            found.append((*path, key))
    return found


def copied(tree: Any) -> Any:
    """The same tables and arrays anew; what they hold never changes."""
    if isinstance(tree, dict):
        return {key: copied(child) for key, child in tree.items()}
    return [copied(child) for child in tree] if isinstance(tree, list) else tree


def one_of(draw: st.DrawFn, paths: list[tuple[Any, ...]]) -> tuple[Any, ...]:
    """As `sampled_from`, which looks at each of hundreds of paths every time."""
    return paths[draw(st.integers(0, len(paths) - 1))]


def at(tree: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        tree = tree[key]
    return tree


@st.composite
def mutated(draw: st.DrawFn) -> dict[str, Any]:
    """The good scenario after one to four hostile changes."""
    tree = copied(BASE)
    for _ in range(draw(st.integers(1, 4))):
        path = one_of(draw, nodes(tree)[1:] or [("scenario",)])
        parent, key = at(tree, path[:-1]), path[-1]
        match draw(st.sampled_from(["overwrite", "delete", "rename", "double", "move"])):
            case "delete" if key in parent or isinstance(parent, list):
                del parent[key]
            case "rename" if isinstance(parent, dict):
                names = st.sampled_from(
                    ["", "id", "kind", "home", "x" * 500, "\0", "grade", "price", "like", "mass_kg"]
                )
                parent[draw(names)] = parent.pop(key, None)
            case "double" if isinstance(parent, list):
                parent.insert(key, copied(parent[key]))
            case "move":
                parent[key] = copied(at(tree, one_of(draw, nodes(tree)[1:])))
            case _:
                parent[key] = copied(draw(st.sampled_from(HOSTILE)))
    hostile: dict[str, Any] = tree
    return hostile


def parser_of(tree: dict[str, Any]) -> SimpleNamespace:
    """A TOML parser that finds these tables in any text: not every hostile value can be written in TOML."""
    return SimpleNamespace(loads=lambda text: tree, TOMLDecodeError=tomllib.TOMLDecodeError)


def held(scenario: Scenario) -> None:
    """What every scenario that was let through keeps to."""
    assert scenario.hours.bench >= 0
    assert all(kg >= 0 for kg in scenario.stock.values())
    assert {find.kind for find in scenario.finds} <= set(scenario.anatomies)
    assert all(quote.grade in scenario.grades for buyer in scenario.buyers for quote in buyer.quotes)
    assert all(quote.on <= scenario.on for buyer in scenario.buyers for quote in buyer.quotes)
    assert len({buyer.id for buyer in scenario.buyers}) == len(scenario.buyers)
    assert scenario.vehicle is None or scenario.vehicle.payload_kg > 0


def one_line(refused: Refused) -> None:
    assert refused.given and refused.expected and refused.where
    assert str(refused).isprintable()
    assert len(str(refused)) < 2000


@quick
@given(st.binary(max_size=300))
def test_random_bytes(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "f.toml"
    path.write_bytes(raw)
    for read in (read_scenario, check_file):
        with pytest.raises(Refused) as caught:
            read(path)
        one_line(caught.value)


@quick
@given(st.text(st.characters(codec="utf-8"), max_size=300))
def test_random_text(text: str) -> None:
    with pytest.raises(Refused) as caught:
        read_scenario_text(text, "f.toml")
    one_line(caught.value)


@quick
@given(
    st.integers(0, len(GOOD) - 1),
    st.integers(0, 12),
    st.text(st.sampled_from('[]{}"=.,\n#-+0179ekg \\u\t\0é\r'), max_size=6),
)
def test_good_text_with_a_piece_overwritten(start: int, length: int, instead: str) -> None:
    text = GOOD[:start] + instead + GOOD[start + length :]
    try:
        held(read_scenario_text(text, "f.toml"))
    except Refused as refused:
        one_line(refused)


@settings(quick, max_examples=2500)
@given(tree=mutated())
def test_good_scenario_with_hostile_tables(monkeypatch: pytest.MonkeyPatch, tree: dict[str, Any]) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("partway.storage.scenario.opening.tomllib", parser_of(tree))
        try:
            held(read_scenario_text("x", "f.toml"))
        except Refused as refused:
            one_line(refused)


@settings(quick, max_examples=1000)
@given(tree=mutated())
def test_hostile_anatomies_alone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, tree: dict[str, Any]) -> None:
    (tmp_path / "f.toml").write_text("x = 1")
    alone: dict[str, Any] = {name: tree[name] for name in ("grade", "anatomy") if name in tree}
    with monkeypatch.context() as patch:
        patch.setattr("partway.storage.scenario.opening.tomllib", parser_of(alone))
        try:
            check_file(tmp_path / "f.toml")
        except Refused as refused:
            one_line(refused)


@quick
@given(
    st.recursive(st.integers(), lambda inner: st.lists(inner, max_size=3), max_leaves=20),
    st.integers(0, 2000),
)
def test_nesting_of_any_depth(value: Any, depth: int) -> None:
    try:
        read_tables(f"a = {'[' * depth}{value}{']' * depth}", "f.toml")
    except Refused as refused:
        one_line(refused)
        assert "deep" in refused.given


def test_the_mutations_reach_both_ends() -> None:
    """Enough of the hostile files are refused, and some are let through: the fuzzing is not all noise."""
    outcomes = {"read": 0, "refused": 0}

    @settings(quick, max_examples=300, database=None, derandomize=True)
    @given(tree=mutated())
    def run(tree: dict[str, Any]) -> None:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("partway.storage.scenario.opening.tomllib", parser_of(tree))
            try:
                read_scenario_text("x", "f.toml")
                outcomes["read"] += 1
            except Refused:
                outcomes["refused"] += 1

    run()
    assert outcomes["read"] > 3
    assert outcomes["refused"] > 50
