"""What a charged capacitor holds, how fast it loses it, and the limits it is judged by: the lowest decides.

A stated bleeder may be open: nothing here says that waiting is enough.

Sources of the limits: IEC 60335-1:2020, clause 8.1.4 (45 µC) and, its clause number 22.5 from memory, 34 V between
the pins of a plug one second after unplugging, 0.1 µF and less exempt; Lawrence Berkeley National Laboratory,
Electrical Safety Manual, tables 2.2.13 (shock: from 100 V and 10 J) and 2.3.5 (heat: below 100 V, above 100 J); NFPA
70E (1 J up to 400 V, 0.25 J above), from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.formulas.checked import above_zero, within

SAFE_VOLTS = 34.0  # IEC 60335-1: at most this between a plug's pins one second after unplugging
EXEMPT_FARADS = 1e-7  # the same: capacitors up to 0.1 microfarad are exempt from it
SAFE_MICROCOULOMB = 45.0  # IEC 60335-1, discharge through a person; 450 V on 0.1 microfarad
SHOCK_VOLTS, SHOCK_JOULES = 100.0, 10.0  # the laboratory's table 2.2.13
BURN_JOULES = 100.0  # its table 2.3.5, below 100 V: heat and flying metal
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
    """Energy: E = C V^2 / 2.

    Takes: farads, capacitance, F; volts, voltage, V.
    Gives: J.
    Valid: above 0, up to 10,000 F and 1 MV; the capacitance as it is at that voltage.
    Source: any textbook on circuits, such as OpenStax, University Physics, volume 2, section 8.3 (section from
    memory).

    >>> energy_j(1e-6, 2970.0)
    4.41045
    """
    _check(farads, volts)
    return farads * volts**2 / 2.0


def charge_uc(farads: float, volts: float) -> float:
    """Charge: Q = C V.

    Takes: farads, capacitance, F; volts, voltage, V.
    Gives: µC.
    Valid: as `energy_j`.
    Source: the definition of capacitance.

    >>> round(charge_uc(1e-6, 2970.0), 6)
    2970.0
    """
    _check(farads, volts)
    return farads * volts * 1e6


def discharge_seconds(farads: float, ohms: float, volts: float, to_volts: float) -> float:
    """Time through a resistor from one voltage to another: t = R C ln(V0 / V); 0 where it is that low already.

    Takes: farads, capacitance, F; ohms, resistance, ohm; volts and to_volts, from and to which voltage, V.
    Gives: s.
    Valid: as `energy_j`; resistance and lower voltage above 0; a resistor that is whole, and measured.
    Source: the RC circuit of any textbook; held against stepping the discharge in
    tests/references/test_stored_energy.py.

    >>> round(discharge_seconds(1e-6, 1e7, 2100.0, 42.4), 1)
    39.0
    """
    _check(farads, volts)
    above_zero(ohms, "resistance, ohm")
    above_zero(to_volts, "voltage to reach, V")
    return max(0.0, ohms * farads * math.log(volts / to_volts))


def safe_volts(farads: float) -> float:
    """Highest voltage at which every limit here is kept: min(34 V, sqrt(2 x 100 J / C)).

    The exemption of small capacitors is not used: it is made for plugs.

    Takes: farads, capacitance, F.
    Gives: V.
    Valid: above 0, up to 10,000 F.
    Source: IEC 60335-1:2020 (34 V) and the laboratory's table 2.3.5 (100 J), as at the top of this module.

    >>> safe_volts(470e-6), round(safe_volts(3000.0), 3)
    (34.0, 0.258)
    """
    _check(farads, 1.0)
    return min(SAFE_VOLTS, math.sqrt(2.0 * BURN_JOULES / farads))


def limits(farads: float, volts: float) -> tuple[Limit, ...]:
    """Every limit with what the capacitor holds against it; the lowest of those that apply decides.

    The 45 µC are IEC's for parts above 450 V; here they count from 34 V up, which is the stricter reading.

    Takes: farads, capacitance, F; volts, voltage, V.
    Gives: rows with `value` and `most` in the row's unit: V, µC or J.
    Valid: as `energy_j`.
    Source: as at the top of this module; each row names its own.

    >>> [(limit.id, limit.passed) for limit in limits(470e-6, 400.0)]
    [('plug', True), ('charge', True), ('arc', True), ('shock', True), ('burn', False)]
    """
    joules, micro = energy_j(farads, volts), charge_uc(farads, volts)
    live, shock = volts > SAFE_VOLTS, volts >= SHOCK_VOLTS
    arc = None if not shock else 1.0 if volts <= 400.0 else 0.25
    plug = None if farads <= EXEMPT_FARADS else SAFE_VOLTS
    lab = "Lawrence Berkeley National Laboratory, Electrical Safety Manual"
    return (
        Limit("plug", "voltage", volts, plug, "V", "IEC 60335-1, one second after unplugging"),
        Limit("charge", "charge", micro, SAFE_MICROCOULOMB if live else None, "µC", "IEC 60335-1"),
        Limit("arc", "energy", joules, arc, "J", "NFPA 70E, from memory"),
        Limit("shock", "energy", joules, SHOCK_JOULES if shock else None, "J", f"{lab}, table 2.2.13, 100 V and up"),
        Limit("burn", "energy", joules, None if shock else BURN_JOULES, "J", f"{lab}, table 2.3.5, below 100 V"),
    )


def _check(farads: float, volts: float) -> None:
    above_zero(farads, "capacitance, F")
    above_zero(volts, "voltage, V")
    within(farads, 0.0, LARGEST_FARADS, "capacitance, F")
    within(volts, 0.0, HIGHEST_VOLTS, "voltage, V")
