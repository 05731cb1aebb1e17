"""What is asked about a wire, and its conductor as people write sizes."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from partway.errors import BadQuantity
from partway.formulas import conductors, wire
from partway.formulas.conductors import Build
from partway.measures import AREA, LENGTH, is_a, read
from partway.quantities import shown

GAUGE = re.compile(r"#?\s*(?:([1-4])/0|(0{1,4})|([1-9][0-9]?))\s*(?:awg|ga|gauge)?", re.IGNORECASE)
STRANDS = re.compile(r"([0-9]{1,5})\s*[x×]\s*(.+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class WireAsked:
    """Everything as typed; None for what was not."""

    size: str | None = None
    conductors: int = 1
    ground: bool = False
    build: Build = "solid"
    insulation: str | None = None
    outside: str | None = None
    thickness: str | None = None
    weighs: str | None = None
    length: str | None = None
    samples: tuple[str, ...] = ()
    division: str | None = None
    bare: str | None = None
    insulated: str | None = None
    minutes: str | None = None
    wage: float | str | None = None
    residue: str | None = None
    currency: str | None = None
    counted: str = ""  # what the ledger counts in, for a wage in words where the prices name no currency


@dataclass(frozen=True, slots=True)
class Metal:
    """One conductor: its diameter where it is one solid wire, its least and its nominal metal in mm2."""

    diameter_mm: float | None
    least_mm2: float
    area_mm2: float


def metal_of(size: str, build: Build) -> Metal:
    """A conductor from "14", "4/0", "2.5 mm2" or "30 x 0.25 mm" (strands). Raises BadQuantity."""
    where = "size"
    if match := GAUGE.fullmatch(size.strip()):
        noughts = int(match[1] or 0) or len(match[2] or "")  # 2/0 is also written 00
        number = 1 - noughts if noughts else int(match[3])
        area = wire.solid_area_mm2(number)
        return Metal(wire.awg_diameter_mm(number), conductors.GAUGE_LEAST * area, area)
    if match := STRANDS.fullmatch(size.strip()):
        area = conductors.strands_mm2(int(match[1]), read(match[2], LENGTH, where).value)
        return Metal(None, area, area)
    if not is_a(size.replace("²", "2"), AREA):
        raise BadQuantity(
            shown(size), 'a gauge such as "14" or "4/0", "2.5 mm2", or strands such as "30 x 0.25 mm"', where
        )
    nominal = read(size, AREA, where).value
    least = conductors.least_area_mm2(nominal, build)
    solid = 2.0 * math.sqrt(nominal / math.pi) if build == "solid" else None
    return Metal(solid, least, nominal)
