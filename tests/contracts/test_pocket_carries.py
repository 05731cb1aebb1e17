"""What a phone carries is what the desk says: each figure against the JSON interface of the same ledger, and every
question of the test key against the engine's own.
"""

from __future__ import annotations

import datetime as dt
import gzip
import json
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from app_client import NOW, Visitor, visitor
from page_words import words
from test_names_not_ids import ids_in, shown_ids

from partway import display
from partway.actions.pocket.tree import RARE_WORDS
from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.quantities import kg_per
from partway.reports.pocket.key import KeyEnd, KeyQuestion
from partway.web.api.bodies import Body
from partway.web.bench.bodies import FindBody, SellBody, TestBody, WeighBody
from partway.web.books.bodies import HoursBody, NoteBody, SpendBody
from partway.web.buyers.bodies import QuoteBody, TicketBody
from partway.web.home.say_bodies import SayBody
from partway.web.pocket.acts import ACTS
from partway.web.pocket.carried.all import Carrying
from partway.web.pocket.carried.key import key_state, trees_of
from partway.web.pocket.carried.paper import always_noted, rare_nodes, set_apart, together, tree_read
from partway.web.pocket.carried.standing import pocket_bins
from partway.web.pocket.child import as_json, files_of
from partway.web.pocket.kept import DATA, KEY, PAPER

MOST, MOST_PACKED = 600_000, 120_000  # bytes: what issue 17 allows a phone to be asked to carry
LOCALE = "en_CA"
WALKS = 160
BODIES: dict[str, type[Body]] = {
    "found": FindBody,
    "tested": TestBody,
    "weighed": WeighBody,
    "quoted": QuoteBody,
    "refused": QuoteBody,
    "ticketed": TicketBody,
    "sold": SellBody,
    "spent": SpendBody,
    "worked": HoursBody,
    "noted": NoteBody,
    "said": SayBody,
}


@pytest.fixture(scope="module")
def carried(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SimpleNamespace]:
    with visitor(tmp_path_factory.mktemp("pocket"), demo=True) as v:
        carrying = Carrying(v.book, NOW.astimezone(v.app.state.partway.clock().tzinfo))
        files = {name: content for name, (_, content) in files_of(carrying).files.items()}
        yield SimpleNamespace(
            v=v, carrying=carrying, files=files, data=json.loads(files[DATA]), key=json.loads(files[KEY])
        )


def got(v: Visitor, path: str) -> Any:
    answer = v.client.get(path)
    assert answer.status_code == 200, answer.text[:500]
    return answer.json()


def money(amount: float, currency: str) -> str:
    return display.money(Decimal(amount), currency, LOCALE)


def test_a_phone_can_carry_it(carried: SimpleNamespace) -> None:
    kinds = {kind for kind, one in ((a.kind, a) for a in shipped().all_anatomies()) if not one.became}
    assert {kind["id"] for kind in carried.data["kinds"]} >= kinds
    for name in (DATA, KEY, PAPER):
        assert len(carried.files[name]) < MOST, name
        assert len(gzip.compress(carried.files[name], 9)) < MOST_PACKED, name


def test_the_verdicts_are_those_of_the_curb(carried: SimpleNamespace) -> None:
    v, currency = carried.v, carried.data["currency"]
    for kind in random.Random(17).sample(carried.data["kinds"], 14):
        assert [one["condition"] for one in kind["conditions"]] == ["yes", "no", "unknown"]
        for one in kind["conditions"]:
            said = got(v, f"/api/curb/{kind['id']}?works={one['condition']}")
            assert (one["verdict"], kind["name"]) == (said["verdict"], said["name"])
            assert kind["hazards"] == [card["id"] for card in said["cautions"]]
            shown = said["shown"]
            if shown is None or max(shown["money"]["expected"], shown["money"]["high"]) < 0.005:
                assert one["range"] == one["hour"] == ""
                continue
            about = [
                display.rough(Decimal(shown["money"][end]), currency, LOCALE) for end in ("expected", "low", "high")
            ]
            assert one["brings"].startswith(f"{about[0]} on average")
            assert one["range"] in ("", f"mostly {about[1]} to {about[2]}")
            assert one["hour"] == f"{display.rough(Decimal(shown['per_hour']), currency, LOCALE)} an hour"


