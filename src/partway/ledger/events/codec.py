"""Events as JSON and back, without loss; what an event may not say is refused here, before anything is kept.

Masses are whole numbers, money is decimal text, times are UTC with a Z. The canonical text (keys sorted, no spaces,
every field written) is the same for the same event, so it serves for comparing and hashing.
"""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any, NoReturn
from uuid import UUID

from partway.errors import BadEvent, LedgerDamaged
from partway.ledger.events.event import ASKED_FOR, FIRST, SCHEMA, Event, Refs
from partway.ledger.events.fields import Bad, Read, device, event_id, intent_id, moment, optional, person, refs
from partway.ledger.events.kinds import PAYLOADS, Corrected, Payload
from partway.ledger.events.shapes import canonical, shape_of, time_text, written
from partway.ledger.events.subjects import subjects_of
from partway.quantities import shown

LONGEST = 1_000_000  # characters of one event
REMEMBERED = 4096  # payloads: the last words of all buyers, and a grade's history
ENVELOPE: dict[str, Read] = {"id": event_id, "who": person, "happened": moment, "typed": moment}
SINCE_2: dict[str, Read] = {"device": device, "order": optional(moment), "refs": refs}
SINCE_3: dict[str, Read] = SINCE_2 | {"intent": intent_id}
ENVELOPES = {  # what each schema has around kind and data
    FIRST: ENVELOPE,
    SCHEMA: ENVELOPE | SINCE_2,
    ASKED_FOR: ENVELOPE | SINCE_3,
}

Data = dict[str, Any]


def to_json(event: Event) -> Data:
    """An event as a JSON object. Raises BadEvent for one that could not be read back."""
    data = {
        "id": str(event.id),
        "who": event.who,
        "happened": time_text(event.happened),
        "typed": time_text(event.typed),
        "schema": event.schema,
        "kind": event.what.KIND if isinstance(event.what, Payload) else type(event.what).__name__,
        "data": written(event.what),
    }
    if event.schema != FIRST or (event.device, event.order, event.refs) != ("", None, ()):
        data["device"] = event.device
        data["order"] = None if event.order is None else time_text(event.order)
        data["refs"] = {subject: str(maker) for subject, maker in event.refs}
    if event.intent is not None:
        data["intent"] = str(event.intent)
    from_json(data)
    return data


def from_json(data: object, where: str = "event") -> Event:
    """The event of a JSON object. Raises BadEvent naming the field, within `where`."""
    try:
        return _read(data)
    except Bad as bad:
        raise BadEvent(shown(bad.given), bad.expected, f"{where}, {bad.path}" if bad.path else where) from None


def to_text(event: Event) -> str:
    """The canonical text of an event. Raises BadEvent."""
    return canonical(to_json(event))


def from_text(text: str, where: str = "event") -> Event:
    """The event of a JSON text. Raises BadEvent, also for text that is not JSON or names a field twice."""
    return from_json(_loaded(text, where), where)


@lru_cache(maxsize=REMEMBERED)
def payload_from(kind: str, text: str, where: str = "payload") -> Payload:
    """The payload of a kind from its canonical text. Raises BadEvent. A ledger says the same again after every change,
    so what was read lately is remembered: it never changes.
    """
    data = _loaded(text, where)
    try:
        return _payload(kind, data)
    except Bad as bad:
        raise BadEvent(shown(bad.given), bad.expected, f"{where}, {bad.path}" if bad.path else where) from None


def payload_kept(kind: str, text: str, subject: str) -> Payload:
    """The payload of a kind from the text that a book keeps of a subject. Raises LedgerDamaged."""
    try:
        return payload_from(kind, text, subject)
    except BadEvent as bad:
        anew = "`partway rebuild` works it out anew from the events"
        raise LedgerDamaged(bad.given, bad.expected, f"what the ledger keeps of {bad.where}", anew) from bad


def same(one: Event, other: Event) -> bool:
    """Whether two events say the same, to the last digit (4.1 and 4.10 are not written alike)."""
    return one is other or (one == other and to_text(one) == to_text(other))


def _read(data: object) -> Event:
    if type(data) is not dict:
        raise Bad(data, "a table")
    envelope = ENVELOPES[_schema(data.get("schema", FIRST))]
    fields = {*envelope, "schema", "kind", "data"}
    if data.keys() != fields:
        name = min((str(name) for name in data.keys() ^ fields), key=lambda name: (name in fields, name))
        raise Bad(None, "a value", name) if name in fields else Bad(name, "only " + ", ".join(sorted(fields)))
    head: dict[str, Any] = {}
    for name, read in envelope.items():
        try:
            head[name] = read(data[name])
        except Bad as bad:
            raise bad.inside(name) from None
    event = Event(**head, what=_payload(data["kind"], data["data"]), schema=data["schema"])
    if isinstance(event.what, Corrected) and not event.what.looks_back(event.id):
        raise Bad(str(event.what.event), "the id of an earlier event", "data.event")
    if event.order == event.happened:
        raise Bad(data["order"], "null where it is the same as happened", "order")
    if event.refs:
        _check_refs(event, subjects_of(event))
    return event


def _schema(given: object) -> int:
    """An event keeps the schema it was written in, since its meaning goes by it."""
    if type(given) is not int or given not in ENVELOPES:
        raise Bad(given, f"a schema from {FIRST} to {ASKED_FOR}; a later one needs a later partway", "schema")
    return given


def _check_refs(event: Event, named: tuple[str, ...]) -> None:
    """Refs are of what the event names, made by it or before it; one event makes one thing of a sort."""
    for subject, maker in event.refs:
        if subject not in named:
            raise Bad(subject, "a find, bin, haul or ticket that the event names", "refs")
        if maker > event.id:
            raise Bad(str(maker), "the id of this event or an earlier one", f"refs.{subject}")
    makers = [(subject.partition(":")[0], maker) for subject, maker in event.refs]
    if len(set(makers)) < len(makers):
        raise Bad(_twice(event.refs), "another maker for each of a sort", "refs")


def _twice(refs: Refs) -> str:
    seen: set[tuple[str, UUID]] = set()
    for subject, maker in refs:
        if (key := (subject.partition(":")[0], maker)) in seen:
            return f"{subject} made by {maker} too"
        seen.add(key)
    return ""


def _payload(kind: object, data: object) -> Payload:
    payload = PAYLOADS.get(kind) if type(kind) is str else None
    if payload is None:
        raise Bad(kind, " | ".join(PAYLOADS), "kind")
    try:
        what: Payload = shape_of(payload).read(data)
        what.check()
    except Bad as bad:
        raise bad.inside("data") from None
    return what


def _loaded(text: str, where: str) -> object:
    if len(text) > LONGEST:
        raise BadEvent(f"{len(text)} characters", f"at most {LONGEST}", where)
    try:
        return json.loads(text, parse_float=_no_float, parse_constant=_no_float, object_pairs_hook=_once)
    except Bad as bad:
        raise BadEvent(shown(bad.given), bad.expected, where) from None
    except (ValueError, RecursionError) as failure:
        raise BadEvent(shown(text), f"JSON ({failure})", where) from None


def _no_float(digits: str) -> NoReturn:
    raise Bad(digits, 'whole numbers; money as text such as "4.10"')


def _once(pairs: list[tuple[str, Any]]) -> Data:
    data = dict(pairs)
    if len(data) < len(pairs):
        raise Bad("the same field twice", "each field once")
    return data
