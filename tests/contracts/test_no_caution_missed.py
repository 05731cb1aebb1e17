"""No caution can be missed: whatever names a hazard has a card, and every page that names it shows the card first.

Walks every file, kind, component, piece, operation and grade, and every command; a new kind, grade or file is walked
without a line more here, and a new command fails the first test until it is put on one of the two lists.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import fields
from importlib import import_module
from pathlib import Path
from typing import Any

import named_hazards as named
import pytest
from click.testing import CliRunner
from ledger_day import Day, found, stocked, trading_day
from named_hazards import missing

from partway.actions.bench import finds, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books.results import CorrectResult
from partway.actions.buyers import quoting
from partway.actions.buyers.results import BuyerResult, QuoteResult
from partway.actions.haul import hauls, tickets
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.show_haul import haul_lines_of, haul_shown
from partway.actions.recording.context import record
from partway.actions.recording.describe import Say, describe
from partway.actions.what.results import KindSaid
from partway.catalogue import named as catalogue_named
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard
from partway.catalogue.checks.findings import findings
from partway.cli.app import COMMANDS, cli
from partway.cli.careful import Careful
from partway.cli.what.anatomy_page import spread
from partway.formulas.battery import UN_NUMBERS
from partway.ledger.events.kinds import Found
from partway.reports.bins.all import report_bins
from partway.reports.bins.listed import listed
from partway.reports.books.overview import report_overview
from partway.reports.calculators import own_cautions
from partway.reports.calculators.battery_words import battery_cards
from partway.reports.called import Called
from partway.reports.home.today import There, report_today
from partway.things.anatomy import Anatomy
from partway.things.units import ShownUnits

KINDS = dict(named.kinds())
FOUND = [kind for kind in KINDS if not shipped().anatomy(kind).became]  # of one that was split nothing new is found
GRADES = dict(named.grades())
MONEY = "CAD "
PLACES = ("bench", "bins", "buyers", "haul", "books", "what", "home")

SHOWN_HERE = {
    "plan", "depth", "kinds", "grades", "cautions", "wire", "density", "battery", "capacitor", "scale", "motor",
    "stainless", "today", "overview", "find", "test", "weigh", "open", "sell", "discard", "bin", "recount", "move",
    "quote", "quotes", "ticket", "haul", "stock", "identify", "list", "return", "curb",
    "buyer", "buyers", "prices", "books", "search", "say", "take-back",
}  # fmt: skip
NAMES_NONE = {
    "check": "says whether a file holds together", "schema": "a schema", "completion": "a script",
    "demo": "the page of plan", "paid": "names a ticket",
    "spend": "money alone", "hours": "minutes alone",
    "note": "words of one's own, of a thing by its name", "correct": "names an event", "set": "settings",
    "undo": "names an event",
    "place": "questions about the place", "ledger": "what is over and done", "export-scenario": "a file",
    "paper": "a file: test_load_paper.py reads its cards before its prices",
    "export": "a file", "import": "counts events", "merge": "counts events", "backup": "a file",
    "pocket": "writes a file; test_pocket_carries.py looks at the cautions in it",
    "restore": "a file", "rebuild": "sums", "conflicts": "names events and what they say",
    "reprice": "names a listing", "take-down": "names a listing", "offers": "prices and days of what waits whole",
    "picture": "a photograph of what was named before",
    "listing-text": "test_listing_text.py looks at its cards, which stand before the text",
    "round": "a place and minutes", "rounds": "places and what they earned",
    "impact": "what is over and done", "read": "text of a photograph", "year": "what is over and done",
    "doctor": "names files and events", "device": "names phones",
    "serve": "the app: test_no_caution_missed_web.py walks its pages",
}  # fmt: skip


def run(*arguments: str) -> str:
    result = CliRunner().invoke(cli, list(arguments), prog_name="partway", catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.stdout


def test_every_command_shows_cautions_or_names_no_hazard() -> None:
    """One that is on neither list, or on both, was not thought about."""
    assert set(COMMANDS) - SHOWN_HERE - set(NAMES_NONE) == set()
    assert SHOWN_HERE & set(NAMES_NONE) == set()


# --- every hazard has a card -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "hazards"), list(named.files()), ids=lambda it: it.stem if isinstance(it, Path) else ""
)
def test_every_hazard_of_every_file_has_a_whole_card(path: Path, hazards: set[str]) -> None:
    assert sorted(hazards - set(shipped().cautions)) == [], path.name
    for hazard in hazards:
        card = shipped().cautions[hazard]
        assert all(getattr(card, part) for part in ("name", "hurts", "first", "licensed", "rule", "never"))


def test_the_walk_finds_what_there_is() -> None:
    """A walk that finds nothing would pass all the rest."""
    assert len(KINDS) >= 50 and len(GRADES) >= 15 and len(dict(named.components())) >= 10
    assert "hv-capacitor" in KINDS["microwave"] and "refrigerant" in KINDS["fridge"]
    walked = {hazard for _, hazards in named.files() for hazard in hazards}
    own = {hazard for hazards in own_cautions.COMMANDS.values() for hazard in hazards}
    assert set(shipped().cautions) == walked | own, "a card that nothing brings up"
    assert findings(shipped()) == []


def test_a_card_after_the_money_or_without_its_first_step_is_missed() -> None:
    card = shipped().cautions["nicd"]
    whole = f"{card.name}: {card.first}."
    assert missing(f"{whole}\nCAD 5.00", ["nicd"], MONEY) == []
    assert missing(f"CAD 5.00\n{whole}", ["nicd"], MONEY) == ["nicd"]
    assert missing(f"{card.name}\nCAD 5.00", ["nicd"], MONEY) == ["nicd"]
    with pytest.raises(AssertionError, match="proves nothing"):
        missing(whole, ["nicd"], MONEY)


def test_nothing_is_lost_where_a_kind_is_like_a_component() -> None:
    """What a file of a kind names, and the files of the components in it, the kind has when it is put together."""
    import tomllib

    from partway.catalogue.shipped import DATA

    def like(folder: str, name: str) -> Iterator[str]:
        text = (DATA / folder / f"{name}.toml").read_text(encoding="utf-8")
        tables = tomllib.loads(text)
        yield from named._named(tables)
        for piece in tables["anatomy"][0]["piece"]:
            if inner := piece.get("like"):
                yield from like("components", inner)

    for kind in shipped().kinds:
        assert set(like("kinds", kind)) - set(KINDS.get(kind, ())) == set(), kind


def test_the_catalogue_finds_by_itself_what_the_files_name() -> None:
    grades = shipped().grades
    for kind in shipped().kinds:
        assert set(catalogue_named.hazards_of(shipped().anatomy(kind), grades)) == set(KINDS.get(kind, ())), kind
    listed: dict[str, set[str]] = {}
    for entry in catalogue_named.names(shipped()):
        listed.setdefault(entry.of or entry.id, set()).update(entry.hazards)
    for name, hazards in [*KINDS.items(), *GRADES.items(), *named.components()]:
        assert listed[name] >= set(hazards), name


# --- pages of the catalogue --------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_the_page_of_a_kind(kind: str) -> None:
    page = run("kinds", kind)
    anatomy = shipped().anatomy(kind)
    assert missing(page, KINDS[kind], f"{anatomy.name} {spread(anatomy.whole.mass)} kg") == []


@pytest.mark.parametrize("grade", GRADES)
def test_the_page_of_a_grade(grade: str) -> None:
    assert missing(run("grades", grade), GRADES[grade], f"({grade}, ") == []


def test_lists_name_every_hazard_and_where_its_first_step_stands() -> None:
    """In a list of all kinds or grades the cards are named in the row; above it stands where to read what is first."""
    for command, of in (("kinds", KINDS), ("grades", GRADES)):
        page = "".join(run(command).split()).casefold()
        assert page.startswith("whattodofirstabouteachhazard:partwaycautionsname")
        cards = [shipped().cautions[hazard] for hazard in {hazard for all_of in of.values() for hazard in all_of}]
        words = {word for card in cards for word in card.name.casefold().replace(",", "").split()}
        assert [word for word in words if word not in page] == []


@pytest.mark.parametrize("hazard", sorted(shipped().cautions))
def test_the_card_itself_and_all_it_comes_up_in(hazard: str) -> None:
    page = run("cautions", hazard)
    card = shipped().cautions[hazard]
    for part in ("name", "hurts", "first", "licensed", "rule", "never"):
        assert named.squeezed(getattr(card, part)) in named.squeezed(page)
    told = json.loads(run("cautions", hazard, "--json"))
    assert {kind["id"] for kind in told["kinds"]} == {kind for kind, hazards in KINDS.items() if hazard in hazards}
    assert {grade["id"] for grade in told["grades"]} == {name for name, hazards in GRADES.items() if hazard in hazards}
    inner = {name for name, hazards in named.components() if hazard in hazards}
    assert {component["id"] for component in told["components"]} == inner
    assert told["kinds"] or told["grades"] or told["components"] or told["commands"] or told["key"]
    in_key = [test.id for test in shipped().key.tests.values() if hazard in test.cautions]
    in_key += [material.id for material in shipped().key.materials.values() if hazard in material.cautions]
    assert [one["id"] for one in told["key"]] == in_key


def test_the_list_of_cards_has_all_of_them() -> None:
    assert missing(run("cautions"), shipped().cautions) == []


# --- calculators -------------------------------------------------------------------------------------


def test_calculators_name_only_hazards_that_have_a_card() -> None:
    """That each page begins with its cards is held in test_calculators_cli.py, for every command of this list."""
    assert set(own_cautions.COMMANDS) <= set(COMMANDS)
    assert {hazard for hazards in own_cautions.COMMANDS.values() for hazard in hazards} <= set(shipped().cautions)
    for chemistry in UN_NUMBERS:
        ids = [card.id for card in battery_cards(chemistry)]
        assert ids and set(ids) <= set(own_cautions.BATTERY)


# --- what is it --------------------------------------------------------------------------------------


@pytest.mark.parametrize("context", shipped().key.contexts)
def test_the_key_begins_with_the_cards_of_all_it_may_be_and_of_its_tests(context: str, tmp_path: Path) -> None:
    key, scenario = shipped().key, str(scenario_of(["fan"], tmp_path))
    told = json.loads(run("identify", "--context", context, "--scenario", scenario, "--json"))
    hazards = [h for m in told["materials"] if m["chance"] >= 0.01 for h in key.materials[m["material"]].cautions]
    hazards += [h for line in told["tests"] for h in key.tests[line["test"]].cautions]
    assert missing(run("identify", "--context", context, "--scenario", scenario), hazards, MONEY) == []


# --- the plan and the depth of a find ----------------------------------------------------------------


def scenario_of(kinds: list[str], tmp_path: Path) -> Path:
    """A week with one find of each kind, every hazardous grade in stock, and a yard that pays for every grade."""
    rows = "\n".join(
        f'[[buyer.price]]\ngrade = "{grade}"\nprice = "1 /kg"\non = 2026-03-10' for grade in shipped().grades
    )
    stock = "\n".join(f'{grade} = "5 kg"' for grade in GRADES)
    finds = "\n".join(f'[[find]]\nkind = "{kind}"\nworks = "unknown"' for kind in kinds)
    path = tmp_path / "walk.toml"
    path.write_text(
        f"""[scenario]
