"""Commands that show: they write nothing into the ledger, and --json is what the app answers, by its own document.

The document is OpenAPI 3.1, whose schemas are JSON Schema (OpenAPI Specification 3.1.0, section 4.8.24).
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from app_client import NOW, Visitor, visitor
from click.testing import CliRunner
from ledgers.anybody import contents
from months import months_in

from partway.actions.recording import zones
from partway.cli.app import COMMANDS, cli
from partway.storage.shown_today import NAME
from partway.storage.workspace import FILE

# What each command that shows is asked; none of these may leave anything in the ledger.
SHOWS: dict[str, tuple[tuple[str, ...], ...]] = {
    "plan": (("--seconds", "5"),),
    "depth": (("--kind", "microwave"),),
    "curb": ((), ("microwave",), ("fan", "--works", "no", "--sign", "boxed"), ("--in-sight", "fan, 2 toaster")),
    "kinds": ((), ("microwave",), ("--own",), ("microwave", "--toml")),
    "grades": ((), ("copper-2",)),
    "cautions": ((), ("mains",)),
    "identify": (("--context", "taps"), ("--guide", "wire")),
    "today": ((),),
    "overview": ((),),
    "offers": ((),),
    "listing-text": (("stereo-receiver-2",),),
    "rounds": ((),),
    "buyer": (("harbour-yard",), ("harbour",)),
    "buyers": ((),),
    "prices": ((), ("copper-2",), ("no", "2", "copper"), ("--family", "brass")),
    "stock": ((),),
    "bin": (("copper-2",), ("no 2 copper",)),
    "set": ((), ("wage",)),
    "place": ((), ("curbside",)),
    "search": (("copper",), ("no", "such", "thing")),
    "books": ((), ("--per", "kind"), ("--per", "yard"), ("--per", "activity"), ("--per", "month", "--months", "0")),
    "impact": ((), ("--months", "3")),
    "year": (("2026",),),
    "ledger": ((), ("--last", "0"), ("--kind", "quoted")),
    "conflicts": ((),),
    "export-scenario": ((),),
    "haul": (("show", "haul-1"),),
    "doctor": ((),),
}
# Without a workspace, or a file or schema alone.
APART = {
    "check", "schema", "demo", "completion", "wire", "density", "battery", "capacitor", "scale", "motor", "stainless",
    "serve", "pocket", "paper", "read",
}  # fmt: skip
WRITES = {
    "find", "test", "weigh", "open", "sell", "discard", "list", "reprice", "take-down", "return", "recount", "move",
    "round", "quote", "quotes", "ticket", "paid", "spend", "hours", "note", "correct", "undo", "export", "import",
    "merge", "backup", "restore", "rebuild", "say", "device", "take-back", "picture",
}  # fmt: skip
AS_THE_APP = {
    ("today",): "/api/today",
    ("overview",): "/api/overview",
    ("stock",): "/api/stock",
    ("curb",): "/api/curb",
    ("curb", "microwave"): "/api/curb/microwave",
    ("curb", "fan", "--works", "no"): "/api/curb/fan?works=no",
    ("curb", "microwave", "--sign", "boxed", "--sign=-wet"): "/api/curb/microwave?signs=boxed%20-wet",
    ("curb", "foot spa", "--mostly", "plastic-motor"): "/api/curb/foot%20spa?mostly=plastic-motor",
    ("impact", "--months", "3"): "/api/impact?months=3",
    ("year", "2026"): "/api/year/2026",
    ("books",): "/api/per-hour",
    ("books", "--per", "kind", "--months", "0"): "/api/per-hour?months=0",
    ("books", "--per", "yard"): "/api/per-yard",
    ("books", "--per", "place", "--months", "0"): "/api/per-place?months=0",
    ("books", "--per", "yard", "--months", "12"): "/api/per-yard?months=12",
    ("buyers",): "/api/calls",
    ("buyer", "harbour"): "/api/buyers/harbour-yard/sheet",
    ("bin", "copper-2"): "/api/bins/copper-2/offers",
    ("prices",): "/api/prices",
    ("prices", "--family", "brass"): "/api/prices?family=brass",
    ("prices", "no", "2", "copper"): "/api/prices/copper-2",
    ("prices", "copper-2", "--buyer", "ridge", "--days", "90"): "/api/prices/copper-2?buyer=ridge-yard&days=90",
    ("search", "copper"): "/api/search?words=copper",
    ("search", "microwave", "oven"): "/api/search?words=microwave%20oven",
    ("conflicts",): "/api/conflicts",
    ("ledger", "--last", "40"): "/api/ledger?last=40",
    ("offers",): "/api/offers",
}  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo")


@pytest.fixture(scope="module")
def app(folder: Path) -> Iterator[Visitor]:
    with pytest.MonkeyPatch.context() as patch, visitor(folder, demo=True) as there:
        patch.setattr(zones, "now_of", lambda _: NOW)
        yield there


def run(folder: Path, *words: str) -> str:
    done = CliRunner().invoke(cli, [*words, *at(folder, words)], prog_name="partway")
    assert done.exit_code in (0, 1) if words[0] == "doctor" else done.exit_code == 0, (
        words,
        done.output,
        done.exception,
    )
    assert done.output, words
    return done.stdout


def at(folder: Path, words: tuple[str, ...]) -> list[str]:
    return [] if words[0] == "grades" else ["--workspace", str(folder)]


def test_every_command_shows_or_writes() -> None:
    """A new one was thought about once it is on one of the lists."""
    assert {*SHOWS, *WRITES, *APART} == set(COMMANDS)


@pytest.mark.parametrize("command", SHOWS)
def test_what_shows_leaves_the_ledger_as_it_was(command: str, app: Visitor, folder: Path) -> None:
    for words in SHOWS[command]:
        for more in ((), ("--json",)) if command not in ("export-scenario",) else ((),):
            if "--toml" in words and more:
                continue
            before = (app.book.mark(), sum(1 for _ in app.book.recorded()), (folder / FILE).read_bytes())
            run(folder, command, *words, *more)
            assert before == (app.book.mark(), sum(1 for _ in app.book.recorded()), (folder / FILE).read_bytes()), words


@pytest.mark.parametrize("command", ["buyer", "bin", "set", "place", "curb", "books", "today"])
def test_every_file_but_what_was_shown_today_stays_to_the_byte(command: str, tmp_path: Path) -> None:
    """Of a workspace that nobody has open; the names of cautions that were shown are in a file of their own."""
    months_in(tmp_path, NOW)
    before = kept(tmp_path)
    for words in SHOWS[command]:
        run(tmp_path, command, *words)
    assert kept(tmp_path) == before and FILE in before


def kept(folder: Path) -> dict[str, bytes]:
    return {name: data for name, data in contents(folder).items() if name != NAME}


def test_a_command_that_writes_is_noticed(app: Visitor, folder: Path) -> None:
    """The two that the walk compares do change."""
    before = (app.book.mark(), sum(1 for _ in app.book.recorded()))
    run(folder, "buyer", "harbour-yard", "--note", "ask for the scale house")
    assert app.book.mark() != before[0] and sum(1 for _ in app.book.recorded()) > before[1]


def test_a_buyer_that_nobody_knows_is_refused_and_not_made(app: Visitor, folder: Path) -> None:
    count = sum(1 for _ in app.book.recorded())
    done = CliRunner().invoke(cli, ["buyer", "firehall", "--workspace", str(folder)])
    assert "without a kind" in str(done.exception) and sum(1 for _ in app.book.recorded()) == count


@pytest.mark.parametrize("words", AS_THE_APP, ids=" ".join)
def test_json_is_what_the_app_answers(words: tuple[str, ...], app: Visitor, folder: Path) -> None:
    answer = app.client.get(AS_THE_APP[words])
    assert answer.status_code == 200, answer.text[:500]
    told = json.loads(run(folder, *words, "--json"))
    assert told == answer.json()
    jsonschema.validate(told, schema(app, AS_THE_APP[words].partition("?")[0], answer.url.path))


def schema(app: Visitor, path: str, asked: str) -> dict[str, Any]:
    """What the app's document says of an address, with all that it refers to."""
    document = copy.deepcopy(app.app.openapi())
    known = next(
        one
        for one in (path, *document["paths"])
        if one in document["paths"] and "get" in document["paths"][one] and fits(one, asked)
    )
    found: dict[str, Any] = document["paths"][known]["get"]["responses"]["200"]["content"]["application/json"]["schema"]
    return {**found, "components": document["components"]}


def fits(template: str, path: str) -> bool:
    parts, asked = template.split("/"), path.split("/")
    return len(parts) == len(asked) and all(a == b or a.startswith("{") for a, b in zip(parts, asked, strict=True))


def test_the_schema_refuses_what_does_not_fit(app: Visitor) -> None:
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"lines": 3}, schema(app, "/api/per-yard", "/api/per-yard"))
