"""Ribbons between places in columns: each leaves and arrives beside its neighbours, as thick as what it carries."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from partway.valuing.ends.flows import Link
from partway.web.drawings.axes import WIDE

THICK = 9.0  # pixels of a place
LEFTS = (0.0, 130.0, WIDE - THICK)
THINNEST = 0.5  # what can still be seen

Key = tuple[int, str, bool]  # column, place, whether it is a gap


@dataclass(frozen=True, slots=True)
class Slot:
    """A place in its column, or a gap that ribbons to the end `id` pass through; `y` is its top."""

    id: str
    mg: int
    gap: bool = False
    y: float = 0.0


@dataclass(frozen=True, slots=True)
class Ribbon:
    """Milligrams from one place to another: its path, and where it leaves and arrives (the upper edge)."""

    source: str
    target: str
    mg: int
    path: str
    leaves: float
    arrives: float


@dataclass(frozen=True, slots=True)
class _Hop:
    """A ribbon from one column to the next."""

    link: Link
    start: Key
    end: Key


def ribbons(
    links: Iterable[Link], at: Mapping[str, int], placed: Sequence[Sequence[Slot]], per_mg: float
) -> Iterable[Ribbon]:
    """A ribbon for each link; `at` are the columns of the places, `placed` the places themselves."""
    tops = {(n, slot.id, slot.gap): slot.y for n, of in enumerate(placed) for slot in of}
    order = {key: n for n, key in enumerate(sorted(tops, key=lambda key: (key[0], tops[key])))}
    ways = {(link.source, link.target): _hops(link, at) for link in links}
    hops = [hop for way in ways.values() for hop in way]

    def own(hop: _Hop) -> int:
        return order[at[hop.link.source], hop.link.source, False]

    leave = _stacked(hops, lambda hop: hop.start, lambda hop: (order[hop.end], own(hop)), tops, per_mg)
    arrive = _stacked(hops, lambda hop: hop.end, lambda hop: (order[hop.start], own(hop)), tops, per_mg)
    for way in ways.values():
        link = way[0].link
        path = "".join(_path(hop, leave[hop], arrive[hop], link.mg * per_mg) for hop in way)
        yield Ribbon(link.source, link.target, link.mg, path, leave[way[0]], arrive[way[-1]])


def _hops(link: Link, at: Mapping[str, int]) -> list[_Hop]:
    """One hop, or two through the gap for its end."""
    start, end = (at[link.source], link.source, False), (at[link.target], link.target, False)
    gap = (1, link.target, True)
    return [_Hop(link, start, end)] if end[0] - start[0] == 1 else [_Hop(link, start, gap), _Hop(link, gap, end)]


def _stacked(
    hops: Iterable[_Hop],
    where: Callable[[_Hop], Key],
    order: Callable[[_Hop], tuple[int, int]],
    tops: Mapping[Key, float],
    per_mg: float,
) -> dict[_Hop, float]:
    """The upper edge of each ribbon at a place: one below another, from its top, in an order."""
    next_y, found = dict(tops), {}
    for hop in sorted(hops, key=order):
        found[hop] = next_y[where(hop)]
        next_y[where(hop)] += hop.link.mg * per_mg
    return found


def _path(hop: _Hop, start: float, end: float, thick: float) -> str:
    """A ribbon as a closed path, level where it leaves and arrives; through a gap it goes straight on."""
    x1 = LEFTS[hop.start[0]] + THICK
    x2 = LEFTS[hop.end[0]] + (THICK if hop.end[2] else 0.0)
    mid, thick = (x1 + x2) / 2.0, max(thick, THINNEST)
    a, b, c, d = (round(y, 2) for y in (start, end, end + thick, start + thick))
    return f"M{x1:g} {a:g}C{mid:g} {a:g} {mid:g} {b:g} {x2:g} {b:g}V{c:g}C{mid:g} {c:g} {mid:g} {d:g} {x1:g} {d:g}z"
