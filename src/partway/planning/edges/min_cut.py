"""The least cut between two places of a small undirected graph, by the largest flow between them.

Dinic, "Algorithm for solution of a problem of maximum flow in networks with power estimation", Soviet Mathematics
Doklady 11, 1970: shortest paths by breadth first, filled one layer after another. That the largest flow is the least
cut: Ford and Fulkerson, Canadian Journal of Mathematics 8, 1956.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

LEAST = 1e-9  # capacity that still counts

Edge = tuple[int, int, float]


class Network:
    """Undirected edges with capacities over nodes 0 .. size - 1; asked for many cuts, one after another."""

    def __init__(self, size: int, edges: Iterable[Edge]) -> None:
        self.size = size
        self.ends: list[int] = []
        self.full: list[float] = []  # capacity of arc a; a ^ 1 is the same edge the other way
        self.arcs: list[list[int]] = [[] for _ in range(size)]
        for a, b, most in edges:
            self.add(a, b, most, most)

    def add(self, a: int, b: int, there: float, back: float = 0.0) -> None:
        """Add an arc from a to b, and the way back; arcs of no capacity either way are left out."""
        if a != b and max(there, back) > LEAST:
            self.arcs[a].append(len(self.ends))
            self.arcs[b].append(len(self.ends) + 1)
            self.ends += [b, a]
            self.full += [there, back]

    def cut(self, source: int, sink: int, enough: float = float("inf")) -> tuple[float, frozenset[int]]:
        """Capacity of the least cut, and the nodes on the source's side.

        Once the flow reaches `enough` the answer is that flow and no nodes: no cut is smaller.
        """
        flow, sides = self.nearest(source, sink, enough)
        return flow, sides[0] if sides else frozenset()

    def nearest(self, source: int, sink: int, enough: float = float("inf")) -> tuple[float, list[frozenset[int]]]:
        """The same with the nodes on the source's side of the least cut nearest to it and of the one nearest to the
        sink, where that is another.
        """
        left, flow = list(self.full), 0.0
        while True:
            layer = self._layers(left, source)
            if layer[sink] < 0:
                return flow, list(dict.fromkeys((_reached(layer), self._not_behind(left, sink))))
            at = [0] * self.size
            while flow < enough:
                more = self._augment(left, layer, at, source, sink)
                if more <= LEAST:
                    break
                flow += more
            if flow >= enough:
                return flow, []

    def _not_behind(self, left: list[float], sink: int) -> frozenset[int]:
        """The nodes from which nothing more could be sent to the sink."""
        behind, waiting = {sink}, deque([sink])
        while waiting:
            for arc in self.arcs[waiting.popleft()]:
                end = self.ends[arc]
                if left[arc ^ 1] > LEAST and end not in behind:
                    behind.add(end)
                    waiting.append(end)
        return frozenset(range(self.size)) - behind

    def _layers(self, left: list[float], source: int) -> list[int]:
        layer = [-1] * self.size
        layer[source] = 0
        waiting = deque([source])
        while waiting:
            node = waiting.popleft()
            for arc in self.arcs[node]:
                end = self.ends[arc]
                if left[arc] > LEAST and layer[end] < 0:
                    layer[end] = layer[node] + 1
                    waiting.append(end)
        return layer

    def _augment(self, left: list[float], layer: list[int], at: list[int], source: int, sink: int) -> float:
        """Send what fits along one path through the layers; `at` is the next arc to try at each node."""
        path: list[int] = []
        node = source
        while node != sink:
            while at[node] < len(self.arcs[node]):
                arc = self.arcs[node][at[node]]
                if left[arc] > LEAST and layer[self.ends[arc]] == layer[node] + 1:
                    break
                at[node] += 1
            else:
                if not path:
                    return 0.0
                node = self.ends[path.pop() ^ 1]
                at[node] += 1
                continue
            path.append(arc)
            node = self.ends[arc]
        most = min(left[arc] for arc in path)
        for arc in path:
            left[arc] -= most
            left[arc ^ 1] += most
        return most


def _reached(layer: list[int]) -> frozenset[int]:
    return frozenset(n for n, at in enumerate(layer) if at >= 0)


def components(size: int, edges: Iterable[tuple[int, int]]) -> list[frozenset[int]]:
    """The nodes in groups that the edges join, each of two nodes or more."""
    group = list(range(size))

    def root(node: int) -> int:
        while group[node] != node:
            group[node] = group[group[node]]
            node = group[node]
        return node

    for a, b in edges:
        group[root(a)] = root(b)
    found: dict[int, set[int]] = {}
    for node in range(size):
        found.setdefault(root(node), set()).add(node)
    return [frozenset(nodes) for nodes in found.values() if len(nodes) > 1]
