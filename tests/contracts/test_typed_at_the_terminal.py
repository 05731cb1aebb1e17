"""The command line as a scrapper types it: spoken names, amounts below zero, numbered questions, one undo, steps.

Somebody is there to answer where text is typed; else what is not clear is refused with the names that are near.
"""

from __future__ import annotations

import io
import json
import re
import sys
from pathlib import Path
from typing import Any

import pytest

from partway.cli.app import run
from partway.cli.context import CommandContext
from partway.storage.workspace import FILE, open_workspace


class Terminal:
    """Commands of one person in one workspace."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str], patch: pytest.MonkeyPatch) -> None:
        self.folder, self.capsys, self.patch = folder, capsys, patch

    def __call__(self, *words: str, typed: str | None = None, status: int = 0) -> str:
        """What it says: the answer, or the one message of a refusal, after which nothing was written."""
        before = self.count()
        self.patch.setattr(sys, "stdin", io.StringIO(typed or ""))
        self.patch.setattr(CommandContext, "may_ask", property(lambda ctx: typed is not None and not ctx.yes))
        with pytest.raises(SystemExit) as left:
            run([*words])
        out, err = self.capsys.readouterr()
        assert left.value.code == status, (out, err)
        assert "Traceback" not in err
        if status == 2:
            assert out == "" and self.count() == before
        return f"{err}{out}"

    def json(self, *words: str) -> Any:
        return json.loads(self(*words, "--json"))

    def count(self) -> int:
        if not (self.folder / FILE).exists():
            return 0
        with open_workspace(self.folder) as book:
            return sum(1 for _ in book.recorded())

    def quoted(self) -> list[tuple[str, str]]:
        lines = self.json("ledger", "--kind", "quoted", "--last", "0")["lines"]
        return [tuple(line["words"].split(": ", 1)) for line in lines if line["counts"]]


@pytest.fixture
def at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Terminal:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "w"))
    terminal = Terminal(tmp_path / "w", capsys, monkeypatch)
    for words in (
        ("set", "currency", "CAD"),
        ("set", "unit", "lb"),
        ("set", "locale", "en_CA"),
        ("buyer", "harbour", "--kind", "yard", "--km", "14"),
    ):
        terminal(*words)
    return terminal


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        (("no 2 copper", "4.10"), ("harbour copper-2", "4.10 /lb")),
        (("no 2 copper", "four ten"), ("harbour copper-2", "4.10 /lb")),
        (("Electric motors", "38c"), ("harbour motors", "0.38 /lb")),
        (("motors", "38 c/lb"), ("harbour motors", "0.38 /lb")),
        (("tube-whole", "-5"), ("harbour tube-whole", "-5 /lb")),
        (("tube-whole", "-0.25 /lb"), ("harbour tube-whole", "-0.25 /lb")),
        (("lead", "-.5"), ("harbour lead-soft", "-0.5 /lb")),
        (("lead", "-5", "--from", "60 lb"), ("harbour lead-soft from 60.0 lb", "-5 /lb")),
    ],
)
def test_a_price_as_it_is_said(words: tuple[str, ...], kept: tuple[str, str], at: Terminal) -> None:
    at("quote", "harbour", *words)
    ((subject, price),) = at.quoted()
    number, _, unit = price.partition(" ")
    assert (subject, float(number), unit) == (kept[0], float(kept[1].split(" ")[0]), kept[1].split(" ")[1])


@pytest.mark.parametrize(
    ("words", "near"),
    [
        (("quote", "harbour", "copper", "4.10"), "copper-1 (No. 1 copper), copper-2 (No. 2 copper)"),
        (("quote", "harbour", "no 2 copper", "410"), '"410.00 /lb" or "4.10 /lb"'),
        (("quote", "harbour", "zorba", "1"), "expected a known grade"),
        (("quote", "harbour", "copper-2", "4.3x"), "PRICE"),
        (("ticket", "harbour", "copper 3 lb at 4.10"), "copper-1 (No. 1 copper)"),
        (("spend", "fuel", "-5"), "AMOUNT: got"),
        (("paid", "harbour", "-5"), "AMOUNT: got"),
        (("buyer", "firehall"), "--kind"),
        (("search", "\x07"), "printable"),
        (("curb", "zzzz"), "the catalogue does not know"),
        (("curb", "microwave", "--left-kg", "4"), "--in-sight"),
        (("prices", "copper"), "copper-2 (No. 2 copper)"),
        (("prices", "--buyer", "harbour"), "the grade as well"),
        (("undo", "ffff"), "0 events go by"),
        (("open", "nothing-1", "--steps"), "nobody is there"),
    ],
)
def test_what_is_not_clear_is_refused_with_what_is_near(words: tuple[str, ...], near: str, at: Terminal) -> None:
    assert near in " ".join(at(*words, status=2).split())


def test_an_option_that_there_is_none_of_is_still_refused(at: Terminal) -> None:
    assert "No such option" in at("quote", "harbour", "motors", "-5", "--form", "60 lb", status=2)
    assert "No such option" in at("quote", "harbour", "motors", "-x", status=2)


def test_numbered_questions_and_enter_takes_the_likely_one(at: Terminal) -> None:
    said = at("quote", "harbour", "copper", "4.10", typed="2\n")
    assert "1. No. 1 copper (copper-1)" in said and "2. No. 2 copper (copper-2)" in said
    assert at.quoted() == [("harbour copper-2", "4.10 /lb")]
    at("quote", "harbour", "copper", "4.50", typed="9\nno. 9\n\n")
    assert at.quoted()[-1] == ("harbour copper-1", "4.50 /lb")
    at("quote", "harbour", "no 2 copper", "410", typed="4.10 /lb\n")
    assert at.quoted()[-1][0] == "harbour copper-2"


def test_numbered_questions_of_a_list(at: Terminal) -> None:
    said = at("quotes", "harbour", "copper 4.10, motors 38c", typed="2\n\n")
    assert re.search(r"1\. .*copper-1", said) and at.quoted()[0] == ("harbour copper-2", "4.10 /lb")


def test_a_list_is_taken_back_by_one_undo(at: Terminal) -> None:
    at("quote", "harbour", "brass-red", "2.00 /lb")
    said = at("quotes", "harbour", "no 2 copper 4.10, motors 38c, light iron .09", "--yes")
    assert len(at.quoted()) == 4 and re.search(r"take it back: partway undo [0-9a-f]{8}", said)
    asked = at("undo", typed="\n")
    assert "the price of Electric motors at the harbour" in asked and "take back all 3?" in asked
    assert at.quoted() == [("harbour brass-red", "2.00 /lb")]
    at("undo")
    assert at.quoted() == []
    assert "the buyer" not in at("undo", typed="n\n", status=1)
    assert at.count() == 13, "a no leaves it as it was"


def test_undo_by_an_id_of_the_list_once_other_things_were_recorded(at: Terminal) -> None:
    said = at("quotes", "harbour", "no 2 copper 4.10, motors 38c", "--yes")
    at("spend", "fuel", "40")
    at("undo", re.findall(r"partway undo (\w+)", said)[0])
    assert at.quoted() == []
    assert at.json("today")["earned"]["costs"] == "-40"


def test_undo_is_of_what_the_same_person_recorded(at: Terminal) -> None:
    at("spend", "fuel", "40", "--who", "kim")
    at("spend", "blades", "9", "--who", "sam")
    at("undo", "--who", "kim")
    assert at.json("today")["earned"]["costs"] == "-9"


def test_undo_of_an_opening_and_of_a_correction(at: Terminal) -> None:
    at("find", "microwave", "--mass", "28.6 lb")
    at("open", "microwave-1", "--op", "take the tray", "Cord with plug=0.6lb", "--gap", "left")
    assert "the opening of the microwave oven" in at("undo", typed="\n")
    assert [line["mass_kg"] for line in at.json("stock")["lines"] if line["mass_kg"]] == []
    back = at.json("ledger", "--kind", "corrected")["lines"][-1]["id"]
    at("undo", back)
    assert [line["bin"] for line in at.json("stock")["lines"] if line["mass_kg"]] == ["wire-cord-plugs"]


def test_a_ticket_with_spoken_grades(at: Terminal) -> None:
    at("bin", "no 2 copper", "--holds", "10 lb")
    at("quote", "harbour", "no 2 copper", "4.10")
    told = json.loads(at("ticket", "harbour", "no 2 copper 10 lb at 4.10 = 41.00", "--json"))["told"]
    assert [line["grade"] for line in told["lines"]] == ["copper-2"] and told["total"] == "41.00"
    at("undo")
    at("ticket", "harbour", "copper 10 lb at 4.10", typed="2\n")
    assert at.json("stock")["mass_kg"] == 0


def test_the_ledger_by_when_it_happened_with_names(at: Terminal) -> None:
    at("find", "toaster")
    at("find", "fan", "--on", "2026-01-05 10:00")
    at("find", "kettle", "--on", "2026-01-04 10:00")
    lines = at.json("ledger", "--kind", "found")["lines"]
    assert [line["words"].partition(":")[0] for line in lines] == ["kettle-1", "fan-1", "toaster-1"]
    assert [line["happened"] for line in lines] == sorted(line["happened"] for line in lines)
    page = at("ledger", "--kind", "found")
    assert page.index("kettle") < page.index("fan") < page.index("toaster")
    assert "toaster-1" not in page and not re.search(r"\d{4}-\d{2}-\d{2}", page)
    assert at.json("ledger", "--kind", "found", "--last", "1")["lines"][0]["words"].startswith("toaster-1")
    at("quote", "harbour", "no 2 copper", "4.10")
    assert "harbour No. 2 copper: 4.10 /lb" in at("ledger", "--kind", "quoted")


STEPS = (
    "",  # the likely one: tray and ring out, cord off
    "2 lb", "0.1 lb", "0.6 lb", "",  # tray, ring, cord; the oven is gone on with
    "",  # the likely one: cover off, capacitor out
    "0.3 lb", "4 lb", "x", "21.6 lb",  # capacitor, cover, a slip, chassis
    "that is all",
    "7",
)  # fmt: skip


def test_an_opening_step_by_step(at: Terminal) -> None:
    at("find", "microwave", "--mass", "28.6 lb", "--works", "no")
    at("quotes", "harbour", "no 2 copper 4.10, motors 38c, light iron .09, cords with plugs 80c", "--yes")
    said = at("open", "microwave-1", "--steps", typed="\n".join(STEPS) + "\n")
    assert said.index("High-voltage capacitor: unplug") < said.index("What do you do first?")
    step = said.index("Cover off, discharge the capacitor and take it out before anything else is touched: about")
    assert said.rindex("High-voltage capacitor: unplug", 0, step) > said.index("What do you do first?")
    assert "Open chassis, capacitor out: got" in said and "capacitor, discharged stays shut" in said
    opened = at.json("ledger", "--kind", "opened")["lines"][0]["words"]
    for part in ("7 min", "cord 0.60 lb into wire-cord-plugs", "capacitor 0.30 lb into capacitors", "chassis 21.6 lb"):
        assert part in opened
    assert at.json("overview")["handled"]["residue_kg"] > 0  # the ring


def test_what_is_opened_further_goes_into_no_bin_and_an_answer_chooses_it(at: Terminal) -> None:
    at("find", "microwave", "--mass", "28.6 lb", "--works", "no")
    steps = ["1", "", "", "", "", "cover off", "0.3lb", "4lb", "20lb", "take the transformer", "6lb", "14lb"]
    steps += ["scratch", "1", "that is all", "", ""]
    said = at("open", "microwave-1", "--steps", typed="\n".join(steps) + "\n")
    assert "Open chassis, capacitor out is opened, so it goes into no bin." in said
    masses = {line["bin"]: round(line["mass_kg"] / 0.45359237, 2) for line in at.json("stock")["lines"]}
    assert masses == {"capacitors": 0.3, "light-iron": 18.0, "transformer-cu": 6.0}


def test_steps_that_do_nothing_record_nothing(at: Terminal) -> None:
    at("find", "microwave", "--mass", "28.6 lb")
    count = at.count()
    assert "Nothing was recorded" in at("open", "microwave-1", "--steps", typed="nothing\n")
    assert at.count() == count
    assert "one of them" in at("open", "microwave-1", "cord=1lb", "--steps", typed="", status=2)


def test_every_yard_and_the_books_add_up(at: Terminal) -> None:
    """By hand: 41.00 less 1.00 over the 80 minutes of the one haul there; 60 of them where another stop shares it."""
    at("buyer", "ridge", "--kind", "yard", "--km", "14", "--minutes", "0")
    at("bin", "copper-2", "--holds", "20 lb")
    at("haul", "start", "harbour")
    at("ticket", "harbour", "no 2 copper 10 lb at 4.10 ~10 lb", "--less", "dirt=1.00", "--haul", "haul-1")
    at("haul", "finish", "--minutes", "80")
    (line,) = at.json("books", "--per", "yard")["lines"]
    assert (line["sales"], line["deductions"], line["minutes"], line["per_hour"]) == ("41.00", "-1.00", 80, 30.0)
    assert at.json("books")["report"]["window"]["income"] == "41"
    at("haul", "start", "harbour", "ridge")
    at("haul", "finish", "--minutes", "100")
    lines = {one["buyer"]: one["minutes"] for one in at.json("books", "--per", "yard")["lines"]}
    assert lines == {"harbour": 130, "ridge": 50}  # alike far and no time on site: half each
    assert sum(lines.values()) == at.json("books")["report"]["window"]["minutes"]["haul"]
    assert "harbour" in at("books", "--per", "yard") and "$18.46" in at("books", "--per", "yard")
