"""Operations that come one after another on one piece: both covers off before the motor comes out.

An operation that another one comes `after` is a step: it takes off what it gives and leaves the piece, lighter. Every
set of steps that can be done at some time leaves a piece of its own, so all that counts with pieces (depth, plan,
checks) counts with it, and one may stop anywhere. The order of steps within a set changes neither work nor pieces, so
each set is reached in one order; only required steps stand in any. An operation that is no step opens all that the
steps before it leave.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING

from partway.catalogue.checks.graph import repeated
from partway.things.anatomy import AFTER, Gives, Operation
from partway.things.traits import shown_name

if TYPE_CHECKING:
    from partway.catalogue.reading.forms import PieceForm

After = Mapping[str, Sequence[str]]  # of each operation: those that have to be done before it
Done = frozenset[str]  # steps
NONE_DONE: Done = frozenset()
MOST_LEFT = 32  # what steps on one piece may leave, the piece itself included


@dataclass(frozen=True)
class StepGroup:
    """The operations on one piece, in the order of the file, and those that each of them comes after."""

    on: str
    operations: tuple[Operation, ...]
    after: After

    @cached_property
    def steps(self) -> tuple[str, ...]:
        """Those that another one comes after, in the order in which they are done: what is required goes first."""
        named = {step for op in self.operations for step in self.after[op.id]}
        steps = [op for op in self.operations if op.id in named]
        return tuple(op.id for op in sorted(steps, key=lambda op: (not op.required, len(self.before(op.id)))))

    @property
    def names(self) -> set[str]:
        """The piece and all that its operations give."""
        return {self.on, *(one.piece for op in self.operations for one in op.gives)}

    def before(self, operation: str) -> Done:
        """All steps that have to be done before an operation, also those before its steps. There is no cycle."""
        found: set[str] = set()
        waiting = list(self.after[operation])
        while waiting:
            step = waiting.pop()
            if step not in found:
                found.add(step)
                waiting.extend(self.after[step])
        return frozenset(found)

    @cached_property
    def states(self) -> list[Done]:
        """Every set of steps that can be done at some time, fewer first; one too many is enough to know."""
        found = [NONE_DONE]
        for done in found:
            if len(found) <= MOST_LEFT:
                left = (done | {step} for step in self.possible(done))
                found.extend(one for one in left if one not in found)
        return found

    def possible(self, done: Done) -> list[str]:
        """The steps that may come next, all before them done: while some are required those, in any order, so that no
        sale slips past them; then those behind the last one that was done.
        """
        required = {op.id for op in self.operations if op.required}
        next_ones = [step for step in self.steps if step in required - done]
        if not next_ones:
            behind = max((self.steps.index(step) + 1 for step in done), default=0)
            next_ones = list(self.steps[behind:])
        return [step for step in next_ones if set(self.after[step]) <= done]

    def left(self, done: Done) -> str:
        """The id of what steps leave of the piece."""
        return self._named(self.on, done)

    def run(self, operation: str, done: Done) -> str:
        """The id of an operation once more steps are done than it needs."""
        return operation if done == self.before(operation) else self._named(operation, done)

    def _named(self, name: str, done: Done) -> str:
        return f"{name}{AFTER}{'+'.join(step for step in self.steps if step in done)}" if done else name


def step_groups(operations: Sequence[Operation], after: After) -> list[StepGroup]:
    """The operations by the piece they open, where some come after others."""
    by_piece = groupby(sorted(operations, key=lambda op: op.on), key=lambda op: op.on)
    groups = [StepGroup(on, tuple(ops), after) for on, ops in by_piece]
    return [group for group in groups if group.steps]


def with_steps(
    operations: Sequence[Operation], after: After, rows: Mapping[str, PieceForm]
) -> tuple[list[Operation], dict[str, PieceForm]]:
    """The operations, none of them after another, and the pieces that steps leave.

    Where names are used twice or unknown, nothing can be told apart: they stay as they are, for other checks to refuse.
    """
    if repeated([op.id for op in operations]):
        return list(operations), {}
    groups = {group.on: group for group in step_groups(operations, after) if group.names <= set(rows)}
    work = [one for op in operations for one in (_runs(groups[op.on], op) if op.on in groups else [op])]
    left = {row.id: row for group in groups.values() for row in _left(group, rows)}
    return work, left


def _runs(group: StepGroup, operation: Operation) -> Iterator[Operation]:
    """A step at everything that it can be done to, or the one run of an operation that opens what is left."""
    if operation.id not in group.steps:
        yield replace(operation, on=group.left(group.before(operation.id)))
        return
    for done in group.states:
        if operation.id in group.possible(done):
            gives = (*operation.gives, Gives(group.left(done | {operation.id})))
            yield replace(operation, id=group.run(operation.id, done), on=group.left(done), gives=gives)


def _left(group: StepGroup, rows: Mapping[str, PieceForm]) -> Iterator[PieceForm]:
    """What steps leave goes as the piece goes, by the same shares, but not as a part: it is not whole any more."""
    from partway.catalogue.reading.forms import PieceForm

    row = rows[group.on]
    for done in group.states:
        if done and group.left(done) not in rows:
            sells = row.sells
            if sells is not None and _all_required(group, done):
                sells = [sale for sale in sells if not sale.before_required]
            name = f"{_called(row)} without {_taken(group, done, rows)}"
            yield PieceForm.model_construct(id=group.left(done), name=name, mass_kg="rest", sells=sells, note=row.note)


def _all_required(group: StepGroup, done: Done) -> bool:
    """Whether there are required operations, and all of them are done."""
    required = {op.id for op in group.operations if op.required}
    return bool(required) and required <= done


def _taken(group: StepGroup, done: Done, rows: Mapping[str, PieceForm]) -> str:
    """What steps took off, in words."""
    names = [_called(rows[one.piece]) for op in group.operations if op.id in done for one in op.gives]
    small = [name[:1].lower() + name[1:] if name[1:2].islower() else name for name in dict.fromkeys(names)]
    return " and ".join(filter(None, [", ".join(small[:-1]), small[-1]]))


def _called(row: PieceForm) -> str:
    return row.name or shown_name(row.id)
