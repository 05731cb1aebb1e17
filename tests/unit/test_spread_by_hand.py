"""Draws of one find: what is drawn is balanced, answered and paid as by hand, and hangs on its own name alone.

Distributions are held by tests/properties/test_breakeven.py; these hold the arithmetic around the draws. Invented.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from partway.planning.depth import spread
from partway.planning.depth.spread import (
    DRAWS,
    SEED,
    answers,
    balanced,
    draw_named,
    drawn_terms,
    generator,
    prices,
    sizes,
)
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact
RANGE = Estimate(1.0, 2.0, 5.0)
N = 400


def scenario(anatomy: Anatomy, **changes: Any) -> Scenario:
    """One find of a kind; iron in a range, copper by mail at 9 less 0.50 of postage a kilogram, brass at nobody."""
    boards = Buyer("boards", "mail-in", shipping=(Postage(10.0, 5.0),), quotes=(Quote("copper", exact(9.0), DAY),))
    yard = Buyer("yard", "mail-in", quotes=(Quote("iron", RANGE, DAY),))
    it = Scenario(
        name="one find",
        currency="EUR",
        on=DAY,
        hours=Hours(1.0, 1.0, 10.0, 0),
        vehicle=None,
        buyers=(boards, yard),
        finds=(Find(anatomy.kind, 1, "yes"),),
        stock={"brass": 1.0},
        grades={name: Grade(name, name, "metal", exact(1.0)) for name in ("iron", "copper", "brass")},
        anatomies={anatomy.kind: anatomy},
        keep_factor=0.5,
    )
    return replace(it, **changes)


def motor(*, core: Estimate = RANGE, parts: tuple[Part, ...] = ()) -> Anatomy:
    """A motor of 4 kg that opens into two cores and a shell, or into one core and a lump that weighs the rest."""
    pieces = (
        Piece("whole", "motor", Estimate(3.0, 4.0, 7.0), (SaleAs("iron"),), parts),
        Piece("core", "core", core, (SaleAs("copper"),)),
        Piece("shell", "shell", Estimate(0.5, 1.0, 1.5), (SaleAs("iron"),)),
        Piece("lump", "lump", exact(0.2), (SaleAs("iron"),)),
    )
    return Anatomy(
        "motor",
        "motor",
        pieces,
        (
            Operation("open", "open", "whole", Estimate(3.0, 6.0, 9.0), (Gives("core", 2), Gives("shell"))),
            Operation("break", "break", "whole", exact(3.0), (Gives("core"), Gives("lump")), cost=0.5),
        ),
    )


def by_piece(instance: Instance) -> dict[str, int]:
    """The node of each piece."""
    return {node.piece.id: n for n, node in enumerate(instance.nodes)}


def test_seed_and_count_are_what_they_were() -> None:
    """Another seed or count would change every range that anybody was shown."""
    assert (SEED, DRAWS) == (20260314, 2000)


@pytest.mark.parametrize("n", [5, spread.FEW, spread.FEW + 1, DRAWS, DRAWS + 1])
def test_a_figure_is_drawn_alike_however_many_are_kept(n: int) -> None:
    """PERT's shape by NumPy's beta distribution: 1 + 4 (2 - 1) / 4 and 1 + 4 (5 - 2) / 4, from 1 to 5."""
    expected = 1.0 + 4.0 * generator(3, "mass", "motor").beta(2.0, 4.0, n)
    for _ in range(2):
        assert draw_named(RANGE, n, 3, "mass", "motor") == pytest.approx(expected)
    assert (draw_named(exact(2.0), n, 3, "mass", "motor") == 2.0).all() and len(draw_named(exact(2.0), n, 3)) == n
    assert not np.array_equal(draw_named(RANGE, n, 3, "mass", "fan"), draw_named(RANGE, n, 3, "mass", "motor"))
    assert not np.array_equal(draw_named(RANGE, n, 4, "mass", "motor"), draw_named(RANGE, n, 3, "mass", "motor"))


def test_what_comes_out_of_a_piece_adds_up_to_it_in_every_draw() -> None:
    """By the first operation cores and shell are stretched; by the second the core stays and the lump has the rest."""
    instance = build(scenario(motor()))
    size = sizes(instance, N, 7)
    at = by_piece(instance)
    kg = {id_: instance.nodes[n].kg * size[n] for id_, n in at.items()}
    two, one = (2 * instance.nodes[at["core"]].kg + 1.0, instance.nodes[at["core"]].kg + 0.2)
    assert 2 * kg["core"] + kg["shell"] == pytest.approx(size[at["whole"]] * two)
    rest = size[at["whole"]] * one - kg["core"]
    assert kg["lump"] == pytest.approx(np.maximum(rest, 0.0))
    drawn = draw_named(instance.nodes[at["whole"]].piece.mass, N, 7, "mass", "motor", "whole")
    assert size[at["whole"]] == pytest.approx(drawn / instance.nodes[at["whole"]].piece.mass.mean)


def test_no_piece_weighs_less_than_nothing() -> None:
    """A core three times as heavy as on average leaves nothing for the lump."""
    instance = build(scenario(motor()))
    at = by_piece(instance)
    factor = np.ones((len(instance.nodes), 2))
    factor[at["core"]] = 1.0, 40.0
    factor[at["shell"]] = 1.0, 0.0
    found = balanced(instance, factor.copy(), [1])
    assert found[at["core"]] == pytest.approx([1.0, 40.0 * (0.2 + instance.nodes[at["core"]].kg) /
                                               (40.0 * instance.nodes[at["core"]].kg + 0.2)])  # fmt: skip
    both = balanced(instance, factor.copy(), [0, 1])
    assert (both >= 0.0).all() and both[at["lump"]].min() == 0.0
    assert (balanced(instance, factor.copy(), []) == factor).all()


def test_what_was_weighed_or_has_no_range_is_as_heavy_as_it_is() -> None:
    instance = build(scenario(motor(core=exact(1.5)), finds=(Find("motor", 1, "yes", mass_kg=5.0),)))
    at = by_piece(instance)
    size = sizes(instance, N, 7)
    assert (size[at["whole"]] == 1.0).all()
    assert spread.relative_mass(instance, instance.nodes[at["core"]], 3, 7).tolist() == [1.0] * 3
    assert spread.relative_mass(instance, instance.nodes[at["shell"]], N, 7).std() > 0.0


def test_prices_are_net_and_what_nobody_quotes_has_none() -> None:
    instance = build(scenario(motor()))
    found = dict(zip(instance.grades, prices(instance, N, 7), strict=True))
    assert found["iron"] == pytest.approx(draw_named(RANGE, N, 7, "price", "iron"))
    assert (found["copper"] == 8.5).all() and (found["brass"] == 0.0).all()


def test_terms_are_what_was_drawn() -> None:
    instance = build(scenario(motor()))
    terms = drawn_terms(instance, N, 7)
    iron = instance.grades.index("iron")
    kept = 0.5 * RANGE.mean
    assert (terms.kept_per_kg[iron] == pytest.approx(kept)) and terms.kept_per_kg.shape == (len(instance.grades), N)
    assert terms.per_kg[iron] == pytest.approx(np.maximum(draw_named(RANGE, N, 7, "price", "iron"), kept))
    opened = draw_named(Estimate(3.0, 6.0, 9.0), N, 7, "minutes", "motor", "whole", "open") / 60.0
    assert terms.hours[0] == pytest.approx(opened) and (terms.hours[1] == 0.05).all()
    assert terms.size == pytest.approx(sizes(instance, N, 7)) and terms.wage == 10.0 and terms.reach is None


# --- questions ---------------------------------------------------------------------------------------


def asked() -> Instance:
    """A motor of which nobody knows whether it works; six in ten do."""
    part = Part(exact(30.0), 0.5, exact(5.0), needs="works", name="motor")
    it = motor(parts=(part,))
    it = replace(it, works=0.6, test_minutes=exact(2.0))
    return build(scenario(it, finds=(Find("motor", 1, "unknown"),)))


def test_each_draw_has_one_answer_as_often_as_its_share() -> None:
    instance = asked()
    there = answers(instance, 20_000, 7)
    at = by_piece(instance)
    works, fails = there[at["whole.works"]], there[at["whole.broken"]]
    assert set(np.unique(works).round(9)) == {0.0, round(1 / 0.6, 9)}
    assert set(np.unique(fails).round(9)) == {0.0, 2.5}
    assert ((works > 0.0) != (fails > 0.0)).all()
    assert [works.mean(), fails.mean()] == pytest.approx([1.0, 1.0], abs=0.02)
    for piece in ("core", "shell", "lump"):
        assert (there[at[f"whole.broken.{piece}"]] == fails).all()
        assert (there[at[piece]] == 1.0).all()
    assert (there[at["whole"]] == 1.0).all()


def test_what_is_behind_an_answer_counts_only_where_it_is_the_answer() -> None:
    instance = asked()
    terms = drawn_terms(instance, N, 7)
    there = answers(instance, N, 7)
    for o, opening in enumerate(instance.openings):
        assert ((terms.hours[o] > 0.0) == (there[opening.node] > 0.0)).all()
    for p, sale in enumerate(instance.part_sales):
        assert ((terms.income[p] != 0.0) <= (there[sale.node] > 0.0)).all()
    fails = by_piece(instance)["whole.broken"]
    assert terms.size[fails] == pytest.approx(there[fails] * sizes(instance, N, 7)[fails])


# --- luck --------------------------------------------------------------------------------------------


def sold(**part: Any) -> tuple[Instance, np.ndarray]:
    """What one unit of a part brings in many draws."""
    it = Part(**{"price": exact(30.0), "chance": 0.5, "minutes": exact(5.0), "name": "motor", **part})
    instance = build(scenario(motor(parts=(it,))))
    return instance, drawn_terms(instance, 20_000, 7).income[0]


def test_a_part_sells_or_it_does_not() -> None:
    """30 less a tenth and 2 of postage is 25, in half of the draws."""
    _, income = sold(fee=0.1, postage=2.0)
    assert set(np.unique(income).round(9)) == {0.0, 25.0}
    assert income.mean() == pytest.approx(12.5, abs=0.2)


def test_what_it_sells_for_varies_less_the_fee() -> None:
    price = Estimate(20.0, 30.0, 70.0)
    instance, income = sold(price=price, fee=0.1, postage=2.0)
    drawn = draw_named(price, 20_000, 7, "resale", "motor", "whole", "0")
    got = income[income != 0.0]
    assert got == pytest.approx((drawn * 0.9 - 2.0)[income != 0.0])
    assert income.mean() == pytest.approx(instance.part_sales[0].income, abs=0.3)
    assert (income != 0.0).mean() == pytest.approx(0.5, abs=0.02)


def test_what_never_sells_brings_nothing_and_what_always_does_always() -> None:
    assert (sold(chance=0.0)[1] == 0.0).all()
    assert sold(chance=1.0)[1] == pytest.approx(np.full(20_000, 30.0))
