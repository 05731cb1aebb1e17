"""Events and their meaning as rows of the tables, and events back from rows."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

from partway.errors import BadEvent, LedgerDamaged
from partway.ledger.events.codec import from_json, to_json
from partway.ledger.events.effects import Effects, Move
from partway.ledger.events.event import ASKED_FOR, FIRST, Event
from partway.ledger.events.meaning import EXACT
from partway.ledger.events.shapes import canonical, time_text
from partway.ledger.events.subjects import subjects_of
from partway.quantities import shown

Row = dict[str, Any]
ENVELOPE = ("id", "kind", "who", "happened", "typed", "schema")


def event_row(event: Event) -> Row:
    """An event as its table has it. Raises BadEvent for one that may not be kept."""
    data = to_json(event)
    head = {name: data[name] for name in ENVELOPE}
    refs = canonical(data.get("refs", {}))
    later = {"device": event.device, "order": data.get("order") or data["happened"], "refs": refs}
    later["intent"] = data.get("intent", "")
    return {**head, **later, "data": canonical(data["data"])}


def event_from(row: Any) -> Event:
    """The event of a row. Raises LedgerDamaged if the row was changed by hand or damaged."""
    where = f"event {row.id}"
    data = {name: getattr(row, name) for name in ENVELOPE}
    try:
        if row.schema != FIRST:
            order = None if row.order == row.happened else row.order
            data |= {"device": row.device, "order": order, "refs": json.loads(row.refs)}
        if row.schema == ASKED_FOR:
            data["intent"] = row.intent
        return from_json({**data, "data": json.loads(row.data)}, where)
    except BadEvent as bad:
        raise LedgerDamaged(bad.given, bad.expected, bad.where) from bad
    except (TypeError, ValueError, RecursionError) as error:
        raise LedgerDamaged(shown(row.data), f"JSON ({error})", where) from error


def position_text(event: Event) -> tuple[str, str]:
    """The position of an event, as two texts that sort the same way."""
    return time_text(event.position[0]), str(event.id)


def move_row(move: Move) -> Row:
    """A movement."""
    return {"source": move.source, "target": move.target, "grade": move.grade, "mg": move.mg}


def about_rows(event: Event) -> list[Row]:
    """A row for each subject the event can be looked up by."""
    return [{"subject": subject, "event": str(event.id)} for subject in subjects_of(event)]


def meaning_rows(event: Event, effects: Effects, live: bool, rows: dict[str, list[Row]]) -> None:
    """Append a row for each move, assertion, fact and entry to the list of that name."""
    head, (order, _) = {"event": str(event.id), "live": live}, position_text(event)
    rows["move"] += [{**head, "order": order, **move_row(move)} for move in effects.moves]
    if (said := effects.asserted) is not None:
        what = {"place": said.place, "grade": said.grade, "mg": said.mg, "other": said.other}
        rows["assertion"].append({**head, "order": order, **what})
    happened = time_text(event.happened)
    for fact in effects.facts:
        word = {"subject": fact.subject, "name": fact.name, "value": fact.value}
        rows["fact"].append({**head, "happened": happened, "order": order, **word})
    for entry in effects.entries:
        rows["entry"].append({**head, "account": entry.account, "amount": money_text(entry.amount), "tag": entry.tag})


def money_text(amount: Decimal) -> str:
    """An amount without exponent or zeros at the end: the same text for the same money."""
    return f"{amount.normalize(EXACT):f}" if amount else "0"
