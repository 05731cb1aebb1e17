"""Which kinds a ledger knows: those that ship, and somebody's own before them."""

from __future__ import annotations

from dataclasses import replace

from partway.catalogue import shipped
from partway.ledger.memory import MemoryBook
from partway.valuing.known import catalogue_of, estimates_of


def test_a_ledger_without_kinds_of_its_own_knows_what_ships() -> None:
    known = catalogue_of(MemoryBook())
    assert (known.kinds, known.grades, known.own) == (shipped().kinds, shipped().grades, {})
    assert known.anatomy("fan") is shipped().anatomy("fan")
    assert estimates_of(MemoryBook()) == shipped()


def test_an_own_kind_is_known_besides_what_ships_and_in_the_place_of_one() -> None:
    fan = shipped().anatomy("fan")
    mine, better = replace(fan, kind="desk-toy"), replace(fan, name="My fan")
    known = shipped().with_own({"desk-toy": mine, "fan": better})
    assert known.kinds == tuple(sorted({*shipped().kinds, "desk-toy"}))
    assert known.knows("desk-toy")
    assert not shipped().knows("desk-toy")
    assert known.anatomy("desk-toy") == mine
    assert known.anatomy("fan") == better
    assert known.anatomy("microwave") is shipped().anatomy("microwave")
    assert {one.kind for one in known.all_anatomies()} == set(known.kinds)
    assert "desk-toy" in known.where("desk-toy")
    assert shipped().where("fan") == "kinds/fan.toml"
