"""How far off a yard's scale may lawfully be, by country and class, and the smallest lot that makes little of it.

Sources: OIML R 76-1:2006, clause 3.5, table 6 (errors at verification; in service twice as much), largest number of
divisions of a class after table 3, from memory; NIST Handbook 44, section 2.20, table 6 (class III held against two
worked values; its other bands and class III L from memory; republished each year, the bands the same for long);
Canada, Specifications Relating to Non-automatic Weighing Devices (1998), SI/98-81, as amended to 17 June 2019,
in-service limits of error (section 8; at acceptance half of it).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero

Phase = Literal["in service", "new"]


@dataclass(frozen=True, slots=True)
class Rule:
    """Bands of load and tolerance in service, in divisions; after the last, one more division for each `step`.

    `new_share` is the tolerance of a scale just installed over that in service. `most` is the largest load, in
    divisions, the class is made for (None: no limit); `cap` the most the tolerance grows to.
    """

    country: str
    scale_class: str
    source: str
    bands: tuple[tuple[float, float], ...]
    most: float | None
    step: float | None = None
    cap: float | None = None
    new_share: float = 0.5


END = math.inf
_OIML = "OIML R 76-1, table 6"
_US = "NIST Handbook 44, section 2.20, table 6"
_CANADA = "Canada, SI/98-81, section 8"
RULES = (
    Rule("oiml", "II", _OIML, ((5_000, 1), (20_000, 2), (END, 3)), 100_000),
    Rule("oiml", "III", _OIML, ((500, 1), (2_000, 2), (END, 3)), 10_000),
    Rule("oiml", "IIII", _OIML, ((50, 1), (200, 2), (END, 3)), 1_000),
    Rule("us", "II", _US, ((5_000, 1), (20_000, 2), (END, 3)), 100_000),
    Rule("us", "III", _US, ((500, 1), (2_000, 2), (4_000, 3), (END, 5)), 10_000),
    Rule("us", "III L", f"{_US}, from memory", ((500, 1),), 10_000, step=500),
    Rule("us", "IIII", f"{_US}, from memory", ((50, 1), (200, 2), (400, 3), (END, 5)), 1_200),
    Rule("canada", "II", _CANADA, ((5_000, 1), (20_000, 2), (END, 3)), 100_000),
    Rule("canada", "III", _CANADA, ((500, 1), (2_000, 2), (END, 3)), 10_000),
    Rule("canada", "IIIHD", _CANADA, ((500, 1),), None, step=800, cap=22),
    Rule("canada", "IIII", _CANADA, ((50, 1), (200, 2), (END, 3)), 1_200),
)
VEHICLE_KG = 2.0  # division from which on a scale is taken to be one for vehicles: Canada's class IIIHD begins there
VEHICLE_CLASS = {"us": "III L", "canada": "IIIHD", "oiml": "III"}


def usual_class(country: str, division: float) -> str:
    """The class a scale of a trade is taken to be of where nobody looked at its plate, by its division.

    Takes: country, one of RULES; division, in kg.
    Gives: the name of a class.
    Valid: the countries of RULES.
    Source: III for trade: common practice; for vehicles by the smallest division of Canada's class IIIHD.

    >>> usual_class("canada", 10.0), usual_class("us", 0.2)
    ('IIIHD', 'III')
    """
    return VEHICLE_CLASS[country] if division >= VEHICLE_KG else "III"


def rule(country: str, scale_class: str) -> Rule:
    """The rule of a country and a class.

    Takes: country, us, canada or oiml; scale_class, as on the plate, such as III or IIIHD; capitals and blanks do not
    matter.
    Gives: a row of RULES, in divisions of the scale.
    Valid: the countries and classes of RULES; BadQuantity for another, naming those there are.
    Source: each row's `source`.

    >>> rule("canada", "iiihd").scale_class
    'IIIHD'
    """
    of_country = [known for known in RULES if known.country == country]
    if not of_country:
        known = ", ".join(dict.fromkeys(each.country for each in RULES))
        raise BadQuantity(f'"{country}"', f"one of {known}", "country")
    wanted = "".join(scale_class.upper().split())
    for each in of_country:
        if each.scale_class.replace(" ", "") == wanted:
            return each
    raise BadQuantity(f'"{scale_class}"', f"one of {', '.join(each.scale_class for each in of_country)}", "scale class")


def tolerance(load: float, division: float, of: Rule, phase: Phase = "in service") -> float:
    """How far off a scale may be at a load, either way: division x the table's number for load / division.

    Rounding the display adds up to half a division more.

    Takes: load, on the scale, and division, its smallest step, in one unit of mass; of, the rule; phase, in service
    or new.
    Gives: the same unit of mass.
    Valid: load and division above 0; up to what the class is made for.
    Source: that of the rule.

    >>> round(tolerance(150.0, 0.05, rule("us", "III")), 2)
    0.15
    """
    above_zero(load, "load on the scale")
    above_zero(division, "division of the scale")
    n = load / division
    if of.most is not None and n > of.most * (1.0 + 1e-9):
        expected = f"at most {of.most:g} divisions, {of.most * division:g}: class {of.scale_class} goes no further"
        raise BadQuantity(f"{load:g}", expected, "load on the scale")
    share = of.new_share if phase == "new" else 1.0
    return share * division * next(most for _, end, most in _bands(of) if n <= end * (1.0 + 1e-12))


def smallest_lot(
    division: float, share: float, of: Rule, phase: Phase = "in service", tare: float = 0.0
) -> float | None:
    """Least net load from which on the tolerance is never more than a share of it; None where no load keeps it.

    It holds from there on for every load the class is made for, not for some only. With a tare weighed on the same
    scale the tolerance of the tare is added to that of the gross.

    Takes: division and tare, in one unit of mass; share, of the lot (0.01 for 1 %); of, the rule; phase, in service
    or new.
    Gives: the same unit of mass, net.
    Valid: division above 0; share above 0 and below 1.
    Source: the tolerances: that of the rule. Judging a lot by its relative error: common practice, no source.

    >>> round(smallest_lot(0.05, 0.01, rule("us", "III")), 2)
    5.0
    """
    above_zero(division, "division of the scale")
    if not 0.0 < share < 1.0:
        raise BadQuantity(f"{share:g}", "a share above 0 and below 1", "relative error")
    less = of.new_share if phase == "new" else 1.0
    empty = 0.0 if tare == 0.0 else tolerance(tare, division, of, phase) / division
    least: float | None = None
    for start, end, most in reversed(list(_bands(of))):
        need = tare / division + (less * most + empty) / share
        if need > end:
            break
        least = max(need, start)
        if need > start:
            break
    return None if least is None else least * division - tare


def _bands(of: Rule) -> Iterator[tuple[float, float, float]]:
    """Start, end and tolerance of every band, in divisions, up to what the class is made for."""
    start, most = 0.0, 0.0
    last = math.inf if of.most is None else of.most
    for end, most in of.bands:
        yield start, min(end, last), most
        start = min(end, last)
    while of.step is not None and start < last:
        most += 1.0
        end = last if of.cap is not None and most >= of.cap else min(start + of.step, last)
        yield start, end, most
        start = end
