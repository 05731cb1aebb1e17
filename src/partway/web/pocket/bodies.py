"""What a phone hands back: entries that it noted without signal, and what the desk answers to each."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import AwareDatetime, Field

from partway.actions.pocket.intents import Intent
from partway.web.api.bodies import BodyTable, Line, example

SCHEMA = 1
AT_ONCE = 1000  # entries in one request
EXAMPLE = {
    "id": "019b7e3a-6d00-7c4e-9a51-3b1f0c2d4e5f",
    "what": "found",
    "body": {"kind": "microwave", "mass": "13.2 kg"},
    "typed": "2026-03-14T09:30:00-04:00",
    "day": "2026-03-14",
}
What = Literal[
    "found", "tested", "weighed", "quoted", "refused", "ticketed", "sold", "spent", "worked", "noted", "said"
]
Id = Annotated[
    UUID,
    Field(strict=False, description="A version 7 UUID that the phone made: the entry is carried out once under it."),
]


class IntentTable(BodyTable):
    """An entry as the phone kept it."""

    id: Id
    what: What = Field(description="What was noted.")
    body: dict[str, Any] = Field(
        max_length=100,
        description="As the address for it takes it; a find that is itself an entry goes by @ and the id of that.",
    )
    typed: AwareDatetime = Field(strict=False, description="When, by the phone's clock (RFC 3339).")
    day: dt.date = Field(strict=False, description="The day on the phone's calendar, for whoever reads a saved file.")

    def intent(self) -> Intent:
        """As the action takes it."""
        return Intent(self.id, self.what, self.body, self.typed)


class BackBody(BodyTable, json_schema_extra=example({"schema": SCHEMA, "workspace": "", "intents": [EXAMPLE]})):
    """Entries of one workspace, in the order in which they were noted."""

    form: Literal[1] = Field(alias="schema", description="The form of this list.")
    workspace: Line = Field(description="The workspace, as the phone was given it.")
    intents: list[IntentTable] = Field(max_length=AT_ONCE, description="The entries; at most a thousand at once.")
