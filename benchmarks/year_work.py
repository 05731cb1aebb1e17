"""One thing at the bench: how long it really takes to open, and what the pieces really weigh."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import exp
from typing import TYPE_CHECKING

from year_offers import offer
from year_things import Thing
from year_truth import MG, ONE_SHARE, Kind, sd_of

from partway.planning.instance.allowed import allowed_operations
from partway.things.anatomy import Anatomy, Operation, Piece

if TYPE_CHECKING:
    from year_shed import Shed

# What is done with a piece: ("open", operation id), ("part", number), ("bin", grade) or ("keep", "")
Act = tuple[str, str]
Choose = Callable[[Thing, str], Act]


def of_kind(piece: Piece) -> str:
    """The id that the kind itself has for a piece, also behind a test."""
    return getattr(piece, "like", "") or piece.id


@dataclass(frozen=True)
class Work:
    """A thing being taken apart as `choose` says, by the pieces of `anatomy`."""

    shed: Shed
    thing: Thing
    choose: Choose
    anatomy: Anatomy
    runs: list[str] = field(default_factory=list)
    took: list[float] = field(default_factory=list)

    def minutes(self) -> float:
        """What all of it took."""
        return sum(self.took)

    @property
    def kind(self) -> Kind:
        """As it really is."""
        return self.shed.kind(self.thing)

    def handle(self, piece: Piece, mg: int) -> None:
        """Do with one piece what is chosen."""
        sort, what = self.choose(self.thing, piece.id)
        own = of_kind(piece)
        if sort == "open":
            operation = next(o for o in self.anatomy.operations_on(piece.id) if o.id == what)
            self._open(piece, operation, mg)
        elif sort == "part":
            offer(self.shed, self.thing, own, int(what), mg)
        elif sort == "keep" and own == self.anatomy.whole.id:
            self.shed.things.append(self.thing)  # tested, and then left whole
        else:
            self.shed.into_bin(self.thing, own, what or self.shed.bin_of(self.thing, own), mg)

    def _open(self, piece: Piece, operation: Operation, mg: int) -> None:
        if getattr(operation, "tests", False):
            self.shed.test(self.thing)
            answers = self.anatomy.answers_to(piece.id)
            self.handle(next(a for a in answers if getattr(a, "works", None) == self.thing.known), mg)
            return
        if operation.id not in {op.id for op in allowed_operations(self.kind.guess, of_kind(piece))}:
            raise AssertionError(f"{operation.id} of {self.thing.kind} may not come now")
        luck = exp(ONE_SHARE * sd_of(operation.minutes) * self.thing.z("minutes", operation.id))
        minutes = self.kind.minutes[operation.id] * luck
        self.shed.work(minutes / 60.0, "open")
        self.shed.pay(-operation.cost, "cost")
        self.shed.seen.minutes.setdefault((self.thing.kind, operation.id), []).append(minutes)
        self.runs.append(operation.id)
        self.took.append(minutes)
        if operation.asks:
            self.handle(self._answer(piece), mg)
            return
        self.shed.counts["opened"] += 1
        for child, child_mg in self._pieces(operation, mg):
            self.shed.seen.masses.setdefault((self.thing.kind, of_kind(child)), []).append(child_mg / MG)
            self.handle(child, child_mg)

    def _answer(self, piece: Piece) -> Piece:
        """What this thing's piece turns out to be."""
        answers = self.anatomy.answers_to(piece.id)
        luck = self.thing.chance("answer", of_kind(piece)) * sum(a.share for a in answers)
        for answer in answers:
            luck -= answer.share
            if luck <= 0.0:
                return answer
        return answers[-1]

    def _pieces(self, operation: Operation, mg: int) -> list[tuple[Piece, int]]:
        """What comes out, in milligrams that add up to what was opened."""
        out = [self.anatomy.piece(give.piece) for give in operation.gives for _ in range(give.count)]
        weights = [self.kind.masses[own] * self._luck(own) for own in map(of_kind, out)]
        masses = [int(mg * weight / sum(weights)) for weight in weights]
        masses[weights.index(max(weights))] += mg - sum(masses)
        return list(zip(out, masses, strict=True))

    def _luck(self, own: str) -> float:
        mass = self.kind.guess.in_hand(own).mass
        return exp(ONE_SHARE * sd_of(mass) * self.thing.z("mass", own))
