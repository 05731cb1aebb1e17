"""Any sequence of actions, sensible or not: mass adds up to the milligram and nothing goes below nothing.

What is refused leaves the ledger as it was. Source: docs/model.md.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledger_day import Day, trading_day

from partway.actions.bench import finds, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books.corrections import correct
from partway.actions.haul.tickets import LineGiven, ticket
from partway.errors import Refused
from partway.ledger.balance.sheet import sheet
from partway.ledger.fold.fold import fold

FINDS = st.sampled_from(["microwave-1", "microwave-2", "fan-1", "kettle-1"])
BINS = st.sampled_from(["light-iron", "transformer-cu", "copper-2", "copper-1", "glass"])
MASS = st.integers(-1, 20).map(lambda n: n * 500_000)
GAP = st.sampled_from([None, "loss", "residue", "left", "scale"])
PIECE = st.builds(
    PieceGiven,
    st.sampled_from(["cover", "tray", "transformer", "whole", "jug", "ring"]),
    MASS,
    st.integers(1, 2),
    st.sampled_from(["", "light-iron", "residue"]),
)
LINE = st.builds(
    LineGiven,
    BINS,
    MASS,
    st.just("2 /kg"),
    own=st.sampled_from([None, "all", "yard"]),
    bin=st.sampled_from(["", "copper-1", "copper-2", "light-iron"]),
)

STEPS = st.one_of(
    st.tuples(
        st.just(finds.find),
        st.tuples(st.sampled_from(["microwave", "fan", "kettle"]), st.integers(1, 2), MASS | st.none()),
    ),
    st.tuples(st.just(finds.weigh), st.tuples(FINDS, MASS)),
    st.tuples(
        st.just(opening.open_up),
        st.tuples(FINDS, st.lists(PIECE, max_size=3), st.just(()), st.just(5), st.none(), MASS | st.none(), GAP),
    ),
    st.tuples(
        st.just(selling.sell), st.tuples(FINDS, st.just(Decimal(5)), st.just(""), st.integers(1, 2), MASS | st.none())
    ),
    st.tuples(st.just(selling.discard), st.tuples(FINDS, MASS | st.none())),
    st.tuples(st.just(bins.add_bin), st.tuples(BINS)),
    st.tuples(st.just(bins.recount), st.tuples(BINS, MASS)),
    st.tuples(st.just(bins.move), st.tuples(BINS, BINS, MASS | st.none(), st.booleans())),
    st.tuples(st.just(ticket), st.tuples(st.just("harbour"), st.lists(LINE, min_size=1, max_size=2))),
    st.tuples(st.just(correct), st.tuples(st.integers(0, 40))),
)
Step = tuple[Callable[..., Any], tuple[Any, ...]]


def take(day: Day, step: Step) -> None:
    """One step; a correction is of one of the events there are, whether it counts or not."""
    action, arguments = step
    if action is correct:
        events = list(day.book.events())
        arguments = (str(events[arguments[0] % len(events)].id),)
    before = day.book.state
    try:
        action(day.book, day.context(), *arguments)
    except Refused:
        assert day.book.state == before


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(STEPS, min_size=5, max_size=25))
def test_mass_adds_up_after_any_actions(steps: list[Step]) -> None:
    day = trading_day()
    for step in steps:
        take(day, step)
        mass = sheet(day.book.balances())
        assert mass.apart_mg == 0
        assert mass.short == {}
        assert day.mg("regraded") == 0
    again = fold(day.book.events())
    assert (again.balances, again.accounts) == (day.book.state.balances, day.book.state.accounts)


def test_the_steps_do_something() -> None:
    """The strategy above is no string of refusals."""
    counts = {"done": 0, "refused": 0}

    @settings(max_examples=40, deadline=None, database=None, derandomize=True)
    @given(st.lists(STEPS, min_size=10, max_size=20))
    def run(steps: list[Step]) -> None:
        day = trading_day()
        for step in steps:
            before = len(day.book.state.events)
            take(day, step)
            counts["done" if len(day.book.state.events) > before else "refused"] += 1

    run()
    assert counts["done"] > 0.2 * counts["refused"]
