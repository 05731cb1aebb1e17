"""From events to what follows from them. State is a function of the set of events alone, whatever their order.

Sums, last words, a set of what does not count, and what a scale asserts, in the order of positions: nothing in it can
depend on which event came first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Any
from uuid import UUID

from partway.errors import BadEvent, LedgerUnsound
from partway.ledger.balance.asserting import AssertedLine, Key, Position, lines_of
from partway.ledger.events.codec import same
from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import REGRADED, effects_of
from partway.ledger.events.voids import corrections_of, void
from partway.ledger.fold.summing import LatestFact, Sums
from partway.ledger.fold.things import NO_THINGS, Things, learn


@dataclass(frozen=True, slots=True)
class State:
    """Everything a set of events says. `balances` (mg) and `accounts` have no zeros, `voided` only ids that are there.

    `meanings` has what each event does, with the names by which `things` go here; `latest` the last position at which
    any event touches a find or bin, `asserted` the places and grades that a scale was asked about.
    Two states are equal when the same events were folded into them, in any order and any number of times.
    """

    events: MappingProxyType[UUID, Event]
    corrections: MappingProxyType[UUID, UUID]
    voided: frozenset[UUID]
    balances: MappingProxyType[Key, int]
    facts: MappingProxyType[Key, LatestFact]
    accounts: MappingProxyType[str, Decimal]
    things: Things
    meanings: MappingProxyType[UUID, Effects]
    latest: MappingProxyType[Key, Position]
    asserted: frozenset[Key]


NONE: MappingProxyType[Any, Any] = MappingProxyType({})
EMPTY = State(NONE, NONE, frozenset(), NONE, NONE, NONE, NO_THINGS, NONE, NONE, frozenset())


def fold(events: Iterable[Event], state: State = EMPTY) -> State:
    """The state with these events too. Raises BadEvent when an id is there already with other content."""
    new = _new(events, state)
    if not new:
        return state
    things, changed = learn(state.things, new.values())
    if changed:  # what was known goes by other names now
        return fold([*state.events.values(), *new.values()])
    # `|` and `copy` keep the hashes that are known; `{**...}` of a proxy works out each one again.
    everything = state.events | new
    corrections = state.corrections | corrections_of(new.values())
    voided = frozenset(event_id for event_id in void(corrections) if event_id in everything)
    comes = [event for event in new.values() if event.id not in voided]
    comes += [everything[event_id] for event_id in state.voided - voided]
    goes = [everything[event_id] for event_id in voided - state.voided if event_id in state.events]
    base = {event_id: effects_of(things.known(event)) for event_id, event in new.items()}
    sums = Sums(state.balances.copy(), state.accounts.copy(), state.facts.copy(), state.meanings | base)
    for event in comes:
        sums.add(event)
    stale = {key for event in goes for key in sums.remove(event)}
    if stale:
        sums.say_again(stale, _counting(everything, voided))
    asserted = state.asserted | {(e.asserted.place, e.asserted.grade) for e in base.values() if e.asserted}
    _settle(sums, state, asserted, _counting(everything, voided))
    balances, accounts = sums.without_zeros()
    return State(
        MappingProxyType(everything),
        MappingProxyType(corrections),
        voided,
        MappingProxyType(balances),
        MappingProxyType(sums.facts),
        MappingProxyType(accounts),
        things,
        MappingProxyType(sums.meanings),
        MappingProxyType(_latest(state, new.values(), base)),
        asserted,
    )


def _counting(everything: Mapping[UUID, Event], voided: frozenset[UUID]) -> Iterator[Event]:
    return (event for event_id, event in everything.items() if event_id not in voided)


def _settle(sums: Sums, state: State, asserted: frozenset[Key], counting: Iterable[Event]) -> None:
    """What is asserted of the places that were touched: from the new lines alone where all of them come last."""
    keys = sums.touched.keys() & asserted
    last = {key for key in keys if key not in state.latest or min(sums.touched[key]) > state.latest[key]}
    for key in last:
        sums.settle(key, sums.lines.get(key, ()), state.balances.get(key, 0))
    anew: dict[Key, list[AssertedLine]] = {key: [] for key in keys - last}
    if anew:
        for event in counting:
            for key, line in lines_of(event, sums.meanings[event.id]).items():
                if key in anew:
                    anew[key].append(line)
    for key, lines in anew.items():
        sums.settle(key, lines, 0)


def _latest(state: State, new: Iterable[Event], base: Mapping[UUID, Effects]) -> dict[Key, Position]:
    latest = state.latest.copy()
    for event in new:
        for key, line in lines_of(event, base[event.id]).items():
            latest[key] = max(latest.get(key, line.position), line.position)
    return latest


def merge(one: State, other: State) -> State:
    """The union of two ledgers. Raises BadEvent when they have one id with different content."""
    if len(one.events) < len(other.events):
        one, other = other, one
    return fold(other.events.values(), one)


def check(state: State) -> None:
    """Raises LedgerUnsound unless mass in = mass out + stock + residue + loss, to the milligram.

    Nothing may be between two grades either.
    """
    over = sum(state.balances.values())
    if over:
        raise LedgerUnsound(f"the ledger's masses are {over} mg apart")
    stuck = {key: mg for key, mg in state.balances.items() if key[0] == REGRADED}
    if stuck:
        raise LedgerUnsound(f"material is stuck between two grades: {stuck}")


def _new(events: Iterable[Event], state: State) -> dict[UUID, Event]:
    new: dict[UUID, Event] = {}
    for event in events:
        known = state.events.get(event.id) or new.get(event.id)
        if known is None:
            new[event.id] = event
        elif not same(known, event):
            raise BadEvent(f"event {event.id} with other content", "one content for one id", f"event {event.id}")
    return new
