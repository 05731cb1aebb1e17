"""Trying everything, third part: more than each choice can bring, so that most need not be looked at (see brute)."""

from __future__ import annotations

import itertools
import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from brute_pieces import SLACK
from brute_selling import Choice
from numpy.typing import NDArray

from partway.things.scenario import Scenario

Floats = NDArray[np.float64]
AT_ONCE = 500_000  # bounds in one array


def unlike(choices: Sequence[Choice]) -> list[Choice]:
    """Without those that differ from another one only in costing more, or in which of two alike trips is the first."""
    best: dict[Hashable, Choice] = {}
    for choice in choices:
        trips: list[list[int]] = [[] for _ in range(choice.trips)]
        posted: list[int] = []
        for lot in choice.lots:
            (posted if lot.trip is None else trips[lot.trip]).append(id(lot.step))
        each = tuple(sorted(tuple(sorted(trip)) for trip in trips))
        key = (each, tuple(posted), tuple(choice.room.items()), tuple(choice.sizes.items()))
        if key not in best or choice.cost < best[key].cost:
            best[key] = choice
    return list(best.values())


@dataclass(frozen=True)
class Bounds:
    """What no plan goes beyond, by how the pieces end; `money` is that of an end, `masses` its kilograms by grade."""

    scenario: Scenario
    grades: list[str]
    money: Floats
    masses: Floats
    kept: Floats  # what a kilogram of each grade counts for in the shed
    becomes: NDArray[np.bool_]  # [i, j]: whether grade i may be sold as grade j

    def highest(self, choices: Sequence[Choice]) -> Floats:
        """The highest bound of each choice over all ends, in arrays of a size that memory has room for."""
        step = max(1, AT_ONCE // max(1, len(self.money)))
        starts = range(0, len(choices), step)
        return np.concatenate([self.of(choices[i : i + step]).max(axis=1) for i in starts])

    def of(self, choices: Sequence[Choice]) -> Floats:
        """For every choice and every end, more than they can bring: each kilogram at its best price, limits apart.

        Of all limits it keeps the payload (filled with whatever gains most over keeping or posting),
        the room in the parcels, and that a lower end needs as much material as it says.
        """
        money = self.money - np.array([[choice.cost] for choice in choices])
        if not self.grades:
            return np.asarray(money)
        kept = np.where(self.becomes, self.kept, -np.inf).max(axis=1)
        posted, driven, need = self.best_prices(choices)
        vehicle = self.scenario.vehicle
        load = np.array([math.inf if vehicle is None else vehicle.payload_kg * choice.trips for choice in choices])
        room = np.array([sum(choice.room.values()) for choice in choices])
        shut = np.maximum(kept, posted)  # parcels without limit, loads with
        either = shut @ self.masses.T + self.filled(driven - shut, load)
        apart = self.masses @ kept + self.filled(driven - kept, load) + self.filled(posted - kept, room)
        most = self.masses @ self.becomes  # kg that may be sold as each grade
        possible = (most >= need[:, None, :] - SLACK).all(axis=2)
        return np.where(possible, money + np.minimum(either, apart), -np.inf)

    def best_prices(self, choices: Sequence[Choice]) -> tuple[Floats, Floats, Floats]:
        """For every choice and grade: the best price by post, the best driven to, and kilograms that its lots need."""
        place = {grade: j for j, grade in enumerate(self.grades)}
        posted, driven = (np.full((len(choices), len(place)), -np.inf) for _ in range(2))
        need = np.zeros((len(choices), len(place)))
        for c, choice in enumerate(choices):
            for lot in choice.lots:
                j, prices = place[lot.step.grade], posted if lot.trip is None else driven
                need[c, j] += lot.step.low
                prices[c, j] = max(prices[c, j], lot.step.price)
        # A kilogram has the best price of all that it may be sold as.
        posted, driven = (np.where(self.becomes, it[:, None, :], -np.inf).max(axis=2) for it in (posted, driven))
        return posted, driven, need

    def filled(self, gain: Floats, room: Floats) -> Floats:
        """For every choice and every end, the most gained by moving `room` kg, the most gainful kilograms first."""
        every = np.arange(len(gain))
        total, left = np.zeros((len(gain), len(self.masses))), np.repeat(room[:, None], len(self.masses), axis=1)
        for g in np.argsort(-gain, axis=1).T:
            more = np.maximum(gain[every, g], 0.0)[:, None]
            if not more.any():
                break
            moved = np.where(more > 0.0, np.minimum(left, self.masses.T[g]), 0.0)
            total += more * moved
            left -= moved
        return total

    @cached_property
    def sets(self) -> NDArray[np.bool_]:
        """Every set of grades, one a row."""
        return np.array(list(itertools.product([False, True], repeat=len(self.grades))), dtype=bool)

    @cached_property
    def sources(self) -> NDArray[np.bool_]:
        """For every set of grades those that may be sold as one of them."""
        return np.asarray(np.any(self.sets[:, None, :] & self.becomes, axis=2), dtype=bool)

    def suffice(self, masses: Floats, need: Floats) -> bool:
        """Whether material is enough for what each grade has to have: Hall's condition, that of every set of grades."""
        return bool((self.sources @ masses >= self.sets @ need - SLACK).all())
