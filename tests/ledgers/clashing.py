"""Days at random on several devices that now and then hand each other their ledgers; what each knows is a set of
events. Names clash and times tie on purpose: everybody numbers finds alike and looks at the clock by the minute.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any, cast
from uuid import UUID

from ledgers.yard import BUYERS, GRADES, START, START_MS, Chooser
from plain_conflicts import Thing, Walk, _counting, place, thing

from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built

KG = 10**6
LATER = (dt.timedelta(minutes=1), dt.timedelta(minutes=2), dt.timedelta(microseconds=3), dt.timedelta(milliseconds=2))
MAKES: dict[str, tuple[str, str]] = {
    "found": ("find", "find"),
    "binned": ("bin", "bin"),
    "listed": ("listing", "listing"),
}


@dataclass
class Device:
    """One copy of the ledger; "" for the device makes it one of before devices were told apart."""

    name: str
    known: dict[UUID, Event] = field(default_factory=dict)


@dataclass
class Town:
    """Some devices and the choices made on them."""

    choose: Chooser
    devices: list[Device]
    made: int = 0

    def step(self) -> None:
        """One more thing happens on one device, or two of them meet."""
        device = self.choose.pick(self.devices)
        if self.choose.whole(0, 6) == 0:
            other = self.choose.pick(self.devices)
            device.known.update(other.known)
            return
        steps: list[Callable[[Device], None]] = [self.found, self.quoted, self.said, self.recounted, self.recounted]
        steps += [self.out_of_find, self.out_of_find, self.out_of_find, self.weighed, self.ticketed, self.moved]
        steps += [self.corrected, self.corrected, self.corrected, self.binned, self.said]
        steps += [self.listed, self.off_the_list, self.off_the_list, self.off_the_list, self.returned]
        self.choose.pick(steps)(device)

    def union(self) -> list[Event]:
        """All events of all devices."""
        return list({event_id: e for device in self.devices for event_id, e in device.known.items()}.values())

    def add(self, device: Device, what: p.Payload, *things: Thing, of: Event | None = None) -> Event:
        """One event of a device about some things; `of` is the event that it counts instead of."""
        self.made += 1
        event_id = built(START_MS + 1000 * self.made, self.choose.whole(0, 9))
        happened = START + dt.timedelta(minutes=self.choose.whole(0, 6))
        event = Event(event_id, "me", happened, START + dt.timedelta(seconds=self.made), what)
        if device.name:
            refs = {f"{sort}:{name}": maker for sort, name, maker in things if maker is not None}
            if (makes := MAKES.get(event.kind)) and not things:
                refs[f"{makes[0]}:{getattr(what, makes[1])}"] = event_id
            order = self.choose.pick((None, None, happened + self.choose.pick(LATER)))
            event = replace(event, schema=2, device=device.name, order=order, refs=tuple(sorted(refs.items())))
        if of is not None:
            event = replace(event, happened=of.happened)
            event = replace(event, order=of.order, refs=of.refs) if device.name else event
        device.known[event_id] = event
        return event

    def walk(self, device: Device) -> Walk:
        """What the device knows of what lies where."""
        counts = _counting(list(device.known.values()))
        walk = Walk()
        for event in sorted((e for e in device.known.values() if e.id in counts), key=place):
            walk.take(event)
        return walk

    def things(self, device: Device, kind: str) -> list[tuple[Thing, Any]]:
        """Finds or bins that the device knows, with the payload that made them."""
        sort, name = MAKES[kind]
        made = [e for e in device.known.values() if e.kind == kind]
        return [(thing(e, sort, getattr(e.what, name)), e.what) for e in sorted(made, key=lambda e: e.id)]

    def found(self, device: Device) -> None:
        number = 1 + len({of[1] for of, _ in self.things(device, "found")})
        mass = self.choose.pick((None, 5 * KG, 10 * KG))
        self.add(device, p.Found(f"fan-{number}", "fan", mass_mg=mass))

    def binned(self, device: Device) -> None:
        known = {of[1]: of for of, _ in self.things(device, "binned")}
        name = self.choose.pick(("drum", "crate"))
        again = (known[name],) if name in known else ()
        self.add(device, p.Binned(name, GRADES[0], self.choose.pick(("", "blue", "red"))), *again)

    def _bin(self, device: Device) -> tuple[Thing, str]:
        if not self.things(device, "binned"):
            self.binned(device)
        of, made = self.choose.pick(self.things(device, "binned"))
        return of, made.grade

    def recounted(self, device: Device) -> None:
        of, grade = self._bin(device)
        had, holds = self.walk(device).held[of, grade], self.choose.whole(0, 6) * KG
        self.add(device, p.Recounted(of[1], grade, holds, had, opening=self.choose.whole(0, 4) == 0), of)

    def moved(self, device: Device) -> None:
        of, grade = self._bin(device)
        to, _ = self._bin(device)
        if of[1] != to[1]:
            self.add(device, p.Moved(of[1], to[1], grade, grade, self.choose.whole(1, 3) * KG), of, to)

    def ticketed(self, device: Device) -> None:
        of, grade = self._bin(device)
        mg = self.choose.whole(1, 4) * KG
        line = p.TicketLine(grade, of[1], mg, mg + self.choose.whole(-1, 1) * KG // 2, Decimal(1), "kg", Decimal(1))
        ticket = p.Ticketed(f"ticket-{self.made}-{device.name or 0}", BUYERS[0], (line,), Decimal(1))
        self.add(device, ticket, of)

    def weighed(self, device: Device) -> None:
        if finds := self.things(device, "found"):
            of, _ = self.choose.pick(finds)
            self.add(device, p.Weighed(of[1], self.choose.whole(1, 9) * KG, self.walk(device).held[of, ""]), of)

    def out_of_find(self, device: Device) -> None:
        """What is not closed, as far as the device knows, is opened, sold or given up."""
        walk = self.walk(device)
        closed = {of for of, events in walk.of_find.items() if any(_closes(event) for event in events)}
        finds = [of for of, _ in self.things(device, "found") if of not in closed]
        if not finds:
            return
        of = self.choose.pick(finds)
        had, closes = walk.held[of, ""], self.choose.whole(0, 1) == 1
        mg = max(0, had) if closes and had > 0 else self.choose.whole(1, 4) * KG
        way = self.choose.whole(0, 2)
        if way == 0:
            self.add(device, p.Discarded(of[1], mg, had), of)
        elif way == 1:
            self.add(device, p.Parted(of[1], "whole", 1, mg, had, Decimal(5), closes=closes), of)
        else:
            to, grade = self._bin(device)
            piece = p.PieceOut("motor", 1, grade, to[1], mg)
            self.add(device, p.Opened(of[1], (piece,), had, closes=closes), of, to)

    def listed(self, device: Device) -> None:
        """A find on offer. Everybody numbers alike."""
        if finds := self.things(device, "found"):
            of, _ = self.choose.pick(finds)
            number = 1 + len(self.things(device, "listed"))
            name = f"offer-{number}"
            event = self.add(device, p.Listed(name, of[1], "whole", self.choose.pick((1, 1, 2)), Decimal(9)), of)
            if device.name:
                refs = (*event.refs, (f"listing:{name}", event.id))
                device.known[event.id] = replace(event, refs=tuple(sorted(refs)))

    def off_the_list(self, device: Device) -> None:
        """What is listed is sold, taken down or asked less for, whatever others do with it."""
        offers = self.things(device, "listed")
        if not offers:
            return
        of, made = self.choose.pick(offers[:1])
        finds = [find for find, _ in self.things(device, "found") if find[1] == made.find]
        way = self.choose.whole(0, 4)
        if way == 0:
            self.add(device, p.TakenDown(of[1], self.choose.whole(1, 2)), of)
        elif way == 1:
            self.add(device, p.AskedAnew(of[1], Decimal(self.choose.whole(7, 8))), of)
        elif finds:
            find = self.choose.pick(finds)
            had = self.walk(device).held[find, ""]
            mg, closes = self.choose.whole(1, 4) * KG, self.choose.whole(0, 1) == 1
            sold = p.Parted(find[1], "whole", 1, mg, had, Decimal(5), closes=closes, listing=of[1])
            self.add(device, sold, find, of)

    def returned(self, device: Device) -> None:
        """One that was sold comes back into its find."""
        counts = _counting(list(device.known.values()))
        sales = [e for e in device.known.values() if e.kind == "sold" and e.id in counts]
        if not sales:
            return
        sale = self.choose.pick(sorted(sales, key=lambda e: e.id))
        sold = cast(p.Parted, sale.what)
        find = thing(sale, "find", sold.find)
        listing = thing(sale, "listing", sold.listing) if sold.listing else None
        back = p.Returned(sale.id, sold.find, sold.what, 1, sold.mass_mg, sold.price, listing=sold.listing)
        self.add(device, back, *((find,) if listing is None else (find, listing)))

    def quoted(self, device: Device) -> None:
        day = START.date() + dt.timedelta(days=self.choose.whole(0, 1))
        price = self.choose.pick((Decimal("4.10"), Decimal("4.1"), Decimal(5), None))
        self.add(device, p.Quoted(self.choose.pick(BUYERS[:2]), GRADES[0], price, "lb", day))

    def said(self, device: Device) -> None:
        what = self.choose.pick(("wage", "unit", "buyer", "tested"))
        finds = self.things(device, "found")
        if what == "tested" and finds:
            of, _ = self.choose.pick(finds)
            self.add(device, p.Tested(of[1], self.choose.pick(("yes", "no"))), of)
        elif what == "buyer":
            self.add(device, p.Traded(BUYERS[0], "yard", self.choose.pick(("harbour yard", "the harbour"))))
        else:
            self.add(device, p.Set("wage", self.choose.pick(("12", "15"))))

    def corrected(self, device: Device) -> None:
        """Something that counts is taken back, or put right in another way; now and then a correction itself."""
        counts = _counting(list(device.known.values()))
        known = sorted((e for e in device.known.values() if e.id in counts), key=lambda e: e.id)
        known = [e for e in known if e.kind not in ("binned", "found")]
        if not known:
            return
        of = self.choose.pick([*known[:2], *known[-1:]])  # the first ones are what several devices are likely to know
        instead = None
        if self.choose.whole(0, 1) and of.kind in ("recounted", "weighed", "discarded"):
            what = cast(Any, of.what)
            instead = self.add(device, replace(what, mass_mg=self.choose.whole(0, 5) * KG), of=of).id
        self.add(device, p.Corrected(of.id, instead=instead))


def _closes(event: Event) -> bool:
    return isinstance(event.what, p.Discarded) or bool(getattr(event.what, "closes", False))


def town(choose: Chooser, names: tuple[str, ...], steps: int) -> Town:
    """So many steps of these devices."""
    found = Town(choose, [Device(name) for name in names])
    for _ in range(steps):
        found.step()
    return found
