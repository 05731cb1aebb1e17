"""Each caution card is needed by something, and whatever needs it stands under it before the work begins.

What names a hazard is walked from the catalogue (grades, kinds, components, pieces, operations, the test key), the
calculators and the checks; no list of cards stands here. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest
from click.testing import CliRunner
from named_hazards import kinds, missing

from partway.catalogue import shipped
from partway.catalogue.checks.anatomy import anatomy_flaws, grade_flaws
from partway.catalogue.checks.graph import Flaw
from partway.catalogue.checks.work import FLYING_CARD
from partway.catalogue.key.checks import key_flaws
from partway.catalogue.named import hazards_of_piece, names
from partway.cli.app import cli
from partway.reports.calculators.own_cautions import COMMANDS

GRADES = shipped().grades


@cache
def needed() -> dict[str, str]:
    """Every hazard that something names, with the first that does."""
    found: dict[str, str] = {}
    for hazard, by in _naming():
        found.setdefault(hazard, by)
    return found


def _naming() -> Iterator[tuple[str, str]]:
    for one in names(shipped()):
        yield from ((hazard, f"{one.what} {one.of} {one.id}") for hazard in one.hazards)
    for test in shipped().key.tests.values():
        yield from ((hazard, f"test {test.id}") for hazard in test.cautions)
    for material in shipped().key.materials.values():
        yield from ((hazard, f"material {material.id}") for hazard in material.cautions)
    for command, hazards in COMMANDS.items():
        yield from ((hazard, f"command {command}") for hazard in hazards)
    yield FLYING_CARD, "check of work that strikes"


@pytest.mark.parametrize("hazard", sorted(needed()))
def test_what_needs_a_card_has_it(hazard: str) -> None:
    """Remove any card, and this fails for it and says what needs it."""
    card = shipped().cautions.get(hazard)
    assert card is not None, f"{needed()[hazard]} names it"
    assert card.first and card.never and card.hurts


@pytest.mark.parametrize("hazard", sorted(shipped().cautions))
def test_every_card_is_reached_from_something(hazard: str) -> None:
    assert hazard in needed()


@pytest.mark.parametrize("hazard", sorted(needed()))
def test_the_checks_notice_that_a_card_is_gone(hazard: str) -> None:
    """Where a file of the catalogue names the hazard; of calculators their own tests notice."""
    flaws = list(_flaws_without(hazard))
    by_files = any(f'"{hazard}"' in flaw.given for flaw in flaws)
    assert by_files or needed()[hazard].startswith("command ")


def _flaws_without(hazard: str) -> Iterator[Flaw]:
    left = {name: card for name, card in shipped().cautions.items() if name != hazard}
    yield from grade_flaws(GRADES, left)
    yield from key_flaws(shipped().key, GRADES, left, shipped().sources)
    for shelf in (shipped().shelf, shipped().component):
        for name in shelf.names:
            yield from anatomy_flaws(shelf(name), GRADES, left)


# --- before the work --------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", shipped().kinds)
def test_what_an_operation_gives_has_its_card_over_the_operation(kind: str) -> None:
    """Whatever can hurt about a piece stands on the kind or on the operation that lays it bare, not on a later one."""
    anatomy = shipped().anatomy(kind)
    bare = [
        (op.id, gives.piece, hazard)
        for op in anatomy.operations
        if not op.asks  # a look takes nothing out
        for gives in op.gives
        for hazard in hazards_of_piece(anatomy.piece(gives.piece), GRADES)
        if hazard not in {*anatomy.cautions, *op.cautions}
    ]
    assert bare == []


def test_a_hazard_laid_bare_without_its_card_is_noticed() -> None:
    """The check above can fail: the capacitor of a microwave oven under an operation that does not name it."""
    anatomy = shipped().anatomy("microwave")
    bare = replace(anatomy, cautions=(), operations=tuple(replace(op, cautions=()) for op in anatomy.operations))
    laid = {h for op in bare.operations for g in op.gives for h in hazards_of_piece(bare.piece(g.piece), GRADES)}
    assert "hv-capacitor" in laid


@pytest.fixture(scope="module")
def week(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("week") / "week.toml"
    done = CliRunner().invoke(cli, ["demo", "--save", str(path)], prog_name="partway")
    assert done.exit_code == 0
    return str(path)


@pytest.mark.parametrize(("kind", "hazards"), list(kinds()))
def test_in_depth_every_card_stands_before_the_first_operation(kind: str, hazards: tuple[str, ...], week: str) -> None:
    """The first block of the page has every card; every operation, its money and its minutes come after it."""
    arguments = ["depth", "--scenario", week, "--kind", kind]
    page = CliRunner().invoke(cli, arguments, prog_name="partway", catch_exceptions=False).stdout
    cards, _, rest = page.partition("\n\n")
    assert cards.startswith("FIRST: WHAT CAN HURT") and missing(cards, hazards) == []
    assert "WHAT CAN HURT" not in rest and shipped().anatomy(kind).name in rest
