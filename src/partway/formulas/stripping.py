"""Recovery from stripped samples, and whether stripping pays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, finite, within
from partway.formulas.weighing import WIDE, coverage, reading_uncertainty

LEAST_DIVISIONS = 10  # a sample lighter than this is read too coarsely for the propagation to hold


@dataclass(frozen=True, slots=True)
class Sampled:
    """Recovery with its standard uncertainty, and the factor that makes it hold in 95 of 100 cases."""

    recovery: float
    uncertainty: float
    factor: float
    samples: int


def recovery_of_length(copper_g_per_m: float, mass_g: float, length_m: float) -> float:
    """Metal share of the mass from the gauge's copper per metre and a weighed length: copper x length / mass.

    Needs no density of insulation. Raises BadQuantity where a number is not above 0, or the copper outweighs the wire.
    """
    above_zero(copper_g_per_m, "copper, g/m")
    above_zero(mass_g, "mass of the length, g")
    above_zero(length_m, "length, m")
    if copper_g_per_m * length_m > mass_g:
        expected = f"at least the {copper_g_per_m * length_m:.4g} g of copper in that length"
        raise BadQuantity(f"{mass_g:g} g", expected, "mass of the length")
    return copper_g_per_m * length_m / mass_g


def recovery_of_samples(samples: Sequence[tuple[float, float]], division: float) -> Sampled:
    """Recovery r = sum of copper / sum of whole, of samples (whole, copper) weighed on one scale; all in one unit.

    Scale: each weighing d / sqrt(6), so u2 = n d2/6 (1 + r2) / W2. Scatter of two or more: the ratio estimator,
    u2 = n/(n-1) sum (copper - r whole)2 / W2 (Cochran, Sampling Techniques, chapter 6, from memory). Both in squares;
    effective degrees of freedom after Welch and Satterthwaite (GUM, annex G.4). Raises BadQuantity for no sample, a
    sample of fewer than 10 divisions, or one with more copper than there was wire.
    """
    above_zero(division, "division of the scale")
    if not samples:
        raise BadQuantity("no sample", "at least one sample, weighed whole and stripped", "samples")
    for whole, copper in samples:
        _check_sample(whole, copper, division)
    n, total = len(samples), sum(whole for whole, _ in samples)
    r = sum(copper for _, copper in samples) / total
    scale = n * reading_uncertainty(division) ** 2 * (1.0 + r * r) / total**2
    if n == 1:
        return Sampled(r, math.sqrt(scale), WIDE, 1)
    scatter = n / (n - 1) * sum((copper - r * whole) ** 2 for whole, copper in samples) / total**2
    freedom = math.inf if scatter == 0.0 else (n - 1) * ((scale + scatter) / scatter) ** 2
    return Sampled(r, math.sqrt(scale + scatter), coverage(freedom), n)


def _check_sample(whole: float, copper: float, division: float) -> None:
    above_zero(whole, "mass of the sample")
    above_zero(copper, "mass of its copper")
    if whole < LEAST_DIVISIONS * division:
        raise BadQuantity(f"{whole:g}", f"at least 10 divisions of the scale, {10 * division:g}", "mass of the sample")
    if copper > whole:
        raise BadQuantity(f"{copper:g}", f"at most the {whole:g} of the sample", "mass of its copper")


@dataclass(frozen=True, slots=True)
class Terms:
    """What stripping turns on: share; prices and cost per kg; minutes for each kg of insulated wire; an hour's wage."""

    recovery: float
    bare: float
    insulated: float
    minutes: float
    wage: float
    residue_cost: float = 0.0

    def __post_init__(self) -> None:
        """Refuses a recovery outside 0 to 1, and minutes, wage or cost below 0."""
        above_zero(self.recovery, "recovery")
        within(self.recovery, 0.0, 1.0, "recovery")
        finite(self.bare, "price of bare copper")
        finite(self.insulated, "price of insulated wire")
        at_least_zero(self.minutes, "minutes for each kg")
        at_least_zero(self.wage, "wage")
        finite(self.residue_cost, "cost of the insulation")


def gain_of_stripping(terms: Terms) -> float:
    """Money for each kg of wire stripped rather than sold: r bare - insulated - (1 - r) residue - wage m/60."""
    left = (1.0 - terms.recovery) * terms.residue_cost
    return terms.recovery * terms.bare - terms.insulated - left - terms.wage * terms.minutes / 60.0


def break_even_bare(terms: Terms) -> float:
    """Price of a kg of bare copper from which stripping pays, all else as it is."""
    return terms.bare - gain_of_stripping(terms) / terms.recovery


def break_even_insulated(terms: Terms) -> float:
    """Price of a kg of insulated wire up to which stripping pays, all else as it is."""
    return terms.insulated + gain_of_stripping(terms)


def break_even_wage(terms: Terms) -> float | None:
    """What an hour of stripping brings, wage not taken off; None where it takes no time. Below 0: it never pays."""
    return None if terms.minutes == 0.0 else terms.wage + gain_of_stripping(terms) * 60.0 / terms.minutes


def break_even_minutes(terms: Terms) -> float | None:
    """Most minutes for each kg of insulated wire; None where an hour costs nothing. Below 0: it never pays."""
    return None if terms.wage == 0.0 else terms.minutes + gain_of_stripping(terms) * 60.0 / terms.wage


def break_even_recovery(terms: Terms) -> float | None:
    """Least recovery at which stripping pays; None where none does, bare copper being worth nothing."""
    slope = terms.bare + terms.residue_cost
    return None if slope <= 0.0 else terms.recovery - gain_of_stripping(terms) / slope
