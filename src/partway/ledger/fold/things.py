"""Which find, bin, haul or ticket an event speaks of, and the key that each goes by here.

A thing is the event that made it: two devices may use one name for two things. The plain name is the key of what
schema 1 calls so, or else of the thing made first; the others of that name have the end of their maker's id behind a
tilde, `kettle-1~a1b2c3`. Keys are a function of the set of events alone, also of those that do not count.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from uuid import UUID

from partway.ledger.events.event import Event
from partway.ledger.events.fields import SORTS
from partway.ledger.events.subjects import renamed_in, subjects_of

TAIL = 6  # characters of a maker's id, more where two would be alike
MARK = "~"
Made = tuple[str, UUID]  # the sort of a thing, and the id of the event that made it
MADE = tuple(f"{sort}:" for sort in SORTS)


@dataclass(frozen=True, slots=True)
class Naming:
    """One event's word on what a thing is called: of several the one with the smallest id counts."""

    event: UUID
    subject: str


def things_in(event: Event) -> list[tuple[str, UUID | None]]:
    """The finds, bins, hauls and tickets that an event names, each with its maker; None for what schema 1 calls so."""
    makers = dict(event.refs)
    return [(subject, makers.get(subject)) for subject in subjects_of(event) if subject.startswith(MADE)]


def made(subject: str, maker: UUID) -> Made:
    """A thing that some event calls so."""
    return subject.partition(":")[0], maker


def keys_for(subject: str, makers: Collection[UUID], bare: bool, taken: Callable[[str], bool]) -> dict[UUID, str]:
    """The key of each thing that goes by one name. `bare`: schema 1 calls something so; `taken`: a plain name."""
    rest = sorted(makers)
    keys = {} if bare or not rest else {rest[0]: subject}
    rest = [maker for maker in rest if maker not in keys]
    for maker in rest:
        others = [other.hex for other in rest if other != maker]
        keys[maker] = next(
            key
            for length in range(TAIL, 33 + len(subject))
            if not taken(key := f"{subject}{MARK}{_tail(maker, length)}")
            and not any(other.endswith(maker.hex[-length:]) for other in others)
        )
    return keys


def _tail(maker: UUID, length: int) -> str:
    """The end of an id; what is longer than all of it gets further tildes."""
    return maker.hex[-length:] + MARK * max(0, length - 32)


def touched_by(subject: str) -> set[str]:
    """The names whose keys may change where something is called `subject`: it may look like another one's key."""
    names = {subject}
    while MARK in subject:
        subject = subject.rpartition(MARK)[0]
        names.add(subject)
    return names


@dataclass(frozen=True, slots=True)
class Things:
    """All things of a ledger: what each was called first, which names schema 1 uses, and the keys."""

    named: Mapping[Made, Naming]
    called: Mapping[str, frozenset[UUID]]  # makers by name
    bare: frozenset[str]
    keys: Mapping[Made, str]

    def key(self, subject: str, maker: UUID | None) -> str:
        """What a thing goes by that an event calls `subject`."""
        return subject if maker is None else self.keys[made(subject, maker)]

    def known(self, event: Event) -> Event:
        """An event with the names by which things go here."""
        return renamed(event, {subject: self.key(subject, maker) for subject, maker in things_in(event)})

    def makers(self, subjects: Iterable[str]) -> dict[str, UUID | None]:
        """Who made what goes by these keys; nothing for what is not known."""
        found: dict[str, UUID | None] = {}
        for subject in subjects:
            if subject in self.bare:
                found[subject] = None
            for name in touched_by(subject):
                of = {self.keys[made(name, maker)]: maker for maker in self.called.get(name, ())}
                found |= {subject: of[subject]} if subject in of else {}
        return found

    def plain(self) -> frozenset[str]:
        """Every name that something goes by, without its tail."""
        return self.bare | self.called.keys()


NO_THINGS = Things({}, {}, frozenset(), {})


def learn(things: Things, events: Iterable[Event]) -> tuple[Things, bool]:
    """Things with those that more events name, and whether something known before has another key now."""
    named, called, bare, asked = dict(things.named), dict(things.called), set(things.bare), set[str]()
    for event in events:
        for subject, maker in things_in(event):
            if maker is None:
                asked |= {subject} - bare
                bare.add(subject)
                continue
            before = named.get(made(subject, maker))
            if before is None or event.id < before.event:
                named[made(subject, maker)] = Naming(event.id, subject)
                for name in {subject, before.subject} if before else {subject}:
                    called[name] = called.get(name, frozenset()) - {maker}
                    asked.add(name)
                called[subject] |= {maker}
    if not asked:
        return things, False
    called = {name: makers for name, makers in called.items() if makers}
    keys = dict(things.keys)
    for subject in {name for one in asked for name in touched_by(one)}:
        group = keys_for(subject, called.get(subject, ()), subject in bare, lambda name: name in bare or name in called)
        keys |= {made(subject, maker): key for maker, key in group.items()}
    changed = any(keys[of] != key for of, key in things.keys.items())
    return Things(named, called, frozenset(bare), keys), changed


def renamed(event: Event, keys: Mapping[str, str]) -> Event:
    """An event with other names for what it speaks of; the same where none differs."""
    if all(subject == key for subject, key in keys.items()):
        return event
    refs = tuple(sorted((keys.get(subject, subject), maker) for subject, maker in event.refs))
    return replace(event, what=renamed_in(event.what, keys), refs=refs)
