"""Masses in messages, in the workspace's unit, and the units of what is shown."""

from __future__ import annotations

from partway.ledger.book import Book
from partway.ledger.fold.driving import distance_unit
from partway.ledger.fold.standing import settings
from partway.quantities import format_mass_in
from partway.things.scenario import MassUnit
from partway.things.units import ShownUnits


def unit(book: Book) -> MassUnit:
    """The unit that masses are shown in: the workspace's, kilograms unless it is set."""
    return "lb" if settings(book).get("unit") in ("lb", "oz") else "kg"


def units(book: Book) -> ShownUnits:
    """What masses and distances are shown in."""
    return ShownUnits(unit(book), distance_unit(settings(book)))


def mass(book: Book, mg: int) -> str:
    """A mass as people of this workspace say it."""
    return format_mass_in(mg / 1e6, unit(book))
