"""Events and their meaning as rows of the tables, and events back from rows."""

from __future__ import annotations

import json
from typing import Any

from partway.errors import BadEvent, LedgerDamaged
from partway.ledger.codec import canonical, from_json, to_json
from partway.ledger.effects import Effects
from partway.ledger.events import Event
from partway.ledger.shapes import time_text
from partway.ledger.subjects import subjects_of
from partway.quantities import shown
from partway.storage.sums import money_text

Row = dict[str, Any]
ENVELOPE = ("id", "kind", "who", "happened", "typed", "schema")


def event_row(event: Event) -> Row:
    """An event as its table has it. Raises BadEvent for one that may not be kept."""
    data = to_json(event)
    return {**{name: data[name] for name in ENVELOPE}, "data": canonical(data["data"])}


def event_from(row: Any) -> Event:
    """The event of a row. Raises LedgerDamaged where somebody, or a bad disk, changed it into something else."""
    where = f"event {row.id}"
    data = {name: getattr(row, name) for name in ENVELOPE}
    try:
        return from_json({**data, "data": json.loads(row.data)}, where)
    except BadEvent as bad:
        raise LedgerDamaged(bad.given, bad.expected, bad.where) from bad
    except (TypeError, ValueError, RecursionError) as error:
        raise LedgerDamaged(shown(row.data), f"JSON ({error})", where) from error


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
