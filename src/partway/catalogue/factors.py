"""Factor sets: what recycling a mass of something spares, as one publisher worked it out in one edition.

Those that ship stand in `data/factors/`, a file each.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from partway.catalogue.reading.messages import unknown
from partway.catalogue.reading.toml import load
from partway.catalogue.shipped import DATA, shipped
from partway.errors import BadCatalogue, Refused
from partway.quantities import shown

TEXTS = ("id", "name", "edition", "counts", "unit")
FIELDS = {*TEXTS, "kg_per", "kg_co2e", "landfill", "currencies", "category"}


@dataclass(frozen=True, slots=True)
class Factor:
    """A category of a set: kg CO2e for each kg that is recycled, below zero where it is spared.

    `published` is the figure as it stands in the set, in the set's own unit; `proxy` says where grades count here only
    because the set has nothing nearer.
    """

    id: str
    name: str
    published: float
    recycled: float
    proxy: str = ""


@dataclass(frozen=True, slots=True)
class FactorSet:
    """One edition of one publisher. Figures of two sets are never added: they count different things (`counts`).

    `landfill` is kg CO2e for each kg buried, 0 where the set leaves it out; `of` has the category of each grade that
    has one; `currencies` are those of the places that the set was made for.
    """

    id: str
    name: str
    edition: str
    counts: str
    unit: str
    landfill: float
    factors: Mapping[str, Factor]
    of: Mapping[str, str]
    currencies: tuple[str, ...] = ()

    @property
    def called(self) -> str:
        """Source and edition, as they are printed beside every figure."""
        return f"{self.name}, {self.edition}"


@cache
def factor_sets() -> Mapping[str, FactorSet]:
    """The sets by id. Raises BadCatalogue if what we ship is wrong."""
    found = [read_set(path) for path in sorted((DATA / "factors").glob("*.toml"))]
    return {one.id: one for one in found}


def chosen_set(name: str, currency: str) -> FactorSet:
    """The set of an id; where none is named, the one made for where that currency is used, else the first.

    Raises Refused.
    """
    sets = factor_sets()
    if name and name not in sets:
        raise unknown(Refused, name, f"factor set ({', '.join(sets)})", sets, "set")
    local = (one for one in sets.values() if currency in one.currencies)
    return sets[name] if name else next(local, next(iter(sets.values())))


def read_set(path: Path) -> FactorSet:
    """The set of a file. Raises BadCatalogue where it does not hold together."""
    table = load(path)
    if table.keys() != FIELDS:
        raise BadCatalogue(shown(", ".join(table)), f"{', '.join(sorted(FIELDS))}, each once", path.name)
    if table["id"] != path.stem or not all(table[name] for name in TEXTS):
        raise BadCatalogue(shown(table["id"]), f"the file's own name, and a text in {', '.join(TEXTS)}", path.name)
    kg = table["kg_co2e"] / table["kg_per"]
    factors = {row["id"]: _factor(row, kg) for row in table["category"]}
    return FactorSet(
        **{name: table[name] for name in TEXTS},
        landfill=table["landfill"] * kg,
        factors=factors,
        of=_grades(table["category"], path.name),
        currencies=tuple(table["currencies"]),
    )


def _factor(row: Mapping[str, Any], kg: float) -> Factor:
    return Factor(row["id"], row["name"], row["recycled"], row["recycled"] * kg, row.get("proxy", ""))


def _grades(rows: list[dict[str, Any]], where: str) -> dict[str, str]:
    """The category of each grade; none twice, and none that there is not."""
    of: dict[str, str] = {}
    for row in rows:
        for grade in row["grades"]:
            if grade in of or grade not in shipped().grades:
                raise BadCatalogue(shown(grade), "a grade that ships, in one category", f"{where}, {row['id']}")
            of[grade] = row["id"]
    return of
