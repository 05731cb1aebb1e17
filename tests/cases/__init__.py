"""Scenario files that once went wrong, each with what is right about it in its own first lines."""

from __future__ import annotations

from pathlib import Path

from partway.storage.scenario.scenario import read_scenario
from partway.things.scenario import Scenario


def case(name: str) -> Scenario:
    """The scenario of one file."""
    return read_scenario(Path(__file__).with_name(f"{name}.toml"))
