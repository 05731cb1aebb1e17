"""What a magnet says of a piece of steel, and what it leaves open."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from partway.catalogue.cards import shipped_cards
from partway.formulas.stainless import FAMILIES, Family, Pull, families_left, share, told_apart_by_density
from partway.reports.calculators.answer import Answer, AnswerRow
from partway.reports.calculators.own_cautions import STAINLESS

SAYS: dict[Pull, str] = {"strong": "A strong pull", "weak": "A weak pull", "none": "No pull"}
CANNOT = (
    "A pull does not rule 304 out: bent, drawn or hammered cold it turns magnetic. Try a flat part and an edge.",
    "No pull does not make it 316: a magnet says nothing between 304 and 316. Marks, or a yard's analyser, do.",
    "A magnetic screw is priced as iron, one that is not may be 300 series: common practice, no source.",
    "Plating hides what is under it, and a magnet reaches through thin sheet to what lies behind: test it by itself.",
    "Shares are of 100 pieces of a family, from memory; how common each family is in your heap is not in them.",
)


@dataclass(frozen=True, slots=True)
class LeftFamily:
    """A family the answer leaves possible: how many of 100 of its pieces answer so, and its density in g/cm3."""

    id: str
    name: str
    of_100: int
    density: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stainless(Answer):
    """`seldom` answer so too, but not to be counted on. `apart` are pairs a density as sure as given tells apart."""

    pull: Pull
    left: tuple[LeftFamily, ...]
    seldom: tuple[LeftFamily, ...]
    give_or_take: float | None
    apart: tuple[tuple[str, str], ...]


def report_stainless(pull: Pull, give_or_take: float | None) -> Stainless:
    """The answer in words and figures; `give_or_take` is what stands after ± of a density, in g/cm3."""
    left = families_left(pull)
    seldom = tuple(family for family in FAMILIES if family not in left)
    pairs = [] if give_or_take is None else list(combinations(left, 2))
    apart = [(a, b) for a, b in pairs if told_apart_by_density(a, b, (give_or_take or 0.0) / 2.0)]
    return Stainless(
        cautions=shipped_cards(STAINLESS),
        verdict=f"{SAYS[pull]}: {_either([family.name for family in left])}. The magnet does not say which.",
        rows=(*(_row(family, pull) for family in left), *_density_rows(give_or_take, apart)),
        notes=(*_seldom(seldom, pull), *CANNOT),
        pull=pull,
        left=tuple(_left(family, pull) for family in left),
        seldom=tuple(_left(family, pull) for family in seldom),
        give_or_take=give_or_take,
        apart=tuple((a.id, b.id) for a, b in apart),
    )


def _left(family: Family, pull: Pull) -> LeftFamily:
    return LeftFamily(family.id, family.name, share(family, pull), family.density)


def _row(family: Family, pull: Pull) -> AnswerRow:
    return AnswerRow(family.name, f"{share(family, pull)} of 100", f"{family.density:g} g/cm3")


def _density_rows(give_or_take: float | None, apart: list[tuple[Family, Family]]) -> list[AnswerRow]:
    if give_or_take is None:
        return []
    sure = f"a density to ± {give_or_take:g}"
    return [AnswerRow(sure, "tells apart", f"{a.name} and {b.name}") for a, b in apart] or [
        AnswerRow(sure, "tells none apart")
    ]


def _seldom(families: tuple[Family, ...], pull: Pull) -> tuple[str, ...]:
    named = ", ".join(f"{family.name} ({share(family, pull)} of 100)" for family in families)
    return (f"Seldom, but seen: {named}.",) if named else ()


def _either(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
