"""A ledger that names an operation and pieces which the catalogue has no more: everything opens, nothing is guessed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, visitor

from partway.actions.bench import finds, opening, selling
from partway.actions.home import settings
from partway.actions.recording.context import record
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.events import kinds as p
from partway.ledger.fold import standing

PAGES = ("/", "/bench", "/bench/water-heater-1", "/bins", "/books", "/books/ledger", "/haul", "/curb/water-heater")


@pytest.fixture
def old(tmp_path: Path) -> Iterator[Visitor]:
    """A water heater of which the jacket was peeled off, as the catalogue had it before foam was left alone."""
    with visitor(tmp_path) as v:
        book, context = v.book, v.context()
        settings.set_(book, context, "currency", "CAD")
        finds.find(book, context, "water-heater", mass="45 kg")
        jacket = p.PieceOut("jacket", 1, "light-iron", "light-iron", 9_000_000)
        runs = (p.Run("whole", "fittings", 1), p.Run("tank", "peel", 1))
        peeled = p.Opened("water-heater-1", (jacket,), 45_000_000, runs, 50, closes=False)
        record(book, context, [p.Binned("light-iron", "light-iron"), peeled], None)
        yield v


def test_the_catalogue_has_them_no_more() -> None:
    anatomy = shipped().anatomy("water-heater")
    assert "peel" not in {operation.id for operation in anatomy.operations}
    assert "jacket" not in {piece.id for piece in anatomy.pieces}


@pytest.mark.parametrize("page", PAGES)
def test_every_page_opens(old: Visitor, page: str) -> None:
    assert old.client.get(page).status_code == 200


def test_what_is_left_is_asked_for_and_not_guessed(old: Visitor) -> None:
    book, context = old.book, old.context()
    with pytest.raises(Refused, match="missing"):
        opening.open_up(book, context, "water-heater-1", operations=["fittings"])
    selling.discard(book, context, "water-heater-1")
    assert standing.find(book, "water-heater-1").closed
