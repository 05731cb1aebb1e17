"""What is learned is a function of the events alone: in whatever order two ledgers came together, whatever was read
before, and whichever book keeps them.
"""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from learned_day import worked
from ledgers.strategies import histories, ledgers

from partway.ledger.events.event import Event
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.valuing.known import catalogue_of
from partway.valuing.learned.prices import moves_in
from partway.valuing.learned.seen import seen_in

anything = histories() | ledgers()
MANY = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def book_of(events: list[Event]) -> MemoryBook:
    return MemoryBook(fold(events))


@MANY
@given(anything, st.randoms(use_true_random=False))
def test_the_order_in_which_events_came_makes_no_difference(events: list[Event], draws: object) -> None:
    mixed = list(events)
    draws.shuffle(mixed)  # type: ignore[attr-defined]
    one, other = book_of(events), book_of(mixed)
    assert seen_in(one) == seen_in(other)
    assert moves_in(one).pairs == moves_in(other).pairs
    for kind in seen_in(one).kinds:
        if catalogue_of(one).knows(kind):
            assert catalogue_of(one).anatomy(kind) == catalogue_of(other).anatomy(kind)
            assert catalogue_of(one).anatomy(kind).learned == catalogue_of(other).anatomy(kind).learned


@MANY
@given(anything, st.data())
def test_read_on_from_any_earlier_state_is_as_read_at_once(events: list[Event], data: st.DataObject) -> None:
    """Bits of the ledger come in one after another, some of them older than what is there; each time it is read."""
    book = MemoryBook()
    order = data.draw(st.permutations(events))
    while order:
        many = data.draw(st.integers(1, len(order)))
        book.append(order[:many])
        order = order[many:]
        seen_in(book), moves_in(book)
    assert seen_in(book) == seen_in(book_of(events))
    assert moves_in(book).pairs == moves_in(book_of(events)).pairs


def test_drawn_ledgers_hold_what_is_learned_from() -> None:
    """Else the laws above would say nothing: the strategies draw finds, weighings and openings, and prices."""
    kinds: set[str] = set()

    @settings(max_examples=80, deadline=None, database=None, derandomize=True, suppress_health_check=list(HealthCheck))
    @given(anything)
    def look(events: list[Event]) -> None:
        seen = seen_in(book_of(events))
        for kind in seen.kinds:
            kinds.update(name for name in ("wholes", "pieces", "work") if getattr(seen.of(kind), name))
        kinds.update("prices" for steps in moves_in(book_of(events)).pairs.values() if steps)

    look()
    assert "wholes" in kinds


@MANY
@given(
    st.integers(1, 5), st.integers(1, 5), st.floats(0.7, 1.6), st.floats(0.7, 1.6), st.randoms(use_true_random=False)
)
def test_two_sheds_whose_ledgers_come_together_learn_the_same(
    here: int, there: int, one: float, other: float, draws: object
) -> None:
    ours, theirs = (list(worked(*day).book.state.events.values()) for day in ((here, one), (there, other)))
    theirs = [event for event in theirs if event.id not in {event.id for event in ours}]
    mixed = [*ours, *theirs]
    draws.shuffle(mixed)  # type: ignore[attr-defined]
    learned = []
    for events in ([*ours, *theirs], [*theirs, *ours], mixed):
        book = MemoryBook()
        book.append(events[: len(ours)])
        catalogue_of(book).anatomy("fan")
        book.append(events[len(ours) :])
        learned.append(catalogue_of(book).anatomy("fan"))
    assert learned[0] == learned[1] == learned[2]
    assert learned[0].learned == learned[1].learned == learned[2].learned != ()
