"""Checks of tests in an instance: nothing counts as working but behind a test that says so, in its share of finds.

Straight from the kinds of the scenario, apart from how `instance.tested` makes the test.
"""

from __future__ import annotations

import math

from partway.errors import PlanUnsound
from partway.planning.instance.frozen import Group, Instance, Opening
from partway.things.anatomy import Anatomy, Operation, Piece

CLOSE = 1e-9


def check_tests(instance: Instance) -> None:
    """Every test and all that is behind it. Raises PlanUnsound on the first thing that does not follow."""
    for group in instance.groups:
        _group(instance.scenario.anatomies[group.find.kind], group)
    for n, node in enumerate(instance.nodes):
        if node.piece.works is not None:
            makers = [instance.openings[o] for o, _ in instance.makers_of[n]]
            holds = node.found == 0 and all(_says(instance, opening, node.piece) for opening in makers)
            _require(holds, f"{node.piece.id} is not behind a test")


def _require(holds: bool, what: str) -> None:
    if not holds:
        raise PlanUnsound(f"the plan failed its own check: {what}")


def _says(instance: Instance, opening: Opening, piece: Piece) -> bool:
    """Whether what comes out of an opening is known to be as the piece is."""
    return opening.operation.tests or instance.nodes[opening.node].piece.works == piece.works


def _group(kind: Anatomy, group: Group) -> None:
    own = {piece.id: piece for piece in kind.pieces}
    tests = [op for op in group.anatomy.operations if op.tests]
    answers = {give.piece: group.anatomy.piece(give.piece) for op in tests for give in op.gives}
    _require(len(tests) <= (group.find.works == "unknown"), f"{kind.kind}: a test of what is known")
    for op in tests:
        _test(kind, group, op, list(answers.values()))
    shares = {piece.works: piece.share for piece in answers.values()}
    for piece in group.anatomy.pieces:
        plain = own[piece.of_kind]
        same = (piece.mass, piece.sells, piece.parts, piece.stop) == (plain.mass, plain.sells, plain.parts, plain.stop)
        _require(same, f"{piece.id} is not the {plain.id} of {kind.kind}")
        share = plain.share * (shares.get(piece.works, 0.0) if piece.works else 1.0)
        _require(math.isclose(piece.share, share, rel_tol=CLOSE), f"{piece.id} counts for {piece.share:g} of finds")
    _operations(kind, group.anatomy)


def _test(kind: Anatomy, group: Group, op: Operation, answers: list[Piece]) -> None:
    chance = kind.works if group.find.chance is None else group.find.chance
    _require(op.on == kind.pieces[0].id and op.minutes == kind.test_minutes, f"{kind.kind}: not its test")
    _require(math.isclose(sum(p.share for p in answers), 1.0, rel_tol=CLOSE), f"{kind.kind}: answers are missing")
    works = sum(piece.share for piece in answers if piece.works == "yes")
    _require(chance is not None and math.isclose(works, chance, rel_tol=CLOSE), f"{kind.kind}: works in {works:g}")


def _operations(kind: Anatomy, anatomy: Anatomy) -> None:
    """What is done behind a test is what can be done to the kind."""
    like = {piece.id: piece.of_kind for piece in anatomy.pieces}
    known = {(op.id, op.on): op for op in kind.operations}
    for op in anatomy.operations:
        if not op.tests:
            plain = known.get((op.id, like[op.on]))
            gives = sorted((like[give.piece], give.count) for give in op.gives)
            same = plain is not None and (op.minutes, op.cost) == (plain.minutes, plain.cost)
            same = same and plain is not None and gives == sorted((give.piece, give.count) for give in plain.gives)
            _require(same, f"{op.id} is no operation of {kind.kind}")
