"""Whose the hours and money of an event are that somebody else put right: read once, then only what was added."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field

from sqlalchemy import Connection, exists, func, select

from partway.ledger.fold.period import first_said
from partway.storage.tables import tables as t
from partway.storage.writing.derive import chunks


@dataclass(frozen=True, slots=True)
class Whose:
    """Who said first what now counts in another's words, `by` the event that counts.

    Of the `count` corrections `last` is the newest, and `put_right` has what each stands in the place of.
    """

    by: Mapping[str, str] = field(default_factory=dict)
    put_right: Mapping[str, str] = field(default_factory=dict)
    count: int = 0
    last: str = ""


def whose(connection: Connection, earlier: Whose | None) -> Whose:
    """As it stands now, from how it stood. All corrections are read again where others came in between: a merge brings
    older ones, and what was read may not have been kept.
    """
    event = t.event.c
    corrected = event.kind == "corrected"
    count = connection.execute(select(func.count()).where(corrected)).scalar_one()
    before = earlier or Whose()
    rows = connection.execute(select(event.id, event.data).where(corrected, event.id > before.last)).all()
    kept = not before.last or connection.execute(select(exists().where(event.id == before.last))).scalar_one()
    if not kept or before.count + len(rows) != count:
        before, rows = Whose(), connection.execute(select(event.id, event.data).where(corrected)).all()
    if not rows:
        return before
    said = [json.loads(row.data) for row in rows]
    put_right = {**before.put_right, **{one["instead"]: one["event"] for one in said if one.get("instead")}}
    first = first_said(put_right)
    last = max(row.id for row in rows)
    return Whose(_who(connection, first, before.by), put_right, count, last)


def _who(connection: Connection, first: Mapping[str, str], known: Mapping[str, str]) -> dict[str, str]:
    """By the event that counts; those that are `known` are not looked up again."""
    event, who = t.event.c, dict[str, str]()
    for part in chunks(sorted({before for one, before in first.items() if one not in known})):
        rows = connection.execute(select(event.id, event.who).where(event.id.in_(part))).all()
        who |= {row.id: row.who for row in rows}
    return {**known, **{one: who[before] for one, before in first.items() if one not in known and before in who}}
