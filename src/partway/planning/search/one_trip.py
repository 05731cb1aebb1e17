"""The best plan of one trip, used as a plan of several, so that allowing more trips never gives a worse plan."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from partway.planning.model.columns import Columns
from partway.planning.model.milp import Model, formulate
from partway.planning.search.cut_search import Better


def with_one_trip(model: Model) -> Model:
    """The programme of the same instance with one trip."""
    scenario = model.instance.scenario
    hours = replace(scenario.hours, trips=1)
    return formulate(replace(model.instance, scenario=replace(scenario, hours=hours)), packed=model.packed)


def widened(better: Better, one: Model, model: Model) -> Better:
    """A plan of one trip as a point of the programme of all trips; the other trips stay at home."""
    x, fixed, toured = better
    column = _same_columns(one.columns, model.columns)
    wide = np.zeros(len(model.linear.names))
    for c, like in column.items():
        wide[like] = x[c]
    home = [c for (_, k), c in model.columns.visits.items() if k > 0]
    home += [c for driving in (model.columns.tour_money, model.columns.tour_hours) for k, c in driving.items() if k]
    bounds = {column[c]: bound for c, bound in fixed.items()} | dict.fromkeys(home, (0.0, 0.0))
    return wide, bounds, {**dict.fromkeys(model.columns.tour_money), **toured}


def _same_columns(one: Columns, columns: Columns) -> dict[int, int]:
    """Maps each column of the one-trip programme to the column of the same decision with several trips."""
    found: dict[int, int] = {}
    for kind in fields(Columns):
        if kind.name != "single":  # a sale, not a column
            mine, theirs = getattr(one, kind.name), getattr(columns, kind.name)
            found |= {c: theirs[key] for key, c in mine.items()}
    return found
