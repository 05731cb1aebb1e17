"""What is sent about pieces that were found out, and about the rules of a place."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from partway.actions.what.identifying import DEFAULT_CONTEXT
from partway.web.api.bodies import LINE, Body, Count, Day, Line, Mass, Text, example


class IdentifiedBody(
    Body,
    json_schema_extra=example(
        {"material": "chrome-brass", "context": "taps", "count": 3, "answers": {"colour": "yellow"}, "mass": "2.4 kg"}
    ),
):
    """What pieces turned out to be."""

    material: Line = Field(description="Of what, as /api/key lists them.", examples=["chrome-brass"])
    where: Line = Field(DEFAULT_CONTEXT, alias="context", description="Where they come from, as /api/key lists them.")
    count: Count = Field(1, description="How many alike.")
    answers: dict[Annotated[str, Field(max_length=LINE)], Line] = Field(
        {}, max_length=20, description="What the tests said, by test.", examples=[{"magnet": "none"}]
    )
    mass: Mass | None = Field(None, description="What all of them weigh.")
    grade: Line | None = Field(None, description="The grade they go to, where it is not the material's own.")
    note: Text = Field("", description="Anything else.")


class RuleBody(
    Body,
    json_schema_extra=example(
        {"card": "payment", "says": "no cash for copper", "source": "notice at the yard", "seen": "2026-03-01"}
    ),
):
    """What a rule says at the user's place."""

    card: Line = Field(description="Which, as /api/place lists them.", examples=["payment"])
    says: Text = Field(description="What the place says, in the user's words.")
    source: Line = Field(description="Where that is written, or who was asked.")
    seen: Day | None = Field(None, description="The day it was looked up, such as 2026-03-01; today where not said.")
