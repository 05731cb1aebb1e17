"""The text of a listing says what the ledger knows, and of the rest that it is not known."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, visitor

from partway.actions.bench import finds, listing, opening
from partway.actions.bench.pieces import piece_given
from partway.actions.books.corrections import correct
from partway.actions.home.settings import set_
from partway.cli import main


@pytest.fixture
def v(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        set_(there.book, there.context(), "currency", "CAD")
        set_(there.book, there.context(), "unit", "kg")
        yield there


def text(v: Visitor, find: str = "microwave-1", **asked: str) -> str:
    answer = v.client.get(f"/api/finds/{find}/listing-text", params=asked)
    assert answer.status_code == 200, answer.text
    return str(answer.json()["text"])


def test_of_a_find_of_which_nothing_is_known_nothing_is_claimed(v: Visitor) -> None:
    finds.find(v.book, v.context(), "microwave")
    assert text(v).splitlines() == [
        "Microwave oven",
        "Not tested.",
        "Mass: not weighed.",
        "Packed: not weighed yet.",
        "Postage: not worked out yet.",
    ]


def test_all_that_is_known(v: Visitor) -> None:
    finds.find(v.book, v.context(), "microwave", mass="13 kg", model="type 20", signs="cord-cut -wet", note="from aunt")
    finds.test(v.book, v.context(), "microwave-1", "yes")
    listing.put_on_offer(v.book, v.context(), "microwave-1", "40")
    said = text(v, packed="14.5 kg", postage="22").splitlines()
    assert said[0] == "Microwave oven"
    assert said[1] == "Its plate says: type 20."
    assert said[2] == "It works, tested on 20 March."
    assert said[3] == "Seen on it: Cord cut."  # "wet" was looked for and not seen
    assert said[4:] == ["Mass: 13 kg.", "Packed: 14.5 kg.", "Postage: CA$22.00.", "Price: CA$40.00."]
    assert "aunt" not in "".join(said)  # a note is one's own


def test_what_was_said_when_it_was_found_is_no_test_and_one_taken_back_is_none_either(v: Visitor) -> None:
    finds.find(v.book, v.context(), "microwave", works="yes")
    noted = "It works by what was noted on 20 March; not tested since."
    assert noted in text(v)
    tested = finds.test(v.book, v.context(), "microwave-1", "no")
    assert "It does not work, tested on 20 March." in text(v)
    correct(v.book, v.context(), str(tested.events[0].id))
    assert noted in text(v)


def test_a_piece_is_said_to_be_one_and_is_not_called_tested(v: Visitor) -> None:
    finds.find(v.book, v.context(), "fan", mass="3 kg")
    finds.test(v.book, v.context(), "fan-1", "yes")
    opening.open_up(v.book, v.context(), "fan-1", [piece_given("cord=0.2kg")], gap="left")
    said = text(v, "fan-1", part="cord").splitlines()
    assert said[0].endswith(", out of: Fan") or ", out of: " in said[0]
    assert said[1] == "Out of one that worked, tested on 20 March. The piece by itself was not tested."
    assert said[2] == "Mass: 0.200 kg." or said[2].startswith("Mass: 0.2")


def test_the_page_and_the_command_say_the_same_cautions_first(
    v: Visitor, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    finds.find(v.book, v.context(), "microwave")
    page = v.open("/bench/microwave-1/text")
    assert "Not tested.\nMass: not weighed." in page
    assert page.index("High-voltage capacitor") < page.index("<textarea")
    assert v.client.get("/bench/microwave-1/text?packed=much").status_code == 422
    assert v.client.get("/bench/none/text").status_code == 404
    for more in ((), ("--json",)):
        monkeypatch.setattr(
            sys, "argv", ["partway", "listing-text", "microwave-1", "--workspace", str(tmp_path), *more]
        )
        with pytest.raises(SystemExit) as left:
            main()
        out, err = capsys.readouterr()
        assert left.value.code == 0
        if more:
            assert json.loads(out)["text"] == text(v) and json.loads(out)["cautions"]
        else:
            assert out == text(v) and "High-voltage capacitor" in err
