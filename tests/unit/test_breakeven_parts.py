"""What a part priced in copper brings at other prices of copper, also of pieces that only some finds have: by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from graphs import DAY, KIND, scenario

from partway.planning.depth.breakeven import Breakevens
from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote

exact = Estimate.exact


def motors(share: float) -> Instance:
    """A motor with a pump that so many finds have: half of the pumps sell, for the price of 3 kg of copper, others for
    2.00. Copper is quoted at 8.00 and motors at 1.00.
    """
    parts = (
        Part(exact(3.0), 0.5, exact(0.0), name="pump", in_copper=True),
        Part(exact(2.0), 1.0, exact(0.0), name="pump for currency"),
    )
    pieces = (
        Piece("motor", "motor", exact(1.0), (SaleAs("motors"),)),
        Piece("pump", "pump", exact(0.5), (SaleAs("copper-2"),), parts),
    )
    opened = Operation("open", "open", "motor", exact(6.0), (Gives("pump"),), loss=0.5)
    quotes = tuple(Quote(g, exact(p), DAY) for g, p in (("copper-2", 8.0), ("motors", 1.0)))
    instance = build(
        replace(
            scenario(0),
            hours=Hours(9.0, 9.0, 10.0),
            buyers=(Buyer("harbour yard", "yard", km=1.0, quotes=quotes),),
            finds=(Find(KIND, 1, "no"),),
            grades={g: Grade(g, g, "family", exact(1.0)) for g in ("copper-2", "motors")},
            anatomies={KIND: Anatomy(KIND, KIND, pieces, (opened,))},
        )
    )
    nodes = tuple(replace(n, piece=replace(n.piece, share=share if n.piece.parts else 1.0)) for n in instance.nodes)
    return replace(instance, nodes=nodes)


@pytest.mark.parametrize("share", [1.0, 0.4])
@pytest.mark.parametrize("price", [8.0, 5.0, 20.0])
def test_a_part_priced_in_copper_brings_its_share_of_what_it_sells_for(share: float, price: float) -> None:
    """Half of 3 kg is 1.5 kg of copper for each pump there is; what is priced in currency stays as it is."""
    instance = motors(share)
    programme, terms = Programme(instance), DepthTerms.expected(instance, 10.0)
    income = np.asarray(Breakevens(programme, terms, programme.values(terms)).by_price("copper-2").terms.income)
    found = {instance.part_sales[p].part.name: income[p, 0].at(price) for p in range(len(instance.part_sales))}
    assert found["pump"] == pytest.approx(1.5 * share * price)
    currency = next(p for p, sale in enumerate(instance.part_sales) if not sale.part.in_copper)
    assert found["pump for currency"] == pytest.approx(float(terms.income[currency, 0]))
