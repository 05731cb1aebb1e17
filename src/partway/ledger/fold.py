"""From events to what follows from them. State is a function of the set of events alone, whatever their order.

Sums, last words and a set of what does not count: nothing in it can depend on which event came first.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Any
from uuid import UUID

from partway.errors import BadEvent, LedgerUnsound
from partway.ledger.codec import same
from partway.ledger.effects import Effects
from partway.ledger.events import Event
from partway.ledger.meaning import EXACT, REGRADED, effects_of, postings
from partway.ledger.voids import corrections_of, void

Key = tuple[str, str]
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, order=True)
class Word:
    """The word on one field: of several the last to happen counts, then the one with the later id."""

    happened: dt.datetime
    event: UUID
    value: str


@dataclass(frozen=True, slots=True)
class State:
    """Everything a set of events says. `balances` (mg) and `accounts` have no zeros, `voided` only ids that are there.

    Two states are equal when the same events were folded into them, in any order and any number of times.
    """

    events: Mapping[UUID, Event]
    corrections: Mapping[UUID, UUID]
    voided: frozenset[UUID]
    balances: Mapping[Key, int]
    facts: Mapping[Key, Word]
    accounts: Mapping[str, Decimal]


NONE: Mapping[Any, Any] = MappingProxyType({})
EMPTY = State(NONE, NONE, frozenset(), NONE, NONE, NONE)


def fold(events: Iterable[Event], state: State = EMPTY) -> State:
    """The state with these events too. Raises BadEvent when an id is there already with other content."""
    new = _new(events, state)
    if not new:
        return state
    everything = {**state.events, **new}
    corrections = {**state.corrections, **corrections_of(new.values())}
    voided = frozenset(event_id for event_id in void(corrections) if event_id in everything)
    comes = [event for event in new.values() if event.id not in voided]
    comes += [everything[event_id] for event_id in state.voided - voided]
    goes = [everything[event_id] for event_id in voided - state.voided if event_id in state.events]
    sums = _Sums(dict(state.balances), dict(state.accounts), dict(state.facts))
    for event in comes:
        sums.add(event)
    stale = {key for event in goes for key in sums.remove(event)}
    if stale:
        sums.say_again(stale, (event for event in everything.values() if event.id not in voided))
    return State(MappingProxyType(everything), MappingProxyType(corrections), voided, *sums.frozen())


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


class _Sums:
    """What is added up while folding."""

    def __init__(self, balances: dict[Key, int], accounts: dict[str, Decimal], facts: dict[Key, Word]) -> None:
        self.balances, self.accounts, self.facts = balances, accounts, facts

    def add(self, event: Event) -> None:
        """Count an event's effects in."""
        effects = effects_of(event)
        self._count(effects, 1)
        self._say(effects, event, None)

    def remove(self, event: Event) -> list[Key]:
        """Take an event's effects back; the facts on which another event must now have the last word."""
        effects = effects_of(event)
        self._count(effects, -1)
        keys = [(fact.subject, fact.name) for fact in effects.facts]
        gone = [key for key in keys if key in self.facts and self.facts[key].event == event.id]
        for key in gone:
            del self.facts[key]
        return gone

    def say_again(self, keys: set[Key], events: Iterable[Event]) -> None:
        """Ask all events that count for their word on some facts."""
        for event in events:
            effects = effects_of(event)
            if effects.facts:
                self._say(effects, event, keys)

    def frozen(self) -> tuple[Mapping[Key, int], Mapping[Key, Word], Mapping[str, Decimal]]:
        """Balances, facts and accounts, without zeros."""
        balances = {key: mg for key, mg in self.balances.items() if mg}
        accounts = {account: amount for account, amount in self.accounts.items() if amount}
        return MappingProxyType(balances), MappingProxyType(self.facts), MappingProxyType(accounts)

    def _count(self, effects: Effects, sign: int) -> None:
        for key, mg in postings(effects.moves).items():
            self.balances[key] = self.balances.get(key, 0) + sign * mg
        for entry in effects.entries:
            amount = entry.amount if sign > 0 else EXACT.minus(entry.amount)
            self.accounts[entry.account] = EXACT.add(self.accounts.get(entry.account, ZERO), amount)

    def _say(self, effects: Effects, event: Event, only: set[Key] | None) -> None:
        for fact in effects.facts:
            key = (fact.subject, fact.name)
            if only is None or key in only:
                word = Word(event.happened, event.id, fact.value)
                known = self.facts.get(key)
                if known is None or word > known:
                    self.facts[key] = word
