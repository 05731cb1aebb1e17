"""The help page that is shown before anything is imported says what the commands themselves say."""

from __future__ import annotations

import runpy

import click
import pytest
from click.testing import CliRunner

from partway.cli import app, help_page
from partway.cli.app import COMMANDS, LEDGER, SECTIONS, cli


def test_the_page_is_what_the_group_would_print() -> None:
    """Asked of a group of its own: one that other tests have used may remember their help options."""
    fresh = runpy.run_path(app.__file__)["cli"]
    assert help_page() == CliRunner().invoke(fresh, ["--help"], prog_name="partway", terminal_width=80).output


def test_every_command_is_in_one_section() -> None:
    assert list(COMMANDS) == [name for _, commands in SECTIONS for name in commands]
    assert len(COMMANDS) == sum(len(commands) for _, commands in SECTIONS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_loads_and_explains_itself(name: str) -> None:
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    assert command.name == name
    result = CliRunner().invoke(cli, [name, "--help"], prog_name="partway")
    assert result.exit_code == 0
    assert len(result.output.splitlines()) > 4


@pytest.mark.parametrize("name", sorted(LEDGER))
def test_every_command_of_the_ledger_takes_a_workspace(name: str) -> None:
    command = cli.get_command(click.Context(cli), name)
    leaves = list(command.commands.values()) if isinstance(command, click.Group) else [command]
    for leaf in leaves:
        assert leaf is not None
        assert "workspace" in {param.name for param in leaf.params}
