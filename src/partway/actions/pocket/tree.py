"""The test key worked out ahead: the engine's own next question after every answer, down to the bin.

Nothing is decided here. Each node asks what `Case.next_test` asks after the answers that lead to it, and an end names
the bin of `Case.bin`. What is rare is not worked out: its end says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import groupby
from typing import Protocol

from partway.identify import NOT_SURE, Answer, Case, Proposal
from partway.identify.spoken import read_answer
from partway.reports.pocket.key import KeyEnd, KeyQuestion
from partway.things.testkey import KeyTest

RARE = 3e-4  # a branch that fewer pieces than this come to is not worked out
UNSURE = 0.1  # of all answers are "not sure" (from memory, unverified): it says how rare what follows is, and no more
NOT_SURE_WORDS = "Not sure"
RARE_WORDS = "Rare: not worked out. Go back and say not sure, or set it aside."

Given = dict[str, Answer]
Node = KeyQuestion | KeyEnd


class NodeWords(Protocol):
    """What a node says besides its question."""

    def careful(self, given: Given, asked: Proposal) -> tuple[str, ...]:
        """The cards that come before a question."""
        ...

    def end(self, given: Given) -> KeyEnd:
        """The end after some answers."""
        ...


@dataclass
class Nodes:
    """Nodes by number, equal ones once."""

    all: list[Node] = field(default_factory=list)
    _numbers: dict[Node, int] = field(default_factory=dict)

    def number(self, node: Node) -> int:
        """The number of a node."""
        if node not in self._numbers:
            self._numbers[node] = len(self.all)
            self.all.append(node)
        return self._numbers[node]


@dataclass(frozen=True)
class Branches:
    """The tree of one case, written into `nodes`. `seen` hears of each set of answers that was worked out, with its
    node.
    """

    case: Case
    nodes: Nodes
    words: NodeWords
    rare: float = RARE
    seen: Callable[[Given, int], None] = lambda given, node: None

    def start(self) -> int:
        """The number of the first node."""
        return self._node({}, 1.0)

    def _node(self, given: Given, chance: float) -> int:
        if chance < self.rare:
            return self.nodes.number(KeyEnd(RARE_WORDS, (), ()))
        asked = self.case.next_test(given)
        found = self.nodes.number(self.words.end(given) if asked is None else self._question(given, asked, chance))
        self.seen(given, found)
        return found

    def _question(self, given: Given, asked: Proposal, chance: float) -> KeyQuestion:
        test = self.case.tests[asked.test]
        after = [
            (words, self._node({**given, test.id: answer}, chance * (1.0 - UNSURE) * share))
            for (words, answer), (_, share, _) in zip(answers_of(test, asked), asked.leads, strict=True)
        ]
        if test.measures:
            after = list(_joined(after))
        after.append((NOT_SURE_WORDS, self._node({**given, test.id: NOT_SURE}, chance * UNSURE)))
        return KeyQuestion(test.name, test.ask, self.words.careful(given, asked), tuple(after))


def answers_of(test: KeyTest, asked: Proposal) -> list[tuple[str, Answer]]:
    """The answers of a test in the order of its leads, each as it reads and as the engine takes it."""
    names = dict(test.answers)
    return [(names.get(answer, answer), read_answer(test, answer)) for answer, _, _ in asked.leads]


def _joined(after: list[tuple[str, int]]) -> Iterator[tuple[str, int]]:
    """Densities in a row that lead to the same node, as one answer."""
    for node, alike in groupby(after, key=lambda one: one[1]):
        densities = [words for words, _ in alike]
        ends = dict.fromkeys((densities[0], densities[-1]))
        yield f"{' to '.join(ends)} g/cm³", node