def test_the_sheet_has_each_price_as_it_was_said_with_its_day(carried: SimpleNamespace) -> None:
    data = carried.data
    sheet = got(carried.v, "/api/prices")
    names = {row["grade"]: row["name"] for family in sheet["families"] for row in family["rows"]}
    said = set()
    for family in sheet["families"]:
        for row in family["rows"]:
            for cell in row["cells"]:
                for price in cell["prices"] if cell["state"] == "quoted" else ():
                    words = display.price(Decimal(price["price"]), data["currency"], price["unit"], LOCALE)
                    said.add((cell["buyer"], row["grade"], words, price["on"]))
    carried_prices = {
        (column["buyer"], line["grade"], line["words"].replace(";", ",").split(",")[0], line["on"])
        for column in data["sheet"]
        for line in column["lines"]
        if line["on"] and "not taken" not in line["words"]
    }
    assert carried_prices == said
    assert len(said) > 40
    assert all(line["name"] == names[line["grade"]] for column in data["sheet"] for line in column["lines"])


def test_bins_finds_and_the_load_are_as_the_desk_has_them(carried: SimpleNamespace) -> None:
    v, data = carried.v, carried.data
    stock = {line["bin"]: line for line in got(v, "/api/stock")["lines"]}
    assert [one["id"] for one in data["bins"]] == list(stock)
    for one in data["bins"]:
        line = stock[one["id"]]
        assert one["hazards"] == line["hazards"]
        assert one["words"].startswith(f"{line['grade_name']}: ") == (one["name"] != line["grade_name"])
        if line["best"] and line["best"]["value"] is not None:
            assert f"{money(line['best']['value'], data['currency'])} at " in one["words"]
    assert {one["id"] for one in data["finds"]} == set(carried.carrying.finds)
    (haul,) = data["hauls"]
    sheet = got(v, f"/api/hauls/{haul['id']}")
    assert [stop["buyer"] for stop in haul["stops"]] == [stop["buyer"] for stop in sheet["stops"]]
    for stop, seen in zip(haul["stops"], sheet["stops"], strict=True):
        assert stop["words"].startswith(f"Should come to {money(float(seen['expected']), data['currency'])}.")
        assert [line["id"] for line in stop["lines"]] == [f"{seen['turn']}-{line['grade']}" for line in seen["lines"]]


@pytest.mark.parametrize(("called", "words"), [("Electric motors", "Empty"), ("blue drum", "Electric motors: empty")])
def test_a_bin_says_its_grade_only_where_its_name_does_not(called: str, words: str) -> None:
    line = SimpleNamespace(bin="motors", grade="motors", grade_name="Electric motors", mass_kg=0, short=0, hazards=())
    (one,) = pocket_bins([line], SimpleNamespace(bin=lambda _: called))  # type: ignore[list-item, arg-type]
    assert (one.name, one.words) == (called, words)


def test_every_card_comes_along_and_every_hazard_named_has_one(carried: SimpleNamespace) -> None:
    data, key = carried.data, carried.key
    cards = {card["id"]: card for card in data["cards"]}
    assert set(cards) >= set(shipped().cautions)
    assert all(card["first"].rstrip(".") for card in cards.values())
    named = [*data["kinds"], *data["unknown"]["rows"], *data["finds"], *data["bins"], *data["hauls"]]
    assert {hazard for one in named for hazard in one["hazards"]} <= set(cards)
    assert {hazard for node in key["nodes"] for hazard in node["careful"]} <= set(cards)


