"""What a charged capacitor holds, how fast it loses it, and the limits it is judged by: the lowest decides.

Formulas of any textbook on circuits. A stated bleeder may be open: nothing here says that waiting is enough.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, within

SAFE_VOLTS = 34.0  # IEC 60335-1: at most this between a plug's pins one second after unplugging
EXEMPT_FARADS = 1e-7  # the same: capacitors up to 0.1 microfarad are exempt from it
SAFE_MICROCOULOMB = 45.0  # IEC 60335-1, discharge through a person; 450 V on 0.1 microfarad
SHOCK_VOLTS, SHOCK_JOULES = 100.0, 10.0  # electrical safety manual of a US national laboratory
BURN_JOULES = 100.0  # the same, below 100 V: heat and flying metal
LARGEST_FARADS, HIGHEST_VOLTS = 10_000.0, 1e6


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit: what it compares, the value here, the most it allows (None: it does not apply), its source."""

    id: str
    name: str
    value: float
    most: float | None
    unit: str
    source: str

    @property
    def passed(self) -> bool:
        """Whether the capacitor is over it; the limits of energy are given as what is dangerous, so reaching one is."""
        if self.most is None:
            return False
        return self.value >= self.most if self.unit == "J" else self.value > self.most


def energy_j(farads: float, volts: float) -> float:
    """Energy in J: C V^2 / 2. Raises BadQuantity outside 0 to 10,000 F and 0 to 1 MV, neither of them 0."""
    _check(farads, volts)
    return farads * volts**2 / 2.0


def charge_uc(farads: float, volts: float) -> float:
    """Charge in microcoulombs: C V. Raises BadQuantity as `energy_j`."""
    _check(farads, volts)
    return farads * volts * 1e6


def discharge_seconds(farads: float, ohms: float, volts: float, to_volts: float) -> float:
    """Seconds through a resistor from one voltage to another: R C ln(V0 / V); 0 where it is that low already.

    Raises BadQuantity as `energy_j`, and where the resistance or the lower voltage is not above 0.
    """
    _check(farads, volts)
    above_zero(ohms, "resistance, ohm")
    above_zero(to_volts, "voltage to reach, V")
    return max(0.0, ohms * farads * math.log(volts / to_volts))


def largest_bleeder_ohm(farads: float, volts: float, to_volts: float, seconds: float) -> float:
    """Largest resistor, ohm, that brings a capacitor from one voltage down to another in time: t / (C ln(V0 / V)).

    Raises BadQuantity as `energy_j`, and where the time or the lower voltage is not above 0, or not below the first.
    """
    _check(farads, volts)
    above_zero(seconds, "time, s")
    above_zero(to_volts, "voltage to reach, V")
    if to_volts >= volts:
        raise BadQuantity(f"{to_volts:g} V", f"below {volts:g} V", "voltage to reach")
    return seconds / (farads * math.log(volts / to_volts))


def safe_volts(farads: float) -> float:
    """Highest voltage, V, at which every limit here is kept: 34 V, or less where 34 V still holds over 100 J.

    The exemption of small capacitors is not used: it is made for plugs. Raises BadQuantity outside 0 to 10,000 F.
    """
    _check(farads, 1.0)
    return min(SAFE_VOLTS, math.sqrt(2.0 * BURN_JOULES / farads))


def limits(farads: float, volts: float) -> tuple[Limit, ...]:
    """Every limit with what the capacitor holds against it; the lowest of those that apply decides.

    Sources: IEC 60335-1 (34 V, 45 microcoulomb); the electrical safety manual of a US national laboratory (10 J from
    100 V up, 100 J below); NFPA 70E (1 J to 400 V, 0.25 J above), from memory. Raises BadQuantity as `energy_j`.
    """
    joules, micro = energy_j(farads, volts), charge_uc(farads, volts)
    live, shock = volts > SAFE_VOLTS, volts >= SHOCK_VOLTS
    arc = None if not shock else 1.0 if volts <= 400.0 else 0.25
    plug = None if farads <= EXEMPT_FARADS else SAFE_VOLTS
    lab = "electrical safety manual of a US national laboratory"
    return (
        Limit("plug", "voltage", volts, plug, "V", "IEC 60335-1, one second after unplugging"),
        Limit("charge", "charge", micro, SAFE_MICROCOULOMB if live else None, "µC", "IEC 60335-1"),
        Limit("arc", "energy", joules, arc, "J", "NFPA 70E, from memory"),
        Limit("shock", "energy", joules, SHOCK_JOULES if shock else None, "J", f"{lab}, 100 V and up"),
        Limit("burn", "energy", joules, None if shock else BURN_JOULES, "J", f"{lab}, below 100 V"),
    )


def _check(farads: float, volts: float) -> None:
    above_zero(farads, "capacitance, F")
    above_zero(volts, "voltage, V")
    within(farads, 0.0, LARGEST_FARADS, "capacitance, F")
    within(volts, 0.0, HIGHEST_VOLTS, "voltage, V")
