"""What is put on offer, from the listing to the sale and back, by command and by JSON; and what the plan makes of it.

The harbour yard, its prices and all that is sold here are invented.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from app_client import visitor
from click.testing import CliRunner

from partway.actions.bench import finds
from partway.actions.home.settings import set_
from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger.offers import resale
from partway.storage.workspace import open_workspace

KIND = "microwave"


class Yard:
    """A workspace at the command line."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def run(self, *said: str, on: str = "") -> str:
        """One command; raises what it is refused with."""
        given = [*said, "--workspace", str(self.folder), *(["--who", "me", "--on", on] if on else [])]
        done = CliRunner().invoke(cli, given)
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            raise done.exception
        assert done.exit_code == 0, done.output
        return done.output

    def json(self, *said: str) -> Any:
        return json.loads(self.run(*said, "--json"))

    def mass(self, place: str) -> int:
        with open_workspace(self.folder) as book:
            return sum(book.balances(place).values())


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    yard = Yard(tmp_path)
    yard.run("set", "currency", "CAD", on="2026-03-01")
    yard.run("set", "zone", "UTC", on="2026-03-01")
    yard.run("buyer", "harbour", "--kind", "yard", "--km", "8", on="2026-03-01")
    yard.run("quote", "harbour", "copper-2", "8 /kg", on="2026-03-01")
    yard.run("quote", "harbour", "light-iron", "0.2 /kg", on="2026-03-01")
    for _ in range(3):
        yard.run("find", KIND, "--mass", "13 kg", "--works", "yes", on="2026-03-01")
    return yard


def test_list_cut_sell_and_back(yard: Yard) -> None:
    yard.run("list", "microwave-1", "--asking", "60", "--where", "the board", on="2026-03-02")
    (line,) = yard.json("offers")["offers"]
    assert (line["listing"], line["asking"], line["left"]) == ("microwave-1-offer-1", 60.0, 1)
    yard.run("reprice", "microwave-1-offer-1", "45", on="2026-03-09")
    held = yard.mass("find:microwave-1")
    assert held == 13_000_000  # a listed thing stays where it is
    yard.run("sell", "microwave-1", "40", on="2026-03-12")  # nobody has to name the listing
    assert (yard.mass("find:microwave-1"), yard.mass("people")) == (0, held)
    (kind,) = yard.json("offers")["kinds"]
    assert (kind["sold"], kind["asked"], kind["got"]) == (1, 60.0, 40.0)
    assert kind["days"] == pytest.approx(10.0, abs=0.1)
    yard.run("return", "microwave-1", "--refund", "40", "--again", on="2026-03-20")
    assert (yard.mass("find:microwave-1"), yard.mass("people")) == (held, 0)
    (line,) = yard.json("offers")["offers"]
    assert (line["listing"], line["asking"]) == ("microwave-1-offer-1", 45.0)
    assert yard.json("offers")["kinds"][0]["sold"] == 0  # what came back was not sold
    yard.run("take-down", "microwave-1", on="2026-03-22")
    assert yard.json("offers")["offers"] == []


def test_what_cannot_be_is_refused(yard: Yard) -> None:
    with pytest.raises(Refused, match="2 whole"):
        yard.run("list", "microwave-1", "--asking", "60", "--count", "2", on="2026-03-02")
    yard.run("list", "microwave-1", "--asking", "60", on="2026-03-02")
    with pytest.raises(Refused, match="on offer already"):
        yard.run("list", "microwave-1", "--asking", "60", on="2026-03-02")
    with pytest.raises(Refused, match="3 by microwave-1-offer-1"):
        yard.run("sell", "microwave-1-offer-1", "40", "--count", "3", on="2026-03-03")
    yard.run("sell", "microwave-1", "40", on="2026-03-03")
    with pytest.raises(Refused):
        yard.run("take-down", "microwave-1-offer-1", on="2026-03-04")
    with pytest.raises(Refused, match="nothing is left"):
        yard.run("list", "microwave-1", "--asking", "60", on="2026-03-04")
    with pytest.raises(Refused, match="2 back"):
        yard.run("return", "microwave-1", "--count", "2", on="2026-03-05")


def test_the_plan_does_not_offer_the_second_as_the_first(yard: Yard) -> None:
    """Somebody wants one microwave oven in about two months: the second of two on offer hardly sells."""
    plan = yard.json("plan")
    (first,) = [line for line in plan["parts"] if line["piece"] == "whole"]
    for n in (1, 2):
        yard.run("list", f"microwave-{n}", "--asking", "60", on="2026-03-02")
    with_two = yard.json("plan")
    chances = [line["chance"] for line in with_two["parts"] if line["piece"] == "whole"]
    assert all(chance < first["chance"] / first["units"] for chance in chances)
    waits = [line for line in with_two["kept"] if (line["because"] or {}).get("code") == "on-offer"]
    taken = [line for line in with_two["open"] if line["offer"]]
    assert sum(line["count"] for line in waits) + sum(line["times"] for line in taken if line["piece"] == "whole") == 2
    assert all("take it down" in line["note"] for line in taken if line["piece"] == "whole")


def test_a_part_out_of_a_bin_is_sold_from_the_bin(yard: Yard) -> None:
    yard.run("find", "bread-machine", "--mass", "5.5 kg", "--works", "no", on="2026-03-01")
    yard.run("bin", "motors", on="2026-03-01")
    yard.run("recount", "motors", "3 kg", on="2026-03-01")
    yard.run("list", "bread-machine-1", "--part", "motor", "--bin", "motors", "--asking", "12", on="2026-03-02")
    yard.run("sell", "bread-machine-1-offer-1", "10", "--mass", "900 g", on="2026-03-05")
    assert (yard.mass("bin:motors"), yard.mass("people")) == (2_100_000, 900_000)
    assert yard.mass("find:bread-machine-1") == 5_500_000


def test_the_forms_of_a_find_list_reprice_and_take_down(tmp_path: Path) -> None:
    with visitor(tmp_path / "app") as there:
        set_(there.book, there.context(), "currency", "CAD")
        finds.find(there.book, there.context(), KIND, works="yes")
        page, listed = f"/bench/{KIND}-1", {"list-asking": "60", "list-where": "the board"}
        assert there.fill(f"{page}/whole", f"{page}/list#list", **listed).status_code == 200
        (offer,) = resale(there.book).on_offer()
        assert (offer.find, str(offer.asking)) == (f"{KIND}-1", "60.00")
        there.fill(f"{page}/whole", f"{page}/reprice#reprice", **{"reprice-asking": "45"})
        assert [str(one.asking) for one in resale(there.book).on_offer()] == ["45.00"]
        there.fill(f"{page}/whole", f"{page}/take-down#take-down")
        assert not resale(there.book).on_offer()
