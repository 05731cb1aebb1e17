"""What operations that come one after another are held to: names there are, one piece, no ring, required ones first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from partway.catalogue.checks.graph import Flaw, first_cycle, repeated
from partway.catalogue.reading.messages import suggestion
from partway.catalogue.reading.steps import MOST_LEFT, After, StepGroup, step_groups
from partway.quantities import shown
from partway.things.anatomy import Operation

if TYPE_CHECKING:
    from partway.catalogue.reading.forms import PieceForm

LONGEST = 80  # characters of an id


def step_flaws(operations: Sequence[Operation], after: After, rows: Mapping[str, PieceForm], root: str) -> list[Flaw]:
    """Everything that `after` is refused for; the names first, since the rest presumes them.

    None where an id is used twice, which is refused anyhow.
    """
    if repeated([op.id for op in operations]):
        return []
    named = [flaw for op in operations for flaw in _name_flaws(op, operations, after, root)]
    if named:
        return named
    if cycle := first_cycle({op.id: after[op.id] for op in operations}):
        on = next(op.on for op in operations if op.id == cycle[0])
        expected = "no operation that comes after itself"
        return [Flaw(" after ".join(cycle), expected, f"{root}.operation[{cycle[0]}].after", on)]
    return [flaw for group in step_groups(operations, after) for flaw in _group_flaws(group, rows, root)]


def _name_flaws(operation: Operation, operations: Sequence[Operation], after: After, root: str) -> Iterator[Flaw]:
    place = f"{root}.operation[{operation.id}].after"
    opens = {op.id: op.on for op in operations}
    if twice := repeated(after[operation.id]):
        yield Flaw(f"{shown(twice)} twice", "each operation once", place, operation.on)
    for step in after[operation.id]:
        if step not in opens:
            expected = f"an operation of this anatomy that is no question{suggestion(step, opens)}"
            yield Flaw(shown(step), expected, place, operation.on)
        elif opens[step] != operation.on:
            given = f"{shown(step)}, which is done to {shown(opens[step])}"
            yield Flaw(given, f"an operation on {shown(operation.on)} as well", place, operation.on)


def _group_flaws(group: StepGroup, rows: Mapping[str, PieceForm], root: str) -> Iterator[Flaw]:
    row = rows.get(group.on)
    if row is not None and row.like is not None:
        expected = "steps in the file of the component, or a piece that is not `like` one"
        yield Flaw(f"steps on a piece like {shown(row.like)}", expected, f"{root}.piece[{group.on}].like", group.on)
    if len(group.states) > MOST_LEFT:
        given = f"{len(group.steps)} steps that leave more than {MOST_LEFT} different pieces"
        expected = "fewer steps, or steps that come one after another"
        yield Flaw(given, expected, f"{root}.operation", group.on)
        return
    for op in group.operations:
        place = f"{root}.operation[{op.id}]"
        yield from _step_flaws(group, op, rows, place)
        yield from _required_flaws(group, op, place)
    names = [group.left(done) for done in group.states]
    names += [group.run(op, done) for done in group.states for op in group.possible(done)]
    if len(longest := max(names, key=len)) > LONGEST:
        expected = f"shorter ids of the piece and its steps: at most {LONGEST} characters together"
        yield Flaw(shown(longest), expected, f"{root}.operation", group.on)


def _step_flaws(group: StepGroup, op: Operation, rows: Mapping[str, PieceForm], place: str) -> Iterator[Flaw]:
    for one in op.gives if op.id in group.steps else ():
        if one.piece in rows and rows[one.piece].mass_kg == "rest":
            expected = f"a mass in kg of {shown(one.piece)}: what a step leaves is worked out from what it takes off"
            yield Flaw('"rest"', expected, f"{place}.gives", one.piece)


def _required_flaws(group: StepGroup, op: Operation, place: str) -> Iterator[Flaw]:
    """No sale may slip past what is required, and nothing may wait for what can never be done."""
    required = {one.id for one in group.operations if one.required}
    missing = sorted(set(after) - required) if op.required and (after := group.after[op.id]) else []
    if missing:
        expected = f"{shown(missing[0])} required as well: it comes before {shown(op.id)}"
        yield Flaw("a required operation after one that is not", expected, f"{place}.after", group.on)
    if op.id in group.steps:
        return
    first = set(group.steps) if op.required else required & set(group.steps)
    if missing := sorted(first - group.before(op.id)):
        why = "all steps" if op.required else "the required steps"
        expected = f"also {shown(missing[0])}, since {why} come before it"
        given = ", ".join(map(shown, group.after[op.id])) or "nothing"
        yield Flaw(given, expected, f"{place}.after", group.on)
