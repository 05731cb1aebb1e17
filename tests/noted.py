"""What a phone notes without signal, for tests: entries with ids of their own, and the hand-back."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from photographs import saved, scene

from partway.actions.pocket.intents import HandedBack, Intent
from partway.actions.pocket.take_back import take_back
from partway.actions.recording.context import Context
from partway.ledger.book import Book
from partway.ledger.events.ids import IdMaker, new_id
from partway.ledger.workspaces import workspace_id
from partway.photographs.cleaning import cleaned
from partway.web.pocket.acts import ACTS
from partway.web.pocket.photograph import act_with

MORNING = dt.datetime(2026, 3, 20, 8, 0, tzinfo=dt.UTC)
EVENING = dt.datetime(2026, 3, 20, 18, 0, tzinfo=dt.UTC)


@dataclass
class Phone:
    """A phone with its own clock; it notes entries and keeps them all."""

    now: dt.datetime = MORNING
    noted: list[dict[str, Any]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._make = IdMaker(lambda: int(self.now.timestamp() * 1000))

    def note(self, what: str, /, after: float = 1, **body: Any) -> str:
        """Note an entry, so many minutes after the one before; its id."""
        self.now += dt.timedelta(minutes=after)
        made = str(self._make())
        entry = {"id": made, "what": what, "body": body, "typed": self.now.isoformat(), "day": f"{self.now:%Y-%m-%d}"}
        self.noted.append(entry)
        return made

    def sent(self, workspace: str) -> dict[str, Any]:
        """All of it, as it is posted."""
        return {"schema": 1, "workspace": workspace, "intents": self.noted}

    def intents(self) -> list[Intent]:
        """All of it, as the action takes it."""
        return [intent_of(entry) for entry in self.noted]


def intent_of(entry: dict[str, Any]) -> Intent:
    """An entry as the action takes it."""
    return Intent(UUID(entry["id"]), entry["what"], entry["body"], dt.datetime.fromisoformat(entry["typed"]))


def handed(book: Book, intents: list[Intent], now: dt.datetime = EVENING, who: str = "phone") -> list[HandedBack]:
    """What the desk answers to some entries of its workspace."""
    context = Context(who, lambda: now, new_id, zone="UTC")
    acts = {**ACTS, "pictured": act_with(cleaned(saved(scene())))}  # the file comes beside the entry
    return list(take_back(book, context, workspace_id(book), intents, acts))
