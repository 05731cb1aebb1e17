"""A figure of an instance that is not that of its scenario is found, whichever it is and however little it is off.

Worked out by hand from the formulas of docs/model.md and docs/scenario.md; no outside source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from planned import DAY, exact, quote, rich_scenario

from partway.errors import PlanUnsound
from partway.planning.check.figures import check_figures
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Quote, Scenario


def scenario() -> Scenario:
    """Six pumps, two of them weighed and of these one that works; residue costs to be rid of."""
    grades = [
        Grade("copper-2", "copper", "copper", exact(1.0), ("copper-light",)),
        Grade("copper-light", "light copper", "copper", exact(1.0)),
        Grade("iron", "iron", "ferrous", exact(0.5)),
        Grade("residue", "residue", "residue", exact(0.2)),
    ]
    used = Part(exact(30.0), 0.5, Estimate(5.0, 10.0, 27.0), fee=0.1, postage=4.0, needs="works")
    spare = Part(exact(2.0), 0.8, exact(6.0), "spare", postage=0.5, in_copper=True)
    pieces = (
        Piece("whole", "pump", Estimate(3.0, 4.0, 8.0), (SaleAs("iron", 0.9),), (used,)),
        Piece("coil", "coil", exact(1.0), (SaleAs("copper-light", 0.75), SaleAs("iron", 0.5)), (spare,)),
        Piece("case", "case", exact(3.0), (SaleAs("iron"),)),
    )
    opens = Operation("open", "open", "whole", Estimate(4.0, 6.0, 14.0), (Gives("coil"), Gives("case")))
    quotes = (quote("copper-2", 5.0), Quote("copper-light", Estimate(3.0, 6.0, 9.0), DAY), quote("iron", 0.4))
    buyers = (
        Buyer("yard", "yard", km=5.0, quotes=quotes),
        Buyer("tip", "tip", km=3.0, quotes=(quote("residue", -0.1),)),
    )
    return replace(
        rich_scenario(),
        buyers=buyers,
        finds=(Find("pump", 4, "no"), Find("pump", 1, "no", 8.0), Find("pump", 1, "yes", 9.0)),
        stock={"copper-2": 1.0, "copper-light": 3.0, "iron": 2.0},
        grades={grade.id: grade for grade in grades},
        anatomies={"pump": Anatomy("pump", "pump", pieces, (opens,))},
        roads=(),
        keep_factor=0.5,
    )


@cache
def built() -> Instance:
    return build(scenario())


def test_the_figures_are_these() -> None:
    """PERT means: the pump 4.5 kg, light copper 6, opening 7 minutes, selling the used one 12."""
    it = built()
    check_figures(it)
    whole = [node for node in it.nodes if node.piece.id == "whole"]
    assert [node.kg for node in whole] == pytest.approx([4.5, 8.0, 9.0])
    assert [group.scale for group in it.groups] == pytest.approx([1.0, 8.0 / 4.5, 2.0])
    assert dict(zip(it.grades, it.kept_price, strict=True)) == pytest.approx(
        {"copper-2": 3.0, "copper-light": 3.0, "iron": 0.2, "residue": -0.05}
    )
    assert whole[2].kept_value == pytest.approx(9.0 * (0.9 * 0.2 - 0.1 * 0.05))
    coil = next(node for node in it.nodes if node.piece.id == "coil")
    assert coil.kept_value == pytest.approx(0.75 * 3.0 - 0.25 * 0.05)
    (used,) = [sale for sale in it.part_sales if not sale.part.name]
    assert (used.income, used.hours) == pytest.approx((0.5 * (30.0 * 0.9 - 4.0), 0.2))
    assert used.unsold_value == pytest.approx(0.5 * whole[2].kept_value)
    spare = next(sale for sale in it.part_sales if sale.part.name)
    assert (spare.unit, spare.income, spare.hours) == pytest.approx((6.0, 0.8 * 6.0 * 1.5, 0.1))
    assert it.openings[0].hours == pytest.approx(7.0 / 60.0)


TABLES: dict[str, tuple[str, ...]] = {
    "nodes": ("kg", "kept_value"),
    "grade_sales": ("kg", "residue_kg"),
    "openings": ("hours",),
    "part_sales": ("unit", "income", "unsold_value", "hours", "chance"),
    "groups": ("scale",),
}
FIELDS = [
    (table, n, name) for table, names in TABLES.items() for n in range(len(getattr(built(), table))) for name in names
]


def to(figure: int) -> Callable[[Any], int]:
    """A change to this figure, whatever it was."""
    return lambda _: figure


def off(it: Instance, table: str, n: int, name: str, change: Callable[[Any], Any]) -> Instance:
    """The instance with one figure changed."""
    rows = getattr(it, table)
    row = replace(rows[n], **{name: change(getattr(rows[n], name))})
    changes: dict[str, Any] = {table: (*rows[:n], row, *rows[n + 1 :])}
    return replace(it, **changes)


@pytest.mark.parametrize(("table", "n", "name"), FIELDS)
@pytest.mark.parametrize("by", [-1.0, 1.0])
def test_a_figure_that_is_off_by_a_hundred_millionth_is_found(table: str, n: int, name: str, by: float) -> None:
    it = built()
    with pytest.raises(PlanUnsound, match="failed its own check"):
        check_figures(off(it, table, n, name, lambda figure: figure + by * 1e-8 * max(1.0, abs(figure))))
    check_figures(off(it, table, n, name, lambda figure: figure * (1.0 + by * 1e-10)))


@pytest.mark.parametrize("by", [-1, 1])
def test_a_find_too_many_and_one_too_few_are_found(by: int) -> None:
    it = built()
    (n, *_) = [n for n, node in enumerate(it.nodes) if node.found]
    with pytest.raises(PlanUnsound, match="the number of finds of pump is"):
        check_figures(off(it, "nodes", n, "found", lambda found: found + by))


@pytest.mark.parametrize("name", ["kept_price", "stock"])
@pytest.mark.parametrize("g", range(4))
def test_a_price_to_keep_or_a_stock_that_is_off_is_found(name: str, g: int) -> None:
    it = built()
    figures = getattr(it, name)
    for by in (-1e-8, 1e-8):
        changes: dict[str, Any] = {name: (*figures[:g], figures[g] + by, *figures[g + 1 :])}
        changed = replace(it, **changes)
        with pytest.raises(
            PlanUnsound, match=f"the {'keep price' if name == 'kept_price' else 'stock'} of {it.grades[g]}"
        ):
            check_figures(changed)


def test_a_part_for_finds_that_work_is_not_sold_of_one_that_does_not() -> None:
    it = built()
    p = next(p for p, sale in enumerate(it.part_sales) if not sale.part.name)
    broken = next(
        n for n, node in enumerate(it.nodes) if node.piece.id == "whole" and it.groups[node.group].scale == 1.0
    )
    changed = off(it, "part_sales", p, "node", lambda _: broken)
    changed = off(changed, "part_sales", p, "unsold_value", lambda _: 0.5 * it.nodes[broken].kept_value)
    with pytest.raises(PlanUnsound, match="whole may not be sold as that part"):
        check_figures(changed)


def test_a_part_of_another_piece_is_not_sold() -> None:
    it = built()
    p = next(p for p, sale in enumerate(it.part_sales) if sale.part.name)
    case = next(n for n, node in enumerate(it.nodes) if node.piece.id == "case")
    changed = off(it, "part_sales", p, "node", lambda _: case)
    changed = off(changed, "part_sales", p, "unsold_value", lambda _: 0.2 * it.nodes[case].kept_value)
    with pytest.raises(PlanUnsound, match="case may not be sold as that part"):
        check_figures(changed)


def test_a_piece_is_not_sold_as_a_grade_that_is_none_of_its_own() -> None:
    it = built()
    s = next(s for s, sale in enumerate(it.grade_sales) if it.nodes[sale.node].piece.id == "case")
    for g, grade in enumerate(it.grades):
        if grade != "iron":
            with pytest.raises(PlanUnsound, match="case does not sell so"):
                check_figures(off(it, "grade_sales", s, "grade", to(g)))


def test_where_residue_is_no_grade_what_is_lost_is_worth_nothing() -> None:
    known = {name: grade for name, grade in scenario().grades.items() if name != "residue"}
    it = build(replace(scenario(), grades=known, buyers=scenario().buyers[:1]))
    check_figures(it)
    whole = next(node for node in it.nodes if node.piece.id == "whole")
    assert whole.kept_value == pytest.approx(4.5 * 0.9 * 0.2)
