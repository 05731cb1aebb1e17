"""Is it worth testing first? What the test of a find gains, read off the operation that it is (`instance.tested`)."""

from __future__ import annotations

from partway.valuing.finds.facts import TestFirst
from partway.valuing.finds.opened import Solved

DUST = 1e-9


def its_test(find: Solved, root: int) -> int | None:
    """The opening of a whole that is its test; None where nobody needs one, or nobody knows its odds or minutes."""
    openings = find.instance.openings
    return next((o for o in find.instance.openings_of[root] if openings[o].operation.tests), None)


def answer_of(find: Solved, root: int, works: str) -> int | None:
    """The node that a whole is once a test said so; None where it is not tested, or no test says so."""
    o = its_test(find, root)
    nodes, gives = find.instance.nodes, find.instance.openings[o].gives if o is not None else ()
    return next((node for node, _ in gives if nodes[node].piece.works == works), None)


def worth_of_testing(find: Solved, root: int = 0) -> TestFirst | None:
    """What knowing the condition gains over the best that is done untested, the minutes it takes paid.

    None where there is no test of it. What works may as well be treated as if nobody knew, though such ways have no
    pieces of their own behind the test.
    """
    o = its_test(find, root)
    if o is None:
        return None
    untested = find.best_without(root, o)
    works, fails = (answer_of(find, root, said) for said in ("yes", "no"))
    opening, wasted = find.instance.openings[o], max(0.0, untested - find.worth(works)) if works is not None else 0.0
    chance = find.chance(works) if works is not None else 0.0
    gain = find.gain(o) + chance * wasted
    return TestFirst(
        chance_works=chance,
        minutes=opening.operation.minutes.mean,
        value_if_works=find.worth(works) + wasted if works is not None else untested,
        value_if_not=find.worth(fails) if fails is not None else untested,
        value_untested=untested,
        gain=gain,
        worth_it=gain > DUST,
    )


def tests_first(find: Solved, root: int) -> bool:
    """Whether the best thing to do with a whole is to test it."""
    o, option = its_test(find, root), find.values.best(root)
    return o is not None and (option.sort, option.number) == ("open", o)
