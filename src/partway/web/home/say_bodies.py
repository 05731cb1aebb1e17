"""What is sent to say something: the text, and answers to what its lines ask."""

from __future__ import annotations

from pydantic import Field

from partway.saying.tokens import TEXT_MOST
from partway.web.api.bodies import Body, BodyTable, Line, example


class SayAnswerTable(BodyTable):
    """An answer to what a line asks."""

    option: Line = Field(description="The `option` of the line.", examples=["1.find"])
    answer: Line = Field(description="One of its choices.")


class SayBody(
    Body, json_schema_extra=example({"text": "found two microwaves, one works. fuel forty bucks", "save": True})
):
    """What somebody says, to be read back or saved."""

    text: str = Field(max_length=TEXT_MOST, description="As it was said or dictated; several sentences in one go.")
    answers: list[SayAnswerTable] = Field([], max_length=200, description="What its lines asked.")
    language: Line = Field("", description="en, fr or es; default that of the workspace.")
    save: bool = Field(False, description="Record it: all of it, or nothing while a line asks something (409).")
    shown: Line = Field("", description="The `shown` of what was read back: only that is recorded.")
