"""A day at the bench and on the road through the command line, on a workspace of its own, fat fingers included."""

from __future__ import annotations

import io
import json
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from partway.cli.app import run
from partway.cli.context import CommandContext
from partway.ledger.balance.sheet import sheet
from partway.storage.workspace import open_workspace

Said = tuple[int, str, str]
UNDO = re.compile(r"take it back: partway (?:correct|undo) (.+)")


class Shell:
    """Runs commands as the installed program does, in one workspace."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str], patch: pytest.MonkeyPatch) -> None:
        self.folder, self.capsys, self.patch = folder, capsys, patch

    def __call__(self, *arguments: str, typed: str | None = None) -> Said:
        self.patch.setattr(sys, "stdin", io.StringIO(typed or ""))
        self.patch.setattr(CommandContext, "may_ask", property(lambda ctx: typed is not None and not ctx.yes))
        with pytest.raises(SystemExit) as left:
            run(list(arguments))
        out, err = self.capsys.readouterr()
        code = left.value.code
        assert isinstance(code, int)
        assert "Traceback" not in err
        return code, out, err

    def ok(self, *arguments: str, typed: str | None = None) -> str:
        code, out, err = self(*arguments, typed=typed)
        assert code == 0, err
        return out

    def refused(self, *arguments: str, typed: str | None = None) -> str:
        """The message of a refusal, which says one thing and changes nothing."""
        before = self.events()
        code, out, err = self(*arguments, typed=typed)
        assert code == 2, out
        assert out == ""
        assert self.events() == before
        return " ".join(err.split())

    def json(self, *arguments: str) -> Any:
        return json.loads(self.ok(*arguments, "--json"))

    def events(self) -> list[Any]:
        if not (self.folder / "ledger.sqlite").exists():
            return []
        with open_workspace(self.folder) as book:
            return list(book.events())

    def balanced(self) -> None:
        with open_workspace(self.folder) as book:
            mass = sheet(book.balances())
        assert mass.apart_mg == 0
        assert mass.short == {}


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "days"))
    monkeypatch.setenv("PARTWAY_WHO", "me")
    monkeypatch.setenv("PARTWAY_LOCALE", "en_CA")
    monkeypatch.delenv("PARTWAY_MARK", raising=False)
    return Shell(tmp_path / "days", capsys, monkeypatch)


def begin(shell: Shell) -> None:
    for name, value in (("currency", "CAD"), ("unit", "lb"), ("wage", "15"), ("payload", "900 lb")):
        shell.ok("set", name, value)
    shell.ok("buyer", "harbour", "--kind", "yard", "--km", "14", "--minutes", "20", "--refuses", "li-ion")
    shell.ok("buyer", "boards", "--kind", "mail-in", "--postage", "10 lb=14", "--postage", "40 lb=22")


STRIP = ["--op", "cord-and-tray", "--op", "discharge", "--op", "strip", "--minutes", "14"]
PIECES = [
    "cord=0.6 lb",
    "tray=2",
    "transformer.copper=6.8",
    "magnetron=1.6:light-iron",
    "cavity=10",
    "cover=4",
    "board=0.5",
]


def test_a_whole_day(shell: Shell) -> None:
    begin(shell)
    said = shell.ok("find", "microwave", "--mass", "29", "--from", "maple street")
    assert said.startswith("High-voltage capacitor: unplug, wait")
    assert "Found: microwave oven, 29 lb, condition unknown  [microwave-1]" in said
    shell.ok("find", "fan", "--count", "3", "--works", "no")
    shell.ok("test", "micro", "no")
    shell.ok("quotes", "harbour", "no 2 copper 4.10, motors 38c, light iron .09, copper transformers 55c")
    shell.ok("quote", "harbour", "wire-cord-plugs", "0.85 /lb")

    asked = shell.refused("open", "microwave-1", *PIECES, *STRIP)
    assert "29.0 lb in, 25.5 lb out" in asked
    assert "or --gap loss|residue|left|scale" in asked
    said = shell.ok("open", "microwave-1", *PIECES, *STRIP, "--gap", "residue")
    assert said.index("discharge through a resistor") < said.index("opened in 14 min")
    assert "mass balance: 29 lb = 25.5 lb in bins + 3.5 lb residue; closed" in said

    shell.ok("recount", "light-iron", "15.4")
    shell.ok("haul", "start", "harbour")
    said = shell.ok("ticket", "harbour", "light-iron 15 lb at 0.09 /lb", "transformer-cu 6.8 lb at 0.55 /lb = 3.74")
    assert "0.4 lb below your scale" in said
    assert "$5.09" in said
    assert ", in full" in shell.ok("paid", "harbour", "5.09")
    shell.ok("haul", "finish", "--km", "28", "--minutes", "1:10")
    shell.ok("spend", "fuel", "12.40", "--category", "fuel")
    shell.ok("hours", "collect", "1 h 30")

    today, stands = shell.json("today"), shell.json("overview")
    assert [w["find"] for w in stands["waiting"]] == ["fan-1"]
    assert stands["unpaid"] == []
    assert today["earned"]["minutes"] == {"bench": 14, "collect": 90, "haul": 70}
    stock = shell.json("stock")
    assert {line["bin"] for line in stock["lines"] if line["mass_kg"]} == {
        "glass",
        "wire-cord-plugs",
        "board-low",
        "residue",
    }
    shell.balanced()
    for page in ("today", "stock", "ledger"):
        assert shell.ok(page)
    shell.ok("rebuild")
    assert shell.json("stock") == stock


def test_what_was_typed_wrong_is_taken_back_by_what_was_shown(shell: Shell) -> None:
    begin(shell)
    said = shell.ok("find", "toaster", "--mass", "50")
    undo = UNDO.findall(said)[0].split()
    assert "Taken back: the toaster" in shell.ok("correct", *undo, "--why", "typed twice")
    assert shell.json("overview")["waiting"] == []
    said = shell.ok("quotes", "harbour", "no 2 copper 4.10, motors 38c")
    shell.ok("undo", *UNDO.findall(said)[0].split())
    assert [line["counts"] for line in shell.json("ledger", "--kind", "quoted")["lines"][-2:]] == [False, False]
    said = shell.ok("find", "kettle", "--mass", "30 lb")
    shell.ok("correct", *UNDO.findall(said)[0].split(), "--set", "mass=3 lb")
    assert shell.json("overview")["waiting"][0]["mass_kg"] == pytest.approx(3 * 0.45359237, abs=1e-6)
    assert "no longer counts" in shell.ok("ledger")
    shell.balanced()


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("find microwve", "such as microwave (Microwave oven)"),
        ("find fan --mass 2ton", "short ton"),
        ("find fan --mass -2", "at least 0"),
        ("find fan --count 0", "at least 1"),
        ("find fan --on 2999-01-01", "--on: That time is in the future. Got 1 January 2999"),
        ("find fan --on someday", "a day or a time"),
        ("test microwav maybe", "yes, no, unknown"),
        ("test fridge-1 no", "known find"),
        ("open microwave-1 transfromer=3", 'did you mean "transformer"'),
        ("open microwave-1 transformer", "PIECE=MASS"),
        ("open microwave-1 transformer=3 --op strip", "discharge"),
        ("open microwave-1 transformer=300", "no more than was in it"),
        ("recount copper 3", "known bin"),
        ("move light-iron copper-1", "known bin"),
        ("bin coper-2", 'did you mean "copper-2"'),
        ("sell microwave-1 free", "an amount in CAD"),
        ("sell microwave-1 5 --part tray", "--mass"),
        ("buyer ridge", "--kind"),
        ("buyer boards --postage 17", "20 kg=17"),
        ("quote harbour copper-2 410", '"410.00 /lb" or "4.10 /lb"'),
        ("quote harbour copper 4.10", "copper-1 (No. 1 copper), copper-2 (No. 2 copper)"),
        ("quote harbour tube-tvv -5", "tube-whole (Picture-tube set, whole)"),
        ("quote harbour li-ion 1/lb", "--refuses"),
        ("ticket harbour light-iron", "GRADE MASS at PRICE"),
        ("ticket harbour --less dirt", "dirt=3.50"),
        ("paid harbour -3", "an amount from 0"),
        ("haul finish", "partway haul start"),
        ("haul start boards", "driven to"),
        ("spend fuel 1.234", "at most 2 decimals"),
        ("hours sleep 30", "known activity"),
        ("correct abc", "at least 4 characters"),
        ("correct abcdef12 --set mass", 'mass="5.2 kg"'),
        ("set wages 15", 'did you mean "wage"'),
        ("set zebra", "known setting"),
        ("ledger --about nothing", "find, bin, buyer"),
        ("quotes harbour brass", "is it Yellow brass"),
    ],
)
def test_fat_fingers(words: str, expected: str, shell: Shell) -> None:
    begin(shell)
    shell.ok("find", "microwave", "--mass", "29")
    assert expected in shell.refused(*_dashes(words.split()))


def _dashes(arguments: list[str]) -> list[str]:
    """A negative number after its command, as a shell passes it once `--` has ended the options."""
    if arguments[:2] == ["paid", "harbour"]:
        return ["paid", "--", *arguments[1:]]
    return arguments


def test_questions_are_asked_where_somebody_is_there_and_refused_with_yes(shell: Shell) -> None:
    begin(shell)
    shell.ok("find", "microwave", "--mass", "10")
    arguments = ("open", "microwave-1", "cover=4:light-iron")
    assert "6.0 lb missing" in shell.refused(*arguments, "--yes", typed="left\n")
    said = shell.ok(*arguments, typed="left\n")
    assert "6 lb left in it; still open" in said
    shell.ok("bin", "copper-1")
    shell.ok("recount", "copper-1", "5")
    shell.ok("bin", "copper-2")
    code, out, _ = shell("move", "copper-1", "copper-2", typed="n\n")
    assert (code, out) == (1, "")
    assert "Moved 5 lb from No. 1 copper to No. 2 copper" in shell.ok("move", "copper-1", "copper-2", typed="y\n")


def test_a_price_list_with_questions(shell: Shell) -> None:
    begin(shell)
    text = "no 2 copper 4.10, brass 2.40"
    message = shell.refused("quotes", "harbour", text, "--yes")
    assert "brass" in message and "nothing was saved" in message
    before = shell.events()
    code, _, _ = shell("quotes", "harbour", text, typed="brass-yellow\nn\n")
    assert code == 1
    assert shell.events() == before
    said = shell.ok("quotes", "harbour", text, typed="purple\nbrass-yellow\ny\n")
    assert "harbour Yellow brass: 2.40 /lb" in said


def test_a_price_list_from_a_pipe(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    begin(shell)
    monkeypatch.setattr(sys, "stdin", io.StringIO("no 2 copper 4.10\nmotors 38c\n"))
    with pytest.raises(SystemExit) as left:
        run(["quotes", "harbour"])
    assert left.value.code == 0
    assert "harbour Electric motors: 0.38 /lb" in shell.capsys.readouterr().out
    assert len(shell.json("ledger", "--kind", "quoted")["lines"]) == 2


def test_the_plan_of_the_ledger_is_the_plan_of_its_exported_file(shell: Shell, tmp_path: Path) -> None:
    begin(shell)
    shell.ok("find", "microwave", "--mass", "29", "--works", "no")
    shell.ok("find", "desktop-pc", "--count", "4", "--works", "no")
    shell.ok("quotes", "harbour", "no 2 copper 4.10, motors 38c, light iron .09, copper transformers 55c")
    shell.ok("bin", "copper-2")
    shell.ok("recount", "copper-2", "48")
    file = tmp_path / "out.toml"
    hours = ("--bench", "4", "--away", "3", "--trips", "1")
    shell.ok("export-scenario", str(file), *hours)
    live = shell.json("plan", *hours)
    written = shell.json("plan", "--scenario", str(file))
    assert live["sales"]
    for told in (live, written):
        told.pop("notes"), told["second_opinion"].pop("seconds")  # seconds are measured anew each time
    assert live == written
    assert shell.ok("export-scenario", *hours) == file.read_text(encoding="utf-8")
    assert "already" in shell.refused("export-scenario", str(file))
    assert shell.json("depth", "--kind", "microwave")["wage"] == 15.0
    assert shell.json("plan", "--scenario", str(file), "--wage", "20")["hours"]["bench"] <= 4.0


def test_when_it_happened_and_who_says_so(shell: Shell) -> None:
    begin(shell)
    shell.ok("find", "fan", "--on", "2026-03-10 15:30", "--who", "partner")
    line = shell.json("ledger", "--kind", "found")["lines"][0]
    assert (line["happened"], line["who"]) == ("2026-03-10 15:30", "partner")
    assert shell.json("ledger", "--until", "2026-03-10")["lines"] == []
    assert len(shell.json("ledger", "--until", "2026-03-11", "--since", "2026-03-10")["lines"]) == 1


def test_looking_makes_no_workspace(shell: Shell) -> None:
    for command in ("today", "stock", "ledger", "plan", "export-scenario"):
        assert "workspace without a ledger" in shell.refused(command)
    assert not shell.folder.exists()


def test_json_has_the_ids_and_the_report(shell: Shell) -> None:
    begin(shell)
    said = shell.json("find", "fan", "--mass", "6.5")
    assert said["told"]["find"] == "fan-1"
    assert said["told"]["mass_mg"] == 2_948_350
    assert [event["kind"] for event in said["events"]] == ["found"]
    assert str(shell.events()[-1].id) == said["events"][0]["id"]


def test_settings_are_shown(shell: Shell) -> None:
    begin(shell)
    assert "currency     CAD" in shell.ok("set")
    assert shell.json("set")["unit"] == "lb"


def test_the_demo_workspace(shell: Shell, tmp_path: Path) -> None:
    folder = tmp_path / "months"
    said = shell.ok("demo", "--workspace", str(folder), "--seed", "3")
    assert "events of invented months" in said
    message = " ".join(shell("demo", "--workspace", str(folder))[2].split())
    assert "never mixed" in message
    report: Callable[..., Any] = shell.json
    assert report("overview", "--workspace", str(folder))["waiting"]
    assert "demo" in shell.ok("plan", "--workspace", str(folder), "--seconds", "3", "--gap", "0.05")
