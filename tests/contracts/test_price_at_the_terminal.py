"""A price said at the command line is recorded as the same words in a list are."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from workspaces import made

from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger import trading
from partway.storage.workspace import open_workspace

SAID = {
    "38c": (),
    "12 to 18 cents a pound": (),
    "0.12-0.18 /lb": (),
    "4.10 /kg": (),
    "six bucks each": ("--piece", "40 lb"),
    "not taking": (),
}


def run(folder: Path, *words: str) -> None:
    result = CliRunner().invoke(cli, [*words, "--workspace", str(folder)])
    assert result.exit_code == 0, result.output


def refuses(*words: str) -> str:
    """What a command says that takes nothing."""
    result = CliRunner().invoke(cli, words)
    assert isinstance(result.exception, Refused), result.output
    return str(result.exception)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    here = made(tmp_path / "mine")
    for name, value in (("currency", "CAD"), ("unit", "lb")):
        run(here, "set", name, value)
    for buyer in ("harbour", "ridge"):
        run(here, "buyer", buyer, "--kind", "yard", "--km", "9")
    return here


@pytest.mark.parametrize(("said", "more"), SAID.items())
def test_a_single_price_is_kept_as_a_line_of_a_list_is(folder: Path, said: str, more: tuple[str, ...]) -> None:
    """Both ends of a range too: what a yard says is kept as it was said."""
    one = f", one weighs {more[1]}" if more else ""
    run(folder, "quotes", "ridge", f"alternators {said}{one}")
    run(folder, "quote", "harbour", "alternator", said, *more)
    with open_workspace(str(folder)) as book:
        told = {quote.buyer: replace(quote, buyer="", said="") for quote in trading.quotes(book)}
    assert told["harbour"] == told["ridge"]
    assert ("to" in said or "-" in said) is (told["ridge"].low is not None)


def test_a_ticket_prints_no_range(folder: Path) -> None:
    run(folder, "bin", "motors", "--holds", "38 lb")
    printed = refuses("ticket", "harbour", "motors 38 lb at 12 to 18 cents", "--workspace", str(folder))
    assert "0.12 to 0.18" in printed


def test_a_wage_in_other_money_than_is_counted_in_is_refused(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "week.toml"
    for command in (["plan"], ["export-scenario", str(file)]):
        assert "12 pounds" in refuses(*command, "--wage", "12 pounds", "--workspace", str(folder))
        assert not file.exists()
    run(folder, "export-scenario", str(file), "--wage", "twelve fifty")
    assert "wage = 12.5" in file.read_text(encoding="utf-8")
    assert "12 pounds" in refuses("plan", "--scenario", str(file), "--wage", "12 pounds")
    prices = ("--sealed", "0.38 /lb", "--copper", "4 /lb", "--minutes", "9")
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(folder))
    assert "12 pounds" in refuses("motor", "9 lb", *prices, "--wage", "12 pounds")
    assert CliRunner().invoke(cli, ["motor", "9 lb", *prices, "--wage", "12 bucks"]).exit_code == 0
    planned = CliRunner().invoke(cli, ["plan", "--scenario", str(file), "--wage", "12 bucks"])
    assert planned.exit_code == 0, planned.output
