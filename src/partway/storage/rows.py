"""Events and their meaning as rows of the tables, and events back from rows."""

from __future__ import annotations

import json
from typing import Any

from partway.ledger.codec import canonical, from_json, to_json
from partway.ledger.effects import Effects
from partway.ledger.events import FIRST, Event
from partway.ledger.shapes import time_text
from partway.ledger.subjects import subjects_of
from partway.storage.sums import money_text

Row = dict[str, Any]
ENVELOPE = ("id", "kind", "who", "happened", "typed", "schema")
SINCE_2 = ("device", "order")  # and `refs`, as text


def event_row(event: Event) -> Row:
    """An event as its table has it. Raises BadEvent for one that may not be kept."""
    data = to_json(event)
    head = {name: data[name] for name in ENVELOPE}
    later = {"device": data.get("device", ""), "order": data.get("order"), "refs": canonical(data.get("refs", {}))}
    return {**head, **later, "data": canonical(data["data"])}


def event_from(row: Any) -> Event:
    """The event of a row. Raises BadEvent where somebody changed it by hand into something else."""
    data = {name: getattr(row, name) for name in ENVELOPE}
    later = {} if row.schema == FIRST else {name: getattr(row, name) for name in SINCE_2}
    if later:
        later["refs"] = json.loads(row.refs)
    return from_json({**data, **later, "data": json.loads(row.data)}, f"event {row.id}")


def about_rows(event: Event) -> list[Row]:
    """A row for each subject the event can be looked up by."""
    return [{"subject": subject, "event": str(event.id)} for subject in subjects_of(event)]


def meaning_rows(event: Event, effects: Effects, live: bool, rows: dict[str, list[Row]]) -> None:
    """Adds a row for each move, fact and entry to the lists of these names."""
    head = {"event": str(event.id), "live": live}
    for move in effects.moves:
        rows["move"].append({**head, "source": move.source, "target": move.target, "grade": move.grade, "mg": move.mg})
    happened = time_text(event.happened)
    for fact in effects.facts:
        said = {"subject": fact.subject, "name": fact.name, "value": fact.value, "happened": happened}
        rows["fact"].append({**head, **said})
    for entry in effects.entries:
        rows["entry"].append({**head, "account": entry.account, "amount": money_text(entry.amount), "tag": entry.tag})
