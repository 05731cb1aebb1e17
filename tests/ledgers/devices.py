"""Several copies of a ledger that write without each other's knowledge, by clocks that jump, and sometimes meet.

A device is a yard (yard.py) whose events are recorded as actions record them: with its mark, an order of its own and
the makers of what they name. What it meets of another it may go on with.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, field
from random import Random
from uuid import NAMESPACE_OID, UUID, uuid5

from ledgers.yard import GRADES, START, Seeded, Yard

from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import IdMaker
from partway.ledger.events.stamp import Stamp
from partway.ledger.events.subjects import named_in
from partway.ledger.memory import MemoryBook

MAKERS = {
    p.Found: "find",
    p.Hauled: "haul",
    p.Ticketed: "ticket",
    p.Listed: "listing",
    p.Round: "round",
}  # whose names Yard numbers by itself


@dataclass
class Device(Yard):
    """A yard with a book of its own; `now` is what its clock shows, which may jump back."""

    mark: str = "00000001"
    now: dt.datetime = START

    own: dict[tuple[str, str], str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.book = MemoryBook(device=self.mark)
        self.finds = defaultdict(lambda: None)
        self.make = IdMaker(lambda: int(self.now.timestamp() * 1000), Random(self.mark).getrandbits)

    def says(self, what: p.Payload) -> Event:
        """Records something, bins that nobody knows yet before it. Now and then the day is stated, or the clock set."""
        self.now += dt.timedelta(minutes=self.choose.pick((1, 1, 1, 5, -90, 120)))
        stated = START - dt.timedelta(hours=self.choose.whole(0, 3)) if self.choose.whole(0, 4) == 0 else None
        what = self._named(what)
        new = [s for s in named_in(what) if s.startswith("bin:") and s not in self.book.keys("bin:")]
        made: list[p.Payload] = [p.Binned(s[4:], self.choose.pick(GRADES)) for s in new]
        stamp = Stamp(self.book, "me", self.now, self.make, stated, self._intent())
        events = [stamp.event(one) for one in [*made, what]]
        self.book.append(events)
        self.events += events
        return events[-1]

    def _intent(self) -> UUID | None:
        """What asked for every fourth thing that is said here."""
        asked = f"{self.mark} {len(self.events)}"
        return uuid5(NAMESPACE_OID, asked) if len(self.events) % 4 == 0 else None

    def meets(self, other: Device) -> None:
        """Both have all that either had."""
        one, two = list(self.book.recorded()), list(other.book.recorded())
        self.book.append(two)
        other.book.append(one)

    def _find(self) -> str:
        return self.choose.pick(sorted(key[5:] for key in self.book.keys("find:")))

    def _named(self, what: p.Payload) -> p.Payload:
        """A new find, haul or ticket gets a name that nothing here goes by."""
        sort = MAKERS.get(type(what))
        if sort is None:
            return what
        name = getattr(what, sort)
        if (sort, name) not in self.own:
            taken, number = self.book.keys(f"{sort}:"), 0
            while f"{sort}:{name}" + ("" if number == 0 else f"-{number}") in taken:
                number += 1
            self.own[sort, name] = name if number == 0 else f"{name}-{number}"
        changes: dict[str, str] = {sort: self.own[sort, name]}
        return dataclasses.replace(what, **changes)


def seeded_fleet(seed: int, steps: int) -> list[Event]:
    """What two devices recorded in so many steps each, one correction among them; always the same for a seed."""
    one, two = (Device(Seeded(seed + n), mark=f"0000000{n + 1}") for n in range(2))
    for _ in range(steps):
        one.step()
        two.step()
    one.meets(two)
    one.corrected(two.events[0].id)
    two.recounted()
    one.meets(two)
    return list(one.book.recorded())
