"""Kilograms from finds through grades to where they ended, as links that balance at every place between.

A place between is a kind (all finds of it) or a grade (all bins of it); residue is a grade, wherever it waits for the
tip. What differs is never dropped: what was there
before, what changed its grade, what a scale found more or less of, each has a place of its own at the rim.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from partway.ledger.events.effects import LOSS, OUTSIDE, RESIDUE
from partway.ledger.events.meaning import REGRADED
from partway.ledger.fold.period import Moved

KIND, GRADE, BUYER, OTHER = "kind", "grade", "buyer", "other"
# Places at the rim, by what they are called.
RIM = {
    "collected": "collected",
    "whole-before": "finds from before",
    "before": "there before the ledger",
    "bins-before": "bins from before",
    "residue-before": "residue from before",
    "regraded-in": "from another grade",
    "scale": "more on the scale than was down",
    "people": "sold as parts or whole",
    "residue": "residue",
    "loss": "loss, and less on the scale",
    "regraded-out": "to another grade",
    "less": "less than was down before the ledger",
    "whole": "finds still whole",
    "bins": "still in bins",
}
Links = Mapping[tuple[str, str], int]


@dataclass(frozen=True, slots=True)
class FlowPlace:
    """A place of the picture: `sort` is kind, grade, buyer, tip or rim; what came in and what went out."""

    id: str
    sort: str
    name: str
    in_mg: int
    out_mg: int

    @property
    def mg(self) -> int:
        """How much passed through."""
        return max(self.in_mg, self.out_mg)


@dataclass(frozen=True, slots=True)
class Link:
    """Milligrams from one place to another."""

    source: str
    target: str
    mg: int


@dataclass(frozen=True, slots=True)
class Flows:
    """Links, heaviest first, and the places they join. `hidden` says how many places were put together by sort."""

    places: Mapping[str, FlowPlace]
    links: tuple[Link, ...]
    hidden: Mapping[str, int]

    def of(self, sort: str) -> tuple[FlowPlace, ...]:
        """Places of one sort, heaviest first."""
        return tuple(sorted((p for p in self.places.values() if p.sort == sort), key=lambda p: (-p.mg, p.id)))


@dataclass(frozen=True, slots=True)
class FlowNames:
    """What kinds, grades and buyers are called; an id that has no name shows as it is. `tips` are ids of buyers."""

    kinds: Mapping[str, str]
    grades: Mapping[str, str]
    buyers: Mapping[str, str]
    tips: Collection[str] = ()


def report_flows(moved: Moved, names: FlowNames, most: int | None = 8) -> Flows:
    """The flows of a stretch, the `most` heaviest kinds, grades and buyers by themselves; None for all of them."""
    links = balanced(_links(moved))
    shown, hidden = _together(links, most)
    ends = _sums(shown)
    places = {place: FlowPlace(place, *_called(place, names, hidden), *ends[place]) for place in ends}
    ordered = sorted(shown.items(), key=lambda item: (-item[1], item[0]))
    return Flows(places, tuple(Link(*ends, mg) for ends, mg in ordered), hidden)


def _links(moved: Moved) -> Counter[tuple[str, str]]:
    """Movements as links between places of the picture."""
    links: Counter[tuple[str, str]] = Counter()
    for (source, target, grade), mg in moved.items():
        here = _inner(source, grade) or _before(source, target)
        links[here, _inner(target, grade) or _after(target)] += mg
    return _put_right(links)


def _inner(place: str, grade: str) -> str:
    sort, _, name = place.partition(":")
    if place == RESIDUE:  # what older events keep in a place of its own
        return f"{GRADE}:{RESIDUE}"
    return f"{KIND}:{name}" if sort == "find" else f"{GRADE}:{grade}" if sort == "bin" else ""


def _before(source: str, target: str) -> str:
    if source == OUTSIDE:
        return "before" if target == "bin" else "collected"
    return {LOSS: "scale", REGRADED: "regraded-in"}.get(source, source)


def _after(target: str) -> str:
    return {OUTSIDE: "less", REGRADED: "regraded-out"}.get(target, target)


def _put_right(links: Counter[tuple[str, str]]) -> Counter[tuple[str, str]]:
    """A weighing that came out lower takes back what an earlier one brought in."""
    for place in {source for source, target in links if target == "less"}:
        for brought in (("collected", place), ("before", place)):
            less = min(links[brought], links[place, "less"])
            links[brought] -= less
            links[place, "less"] -= less
    return +links


def balanced(links: Links) -> Counter[tuple[str, str]]:
    """With what stayed at each place between, or was there before, so that as much goes out of it as came in."""
    whole = Counter(links)
    for place, (came, went) in _sums(links).items():
        sort = place.partition(":")[0]
        if sort in (KIND, GRADE) and came != went:
            kept = "whole" if sort == KIND else RESIDUE if place == f"{GRADE}:{RESIDUE}" else "bins"
            link = (place, kept) if came > went else (f"{kept}-before", place)
            whole[link] += abs(came - went)
    return whole


def _sums(links: Links) -> dict[str, tuple[int, int]]:
    """What came in and went out, by place."""
    came, went = Counter[str](), Counter[str]()
    for (source, target), mg in links.items():
        went[source] += mg
        came[target] += mg
    return {place: (came[place], went[place]) for place in {**came, **went}}


def _together(links: Links, most: int | None) -> tuple[Links, dict[str, int]]:
    """The lighter places of each sort as one."""
    if most is None:
        return links, {}
    merged: dict[str, str] = {}
    hidden: dict[str, int] = {}
    sums = _sums(links)
    for sort in (KIND, GRADE, BUYER):
        heaviest = sorted((p for p in sums if p.startswith(f"{sort}:")), key=lambda p: (-max(sums[p]), p))
        rest = heaviest[most:] if len(heaviest) > most + 1 else []  # one alone needs no other name
        merged |= dict.fromkeys(rest, f"{sort}-{OTHER}")
        hidden |= {sort: len(rest)} if rest else {}
    sums_together: Counter[tuple[str, str]] = Counter()
    for (source, target), mg in links.items():
        sums_together[merged.get(source, source), merged.get(target, target)] += mg
    return sums_together, hidden


def _called(place: str, names: FlowNames, hidden: Mapping[str, int]) -> tuple[str, str]:
    """Sort and name of a place."""
    sort, colon, name = place.partition(":")
    if not colon:
        together = place.removesuffix(f"-{OTHER}")
        return (
            (together, f"{hidden[together]} more {together}s") if together in hidden else ("rim", RIM.get(place, place))
        )
    known = {KIND: names.kinds, GRADE: names.grades, BUYER: names.buyers}[sort]
    return ("tip" if sort == BUYER and name in names.tips else sort), known.get(name) or name or f"no known {sort}"


@dataclass(frozen=True, slots=True)
class Rows:
    """All that goes out of one place, heaviest first."""

    place: FlowPlace
    to: tuple[tuple[FlowPlace, int], ...]


def rows_of(flows: Flows) -> dict[str, tuple[Rows, ...]]:
    """The links as rows by the sort of their source (kind, grade, rim), the heaviest sources first."""
    out: dict[str, list[tuple[FlowPlace, int]]] = {}
    for link in flows.links:
        out.setdefault(link.source, []).append((flows.places[link.target], link.mg))
    return {
        sort: tuple(Rows(place, tuple(out[place.id])) for place in flows.of(sort) if place.id in out)
        for sort in (KIND, GRADE, "rim")
    }