name = "walk"
currency = "CAD"
on = 2026-03-14
[hours]
bench = 40.0
away = 10.0
wage = 1.0
[vehicle]
payload = "9000 kg"
cost_per_km = 0.1
[[buyer]]
id = "harbour"
kind = "yard"
km = 1.0
minutes = 5
{rows}
[stock]
{stock}
{finds}
""",
        encoding="utf-8",
    )
    return path


ALL = sorted(shipped().kinds)
BATCHES = [ALL[start : start + 6] for start in range(0, len(ALL), 6)]


@pytest.mark.parametrize("batch", BATCHES, ids=lambda batch: batch[0])
def test_a_plan_shows_the_cards_of_all_it_names(batch: list[str], tmp_path: Path) -> None:
    path = str(scenario_of(batch, tmp_path))
    plan = json.loads(run("plan", "--scenario", path, "--json"))
    hazards = set(_named_by(plan))
    carded = {card["id"]: card for card in plan["cautions"]}
    assert hazards - set(carded) == set()
    assert hazards >= {hazard for kind in batch for hazard in shipped().anatomy(kind).cautions}
    assert all(card["licensed"] and card["rule"] and card["hurts"] for card in carded.values())
    assert missing(run("plan", "--scenario", path), hazards, MONEY) == []


def _named_by(plan: dict[str, Any]) -> Iterator[str]:
    """What a plan's own lines name: kinds, operations run and what they give, grades filled, sold and kept."""
    for find in plan["finds"]:
        anatomy = shipped().anatomy(find["kind"])
        yield from anatomy.cautions
        yield from (end["stop"] for end in find["ends"] if end["stop"])
        for end in find["ends"]:
            if end["outlet"] != "grade":
                yield from _of_piece(anatomy, end["piece"])
    for line in plan["open"]:
        anatomy = shipped().anatomy(line["kind"])
        if line["operation"] == "test":
            continue  # the find's own cards stand before it
        operation = next(op for op in anatomy.operations if op.id == line["operation"])
        yield from operation.cautions
        yield from (stop for gives in operation.gives if (stop := anatomy.piece(gives.piece).stop))
    for part in ("sales", "kept", "bins"):
        for grade in {line["grade"] for line in plan[part] if line["grade"]}:
            yield from shipped().grades[grade].hazards


