"""What is sent about kinds of one's own."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from partway.ledger.events.fields import LONGEST_ANATOMY
from partway.web.api.bodies import Body, Km, Line, Moment, example

TOY = '[[anatomy]]\nkind = "desk-toy"\n[[anatomy.piece]]\nid = "whole"\nmass_kg = [0.5, 0.75, 1.0]\n'


class KindsBody(Body, json_schema_extra=example({"anatomy": TOY})):
    """Anatomies as TOML, as `partway check` calls them sound."""

    text: Annotated[str, Field(max_length=LONGEST_ANATOMY)] = Field(
        alias="anatomy", description="One or more [[anatomy]] tables.", examples=[TOY]
    )
    replace: bool | None = Field(None, description="Also in place of a kind that ships.")


class KindFromBody(
    Body,
    json_schema_extra=example(
        {"find": "microwave-12", "hazards": "mains,sharp-edges", "name": "Oven", "names": "old oven", "kind": "my-oven"}
    ),
):
    """A kind made of what came out of a find."""

    find: Line = Field(description="A find that was opened, its pieces weighed.", examples=["microwave-12"])
    hazards: Line | None = Field(
        None, description="What can hurt when one is opened: cards, joined by commas; or none."
    )
    name: Line = Field("", description="What it is called; as the find where not said.")
    names: Line = Field("", description="What else people say, joined by commas.")
    kind: Line = Field("", description="Its id; as the find's where not said.")
    replace: bool | None = Field(None, description="Also in place of a kind that ships.")


class GivenUpBody(Body, json_schema_extra=example({"kind": "desk-toy"})):
    """A kind that is the user's own no more."""

    kind: Line = Field(description="Which, as /api/own-kinds lists them.", examples=["desk-toy"])


class RoundStartBody(Body, json_schema_extra=example({"where": "west streets"})):
    """A collecting round sets out."""

    where: Line = Field(description="Where it goes: rounds are told apart by it.", examples=["west streets"])
    note: Line = Field("", description="Anything else.")


class RoundEndBody(Body, json_schema_extra=example({"km": "14", "left": ["sofa bed", "tube tv"]})):
    """A collecting round is over."""

    round: Line | None = Field(None, description="Which; default the one under way.")
    km: Km | None = Field(None, description="Home to home; a number alone is in km.")
    left: list[Line] = Field([], max_length=50, description="What was left standing.")
    note: Line = Field("", description="Anything else.")


class RoundBody(Body, json_schema_extra=example({"where": "west streets", "begin": "6:10", "end": "7:40", "km": "14"})):
    """A collecting round said afterwards."""

    where: Line = Field(description="Where it went.", examples=["west streets"])
    begin: Moment = Field(description="When it began: a time of the day it was on, or a day with its time.")
    end: Moment = Field(description="When it was over.")
    km: Km | None = Field(None, description="Home to home; a number alone is in km.")
    left: list[Line] = Field([], max_length=50, description="What was left standing.")
    note: Line = Field("", description="Anything else.")
