"""The test key for the pocket: from every place a piece may come from, for a light, a usual and a heavy one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from partway.actions.pocket.tree import Branches, Given, Nodes
from partway.actions.what.identifying import DEFAULT_KG, case_of, grades_in
from partway.catalogue import shipped
from partway.identify import ASIDE, Case, Proposal
from partway.reports.pocket.key import KeyEnd, KeyStart, KeyWhence
from partway.reports.what.identified import NO_BIN, likely
from partway.things.material import Grade
from partway.things.scenario import Scenario
from partway.things.testkey import KeyContext, Material

MASSES = {"light": 0.1, "usual": DEFAULT_KG, "heavy": 5.0}  # kg; between them a bin hardly ever changes
FEW = 3

Confirmed = Mapping[str, Mapping[str, int]]
Heard = Callable[[Case, Given, int], None]


@dataclass(frozen=True)
class Trees:
    """Everything that the trees are made from; `mass_words` says a mass in the workspace's unit."""

    scenario: Scenario | None
    confirmed: Confirmed
    mass_words: Callable[[float], str]
    heard: Heard = lambda case, given, node: None

    def all(self) -> tuple[tuple[KeyWhence, ...], Nodes]:
        """From where pieces may come, and the nodes."""
        nodes = Nodes()
        return tuple(self._whence(one, nodes) for one in shipped().key.contexts.values()), nodes

    def case(self, where: KeyContext, kg: float) -> Case:
        """A piece before any answer."""
        return case_of(self.scenario, where, kg, self.confirmed.get(where.id, {}))[0]

    def _whence(self, where: KeyContext, nodes: Nodes) -> KeyWhence:
        starts = []
        for name, kg in MASSES.items():
            case = self.case(where, kg)
            first = Branches(
                case, nodes, NodeSaid(case, grades_in(self.scenario)), seen=partial(self.heard, case)
            ).start()
            starts.append(KeyStart(name, f"{name}, about {self.mass_words(kg)}", first))
        return KeyWhence(where.id, where.name, tuple(starts))


@dataclass(frozen=True)
class NodeSaid:
    """What a node of a case says besides its question."""

    case: Case
    grades: Mapping[str, Grade]

    def careful(self, given: Given, asked: Proposal) -> tuple[str, ...]:
        """Cards of the test, then of what it may be."""
        return tuple(dict.fromkeys([*self.case.tests[asked.test].cautions, *_hazards(self.may_be(given))]))

    def end(self, given: Given) -> KeyEnd:
        """The bin, what it most likely is, and what to do with what no bin takes."""
        bin_, may_be = self.case.bin(given), self.may_be(given)
        hazards = [*_hazards(may_be), *(() if bin_ == ASIDE else self.grades[bin_].hazards)]
        more = [f"Most likely {', '.join(one.name for one in may_be[:FEW])}."]
        more += [f"{one.name}: {one.aside}." for one in may_be if one.aside]
        name = NO_BIN.capitalize() if bin_ == ASIDE else self.grades[bin_].name
        return KeyEnd(name, tuple(more), tuple(dict.fromkeys(hazards)))

    def may_be(self, given: Given) -> list[Material]:
        """What it may be after some answers."""
        return likely(self.case, self.case.posterior(given))


def _hazards(materials: list[Material]) -> list[str]:
    return [hazard for one in materials for hazard in one.cautions]
