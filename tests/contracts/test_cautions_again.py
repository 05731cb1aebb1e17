"""Cautions at the terminal: whole the first time a day for each person, then by name in one line; hard stops whole.

What the file that remembers it may suffer: to be lost, cut short, of another day, written by two programs at once.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from ledgers.anybody import as_anybody, folder_of_anybody, only_folder
from warm import commands
from workspaces import made

from partway.actions.recording import zones
from partway.catalogue import shipped
from partway.catalogue.cards import is_hard_stop, shipped_cards
from partway.catalogue.named import hazards_of
from partway.cli.app import cli
from partway.storage.shown_today import NAME

NOON = dt.datetime(2026, 3, 20, 12, 0, tzinfo=dt.UTC)
CARDS = shipped_cards(hazards_of(shipped().anatomy("microwave"), shipped().grades))
HARD = [card for card in CARDS if is_hard_stop(card.id)]
SOFT = [card for card in CARDS if not is_hard_stop(card.id)]
Command = Callable[..., str]


def squeezed(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Command:
    """A command in one workspace, at noon of a day of March, by kim where nobody else is named."""
    made(tmp_path / "w")

    def run(*words: str, who: str = "kim", day: int = 20) -> str:
        monkeypatch.setattr(zones, "now_of", lambda _: NOON.replace(day=day))
        monkeypatch.setenv("PARTWAY_WHO", who)
        done = CliRunner().invoke(cli, [*words, "--workspace", str(tmp_path / "w")], prog_name="partway")
        assert done.exit_code == 0, done.output
        return squeezed(done.stdout)

    return run


def whole(page: str) -> list[str]:
    """The cards that a page shows whole: with what comes first."""
    return [card.id for card in CARDS if squeezed(card.line) in page]


def test_there_are_cards_of_both_sorts() -> None:
    assert {"hv-capacitor", "magnetron", "mercury"} <= {card.id for card in HARD}
    assert {"mains", "glass"} <= {card.id for card in SOFT}
    assert is_hard_stop("a hazard that no card is of")
    assert all(is_hard_stop(one.id) for one in shipped().cautions.values() if one.forbids or one.out_first)


def test_whole_once_a_day_and_then_by_name_in_one_line(at: Command) -> None:
    first, second = at("find", "microwave"), at("find", "microwave")
    assert whole(first) == [card.id for card in CARDS]
    assert whole(second) == [card.id for card in HARD]
    names = ", ".join(card.name for card in SOFT)
    assert f"Careful again: {names}. Shown in full earlier today" in second
    assert second.index("Careful again") < second.index("Found: microwave")


def test_each_person_and_each_day_anew(at: Command) -> None:
    at("find", "microwave")
    assert whole(at("find", "microwave", who="sam")) == [card.id for card in CARDS]
    assert whole(at("find", "microwave", "--who", "lee")) == [card.id for card in CARDS]
    assert whole(at("find", "microwave", "--who", "lee")) == [card.id for card in HARD]
    assert whole(at("find", "microwave", day=21)) == [card.id for card in CARDS]
    assert whole(at("find", "microwave")) == [card.id for card in CARDS], "the day before: not known any more"


def test_what_another_command_showed_counts(at: Command) -> None:
    at("find", "microwave", "--mass", "12 kg")
    assert whole(at("weigh", "microwave-1", "13 kg")) == [card.id for card in HARD]
    page = at("today")
    assert "Careful again: Mains electricity" in page and "High-voltage capacitor (microwave): unplug" in page
    assert whole(at("today", who="sam")) == [], "the day's page names whose they are"
    assert "Mains electricity (microwave): unplug it" in at("today", who="ann")


def test_json_has_every_card_and_counts_for_nothing(at: Command) -> None:
    for _ in range(2):
        told = json.loads(at("find", "microwave", "--json"))
        assert [card["id"] for card in told["told"]["cautions"]] == [card.id for card in CARDS]
    assert whole(at("find", "microwave")) == [card.id for card in CARDS]


@pytest.mark.parametrize(
    "content",
    ["", "{", "[]", "null", '{"day": "2026-03-20"}', '{"day": "2026-03-20", "shown": [1]}', '{"day": 1, "shown": {}}',
     '{"day": "2026-03-20", "shown": {"kim": 3}}', "\x00\xff", "[" * 100_000],
)  # fmt: skip
def test_a_file_that_was_damaged_shows_all_again(content: str, at: Command, tmp_path: Path) -> None:
    at("find", "microwave")
    (tmp_path / "w" / NAME).write_bytes(content.encode("latin-1"))
    assert whole(at("find", "microwave")) == [card.id for card in CARDS]
    assert whole(at("find", "microwave")) == [card.id for card in HARD]


def test_a_file_that_was_deleted_shows_all_again(at: Command, tmp_path: Path) -> None:
    at("find", "microwave")
    (tmp_path / "w" / NAME).unlink()
    assert whole(at("find", "microwave")) == [card.id for card in CARDS]


def test_only_its_owner_may_read_it(at: Command, tmp_path: Path) -> None:
    at("find", "microwave")
    assert (tmp_path / "w" / NAME).stat().st_mode & 0o777 == 0o600
    assert sorted(path.name for path in (tmp_path / "w").iterdir()) == [NAME, "ledger.sqlite"]


def test_what_was_refused_was_not_shown(at: Command, tmp_path: Path) -> None:
    done = CliRunner().invoke(cli, ["find", "microwave", "--mass", "x", "--workspace", str(tmp_path / "w")])
    assert done.exit_code != 0
    assert whole(at("find", "microwave")) == [card.id for card in CARDS]


def test_where_nothing_can_be_written_all_is_shown_each_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PARTWAY_WHO", "kim")
    with folder_of_anybody() as folder, as_anybody():
        made(folder / "w")

        def run(*words: str) -> str:
            return squeezed(CliRunner().invoke(cli, [*words, "--workspace", str(folder / "w")]).stdout)

        run("find", "microwave")
        (folder / "w" / NAME).unlink()
        only_folder(folder / "w")
        for _ in range(2):
            assert "Mains electricity (microwave): unplug it" in run("today")
        (folder / "w").chmod(0o700)


def test_two_programs_at_once_harm_nothing(tmp_path: Path) -> None:
    """Each leaves a whole file; at worst a card is shown whole once more."""
    from concurrent.futures import ThreadPoolExecutor

    made(tmp_path / "w")
    kinds = ("fan", "microwave", "kettle", "toaster") * 3
    with ThreadPoolExecutor(4) as pool:
        ran = list(
            pool.map(
                lambda kind: commands().run(
                    "partway.cli:main", "find", kind, "--workspace", str(tmp_path / "w"), PARTWAY_WHO="kim"
                ),
                kinds,
            )
        )
    assert all(done.returncode == 0 and not done.stderr for done in ran)
    known = json.loads((tmp_path / "w" / NAME).read_text(encoding="utf-8"))["shown"]["kim"]
    assert set(known) <= set(shipped().cautions) and "mains" in known
    assert sorted(path.name for path in (tmp_path / "w").iterdir() if not path.name.startswith("ledger")) == [NAME]