def _of_piece(anatomy: Anatomy, piece: str) -> Iterator[str]:
    """Of a piece behind a test, by the id it has without one."""
    whole = anatomy.whole.id
    for answer in (f"{whole}.works", f"{whole}.broken"):
        piece = whole if piece == answer else piece.removeprefix(f"{answer}.")
    for sale in anatomy.piece(piece).sells:
        yield from shipped().grades[sale.grade].hazards


@pytest.fixture(scope="module")
def walk(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(scenario_of(["fan"], tmp_path_factory.mktemp("walk")))


@pytest.mark.parametrize("kind", KINDS)
def test_the_depth_of_a_find_shows_all_its_cards(kind: str, walk: str) -> None:
    assert missing(run("depth", "--scenario", walk, "--kind", kind), KINDS[kind], MONEY) == []


# --- the ledger --------------------------------------------------------------------------------------


def lines(day: Day, action: Any, *arguments: Any, **options: Any) -> str:
    """What a command of the ledger says of what it recorded."""
    return "\n".join(describe(day.do(action, *arguments, **options).result, Say.of(day.book)))


def test_whatever_is_told_of_an_action_can_carry_cards() -> None:
    """Every report that names a find, a bin or a grade has a place for them."""
    modules = [import_module(f"partway.actions.{place}.results") for place in PLACES]
    results = [
        it for of in modules for it in vars(of).values() if isinstance(it, type) and it.__module__ == of.__name__
    ]
    assert len(results) >= 15
    for result in results:
        parts = {field.name for field in fields(result)}
        if parts & {"kind", "grade", "quotes", "pieces", "lines"} and result not in (
            BuyerResult,
            CorrectResult,
            KindSaid,
        ):
            assert "cautions" in parts or result is QuoteResult, result


@pytest.mark.parametrize("kind", FOUND)
def test_what_is_recorded_of_a_find_begins_with_its_cards(kind: str) -> None:
    day, hazards = Day(), KINDS[kind]
    anatomy = shipped().anatomy(kind)
    mass = f"{anatomy.whole.mass.likely:g} kg"
    assert missing(lines(day, finds.find, kind, mass=mass), hazards, f"{kind}-1 found") == []
    assert missing(lines(day, finds.test, f"{kind}-1", "no"), hazards, f"{kind}-1 tested") == []
    assert missing(lines(day, finds.weigh, f"{kind}-1", mass), hazards, f"{kind}-1 weighed") == []
    assert missing(lines(day, selling.sell, f"{kind}-1", "5"), hazards, "$") == []
    second = found(day, kind, mass=mass)
    assert missing(lines(day, selling.discard, second), hazards, f"{second} discarded") == []


@pytest.mark.parametrize("kind", [kind for kind in FOUND if shipped().anatomy(kind).operations])
def test_an_opening_begins_with_the_cards_of_what_was_done_and_what_came_out(kind: str) -> None:
    """Every operation on the whole find that may be run first, into bins of the pieces' first grades."""
    anatomy = shipped().anatomy(kind)
    first = [op for op in anatomy.operations_on(anatomy.whole.id) if op.required]
    for operation in first or anatomy.operations_on(anatomy.whole.id):
        day = Day()
        find = found(day, kind)
        pieces = [anatomy.piece(gives.piece) for gives in operation.gives]
        given = [PieceGiven(p.id, "0.1 kg", grade=p.sells[0].grade) for p in pieces if p.sells and not p.stop]
        hazards = [*anatomy.cautions, *operation.cautions, *(p.stop for p in pieces if p.stop)]
        hazards += [h for p in given for h in shipped().grades[p.grade].hazards]
        told = lines(day, opening.open_up, find, given, [operation.id])
        assert missing(told, hazards, f"{find} opened") == [], operation.id


@pytest.mark.parametrize("grade", GRADES)
def test_what_is_recorded_of_a_grade_begins_with_its_cards(grade: str) -> None:
    day, hazards = trading_day(), GRADES[grade]
    assert missing(lines(day, bins.add_bin, grade), hazards, f"bin {grade} added") == []
    assert missing(lines(day, bins.recount, grade, "4 kg"), hazards, f"bin {grade} recounted") == []
    day.do(bins.add_bin, grade, "other")
    assert missing(lines(day, bins.move, grade, "other", "1 kg"), hazards, f"from {grade} to other") == []
    assert missing(lines(day, quoting.quote, "ridge", grade, "1.25 /kg"), hazards, "1.25") == []
    assert missing(lines(day, hauls.start, ["ridge"]), hazards, "started: ridge") == []
    shown = "\n".join(haul_lines_of(haul_shown(day.book, "haul-1", day.now), Say.of(day.book)))
    assert missing(shown, hazards, "took along") == []
    line = tickets.LineGiven(grade, "2 kg", "1.25 /kg", own="2 kg", bin=grade)
    assert missing(lines(day, tickets.ticket, "ridge", [line]), hazards, "2.50") == []


@pytest.fixture(scope="module")
def full() -> Day:
    """A bench with one of everything on it, and some of every hazardous grade in the bins."""
    day = trading_day()
    for kind in shipped().kinds:  # also one that was split, of which an old ledger has a find
        record(day.book, day.context(), [Found(f"{kind}-1", kind)], None)
    stocked(day, **{grade.replace("-", "_"): 3.0 for grade in GRADES})
    for grade in GRADES:
        day.do(quoting.quote, "ridge", grade, "1.25 /kg")
    return day


def test_today_and_stock_show_the_cards_of_all_that_is_there(full: Day, capsys: pytest.CaptureFixture[str]) -> None:
    from partway.cli.common import page
    from partway.cli.home.today_page import show_overview, show_stock, show_today

    scenario = scenario_from_book(full.book, full.now.date(), counting=False)
    of_grades = {hazard for hazards in GRADES.values() for hazard in hazards}
    of_kinds = {hazard for hazards in KINDS.values() for hazard in hazards}
    there = There.of(full.book, ShownUnits(), full.now.tzinfo)
    called = Called(full.book, full.now.date(), full.now.tzinfo)
    today = report_today(full.book, scenario, full.now, (), there)
    assert {card.id for card in today.cautions} >= of_kinds | of_grades
    show_today(page(), today, Say.of(full.book), called)
    assert missing(capsys.readouterr().out, of_kinds | of_grades, "next") == []
    show_overview(page(), report_overview(full.book, scenario, full.now, there.finds), Say.of(full.book), called)
    assert missing(capsys.readouterr().out, of_kinds | of_grades, "waiting: ") == []
    stock = listed(report_bins(full.book, full.now), "CAD", "kg")
    assert {card.id for card in stock.cautions} >= of_grades
    show_stock(page(), stock, Say.of(full.book), called)
    assert missing(capsys.readouterr().out, of_grades, "best today") == []


class Whole(Careful):
    """Shows every card whole, as to somebody who has seen none today."""

    def __init__(self) -> None:
        pass

    def split(self, cards: Iterable[CautionCard]) -> tuple[tuple[CautionCard, ...], str]:
        return tuple(cards), ""


@pytest.mark.parametrize("kind", sorted(FOUND)[::6])
def test_the_verdict_at_the_curb_begins_with_its_cards(
    kind: str, full: Day, capsys: pytest.CaptureFixture[str]
) -> None:
    from partway.actions.curb.curb import curb
    from partway.cli.common import page
    from partway.cli.curb.curb_page import show_curb

    scenario = scenario_from_book(full.book, full.now.date(), counting=False, waiting={})
    show_curb(page(), curb(scenario, kind), Say.of(full.book), Whole())
    name = shipped().anatomy(kind).name
    assert missing(capsys.readouterr().out, KINDS.get(kind, ()), f"{name}: ") == []


def test_buyers_and_prices_begin_with_the_cards_of_what_they_name(
    full: Day, capsys: pytest.CaptureFixture[str]
) -> None:
    from partway.cli.buyers.buyers_page import show_buyer, show_buyers, show_history, show_sheet
    from partway.cli.common import page
    from partway.reports.buyers.calls import report_calls
    from partway.reports.buyers.one import report_buyer
    from partway.reports.buyers.price_history import report_price_history
    from partway.reports.buyers.sheet import report_sheet

    day, say = full.now.date(), Say.of(full.book)
    sheet, of_grades = report_sheet(full.book, day), {hazard for hazards in GRADES.values() for hazard in hazards}
    show_sheet(page(), sheet, say, Whole())
    assert missing(capsys.readouterr().out, of_grades, "ridge CA$") == []
    show_buyer(page(), report_buyer(full.book, "ridge", full.now), say, Whole())
    assert missing(capsys.readouterr().out, of_grades, "(ridge, yard)") == []
    calls = report_calls(full.book, day, sheet)
    show_buyers(page(), calls, say, Whole())
    asked = {h for row in calls for ask in row.asks[:3] for h in GRADES.get(ask.grade, ())}
    assert missing(capsys.readouterr().out, asked, "Ask: ") == []
    for grade, hazards in GRADES.items():
        show_history(page(), report_price_history(full.book, grade, day), say, Whole())
        assert missing(capsys.readouterr().out, hazards, "Ridge: ") == []


def test_a_dictated_price_list_begins_with_its_cards(tmp_path: Path) -> None:
    workspace = ["--workspace", str(tmp_path / "ws")]
    run("set", "currency", "CAD", *workspace)
    run("set", "unit", "lb", *workspace)
    run("buyer", "ridge", "--kind", "yard", "--km", "10", *workspace)
    page = run("quotes", "ridge", "lead acid batteries 0.25, no 2 copper 4.10", "--yes", *workspace)
    assert missing(page, GRADES["lead-acid"], "0.25") == []
