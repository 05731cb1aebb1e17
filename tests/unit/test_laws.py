"""What single places say about a hazard: known places, each once, and those of the user's place cards first."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from app_client import visitor
from click.testing import CliRunner
from ledger_day import Day
from page_words import words

from partway.actions.what.placing import fill_in
from partway.catalogue import shipped
from partway.catalogue.checks.cards import card_flaws
from partway.catalogue.laws import PLACES, law_lines, places_named
from partway.cli.app import cli
from partway.reports.what.caution_cards import places_of
from partway.things.material import Law

WANTED = {"Canada", "Ontario", "US", "California", "UK", "EU"}


def flaws_of(*law: Law) -> list[str]:
    card = replace(shipped().cautions["mains"], law=law)
    return [flaw.expected for flaw in card_flaws({"mains": card})]


@pytest.mark.parametrize(
    ("law", "expected"),
    [
        ((Law("Atlantis", "act 5"),), "one of Ontario"),
        ((Law("UK", "act 5"), Law("UK", "act 6")), "each place once"),
        ((Law("UK", "an act about it"),), "which edition, section or number"),
        ((Law("UK", "act 5 " * 40),), "at most 160"),
    ],
)
def test_a_law_that_would_mislead_is_a_finding(law: tuple[Law, ...], expected: str) -> None:
    assert expected in flaws_of(*law)[0]
    assert flaws_of(Law("UK", "act 5")) == []


@pytest.mark.parametrize(
    ("texts", "here"),
    [
        (["Hamilton, Ontario"], ("Ontario", "Canada")),
        (["by-law 12", "O. Reg. 463/10"], ("Ontario", "Canada")),
        (["California"], ("California", "US")),
        (["the U.S."], ("US",)),
        (["USA"], ("US",)),
        (["Québec"], ("Quebec", "Canada")),
        (["Wales"], ("UK",)),
        (["they let us take it, tell us first"], ()),
        (["a bus stop, Euston road"], ()),
        ([], ()),
    ],
)
def test_places_are_known_by_how_people_write_them(texts: list[str], here: tuple[str, ...]) -> None:
    assert places_named(texts) == here


def test_what_the_place_says_comes_first_and_the_rest_follows() -> None:
    law = [Law("EU", "1"), Law("US", "2"), Law("California", "3"), Law("Ontario", "4")]
    assert [line.place for line in law_lines(law)] == ["Ontario", "California", "US", "EU"]
    lines = law_lines(law, ("California", "US"))
    assert [(line.place, line.here) for line in lines] == [
        ("California", True), ("US", True), ("Ontario", False), ("EU", False),
    ]  # fmt: skip


def test_the_place_card_of_the_place_decides_and_others_only_where_it_is_not_filled_in() -> None:
    day = Day()
    assert places_of(day.book) == ()
    day.do(fill_in, "payment", "no cash", "Scrap Metal Dealers Act, UK")
    assert places_of(day.book) == ("UK",)
    day.do(fill_in, "where", "Ontario", "my address")
    assert places_of(day.book) == ("Ontario", "Canada")


def test_refrigerant_and_batteries_and_mercury_have_every_place_that_is_wanted() -> None:
    for hazard in ("refrigerant", "li-ion", "nicd", "mercury", "asbestos", "pcb"):
        assert {law.place for law in shipped().cautions[hazard].law} >= WANTED
    assert any("463/10" in law.says for law in shipped().cautions["refrigerant"].law)  # cautions-review: Ontario
    assert any("278/05" in law.says for law in shipped().cautions["asbestos"].law)
    assert {law.place for card in shipped().cautions.values() for law in card.law} == set(PLACES)


def test_every_law_says_whether_it_was_read() -> None:
    for card in shipped().cautions.values():
        for line in law_lines(card.law):
            assert line.words.endswith("(from memory).") or f"(read {line.read})." in line.words


def test_page_command_and_json_show_the_law_of_the_place_first(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        before = words(there.open("/cautions/refrigerant"))
        assert before.index("O. Reg. 463/10") < before.index("Regulation 2024/573, article 8")
        fill_in(there.book, there.context(), "where", "Lyon, EU", "my address")
        after = words(there.open("/cautions/refrigerant"))
        assert after.index("Regulation 2024/573, article 8") < after.index("O. Reg. 463/10")
        assert after.index("heck your local code") < after.index("Regulation 2024/573, article 8")
        api = there.client.get("/api/cautions/refrigerant").json()
        assert (api["law"][0]["place"], api["law"][0]["here"]) == ("EU", True)
    workspace = ["--workspace", str(tmp_path / "mine")]
    asked = CliRunner().invoke(cli, ["set", "currency", "CAD", *workspace])
    assert asked.exit_code == 0
    CliRunner().invoke(cli, ["place", "where", "California", "--source", "my address", *workspace])
    page = CliRunner().invoke(cli, ["cautions", "refrigerant", *workspace]).output
    assert page.index("California: ") < page.index("Ontario: ")
    said = json.loads(CliRunner().invoke(cli, ["cautions", "refrigerant", "--json", *workspace]).stdout)
    assert [line["place"] for line in said["law"]][:2] == ["California", "US"]
