"""What a formula asks of its numbers before it uses them."""

from __future__ import annotations

import math

from partway.errors import BadQuantity


def above_zero(value: float, what: str) -> None:
    """Refuses what is not a finite number above 0; `what` names it, with its unit."""
    if not (math.isfinite(value) and value > 0):
        raise BadQuantity(f"{value:g}", "a number above 0", what)


def at_least_zero(value: float, what: str) -> None:
    """Refuses what is not a finite number of at least 0; `what` names it, with its unit."""
    if not (math.isfinite(value) and value >= 0):
        raise BadQuantity(f"{value:g}", "a number of at least 0", what)


def finite(value: float, what: str) -> None:
    """Refuses an infinity and what is no number; `what` names it, with its unit."""
    if not math.isfinite(value):
        raise BadQuantity(f"{value:g}", "a finite number", what)


def within(value: float, low: float, high: float, what: str) -> None:
    """Refuses what lies outside low to high, both ends allowed; `what` names it, with its unit."""
    if not (math.isfinite(value) and low <= value <= high):
        raise BadQuantity(f"{value:g}", f"a number from {low:g} to {high:g}", what)
