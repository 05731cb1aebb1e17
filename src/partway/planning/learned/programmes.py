"""The programmes of an instance, each made when it is asked for, out of those of other prices where they are the same.

Prices enter a programme by its objective alone (`model/costs`). Where an instance allows what another one allows,
number by number, its programmes have the same columns and rows, and only what a column is worth is worked out anew.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from partway.planning.instance.blocks import rides
from partway.planning.instance.counted import counted_by
from partway.planning.instance.frozen import Instance, Lot, Node, PartSale
from partway.planning.model.costs import costs
from partway.planning.model.highs import Basis
from partway.planning.model.linear import Linear
from partway.planning.model.matrix import Rowwise
from partway.planning.model.milp import Model, formulate
from partway.planning.model.pooled import Pooled, pool


@dataclass(frozen=True)
class Root:
    """What a search began with: its programme, and the pooled one with the rows that it had once its root was solved.

    `rows` are those it had before any was added; `basis` is where the simplex method ended. `seal` is of all figures of
    the rows and bounds: what was changed since is not believed.
    """

    model: Model = field(repr=False)
    pooled: Pooled = field(repr=False)
    rows: int
    basis: Basis = field(repr=False)
    seal: int

    @classmethod
    def of(cls, model: Model, pooled: Pooled, rows: int, solved: int, basis: Basis) -> Root:
        """Of a pooled programme that may have got rows since; `solved` is how many it had at its root."""
        linear = pooled.linear.first(solved)
        return cls(model, replace(pooled, linear=linear), rows, basis, _seal(linear))

    @property
    def sound(self) -> bool:
        """Whether its rows and bounds are as they were when it was made."""
        return self.seal == _seal(self.pooled.linear)


class Programmes:
    """Of one instance: the whole one, the `loose` one in which whole pieces may be cut, and that with trips pooled."""

    def __init__(self, instance: Instance, packed: frozenset[int] = frozenset(), known: Root | None = None) -> None:
        """`known` is of the same scenario at other prices. For buyers in `packed` parcels are filled one by one."""
        same = known is not None and not packed and same_but_prices(known.model, instance)
        self.known = known if same else None
        self.instance, self.packed = instance, packed
        self.model = formulate(instance, packed=packed) if self.known is None else _at(self.known.model, instance)

    @cached_property
    def loose(self) -> Model:
        """The same as the whole one where nothing is loaded whole."""
        if not self.model.columns.blocks:
            return self.model
        if self.known is not None:
            return _at(self.known.pooled.model, self.instance)
        return formulate(self.instance, loose=True, known=self.model.rides)

    def pooled(self) -> Pooled:
        """The loose programme with its trips pooled, made anew each time: a search adds rows to it."""
        if self.known is None:
            return pool(self.loose)
        like = self.known.pooled
        linear = like.linear.first(self.known.rows).at_costs(pooled_costs(like, self.loose.linear.objective))
        return replace(like, model=self.loose, linear=linear)


def _seal(linear: Linear) -> int:
    """Of the rows themselves, not of the arrays that were made of them."""
    made = Rowwise.of(linear.rows)
    sides = np.array([*linear.lower, *linear.upper, *linear.row_lower, *linear.row_upper], dtype=float)
    return zlib.crc32(b"".join(there.tobytes() for there in (made.starts, made.columns, made.values, sides)))


def pooled_costs(pooled: Pooled, objective: list[float]) -> list[float]:
    """The objective of a pooled programme, by that of the programme it is pooled of."""
    found = [0.0] * len(pooled.linear.names)
    for column, money in zip(pooled.column, objective, strict=True):
        found[column] = money  # equal over the trips
    return found


def _at(model: Model, instance: Instance) -> Model:
    objective = costs(instance, model.columns, len(model.linear.names))
    return replace(model, instance=instance, linear=model.linear.at_costs(objective))


def same_but_prices(model: Model, instance: Instance) -> bool:
    """Whether the programme of an instance would have the columns and rows of another one's, by all that it is made of.

    Of the scenario everything is taken to be the same but prices, the wage and notes (`LearnedSearch.fits`).
    """
    one = model.instance
    lots = [_lot(one, lot) for lot in one.lots] == [_lot(instance, lot) for lot in instance.lots]
    return lots and same_pieces(one, instance) and model.rides == rides(instance)


def same_pieces(one: Instance, other: Instance) -> bool:
    """Whether two instances have the same pieces, grades, tours and buyers by the same numbers, whatever the prices."""
    if any(a != b for a, b in zip(_numbers(one), _numbers(other), strict=True)):
        return False
    nodes = all(map(_same_node, one.nodes, other.nodes))
    return nodes and all(map(_same_part, one.part_sales, other.part_sales))


def _numbers(instance: Instance) -> Iterator[object]:
    yield from (len(instance.nodes), len(instance.part_sales))
    yield from (instance.grades, instance.stock, instance.supply, instance.litres_per_kg, instance.downgrades)
    yield from (instance.residue, instance.caps, instance.stops, instance.opening, instance.tours)
    yield None if instance.roads is None else instance.roads.uniform
    yield from (instance.openings, instance.grade_sales, instance.groups)


def _same_node(one: Node, other: Node) -> bool:
    """Whether a piece is there as often; what it is worth kept is a price, that it is on offer at all is none."""
    there = (one.piece, one.kg, one.found, one.most) == (other.piece, other.kg, other.found, other.most)
    return one is other or (there and bool(one.offered) == bool(other.offered) and one.group == other.group)


def _same_part(one: PartSale, other: PartSale) -> bool:
    same = (one.node, one.part, one.hours, one.step) == (other.node, other.part, other.hours, other.step)
    return one is other or same


def _lot(instance: Instance, lot: Lot) -> object:
    """All that a programme has of a lot but its prices; whether a tier pays at all decides who has a ticket."""
    counted = counted_by(lot)
    pieces = None if counted is None else (counted.piece_kg, counted.most_pieces)
    paid = bool(instance.buyers[lot.buyer].ticket_fee)
    return lot.buyer, lot.grade, pieces, tuple((it.low, it.high, paid and it.price > 0.0) for it in lot.tiers)
