"""A piece of steel and a magnet."""

from __future__ import annotations

from partway.errors import BadQuantity
from partway.formulas.stainless import PULLS
from partway.quantities import shown
from partway.reports.calculators.stainless import Stainless, report_stainless


def ask_stainless(pull: str, give_or_take: str | None = None) -> Stainless:
    """What a pull leaves possible. Raises BadQuantity for another answer than the three."""
    for known in PULLS:
        if pull.strip().casefold() == known:
            return report_stainless(known, None if give_or_take is None else _uncertainty(give_or_take))
    raise BadQuantity(shown(pull), "strong, weak or none", "pull")


def _uncertainty(text: str) -> float:
    plain = text.strip().removesuffix("g/cm3").strip()
    try:
        value = float(plain)
    except ValueError:
        value = 0.0
    if not 0.0 < value < 10.0:
        raise BadQuantity(shown(text), 'what stands after ± of a density, in g/cm3, such as "0.05"', "give_or_take")
    return value
