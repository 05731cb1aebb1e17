"""Operations run on a find: in an order that its anatomy allows, required removals first."""

from __future__ import annotations

from collections.abc import Sequence

from partway.actions.recording.parts import part_named
from partway.errors import Refused
from partway.ledger.events.kinds import Run
from partway.things.anatomy import Anatomy, Operation


def runs_of(anatomy: Anatomy, given: Sequence[str], times: int, before: Sequence[Run]) -> tuple[Run, ...]:
    """The operations named, each on all of a piece that are there by then, `times` whole ones. Raises Refused.

    A question is no run: it takes nothing apart, and where its piece goes says what the answer was. What is done to an
    answer is done to the piece that was asked about.
    """
    done = [*before]
    for name in given:
        operation = _operation(anatomy, name)
        _check_there(anatomy, operation, done)
        if operation.asks:
            continue
        _check_required(anatomy, operation, done)
        on = anatomy.in_hand(operation.on).id
        done.append(Run(on, operation.id, yields(anatomy, done).get(on, times)))
    return tuple(done[len(before) :])


def removed(anatomy: Anatomy, done: Sequence[Run]) -> frozenset[str]:
    """Pieces on which every required operation has been run."""
    run = {r.operation for r in done}
    required = [op for op in anatomy.operations if op.required]
    return frozenset(op.on for op in required if all(o.id in run for o in required if o.on == op.on))


def yields(anatomy: Anatomy, done: Sequence[Run]) -> dict[str, int]:
    """How many of each piece the operations give; nothing of one that an older catalogue had (`Before.known`)."""
    found: dict[str, int] = {}
    operations = {op.id: op for op in anatomy.operations}
    for run in done:
        for give in operations[run.operation].gives if run.operation in operations else ():
            found[give.piece] = found.get(give.piece, 0) + give.count * run.times
    return found


def loss_share(anatomy: Anatomy, runs: Sequence[Run]) -> float:
    """The share of a find that may go missing: the largest that the operations state, all of them if none was named."""
    named = {run.operation for run in runs}
    return max((op.loss for op in anatomy.operations if not named or op.id in named), default=0.0)


def _operation(anatomy: Anatomy, name: str) -> Operation:
    ids = {op.id: op for op in anatomy.operations}
    names = {op.id: op.name for op in anatomy.operations}
    return ids[part_named(name, names, f"operation on {anatomy.name.lower()}", "op")]


def _check_there(anatomy: Anatomy, operation: Operation, done: Sequence[Run]) -> None:
    on = anatomy.in_hand(operation.on).id
    if on == anatomy.whole.id or on in yields(anatomy, done):
        return
    makers = [op.id for op in anatomy.operations if any(give.piece == on for give in op.gives)]
    expected = f"first the operation that takes out {on}: {' or '.join(makers)}"
    raise Refused(operation.id, expected, "op")


def _check_required(anatomy: Anatomy, operation: Operation, done: Sequence[Run]) -> None:
    run = {r.operation for r in done}
    missing = [op for op in anatomy.operations_on(operation.on) if op.required and op.id not in run]
    if missing and not operation.required:
        raise Refused(operation.id, f"first {missing[0].id}: {missing[0].name}", "op")
