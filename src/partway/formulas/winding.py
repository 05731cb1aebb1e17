"""Motors and transformers: open one, or sell it as it is."""

from __future__ import annotations

from dataclasses import dataclass

from partway.formulas.checked import above_zero, at_least_zero, finite, within


@dataclass(frozen=True, slots=True)
class Wound:
    """A motor or transformer.

    `mass`: kg. `copper_share`, `iron_share`: of the mass, the rest is residue. `minutes`: to open one. `sealed`,
    `copper`, `iron`: money a kg as it is, of its copper, of its iron. `wage`: money an hour.
    """

    mass: float
    copper_share: float
    iron_share: float
    minutes: float
    sealed: float
    copper: float
    iron: float
    wage: float

    def __post_init__(self) -> None:
        """Refuses shares outside 0 to 1 or of more than the whole, a mass not above 0, minutes or a wage below 0."""
        above_zero(self.mass, "mass, kg")
        above_zero(self.copper_share, "copper share")
        within(self.copper_share, 0.0, 1.0, "copper share")
        within(self.iron_share, 0.0, 1.0 - self.copper_share, "iron share")
        at_least_zero(self.minutes, "minutes")
        at_least_zero(self.wage, "wage")
        for price, what in (
            (self.sealed, "price as it is"),
            (self.copper, "price of copper"),
            (self.iron, "price of iron"),
        ):
            finite(price, what)


def gain_of_opening(it: Wound) -> float:
    """Money gained by opening one rather than selling it as it is: m (c copper + f iron - sealed) - wage minutes / 60.

    Takes: it, see `Wound`.
    Gives: money for each one.
    Valid: what `Wound` takes.
    Source: a balance of money.

    >>> it = Wound(8.0, 0.1, 0.9, minutes=12.0, sealed=0.5, copper=8.0, iron=0.1, wage=12.0)
    >>> round(gain_of_opening(it), 3)
    0.72
    """
    inside = it.copper_share * it.copper + it.iron_share * it.iron
    return it.mass * (inside - it.sealed) - it.wage * it.minutes / 60.0


def break_even_copper(it: Wound) -> float:
    """Price of its copper from which opening pays, all else as it is: where `gain_of_opening` is 0.

    Takes: it, see `Wound`.
    Gives: money a kg.
    Valid: what `Wound` takes.
    Source: `gain_of_opening`, solved for `copper`.

    >>> it = Wound(8.0, 0.1, 0.9, minutes=12.0, sealed=0.5, copper=8.0, iron=0.1, wage=12.0)
    >>> round(break_even_copper(it), 3)
    7.1
    """
    return it.copper - gain_of_opening(it) / (it.mass * it.copper_share)


def break_even_sealed(it: Wound) -> float:
    """Price as it is up to which opening pays, all else as it is: where `gain_of_opening` is 0.

    Takes: it, see `Wound`.
    Gives: money a kg.
    Valid: what `Wound` takes.
    Source: `gain_of_opening`, solved for `sealed`.

    >>> it = Wound(8.0, 0.1, 0.9, minutes=12.0, sealed=0.5, copper=8.0, iron=0.1, wage=12.0)
    >>> round(break_even_sealed(it), 3)
    0.59
    """
    return it.sealed + gain_of_opening(it) / it.mass


def break_even_wage(it: Wound) -> float | None:
    """What an hour of opening brings before the wage; None where it takes no time. Below 0: it never pays.

    Takes: it, see `Wound`.
    Gives: money an hour, or None.
    Valid: what `Wound` takes.
    Source: `gain_of_opening`, solved for `wage`.

    >>> it = Wound(8.0, 0.1, 0.9, minutes=12.0, sealed=0.5, copper=8.0, iron=0.1, wage=12.0)
    >>> round(break_even_wage(it), 3)
    15.6
    """
    return None if it.minutes == 0.0 else it.wage + gain_of_opening(it) * 60.0 / it.minutes


def break_even_minutes(it: Wound) -> float | None:
    """Most minutes at which opening pays; None where an hour costs nothing. Below 0: it never pays.

    Takes: it, see `Wound`.
    Gives: minutes for each one, or None.
    Valid: what `Wound` takes.
    Source: `gain_of_opening`, solved for `minutes`.

    >>> it = Wound(8.0, 0.1, 0.9, minutes=12.0, sealed=0.5, copper=8.0, iron=0.1, wage=12.0)
    >>> round(break_even_minutes(it), 3)
    15.6
    """
    return None if it.wage == 0.0 else it.minutes + gain_of_opening(it) * 60.0 / it.wage
