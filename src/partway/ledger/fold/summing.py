"""What is added up while events are folded: balances, accounts, last words, and what assertions come to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from uuid import UUID

from partway.ledger.balance.asserting import AssertedLine, Key, Position, befores, lines_of
from partway.ledger.events.effects import Effects, Move
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import EXACT, postings, settled

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, order=True)
class LatestFact:
    """The fact that stands on one field: of several that of the event with the greatest position."""

    order: dt.datetime
    event: UUID
    value: str


@dataclass
class Sums:
    """Sums that change as events start or stop to count; `meanings` has the effects of every event, counting or not."""

    balances: dict[Key, int]
    accounts: dict[str, Decimal]
    facts: dict[Key, LatestFact]
    meanings: dict[UUID, Effects]
    lines: dict[Key, list[AssertedLine]] = field(default_factory=dict)  # of events that started to count
    touched: dict[Key, list[Position]] = field(default_factory=dict)

    def add(self, event: Event) -> None:
        """Count an event's effects in; what it asserts is settled later."""
        effects = self.meanings[event.id]
        self._count(effects.moves, 1)
        self._post(effects, 1)
        self._say(effects, event, None)
        for key, line in lines_of(event, effects).items():
            self.lines.setdefault(key, []).append(line)
            self.touched.setdefault(key, []).append(line.position)

    def remove(self, event: Event) -> list[Key]:
        """Take an event's effects back; the facts on which another event must now have the last word."""
        effects = self.meanings[event.id]
        self._count(effects.moves, -1)
        self._post(effects, -1)
        for key, line in lines_of(event, effects).items():
            self.touched.setdefault(key, []).append(line.position)
        if effects.asserted is not None:
            self.meanings[event.id] = replace(effects, moves=())
        keys = [(fact.subject, fact.name) for fact in effects.facts]
        gone = [key for key in keys if key in self.facts and self.facts[key].event == event.id]
        for key in gone:
            del self.facts[key]
        return gone

    def say_again(self, keys: set[Key], events: Iterable[Event]) -> None:
        """Ask all events that count for their word on some facts."""
        for event in events:
            effects = self.meanings[event.id]
            if effects.facts:
                self._say(effects, event, keys)

    def settle(self, key: Key, lines: Iterable[AssertedLine], start: int) -> None:
        """Work out again what the assertions on a place come to, from what was there before the first of the lines."""
        for event_id, before in befores(lines, start):
            old = self.meanings[event_id]
            new = settled(old, before)
            if new.moves != old.moves:
                self._count(old.moves, -1)
                self._count(new.moves, 1)
                self.meanings[event_id] = new

    def without_zeros(self) -> tuple[Mapping[Key, int], Mapping[str, Decimal]]:
        """Balances and accounts."""
        balances = {key: mg for key, mg in self.balances.items() if mg}
        return balances, {account: amount for account, amount in self.accounts.items() if amount}

    def _count(self, moves: Iterable[Move], sign: int) -> None:
        for key, mg in postings(moves).items():
            self.balances[key] = self.balances.get(key, 0) + sign * mg

    def _post(self, effects: Effects, sign: int) -> None:
        for entry in effects.entries:
            amount = entry.amount if sign > 0 else EXACT.minus(entry.amount)
            self.accounts[entry.account] = EXACT.add(self.accounts.get(entry.account, ZERO), amount)

    def _say(self, effects: Effects, event: Event, only: set[Key] | None) -> None:
        for fact in effects.facts:
            key = (fact.subject, fact.name)
            if only is None or key in only:
                latest = LatestFact(*event.position, fact.value)
                known = self.facts.get(key)
                if known is None or latest > known:
                    self.facts[key] = latest
