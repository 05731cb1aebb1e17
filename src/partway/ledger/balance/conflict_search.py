"""Finds all conflicts of a set of events: collects from the counting events what each rule of `conflicts` needs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from uuid import UUID

from partway.ledger.balance import conflicts as rules
from partway.ledger.balance.conflicts import CODES, Conflict, Counting
from partway.ledger.events.kinds import Corrected, Quoted
from partway.ledger.events.meaning import postings
from partway.ledger.fold.fold import State

Place = tuple[str, str]  # of a find or bin, and the grade


def counted_in(state: State) -> Iterator[Counting]:
    """The counting events of a state, with their effects."""
    for event_id, event in state.events.items():
        if event_id not in state.voided:
            known = state.things.known(event)
            yield Counting(known, state.meanings[event_id])


def may_be_any(state: State) -> bool:
    """Whether there can be any conflict: False if a single known device wrote everything and nothing is below zero."""
    devices = {event.device for event in state.events.values()}
    short = any(mg < 0 and place.startswith(("find:", "bin:")) for (place, _), mg in state.balances.items())
    return short or len(devices) > 1 or "" in devices


def conflicts_in(counted: Iterable[Counting]) -> tuple[Conflict, ...]:
    """All conflicts, each once, in the order of `in_order`."""
    ordered = sorted(counted, key=lambda one: one.event.position)
    found = [*in_places(ordered), *in_corrections(ordered), *in_prices(ordered), *in_words(ordered)]
    return in_order(found)


def in_order(found: Iterable[Conflict]) -> tuple[Conflict, ...]:
    """Sort conflicts by sort, then by what they are about."""
    return tuple(sorted(found, key=lambda one: (CODES.index(one.code), one.subjects, one.name)))


def in_places(ordered: Sequence[Counting]) -> Iterable[Conflict]:
    """Conflicts about finds, bins and listings; `events` in their order."""
    about: dict[str, list[Counting]] = defaultdict(list)
    for one in ordered:
        for subject in one.subjects:
            if subject.startswith(("find:", "bin:", "listing:")):
                about[subject].append(one)
    for place, events in about.items():
        yield from in_place(place, events)


def in_place(place: str, events: Sequence[Counting]) -> Iterable[Conflict]:
    """Conflicts about one find, bin or listing, from all events about it in their order."""
    if place.startswith("listing:"):
        yield from rules.oversold(place, events)
    elif place.startswith("find:"):
        yield from rules.ended_twice(place, events)
    else:
        yield from _recounts(place, events)
    masses: dict[str, int] = defaultdict(int)
    for one in events:
        for (of, grade), mg in postings(one.effects.moves).items():
            if of == place:
                masses[grade] += mg
    for grade, mg in sorted(masses.items()):
        takers = [one for one in events if one.net_mg(place, grade or None) < 0]
        yield from rules.below_zero(place, grade, mg, takers)


def _recounts(place: str, events: Sequence[Counting]) -> Iterable[Conflict]:
    by_grade: dict[str, list[Counting]] = defaultdict(list)
    for one in events:
        if one.effects.asserted:
            by_grade[one.effects.asserted.grade].append(one)
    for counts in by_grade.values():
        yield from rules.recounts_differ(place, counts)


def in_corrections(ordered: Sequence[Counting]) -> Iterable[Conflict]:
    """Conflicts between corrections, from all that count with what they put in place."""
    standing = {one.event.id: one for one in ordered}
    corrections: dict[UUID, list[Counting]] = defaultdict(list)
    for one in ordered:
        if isinstance(one.event.what, Corrected):
            corrections[one.event.what.event].append(one)
    for target, several in corrections.items():
        if len({one.event.device for one in several}) > 1:
            outcomes = rules.outcomes_of(corrections, standing, target)
            ids = [UUID(text) for texts in outcomes.values() for text in texts if text != rules.TAKEN_BACK]
            subjects = [subject for event_id in ids for subject in standing[event_id].subjects]
            yield from rules.corrections_differ(target, several, outcomes, subjects)


def in_prices(ordered: Sequence[Counting]) -> Iterable[Conflict]:
    """Conflicts between quotes."""
    said: dict[tuple[str, str], list[Counting]] = defaultdict(list)
    for one in ordered:
        if isinstance(one.event.what, Quoted):
            said[one.effects.facts[0].subject, one.event.what.on.isoformat()].append(one)
    for (quote, day), quotes in said.items():
        yield from rules.prices_differ(quote, day, quotes)


def in_words(ordered: Sequence[Counting]) -> Iterable[Conflict]:
    """Conflicts between values of fields; two prices of one day are conflicts between quotes instead."""
    last: dict[tuple[str, str], list[Counting]] = defaultdict(list)
    for one in ordered:
        for fact in one.effects.facts:
            words = last[fact.subject, fact.name]
            if words and rules.moment_of(words[0].event) < rules.moment_of(one.event):
                words.clear()
            words.append(one)
    for (subject, name), words in last.items():
        yield from of_field(subject, name, words)


def of_field(subject: str, name: str, words: Sequence[Counting]) -> Iterable[Conflict]:
    """Conflicts about one field: its latest values, all of one time."""
    days = {one.event.what.on for one in words if isinstance(one.event.what, Quoted)}
    if len(words) > 1 and len(days) != 1:
        yield from rules.words_differ(subject, name, words)