def test_each_form_sends_what_its_address_takes(carried: SimpleNamespace) -> None:
    forms = {form["what"]: form for form in carried.data["forms"]}
    pictured = forms.pop("pictured")  # sent by itself, with its file beside the fields: test_pocket_photographs.py
    assert [field["sort"] for field in pictured["fields"]] == ["thing", "photo", "line", "line"]
    assert set(forms) == set(ACTS) == set(BODIES)
    for what, form in forms.items():
        fields = {info.alias or name: info for name, info in BODIES[what].model_fields.items()}
        given = {field["name"] for field in form["fields"]}
        assert given <= set(fields), what
        needed = {name for name, info in fields.items() if info.is_required()} - (
            {"price"} if what == "refused" else set()
        )
        assert {field["name"] for field in form["fields"] if field["need"]} >= needed, what
        assert sum(not field["more"] for field in form["fields"]) <= 6, what
    works = {field["name"]: field for field in forms["found"]["fields"]}["works"]
    assert {choice["value"] for choice in works["choices"]} == {"yes", "no", "unknown"}
    lines = next(field for field in forms["ticketed"]["fields"] if field["sort"] == "lines")["of"]
    assert {field["name"] for field in lines} >= {"grade", "mass", "price"}


class Walk:
    """One piece asked about by the tree, as a phone does, and by the engine with the same answers."""

    def __init__(self, carried: SimpleNamespace, chance: random.Random) -> None:
        self.key, self.chance = carried.key, chance
        self.answers: dict[str, str] = {}
        self.prices, self.confirmed = carried.carrying.prices, trees_of(carried.carrying).confirmed
        whence = chance.choice(self.key["whence"])
        start = chance.choice(whence["masses"])
        self.context, self.kg, self.at = (
            whence["id"],
            {"light": 0.1, "usual": 0.5, "heavy": 5.0}[start["id"]],
            start["node"],
        )

    def step(self) -> bool:
        """Hold one node against the engine, and go on; whether there is more to ask."""
        node = self.key["nodes"][self.at]
        if node.get("end", "").startswith("Rare: not worked out"):
            return False
        said = identify(self.prices, self.context, self.answers, self.kg, self.confirmed.get(self.context))
        if "end" in node:
            assert said.stop, (self.context, self.kg, self.answers)
            assert node["end"].casefold() == said.bin_name.casefold()
            assert {card.id for card in said.cautions} >= set(node["careful"])
            return False
        assert not said.stop, (self.context, self.kg, self.answers)
        asked = said.tests[0]
        assert (node["name"], node["ask"]) == (asked.name, asked.ask)
        words, self.at = self.chance.choice(node["answers"])
        self.answers[asked.test] = self._answer(words, asked.answers)
        return True

    def _answer(self, words: str, answers: tuple[tuple[str, str], ...]) -> str:
        if words == "Not sure":
            return "not sure"
        if not answers:  # a density, of which any of the range may be measured
            return self.chance.choice(words.removesuffix(" g/cm³").split(" to "))
        return next(answer for answer, means in answers if means == words)


def test_every_question_of_the_key_is_the_engines_own(carried: SimpleNamespace) -> None:
    """A seeded sample of walks; `benchmarks/pocket.py` holds every node of the tree against the engine."""
    chance, held = random.Random(1717), 0
    while held < 500:
        walk = Walk(carried, chance)
        held += 1
        while walk.step():
            held += 1


def test_the_key_is_read_back_as_it_was_kept_and_follows_its_prices(carried: SimpleNamespace) -> None:
    assert carried.key["state"] == key_state(trees_of(carried.carrying))
    later = ("2026-03-21", "Saturday 21 March 2026")
    again = json.loads(as_json(tree_read(carried.files[KEY], carried.key["workspace"], *later)))
    assert (again.pop("on"), again.pop("day")) == later
    assert again == {name: told for name, told in carried.key.items() if name not in ("on", "day")}


def test_the_day_stands_on_every_part(carried: SimpleNamespace) -> None:
    data, html = carried.data, carried.files[PAPER].decode()
    assert (data["on"], data["day"]) == ("2026-03-20", "Friday 20 March 2026")
    assert dt.datetime.fromisoformat(data["made"]) == NOW
    parts = html.split("<section id=")[1:]
    assert len(parts) == 9
    for part in parts[:-2]:  # tables and cards have no price in them
        assert "Prices as of Friday 20 March 2026" in part, part[:40]
    for banned in ("<script", "http:", "https:", "src=", "onclick"):
        assert banned not in html


