"""Each yes and no of a pooled point on the trip that stops there, by hand. The rules are ours (docs/decisions/0025)."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np

from partway.planning.model.columns import Columns
from partway.planning.model.milp import MAIL
from partway.planning.model.same_choices import same_choices

NO, YES = (0.0, 0.0), (1.0, 1.0)


def test_lots_go_with_the_one_trip_that_stops_there_and_stay_open_where_two_do() -> None:
    """Two trips: to buyer 0 the second, to buyer 1 both, to buyer 2 none, to buyer 3 by mail."""
    lots = [SimpleNamespace(buyer=b) for b in range(4)]
    taken = {(0, 0, 0): 0, (0, 0, 1): 1, (0, 1, 1): 2, (1, 0, 0): 3, (1, 0, 1): 4, (2, 0, 0): 5, (3, 0, MAIL): 6}
    visits = {(0, 0): 7, (0, 1): 8, (1, 0): 9, (1, 1): 10, (2, 0): 11, (3, MAIL): 12}
    columns = Columns(lot_taken=taken, visits=visits, tickets={(0, 1): 13, (1, 1): 14}, parcels={(3, 0): 15})
    model: Any = SimpleNamespace(columns=columns, instance=SimpleNamespace(lots=lots))
    theirs = Columns(
        lot_taken={(0, 0, 0): 0, (0, 1, 0): 1, (1, 0, 0): 2, (2, 0, 0): 3, (3, 0, MAIL): 4},
        visits={(3, MAIL): 5},
        tickets={(0, 0): 6, (1, 0): 7},
        parcels={(3, 0): 8},
    )
    pooled: Any = SimpleNamespace(model=SimpleNamespace(columns=theirs), column=list(range(9)))
    x = np.array([1e-8, 1.0 - 1e-8, 1.0, 1.0, 1.0, 2.0, 1.0, 1.0, 3.0])
    tours = {7: NO, 8: YES, 9: YES, 10: YES, 11: NO}
    assert same_choices(model, pooled, x, tours) == {
        1: NO, 2: YES,  # buyer 0, on the second trip
        6: YES, 12: (2.0, 2.0), 15: (3.0, 3.0),  # by mail
        13: YES,  # the ticket of buyer 0
    }  # fmt: skip
