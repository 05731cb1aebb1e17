"""What is sent to keep the books: money out, hours, corrections, settings."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from partway.web.api.bodies import LINE, Agreed, Body, Line, Money, Time, example


class SpendBody(Body, json_schema_extra=example({"what": "fuel, full tank", "amount": "62.40", "category": "fuel"})):
    """Money went out."""

    what: Line = Field(description="For what.", examples=["fuel, full tank"])
    amount: Money = Field(description="How much.")
    category: Line = Field("other", description="Such as fuel, blades or fees.")


class HoursBody(Body, json_schema_extra=example({"activity": "collect", "time": "1 h 30"})):
    """Time was worked."""

    activity: Literal["collect", "bench", "haul", "list", "other"] = Field(description="At what.")
    minutes: Time = Field(alias="time", description="How long.")
    find: Line | None = Field(None, description="On which find.")
    note: Line = Field("", description="Anything else.")


class NoteBody(Body, json_schema_extra=example({"text": "closes at noon on saturdays", "buyer": "harbour-yard"})):
    """Something is noted."""

    text: str = Field(max_length=1000, description="In your own words.", examples=["closes at noon on saturdays"])
    find: Line | None = Field(None, description="About which find, also one of which nothing is left.")
    buyer: Line | None = Field(None, description="About which buyer.")
    bin_id: Line | None = Field(None, alias="bin", description="About which bin.")


class CorrectBody(Body, json_schema_extra=example({"events": ["1a2b3c4d"], "why": "typed twice"})):
    """Events are taken back, or one is put right."""

    events: list[Line] = Field(min_length=1, max_length=500, description="Their ids, or the ends of them.")
    why: Line = Field("", description="What was wrong.")
    changes: dict[Annotated[str, Field(max_length=LINE)], Line] = Field(
        {},
        max_length=100,
        description="What is right instead, by field; of a ticket line1.mass and the like, of an opening its pieces.",
        examples=[{"mass": "5.2 kg", "count": "2", "day": "2026-03-14"}],
    )
    gap: Literal["loss", "residue", "left", "scale"] | None = Field(
        None, description="Of an opening: what the mass is that does not add up; the answer to a question."
    )
    as_printed: Agreed = None
    preview: bool = Field(False, description="Tell what would follow (`told.follows`), and record nothing.")


class SetBody(Body, json_schema_extra=example({"name": "wage", "value": "18"})):
    """A setting is changed."""

    name: Line = Field(description="Which, as /api/settings lists them.", examples=["currency"])
    value: Line = Field(description="What it is now.", examples=["CAD"])
