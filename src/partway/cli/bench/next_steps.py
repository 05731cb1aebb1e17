"""What can be done next to a find that is being opened, from what was done so far: for whoever asks step by step."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from partway.things.anatomy import Anatomy, Operation, Piece


@dataclass(frozen=True, slots=True)
class UnderWay:
    """One find as it is being opened: pieces that are there, operations done, and the order that pays best (`plan`)."""

    anatomy: Anatomy
    there: frozenset[str]
    done: tuple[str, ...] = ()
    plan: tuple[str, ...] = ()

    def choices(self) -> tuple[Operation, ...]:
        """Operations that can be run now, what has to come first alone on its piece, the planned ones first."""
        found = []
        for piece in self.anatomy.pieces:
            if piece.id in self.there:
                on = [op for op in self.anatomy.operations_on(piece.id) if op.id not in self.done]
                found += [op for op in on if op.required] or on
        return tuple(sorted(found, key=self._place))

    def _place(self, operation: Operation) -> tuple[bool, int]:
        planned = operation.id in self.plan
        return not (planned or operation.required), self.plan.index(operation.id) if planned else 0

    @property
    def likely(self) -> Operation | None:
        """What comes next by the plan, or has to; None where nothing more pays."""
        return next((op for op in self.choices() if op.required or op.id in self.plan), None)

    def after(self, operation: Operation, answer: str = "") -> UnderWay:
        """Once an operation was run; of a question, once it was answered."""
        gives = {answer} - {""} if operation.asks else {give.piece for give in operation.gives}
        left = self.there if operation.asks and not answer else self.there - {operation.on}
        return UnderWay(self.anatomy, frozenset(left | gives), (*self.done, operation.id), self.plan)

    def opened_next(self, piece: Piece) -> bool:
        """Whether a piece is opened further by the plan, or has to be."""
        return any(op.id in self.plan or op.required for op in self.anatomy.operations_on(piece.id) if not op.asks)


def begin(anatomy: Anatomy, done: Sequence[str], there: Collection[str], plan: Sequence[str]) -> UnderWay:
    """A find of which some pieces are there, after what was done before."""
    return UnderWay(anatomy, frozenset(there), tuple(done), tuple(plan))
