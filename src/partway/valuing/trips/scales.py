"""How far apart a yard's scale and one's own may honestly be on one line of a ticket."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from partway.formulas.scale import rule, tolerance, usual_class
from partway.formulas.statistics.agreement import gone_beyond, parts_for
from partway.quantities import MG_PER_KG, kg_per, parse_mass

OWN_KG = 0.05  # division of one's own scale where no setting says it (a luggage scale's; common practice, no source)
COUNTRY = {"CAD": "canada", "USD": "us"}  # whose rules hold, by the money; elsewhere OIML R 76
POUNDS = frozenset({"lb", "oz", "short ton", "long ton"})  # prices per these are weighed in pounds, others in kg
USUAL = {"lb": Decimal(1), "kg": Decimal("0.5")}  # a floor scale's division (common practice, no source)
STEPS = [Decimal(step).scaleb(power) for power in range(2, -4, -1) for step in (5, 2, 1)]  # 500 to 0.001
SEEN = 6  # masses from which on a step that all of them keep is no chance: one in 64 for twice the division
ROUNDED_MG = 2  # a mass in pounds is kept to the milligram


@dataclass(frozen=True, slots=True)
class TwoScales:
    """The two scales of a ticket. `said`: a setting tells one's own division; `printed`: what the yard printed tells
    its own. `country` is whose tolerances in service are taken, for both.
    """

    country: str
    own_kg: float
    said: bool
    yard_kg: float
    printed: bool

    @classmethod
    def of(cls, settings: Mapping[str, str], printed_mg: Sequence[int], unit: str) -> TwoScales:
        """By the settings of a workspace, and the masses that the yard printed, the unit of their prices with them."""
        own = settings.get("division")
        step, sure = printed_step(printed_mg, unit)
        own_kg = OWN_KG if own is None else float(parse_mass(own, "division"))
        return cls(COUNTRY.get(settings.get("currency", ""), "oiml"), own_kg, own is not None, step, sure)

    def good_to(self, own_mg: int) -> int:
        """How far off one's own scale may be at a load, rounding included, in milligrams."""
        division = _reaching(own_mg / MG_PER_KG, self.own_kg, self.country)
        return round((_off(own_mg / MG_PER_KG, division, self.country) + division / 2.0) * MG_PER_KG)

    def explained(self, mass_mg: int, own_mg: int, readings: int, share: float) -> int:
        """By how much an honest yard reads below one's own mass in no more than that share of cases, in milligrams.

        `readings`: in how many weighings one's own mass came together.
        """
        yard, own = mass_mg / MG_PER_KG, own_mg / MG_PER_KG / readings
        parts = (
            *_parts(yard, _reaching(yard, self.yard_kg, self.country), 1, self.country),
            *_parts(own, _reaching(own, self.own_kg, self.country), readings, self.country),
        )
        return round(gone_beyond(parts, share) * MG_PER_KG)


def printed_step(printed_mg: Sequence[int], unit: str) -> tuple[float, bool]:
    """The division of a yard's scale in kg: the largest step that all masses it printed are multiples of.

    Of few masses that may be chance: then it is no more than what is usual, and not sure.
    """
    of: Literal["lb", "kg"] = "lb" if unit in POUNDS else "kg"
    per = kg_per(of) * MG_PER_KG
    kept = [step for step in STEPS if all(_multiple(mg, step * per) for mg in printed_mg)]
    step = max(kept, default=STEPS[-1])
    sure = len(printed_mg) >= SEEN
    return float((step if sure else min(step, USUAL[of])) * kg_per(of)), sure


def _multiple(mg: int, step_mg: Decimal) -> bool:
    return abs(mg - round(mg / step_mg) * step_mg) <= ROUNDED_MG


def _parts(load: float, division: float, times: int, country: str) -> tuple[float, ...]:
    """Rectangular parts of so many weighings of a load: the scale's error, and the rounding of reading and zero."""
    return (*parts_for(_off(load, division, country), times), *parts_for(division / 2.0, 2 * times))


def _off(load: float, division: float, country: str) -> float:
    return tolerance(load, division, rule(country, usual_class(country, division)))


def _reaching(load: float, division: float, country: str) -> float:
    """A division, or the finest one that reaches a load which the class of a scale so fine does not."""
    most = rule(country, usual_class(country, division)).most
    return division if most is None else max(division, load / most)
