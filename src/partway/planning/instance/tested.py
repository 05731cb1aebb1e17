"""Finding out whether a find works, as an operation on the whole of it: a question whose answers are worth different
things.

A find of unknown condition whose kind has a chance to work and the minutes that a test takes is asked "does it work?".
Of many such finds the share `chance` gives the answer that it works: parts that need it to are sold from there alone.
The others give the answer that it does not. Each answer has pieces of its own, copies of those of the kind that count
by the share of their answer, so the depth of a find, the plan, the draws and the check weigh a test as they weigh
every other question. Untested it may be sold and opened as well.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from partway.planning.instance.allowed import allowed_operations
from partway.things.anatomy import Anatomy, Gives, Known, Operation, Piece
from partway.things.estimate import Estimate
from partway.things.scenario import Find

TEST = "test"
REMEMBERED = 8  # chances for which a kind keeps how it comes apart behind its test
WORKS, FAILS = "works", "broken"
ASK = "Does it work?"
SAID: dict[Known, tuple[str, str]] = {"yes": (WORKS, "it works"), "no": (FAILS, "it does not work")}


def planned(anatomy: Anatomy, find: Find) -> Anatomy:
    """How a find comes apart, with the test of it where that could matter."""
    chance = chance_of(anatomy, find)
    if find.works != "unknown" or chance is None or anatomy.test_minutes is None:
        return anatomy
    known = anatomy.tested_at
    found = known.get(chance)
    if found is None:
        found = with_test(anatomy, chance, anatomy.test_minutes)
        if len(known) >= REMEMBERED:
            known.clear()  # another thread may do so at any moment: what is given back is never read from there
        known[chance] = found
    return found


def chance_of(anatomy: Anatomy, find: Find) -> float | None:
    """How likely it is that a find works, where nobody tested it: what is said of it, else of its kind."""
    return anatomy.works if find.chance is None else find.chance


def with_test(anatomy: Anatomy, chance: float, minutes: Estimate) -> Anatomy:
    """The anatomy with the test on its whole. As it was, where no part needs it to work or it is sure not to."""
    if chance <= 0.0 or not needs_work(anatomy):
        return anatomy
    answers = [_Answer(anatomy, "yes", min(chance, 1.0), _useful(anatomy))]
    if chance < 1.0:
        answers.append(_Answer(anatomy, "no", 1.0 - chance, lambda _: True))
    return replace(
        anatomy,
        pieces=(*anatomy.pieces, *(piece for answer in answers for piece in answer.pieces())),
        operations=(
            *anatomy.operations,
            _test(anatomy, minutes, answers),
            *(op for answer in answers for op in answer.operations()),
        ),
    )


def needs_work(anatomy: Anatomy) -> bool:
    """Whether anything of it is sold only if it works."""
    return any(part.needs == "works" for piece in anatomy.pieces for part in piece.parts)


def piece_name(anatomy: Anatomy, piece: str) -> str:
    """What a kind calls a piece of a plan, one behind a test of it too. KeyError where it has no such piece."""
    for state, _ in SAID.values():
        answer = f"{anatomy.whole.id}.{state}"
        if piece == answer:
            return f"{anatomy.name}, {state}"
        if piece.startswith(f"{answer}."):
            return f"{anatomy.piece(piece.removeprefix(f'{answer}.')).name} ({anatomy.name}, {state})"
    return anatomy.name if piece == anatomy.whole.id else f"{anatomy.piece(piece).name} ({anatomy.name})"


def _test(anatomy: Anatomy, minutes: Estimate, answers: list[_Answer]) -> Operation:
    return Operation(
        id=TEST,
        name=ASK,
        on=anatomy.whole.id,
        minutes=minutes,
        gives=tuple(Gives(answer.id) for answer in answers),
        loss=0.0,
        asks=True,
        tests=True,
    )


def _useful(anatomy: Anatomy) -> Callable[[Operation], bool]:
    """Whether an operation leads to a part that needs the find to work.

    What works and is then opened for nothing that needs it to was tested in vain: the same is had untested.
    """
    wanted: dict[str, bool] = {}

    def holds(piece: str) -> bool:
        if piece not in wanted:
            own = any(part.needs == "works" for part in anatomy.piece(piece).parts)
            wanted[piece] = own or any(leads(op) for op in anatomy.operations_on(piece))
        return wanted[piece]

    def leads(operation: Operation) -> bool:
        return any(holds(give.piece) for give in operation.gives)

    return leads


@dataclass(frozen=True)
class _Answer:
    """One answer: the whole as it turns out to be, and what can be done with it then."""

    anatomy: Anatomy
    works: Known
    share: float
    useful: Callable[[Operation], bool]

    @property
    def id(self) -> str:
        return f"{self.anatomy.whole.id}.{SAID[self.works][0]}"

    def of(self, piece: str) -> str:
        """The id here of a piece of the kind."""
        return self.id if piece == self.anatomy.whole.id else f"{self.id}.{piece}"

    def pieces(self) -> Iterator[Piece]:
        there = {self.anatomy.whole.id} | {give.piece for op in self._kept for give in op.gives}
        for piece in self.anatomy.pieces:
            if piece.id in there:
                yield self._copy(piece)

    def _copy(self, piece: Piece) -> Piece:
        asked = None if piece.answer_to is None else self.of(piece.answer_to)
        copy = replace(
            piece,
            id=self.of(piece.id),
            answer_to=asked,
            share=piece.share * self.share,
            like=piece.id,
            works=self.works,
        )
        if piece is not self.anatomy.whole:
            return copy
        known, answer = SAID[self.works]
        return replace(copy, name=f"{self.anatomy.name}, {known}", answer_to=piece.id, answer=answer)

    def operations(self) -> Iterator[Operation]:
        """Copies by the same id, so that they go by the same name."""
        for op in self._kept:
            gives = tuple(Gives(self.of(give.piece), give.count) for give in op.gives)
            yield replace(op, on=self.of(op.on), gives=gives)

    @cached_property
    def _kept(self) -> tuple[Operation, ...]:
        """What may be done: from the whole on, the useful operations and all that follows them."""
        anatomy, kept = self.anatomy, list[Operation]()
        waiting, seen = [(anatomy.whole.id, False)], set[str]()
        while waiting:
            piece, inside = waiting.pop(0)
            if piece in seen:
                continue
            seen.add(piece)
            for op in allowed_operations(anatomy, piece):
                if inside or self.useful(op):
                    kept.append(op)
                    waiting += [(give.piece, True) for give in op.gives]
        return tuple(kept)
