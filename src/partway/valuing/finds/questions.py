"""What it is worth to look at a piece in hand before it goes into a bin: the one computation for all who ask."""

from __future__ import annotations

from partway.things.anatomy import Operation
from partway.valuing.finds.facts import CENT, OnlyIf, PossibleAnswer, Question, bin_of, condition_of
from partway.valuing.finds.hand import ValuedHolding
from partway.valuing.finds.opened import Solved

MINUTES = 5.0  # of one's own hour: what less is worth is not said at the curb (a choice of ours)


def question(find: Solved, node: int, count: int = 1) -> Question | None:
    """What is asked about a piece; None where nothing is."""
    instance = find.instance
    o = next((o for o in instance.openings_of[node] if _looks(instance.openings[o].operation)), None)
    if o is None:
        return None
    opening = instance.openings[o]
    unasked = [option for option in find.programme.options[node] if (option.sort, option.number) != ("open", o)]
    best = max(unasked, key=lambda option: find.option(option, node))
    return Question(
        piece=opening.operation.on,
        operation=opening.operation.id,
        ask=opening.operation.name,
        minutes=opening.operation.minutes.mean,
        worth=find.gain(o),
        answers=tuple(_answer(find, child) for child, _ in opening.gives),
        unasked=find.use(best, node),
        count=count,
    )


def _looks(operation: Operation) -> bool:
    """Whether it asks about the piece itself, not whether the find works."""
    return operation.asks and not operation.tests


def _answer(find: Solved, node: int) -> PossibleAnswer:
    piece = find.instance.nodes[node].piece
    return PossibleAnswer(piece.id, piece.answer, find.chance(node), bin_of(piece), find.worth(node))


def questions_worth_it(hand: ValuedHolding) -> tuple[Question, ...]:
    """What is asked on the way of the best choices and brings more than a few minutes of one's hour, the most first."""
    find = hand.find
    least = max(CENT, MINUTES / 60.0 * find.wage)
    asked = [question(find, node, count) for node, count in hand.counts.items() if find.asks_best(node)]
    worth = [one for one in asked if one is not None and one.worth * one.count >= least]
    return tuple(sorted(worth, key=lambda one: -one.worth * one.count))


def only_if(hand: ValuedHolding, node: int) -> OnlyIf | None:
    """The answer that a piece comes of, where it is not known in hand; None where every find has the piece."""
    anatomy = hand.anatomy
    known = {anatomy.answer_of(hand.piece_id(root)) for root, _ in hand.roots}
    known_here = anatomy.answer_of(hand.piece_id(node)) in known
    return None if known_here else condition_of(anatomy, hand.piece_id(node))
