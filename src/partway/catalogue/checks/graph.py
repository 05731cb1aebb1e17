"""The shape of an anatomy: which piece comes out of which, by ids alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from typing import NamedTuple

from partway.catalogue.reading.messages import suggestion
from partway.quantities import shown
from partway.things.anatomy import Operation


class GraphOpening(NamedTuple):
    """One operation as the graph sees it."""

    id: str
    on: str
    gives: tuple[str, ...]


class Flaw(NamedTuple):
    """Something that does not hold: what was given, what was expected, the place and the piece.

    `difference` is in kg where masses are concerned.
    """

    given: str
    expected: str
    place: str
    piece: str
    difference: float | None = None


def edges_of(pieces: Iterable[str], openings: Iterable[GraphOpening]) -> dict[str, list[str]]:
    """For each piece, everything that some operation takes straight out of it."""
    edges: dict[str, list[str]] = {piece: [] for piece in pieces}
    for opening in openings:
        edges[opening.on].extend(opening.gives)
    return edges


def openings_of(operations: Iterable[Operation]) -> list[GraphOpening]:
    """Operations as the graph sees them."""
    return [GraphOpening(op.id, op.on, tuple(gives.piece for gives in op.gives)) for op in operations]


def repeated(names: Iterable[str]) -> str | None:
    """The first name that occurs more than once."""
    return next((name for name, times in Counter(names).items() if times > 1), None)


def first_cycle(edges: Mapping[str, Sequence[str]]) -> list[str] | None:
    """A cycle of a directed graph, its first name repeated at the end; None if acyclic."""
    try:
        TopologicalSorter(edges).prepare()
    except CycleError as error:
        against: list[str] = error.args[1]  # graphlib reads edges as "comes after", so this runs backwards
        return against[::-1]
    return None


def whole_first(edges: Mapping[str, Sequence[str]]) -> list[str]:
    """The nodes of an acyclic graph, each before all that comes out of it."""
    return list(TopologicalSorter(edges).static_order())[::-1]


def reachable(first: str, edges: Mapping[str, Sequence[str]]) -> set[str]:
    """Everything that comes out of `first`, itself included."""
    seen, todo = {first}, [first]
    while todo:
        for node in edges.get(todo.pop(), ()):
            if node not in seen:
                seen.add(node)
                todo.append(node)
    return seen


def shape_flaws(root: str, pieces: Sequence[str], openings: Sequence[GraphOpening]) -> Iterable[Flaw]:
    """What is wrong with the graph; `root` names the anatomy in messages."""
    for what, ids in (("piece", pieces), ("operation", [o.id for o in openings])):
        if twice := repeated(ids):
            yield Flaw(f"{shown(twice)} twice", f"each {what} once", f"{root}.{what}[{twice}]", twice)
            return
    all_known = True
    for flaw in _unknown_pieces(root, pieces, openings):
        all_known = False
        yield flaw
    if all_known:
        yield from _graph_flaws(root, pieces, openings)


def _unknown_pieces(root: str, pieces: Sequence[str], openings: Sequence[GraphOpening]) -> Iterable[Flaw]:
    known = set(pieces)
    for opening in openings:
        place = f"{root}.operation[{opening.id}]"
        for field, names in (("on", (opening.on,)), ("gives", opening.gives)):
            for name in names:
                if name not in known:
                    expected = f"a piece of this anatomy{suggestion(name, pieces)}"
                    yield Flaw(shown(name), expected, f"{place}.{field}", opening.on)
        if twice := repeated(opening.gives):
            yield Flaw(f"{shown(twice)} twice", "each piece once, with a count", f"{place}.gives", twice)


def _graph_flaws(root: str, pieces: Sequence[str], openings: Sequence[GraphOpening]) -> Iterable[Flaw]:
    edges = edges_of(pieces, openings)
    if cycle := first_cycle(edges):
        yield Flaw(" -> ".join(cycle), "no piece that contains itself", f"{root}.operation", cycle[0])
        return
    for opening in openings:
        if pieces[0] in opening.gives:
            place = f"{root}.operation[{opening.id}].gives"
            expected = "the first piece, which is the whole, to come out of no operation"
            yield Flaw(shown(pieces[0]), expected, place, pieces[0])
    reached = reachable(pieces[0], edges)
    for piece in pieces:
        if piece not in reached:
            expected = f"a piece that some operation gives, starting from {shown(pieces[0])}"
            yield Flaw(shown(piece), expected, f"{root}.piece[{piece}]", piece)
