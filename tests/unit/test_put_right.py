"""An opening is put right in one act: the one before no longer counts, the new one stands where it stood."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ledger_day import KG, Day, found
from workspaces import new_workspace

from partway.actions.bench import finds, selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bench.results import OpenResult
from partway.actions.bins import bins
from partway.actions.books.corrections import correct
from partway.actions.books.opening_anew import record_opening
from partway.actions.home.settings import set_
from partway.actions.recording.describe import Say
from partway.actions.recording.questions import Asked
from partway.ledger.events.kinds import Corrected, Opened
from partway.ledger.fold import standing

OPERATIONS = ["cord-and-tray", "discharge", "transformer-out"]
PIECES = {
    "tray": "0.9 kg",
    "ring": "60 g",
    "cord": "0.3 kg",
    "capacitor": "0.15 kg",
    "cover": "1.8 kg",
    "transformer.copper": "3 kg",
    "carcass": "6.7 kg",
}  # 12.91 kg of 13


def pieces(**other: str) -> list[PieceGiven]:
    grades = {"cord": "wire-cord-plugs"}
    return [PieceGiven(name, mass, grade=grades.get(name, "")) for name, mass in {**PIECES, **other}.items()]


def opened() -> tuple[Day, str, str]:
    """A day on which an oven was opened, its cover written down ten times too heavy as lost carcass."""
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    day.do(open_up, find, pieces(cover="0.18 kg", carcass="8.3 kg"), OPERATIONS, "14 min")
    return day, find, str(last(day).id)


def last(day: Day) -> Any:
    voided = day.book.voided()
    return [event for event in day.book.events(("opened",)) if event.id not in voided][-1]


def test_one_wrong_mass_is_put_right_and_nothing_else_changes() -> None:
    day, find, wrong = opened()
    before = last(day)
    done = day.do(record_opening, find, pieces(), OPERATIONS, "14 min", instead=wrong)
    assert done.result.put_right and any("put right" in line for line in _words(done.result))
    now = last(day)
    assert str(now.id) != wrong and now.happened == before.happened and now.position[0] == before.position[0]
    assert [event.kind for event in done.events] == ["opened", "corrected"]
    assert done.events[1].what == Corrected(before.id, "put right", now.id)
    assert day.mg("bin:light-iron", "light-iron") == 8_500_000
    assert isinstance(now.what, Opened) and now.what.loss_mg == 90_000 and standing.find(day.book, find).closed
    assert day.book.accounts()["minutes:bench"] == 14


def _words(result: OpenResult) -> list[str]:
    return list(result.words(Say.of(Day().book)))


def test_it_is_as_if_it_had_been_typed_right_at_once() -> None:
    """The same ledger in all figures as one where nobody made the slip."""
    day, find, wrong = opened()
    day.do(record_opening, find, pieces(), OPERATIONS, "9 min", instead=wrong)
    right = Day()
    again = found(right, "microwave", mass="13 kg")
    right.do(open_up, again, pieces(), OPERATIONS, "9 min")
    assert day.book.balances() == right.book.balances() and day.book.accounts() == right.book.accounts()
    assert day.book.facts() == right.book.facts()


def test_taken_back_the_first_opening_counts_again_whole() -> None:
    day, find, wrong = opened()
    before = dict(day.book.balances())
    done = day.do(record_opening, find, pieces(carcass="2 kg"), OPERATIONS, gap="scale", instead=wrong)
    assert done.result.reweighed
    day.do(correct, str(done.undo[0]))
    assert {key: mg for key, mg in day.book.balances().items() if mg} == {k: mg for k, mg in before.items() if mg}
    assert str(last(day).id) == wrong


def test_what_was_weighed_wrong_before_is_asked_about_anew() -> None:
    """The weighing that went with the first opening goes with it: 13 kg are in the find again."""
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    day.do(open_up, find, pieces(carcass="2 kg"), OPERATIONS, gap="scale")
    wrong = str(last(day).id)
    assert isinstance(day.refuses(record_opening, find, pieces(carcass="4 kg"), OPERATIONS, instead=wrong), Asked)
    day.do(record_opening, find, pieces(), OPERATIONS, instead=wrong)
    assert last(day).what.was_mg == 13 * KG and day.mg("outside") == -13 * KG


def test_a_gap_is_asked_about_as_when_it_was_opened_and_nothing_is_written() -> None:
    day, find, wrong = opened()
    asked = day.refuses(record_opening, find, pieces(carcass="4 kg"), OPERATIONS, instead=wrong)
    assert isinstance(asked, Asked) and asked.option == "gap"
    assert "2.8 kg missing" in asked.given
    told = day.do(record_opening, find, pieces(carcass="4 kg"), OPERATIONS, gap="left", instead=wrong).result
    assert not told.closed and not standing.find(day.book, find).closed


def test_what_no_longer_counts_is_not_put_right_twice() -> None:
    """Two devices: the second is told."""
    day, find, wrong = opened()
    day.do(record_opening, find, pieces(), OPERATIONS, instead=wrong)
    assert "no longer counts" in day.refuses(record_opening, find, pieces(), OPERATIONS, instead=wrong).given
    other, find, wrong = opened()
    other.do(correct, wrong)
    assert "no longer counts" in other.refuses(record_opening, find, pieces(), OPERATIONS, instead=wrong).given


def test_only_an_opening_of_that_find_on_which_nothing_rests() -> None:
    day, find, wrong = opened()
    fan = found(day, "fan", mass="3 kg")
    said = day.refuses(record_opening, fan, [PieceGiven("whole", "3 kg", grade="light-iron")], instead=wrong)
    assert said.where == "instead" and "fan-1" in said.expected
    of_find = next(e for e in day.book.events(("found",)))
    assert day.refuses(record_opening, find, pieces(), OPERATIONS, instead=str(of_find.id)).expected == "an opening"
    given_up = found(day, "fan", mass="3 kg")
    day.do(selling.discard, given_up)
    assert day.refuses(record_opening, given_up, [], instead=str(last(day).id)).expected == "an opening"


@pytest.mark.parametrize("later", ["opened", "weighed"])
def test_what_came_after_is_put_right_first(later: str) -> None:
    day = Day()
    find = found(day, "microwave", mass="13 kg")
    cord = [PieceGiven("cord", "0.3 kg", grade="wire-cord-plugs")]
    day.do(open_up, find, cord, ["cord-and-tray"], gap="left")
    first = str(last(day).id)
    if later == "opened":
        day.do(open_up, find, [PieceGiven("tray", "0.9 kg")], gap="left")
    else:
        day.do(finds.weigh, find, "12 kg")
    said = day.refuses(record_opening, find, cord, ["cord-and-tray"], gap="left", instead=first)
    assert later in said.expected and said.where == "instead"


def test_what_left_the_bin_since_is_not_taken_out_of_it() -> None:
    day, find, wrong = opened()
    day.do(bins.add_bin, "light-iron", "shed")
    day.do(bins.move, "light-iron", "shed", "8 kg")
    said = day.refuses(
        record_opening, find, pieces(cover="0.1 kg", carcass="7 kg"), OPERATIONS, gap="loss", instead=wrong
    )
    assert "left in bin light-iron" in said.given and "0 or more" in said.expected


def test_on_the_disk_it_is_one_transaction(tmp_path: Path) -> None:
    """A refusal of the correction leaves the opening as it was."""
    with new_workspace(tmp_path) as book:
        day = Day()
        day.book = book  # type: ignore[assignment]
        set_(book, day.context(), "currency", "CAD")
        find = found(day, "microwave", mass="13 kg")
        day.do(open_up, find, pieces(), OPERATIONS, "14 min")
        wrong, state = str(last(day).id), book.state()
        with pytest.raises(Asked):
            record_opening(book, day.context(), find, pieces(carcass="4 kg"), OPERATIONS, instead=wrong)
        assert book.state() == state and str(last(day).id) == wrong
        day.do(record_opening, find, pieces(cover="1.75 kg"), OPERATIONS, instead=wrong)
        assert book.state()[0] == state[0] + 2
