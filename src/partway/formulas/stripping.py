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
    """Metal share of the mass from the gauge's copper per metre and a weighed length: r = c L / m.

    Needs no density of insulation.

    Takes: copper_g_per_m, copper of a metre, g/m; mass_g, what the length weighs, g; length_m, m.
    Gives: a share, above 0 and up to 1.
    Valid: all above 0; copper that does not outweigh the wire.
    Source: a balance of mass.

    >>> round(recovery_of_length(29.4, 91.0, 1.0), 3)
    0.323
    """
    above_zero(copper_g_per_m, "copper, g/m")
    above_zero(mass_g, "mass of the length, g")
    above_zero(length_m, "length, m")
    if copper_g_per_m * length_m > mass_g:
        expected = f"at least the {copper_g_per_m * length_m:.4g} g of copper in that length"
        raise BadQuantity(f"{mass_g:g} g", expected, "mass of the length")
    return copper_g_per_m * length_m / mass_g


def recovery_of_samples(samples: Sequence[tuple[float, float]], division: float) -> Sampled:
    """Recovery of stripped samples weighed on one scale: r = sum of copper / sum of whole, and how sure it is.

    Scale: each weighing d / sqrt(6), so u^2 = n d^2/6 (1 + r^2) / W^2. Scatter of two or more, the ratio estimator:
    u^2 = n/(n-1) sum (copper - r whole)^2 / W^2. Both are added; the factor comes from the effective degrees of
    freedom.

    Takes: samples, pairs of whole and copper; division, smallest step of the scale; all in one unit of mass.
    Gives: a share with its standard uncertainty and coverage factor.
    Valid: at least one sample, each of at least 10 divisions, none with more copper than wire.
    Source: JCGM 100:2008 (GUM), clauses 4.3.7 and 5.1.2, degrees of freedom after G.4.1 (Welch and Satterthwaite);
    ratio estimator: Cochran, Sampling Techniques, 3rd ed., 1977, chapter 6, from memory. Held against draws in
    tests/properties/test_formulas.py.

    >>> found = recovery_of_samples([(655.0, 412.0), (648.0, 405.0)], 1.0)
    >>> round(found.recovery, 4), found.samples
    (0.627, 2)
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
class StrippingTerms:
    """What stripping turns on.

    `recovery`: share of the mass that is copper. `bare`, `insulated`, `residue_cost`: money a kg of bare copper, of
    the wire as it is, of insulation given away. `minutes`: minutes for each kg of insulated wire. `wage`: money an
    hour.
    """

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


def gain_of_stripping(terms: StrippingTerms) -> float:
    """Money gained by stripping rather than selling as it is: r bare - insulated - (1 - r) residue - wage m / 60.

    Takes: terms, see `StrippingTerms`.
    Gives: money for each kg of insulated wire.
    Valid: what `StrippingTerms` takes.
    Source: a balance of money.

    >>> round(gain_of_stripping(StrippingTerms(recovery=0.6, bare=9.0, insulated=4.0, minutes=3.0, wage=12.0)), 2)
    0.8
    """
    left = (1.0 - terms.recovery) * terms.residue_cost
    return terms.recovery * terms.bare - terms.insulated - left - terms.wage * terms.minutes / 60.0


def break_even_bare(terms: StrippingTerms) -> float:
    """Price of bare copper from which stripping pays, all else as it is: where `gain_of_stripping` is 0.

    Takes: terms, see `StrippingTerms`.
    Gives: money a kg.
    Valid: what `StrippingTerms` takes.
    Source: `gain_of_stripping`, solved for `bare`.

    >>> round(break_even_bare(StrippingTerms(recovery=0.6, bare=9.0, insulated=4.0, minutes=3.0, wage=12.0)), 2)
    7.67
    """
    return terms.bare - gain_of_stripping(terms) / terms.recovery


def break_even_insulated(terms: StrippingTerms) -> float:
    """Price of insulated wire up to which stripping pays, all else as it is: where `gain_of_stripping` is 0.

    Takes: terms, see `StrippingTerms`.
    Gives: money a kg.
    Valid: what `StrippingTerms` takes.
    Source: `gain_of_stripping`, solved for `insulated`.

    >>> round(break_even_insulated(StrippingTerms(recovery=0.6, bare=9.0, insulated=4.0, minutes=3.0, wage=12.0)), 2)
    4.8
    """
    return terms.insulated + gain_of_stripping(terms)


def break_even_wage(terms: StrippingTerms) -> float | None:
    """What an hour of stripping brings before the wage; None where it takes no time. Below 0: it never pays.

    Takes: terms, see `StrippingTerms`.
    Gives: money an hour, or None.
    Valid: what `StrippingTerms` takes.
    Source: `gain_of_stripping`, solved for `wage`.

    >>> round(break_even_wage(StrippingTerms(recovery=0.6, bare=9.0, insulated=4.0, minutes=3.0, wage=12.0)), 2)
    28.0
    """
    return None if terms.minutes == 0.0 else terms.wage + gain_of_stripping(terms) * 60.0 / terms.minutes


def break_even_minutes(terms: StrippingTerms) -> float | None:
    """Most minutes for each kg of insulated wire; None where an hour costs nothing. Below 0: it never pays.

    Takes: terms, see `StrippingTerms`.
    Gives: minutes for each kg, or None.
    Valid: what `StrippingTerms` takes.
    Source: `gain_of_stripping`, solved for `minutes`.

    >>> round(break_even_minutes(StrippingTerms(recovery=0.6, bare=9.0, insulated=4.0, minutes=3.0, wage=12.0)), 2)
    7.0
    """
    return None if terms.wage == 0.0 else terms.minutes + gain_of_stripping(terms) * 60.0 / terms.wage


def break_even_recovery(terms: StrippingTerms) -> float | None:
    """Least recovery at which stripping pays; None where none does, bare copper being worth nothing.

    Takes: terms, see `StrippingTerms`.
    Gives: a share, or None.
    Valid: what `StrippingTerms` takes; the result may lie above 1, where it never pays.
    Source: `gain_of_stripping`, solved for `recovery`.

    >>> round(break_even_recovery(StrippingTerms(recovery=0.6, bare=9.0, insulated=4.0, minutes=3.0, wage=12.0)), 3)
    0.511
    """
    slope = terms.bare + terms.residue_cost
    return None if slope <= 0.0 else terms.recovery - gain_of_stripping(terms) / slope
