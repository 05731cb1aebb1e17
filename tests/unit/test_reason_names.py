"""Sentences of a plan name the right buyers, whatever the buyers are called.

Ids that are words of the sentences themselves (no, a, the, on, is, kg) and names that hold other buyers' ids and the
marks that text is filled in by: nothing in a name may be taken for anything but the name.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from dataclasses import asdict
from html import unescape
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from rich.console import Console
from test_haul_page import plan as planned_at
from test_haul_page import waited, words

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.home import settings
from partway.actions.plans.plan import Limits, plan
from partway.cli.haul.page.printed import show_plan
from partway.reports.haul.plan import Plan
from partway.storage.scenario.scenario import read_scenario_text
from partway.things.scenario import Scenario

# One sentence a bin: by hand from the prices below. 7 a kg and a parcel for 14: it pays from 2 kg, 4.4 lb.
KEPT = {
    "magnesium": "nobody here quotes it",
    "brass-yellow": "a {least} place takes lots from 22 lb",
    "residue": "kg a no depot would charge CAD 0.05 a lb for it",
    "board-pc": "The no mail pays by post from 4.4 lb, sent alone",
    "stainless-304": "On the hill pays best and is not on this haul",
    "glass": "is it on takes it for nothing and is not on this haul",
}

TOWN = """
[scenario]
name = "odd names"
currency = "CAD"
on = 2026-03-14
[hours]
bench = 2.0
away = 2.0
wage = 20.0
[vehicle]
payload = "450 kg"
cost_per_km = 0.5
[[buyer]]
id = "no"
name = "North {buyer} is the yard"
kind = "yard"
km = 5
price = [ { grade = "copper-2", price = "4.00 /lb" } ]
[[buyer]]
id = "a"
name = "kg a no depot"
kind = "tip"
km = 2
price = [ { grade = "residue", price = "-0.05 /lb" } ]
[[buyer]]
id = "the"
name = "On the hill"
kind = "yard"
km = 60
price = [ { grade = "stainless-304", price = "0.60 /lb" } ]
[[buyer]]
id = "on"
name = "is it on"
kind = "drop-off"
km = 40
price = [ { grade = "glass", price = "0 /lb" } ]
[[buyer]]
id = "is"
name = "The no mail"
kind = "mail-in"
shipping = [ { up_to = "10 lb", cost = 14.0 }, { up_to = "40 lb", cost = 22.0 } ]
price = [ { grade = "board-pc", price = "7.00 /kg" } ]
[[buyer]]
id = "kg"
name = "a {least} place"
kind = "yard"
km = 6
price = [ { grade = "brass-yellow", price = "2.50 /lb", minimum = "22 lb" } ]
[stock]
copper-2 = "40 lb"
magnesium = "4 lb"
residue = "9 lb"
stainless-304 = "5 lb"
glass = "7 lb"
board-pc = "1 lb"
brass-yellow = "3 lb"
[[find]]
kind = "bread-machine"
works = "no"
"""


@pytest.fixture(scope="module")
def town() -> Scenario:
    return read_scenario_text(TOWN, "town.toml")


@pytest.fixture(scope="module")
def report(town: Scenario) -> Plan:
    return plan(town, Limits(seconds=30.0), why=True)


def test_the_reasons_are_the_facts_by_id(report: Plan) -> None:
    facts = {line.grade: (line.because.code, line.because.buyer) for line in report.kept if line.grade in KEPT}
    assert facts == {
        "magnesium": ("unquoted", None),
        "brass-yellow": ("small-lot", "kg"),
        "residue": ("charges", "a"),
        "board-pc": ("small-to-post", "is"),
        "stainless-304": ("pays-best-elsewhere", "the"),
        "glass": ("taken-free-elsewhere", "on"),
    }


def test_json_has_the_sentence_and_the_data(report: Plan) -> None:
    kept = json.loads(json.dumps(asdict(report)))["kept"]
    assert {line["grade"]: line["reason"] for line in kept if line["grade"] in KEPT} == KEPT
    charge = next(line["because"] for line in kept if line["grade"] == "residue")
    assert charge["per_kg"] == pytest.approx(0.05 / 0.45359237)


def test_the_page_of_the_command_line(report: Plan, town: Scenario) -> None:
    out = io.StringIO()
    show_plan(Console(file=out, width=400), report, town)
    text = out.getvalue()
    rows = {
        line.grade: next(row for row in text.splitlines() if row.startswith(f"{line.line} ")) for line in report.kept
    }
    for grade, sentence in KEPT.items():
        assert rows[grade].rstrip().endswith(f"  {sentence}"), rows[grade]
    assert "home → North {buyer} is the yard → home" in text
    assert "turns over with North {buyer} is the yard paying " in text


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory, town: Scenario) -> Iterator[Visitor]:
    """The same town in a ledger."""
    with visitor(Path(tmp_path_factory.mktemp("odd"))) as v:
        for name, value in {"currency": "CAD", "unit": "lb", "wage": "20", "cost_per_km": "0.5"}.items():
            settings.set_(v.book, v.context(), name, value)
        for b in town.buyers:
            post = [("10 lb", "14"), ("40 lb", "22")] if b.shipping else []
            terms = buyers.Terms(kind=b.kind, name=b.name, km=None if b.km is None else str(b.km), shipping=post)
            buyers.buyer(v.book, v.context(), b.id, terms)
            for q in b.quotes:
                least = f"{q.minimum_kg} kg" if q.minimum_kg else None
                quoting.quote(v.book, v.context(), b.id, q.grade, f"{q.price.mean} /kg", minimum=least)
        for grade, kg in town.stock.items():
            bins.add_bin(v.book, v.context(), grade)
            bins.recount(v.book, v.context(), grade, round(kg * 1e6))
        finds.find(v.book, v.context(), "bread-machine", 1, None, "no")
        yield v


def test_the_pages_of_the_web(at: Visitor) -> None:
    path = planned_at(at, away="2", bench="2")
    text = unescape(words(at.open(path)))
    for sentence in KEPT.values():
        shown = sentence.replace("CAD 0.05 a lb", "CA$0.05/lb").replace("4.4 lb", "4.41 lb")  # pages show three figures
        assert shown[0].upper() + shown[1:] in text, sentence
    why = at.fill(path, f"{path}/why")
    defended = unescape(words(at.open(waited(at, str(why.url.path)))))
    assert "when North {buyer} is the yard pays" in defended
