"""Place cards: asked by us, filled in by the user, with source and date; the latest word counts, an old one is said."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from click.testing import CliRunner
from ledger_day import Day

from partway.actions.books.corrections import correct
from partway.actions.what import placing
from partway.catalogue import shipped
from partway.cli.app import cli
from partway.ledger.events.kinds import Ruled
from partway.ledger.fold.rules import rules
from partway.reports.what.place_cards import OLD_DAYS, report_place_cards, to_fill_in

TODAY = dt.date(2026, 3, 14)


def filled(day: Day, card: str = "curbside", says: str = "not after 7", seen: str | None = "2026-03-01") -> str:
    return str(day.do(placing.fill_in, card, says, "by-law 12", seen).events[0].id)


def standing(day: Day, card: str = "curbside", on: dt.date = TODAY) -> str:
    return next(line.standing for line in report_place_cards(day.book, on).cards if line.id == card)


def test_a_card_is_not_filled_in_until_somebody_does() -> None:
    day = Day()
    assert {line.standing for line in report_place_cards(day.book, TODAY).cards} == {"not filled in"}
    assert to_fill_in(day.book, TODAY) == tuple(shipped().place_cards)
    filled(day)
    line = next(line for line in report_place_cards(day.book, TODAY).cards if line.id == "curbside")
    assert (line.says, line.source, line.seen, line.days) == ("not after 7", "by-law 12", "2026-03-01", 13)
    assert "curbside" not in to_fill_in(day.book, TODAY)


def test_the_latest_word_counts_and_can_be_taken_back() -> None:
    day = Day()
    filled(day)
    told = day.do(placing.fill_in, "curbside", "never", "by-law 13").result
    assert told.before == "not after 7" and told.seen == "2026-03-14"
    assert rules(day.book)["curbside"].says == "never"
    last = str(next(iter(reversed(list(day.book.events(("ruled",)))))).id)
    day.do(correct, last)
    assert rules(day.book)["curbside"].says == "not after 7"


def test_a_field_is_put_right() -> None:
    day = Day()
    day.do(correct, filled(day), "misread", {"says": "not after 9", "seen": "2026-03-02", "source": "by-law 12, 4"})
    assert rules(day.book)["curbside"] == Ruled("curbside", "not after 9", "by-law 12, 4", dt.date(2026, 3, 2))
    again = str(next(iter(reversed(list(day.book.events(("ruled",)))))).id)
    assert day.refuses(correct, again, "", {"says": " "}).where == "says"
    assert "field" in day.refuses(correct, again, "", {"card": "payment"}).expected


@pytest.mark.parametrize(
    ("said", "seen"),
    [
        ("yesterday", "2026-03-13"),
        ("thursday", "2026-03-12"),
        ("2 days ago", "2026-03-12"),
        ("nov 20", "2025-11-20"),
        (" 2026-03-02 ", "2026-03-02"),
    ],
)
def test_a_day_put_right_is_said_as_everywhere(said: str, seen: str) -> None:
    """14 March 2026 was a Saturday (ISO 8601 week 11)."""
    day = Day()
    day.do(correct, filled(day), "misread", {"seen": said})
    assert rules(day.book)["curbside"].seen == dt.date.fromisoformat(seen)


@pytest.mark.parametrize("said", ["some day", "2026-03-15", "1900-01-01", "", "last monday"])
def test_a_day_put_right_has_been(said: str) -> None:
    day = Day()
    assert day.refuses(correct, filled(day), "", {"seen": said}).where == "seen"


def test_after_a_year_it_is_to_be_looked_up_again() -> None:
    day = Day()
    filled(day)
    seen = dt.date(2026, 3, 1)
    assert standing(day, on=seen + dt.timedelta(days=OLD_DAYS)) == "filled in"
    assert standing(day, on=seen + dt.timedelta(days=OLD_DAYS + 1)) == "look again"
    assert "curbside" in to_fill_in(day.book, seen + dt.timedelta(days=OLD_DAYS + 1))


@pytest.mark.parametrize(
    ("card", "says", "source", "seen", "where"),
    [
        ("curb-side-9", "x", "y", None, "place"),
        ("curbside", " ", "y", None, "says"),
        ("curbside", "x", "", None, "source"),
        ("curbside", "x", None, None, "source"),
        ("curbside", "x\ny", "y", None, "says"),
        ("curbside", "x" * 1001, "y", None, "says"),
        ("curbside", "x", "y", "some day", "seen"),
        ("curbside", "x", "y", "2026-03-15", "seen"),
        ("curbside", "x", "y", "1900-01-01", "seen"),
    ],
)
def test_what_cannot_be_kept_is_refused(card: str, says: str, source: str | None, seen: str | None, where: str) -> None:
    assert Day().refuses(placing.fill_in, card, says, source, seen).where == where


def test_a_rule_of_a_card_that_is_gone_is_still_shown() -> None:
    """A later partway may have asked it."""
    day = Day()
    from partway.actions.recording.context import record

    day.do(lambda book, context: record(book, context, [Ruled("kerb", "x", "y", TODAY)], None))
    assert report_place_cards(day.book, TODAY).cards[-1].id == "kerb"


def run(*arguments: str) -> tuple[int, str]:
    result = CliRunner().invoke(cli, list(arguments), prog_name="partway")
    return result.exit_code, " ".join(result.output.split())


def test_on_the_command_line(tmp_path: Path) -> None:
    workspace = ["--workspace", str(tmp_path / "ws")]
    run("set", "currency", "CAD", *workspace)
    count = len(shipped().place_cards)
    status, page = run("place", *workspace)
    assert status == 0 and page.startswith("Never advice") and page.count("Not filled in") == count
    assert f"{count} rules of your place are not filled in" in run("overview", *workspace)[1]
    status, page = run("place", "curb", "not after 7", "--source", "by-law 12", "--seen", "2025-03-01", *workspace)
    assert status == 0 and "not after 7 by-law 12, seen 1 March 2025" in page
    status, page = run("place", "curbside", *workspace)
    assert "look again" in page and "Not filled in" not in page
    run("place", "payment", "no cash", "--source", "notice", *workspace)
    assert f"{count - 1} rules of your place" in run("overview", *workspace)[1]
    assert "payment: no cash (notice, seen" in run("ledger", *workspace)[1]


def test_looking_makes_no_ledger(tmp_path: Path) -> None:
    status, _ = run("place", "--workspace", str(tmp_path / "none"))
    assert status != 0 and not (tmp_path / "none").exists()