def test_on_paper_what_can_hurt_comes_before_the_money_and_nothing_goes_by_its_id(carried: SimpleNamespace) -> None:
    html, data = carried.files[PAPER].decode(), carried.data
    assert shown_ids(html, ids_in(carried.v)) == set()
    titles = {card["id"]: card["title"] for card in data["cards"]}
    folds = html.partition('<section id="curb">')[2].partition("</section>")[0].split('<details class="kind">')[1:]
    dangerous = 0
    for kind, fold in zip(data["kinds"], folds, strict=True):
        before = words(fold.partition("<p><b>Tested")[0].partition(": take")[0].partition("$")[0])
        assert [titles[hazard] for hazard in kind["hazards"] if titles[hazard] not in before] == [], kind["name"]
        dangerous += bool(kind["hazards"])
    assert dangerous > 50


def test_a_price_that_rises_is_another_state_of_the_key(tmp_path: Path) -> None:
    with visitor(tmp_path, demo=True) as v:
        carrying = Carrying(v.book, NOW)
        before = key_state(trees_of(carrying))
        v.client.post("/api/quote", json={"buyer": "ridge-yard", "grade": "copper-2", "price": "9.10 /lb"})
        assert key_state(trees_of(Carrying(v.book, NOW))) != before


def test_masses_are_in_the_unit_of_the_workspace(carried: SimpleNamespace) -> None:
    assert carried.data["unit"] == "lb"
    assert carried.data["unknown"]["masses"][:2] == ["0.22 to 0.66 lb", "0.66 to 2.2 lb"]  # 0.1, 0.3 and 1 kg
    assert round(0.3 / float(kg_per("lb")), 2) == 0.66


def test_the_paper_sets_apart_what_would_be_written_many_times() -> None:
    """By hand: node 3 goes on for long and two answers lead there; node 1 comes up twice but is short."""
    ends = [KeyEnd(f"bin {n}", (), ()) for n in range(13)]
    first = (
        KeyQuestion("first", "?", (), (("a", 1), ("b", 3), ("c", 2))),
        KeyQuestion("short", "?", (), (("a", 4),)),
        KeyQuestion("second", "?", (), (("a", 3), ("b", 1))),
    )
    long = KeyQuestion("long", "?", (), tuple((end.end, 4 + n) for n, end in enumerate(ends)))
    assert set_apart((*first, long, *ends), [0]) == {3: 1}
    shorter = replace(long, answers=long.answers[:3])  # 4 nodes with itself
    assert set_apart((*first, shorter, *ends), [0]) == {}


def test_the_paper_asks_nothing_that_leads_nowhere() -> None:
    """By hand: after node 1 comes only what was not worked out; node 0 has an answer beside."""
    nodes = (
        KeyQuestion("first", "?", (), (("a", 1), ("b", 3))),
        KeyQuestion("lost", "?", (), (("a", 2), ("b", 2))),
        KeyEnd(RARE_WORDS, (), ()),
        KeyEnd("bin", (), ()),
    )
    assert rare_nodes(nodes) == {1, 2}


def test_on_paper_conditions_that_differ_in_nothing_stand_together(carried: SimpleNamespace) -> None:
    works, broken, unknown = carried.carrying.pocket().kinds[0].conditions
    alike = replace(works, condition="no", words="Does not work")
    assert [words for words, _ in together((works, alike, unknown))] == ["Works; does not work", unknown.words]
    dearer = replace(alike, range="another")
    assert [words for words, _ in together((works, dearer))] == ["Works", "Does not work"]
    noted = [replace(one, notes=("of all", f"of {one.words}")) for one in (works, broken)]
    assert always_noted(noted) == ("of all",)
    assert always_noted([]) == ()


def test_each_question_that_the_paper_leads_to_is_there_and_led_to(carried: SimpleNamespace) -> None:
    html = carried.files[PAPER].decode()
    asked = re.findall('id="(question-[0-9]+)"', html)
    assert len(set(asked)) == len(asked) > 10
    assert set(asked) == set(re.findall('href="#(question-[0-9]+)"', html))
    assert "All else: rare." in html
