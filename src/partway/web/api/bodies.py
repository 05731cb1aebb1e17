"""What every body shares: texts as they are typed on the command line, and no field that is not known."""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
)

from partway.actions.home.distances import in_unit
from partway.actions.recording.said_amounts import count_said
from partway.errors import Refused

LINE = 200
TEXT = 20_000
COUNT_MOST = 100_000


def whole(value: object) -> object:
    """JSON knows one sort of number: 3.0 is a whole one."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def counted(value: object, info: ValidationInfo) -> object:
    """How many, as a number of JSON or as people say it: 2, "2", "two". Raises Refused, which no form catches."""
    return count_said(value, str(info.field_name)) if isinstance(value, str) else whole(value)


def or_words(number: str, least: float, most: float) -> WithJsonSchema:
    """What the document says of a number that may be said in words."""
    plain = {"type": number, "minimum": least, "maximum": most}
    return WithJsonSchema({"anyOf": [plain, {"type": "string", "maxLength": LINE}]})


def agreed(answer: bool | str | None) -> bool | None:
    """An answer as actions take it."""
    return True if answer == "yes" else None if isinstance(answer, str) else answer


def example(body: dict[str, Any]) -> dict[str, Any]:
    """A body that the demo workspace takes, for the document."""
    return {"examples": [body]}


Line = Annotated[str, Field(max_length=LINE)]
Text = Annotated[str, Field(max_length=TEXT)]
Mass = Annotated[str, Field(max_length=LINE, examples=["3.1 kg", "10 lb"])]
Money = Annotated[str, Field(max_length=LINE, examples=["12.50"])]
Km = Annotated[str, Field(max_length=LINE, examples=["14", "9 mi"]), AfterValidator(lambda text: in_unit(text, "km"))]
Time = Annotated[str, Field(max_length=LINE, examples=["45", "1 h 30"])]
Price = Annotated[str, Field(max_length=LINE, examples=["4.10 /lb", "38 c/lb", "6 each"])]
Day = Annotated[str, Field(max_length=LINE, examples=["2026-03-14", "monday"])]
Moment = Annotated[str, Field(max_length=LINE, examples=["7:40", "monday 6:10"])]
Count = Annotated[int, Field(ge=1, le=COUNT_MOST), BeforeValidator(counted), or_words("integer", 1, COUNT_MOST)]
Works = Literal["yes", "no", "unknown"]
Agreed = Annotated[
    bool | Literal["yes"] | None, Field(description="The answer to a question that was asked: yes, or true.")
]


class BodyTable(BaseModel):
    """Known fields of exactly their type, and no others."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False, validate_by_name=False)


class Body(BodyTable):
    """What every write may say."""

    on: Day = Field("", description="When it happened: yesterday, 2026-03-14, 2026-03-14 15:30. Empty for now.")

    def given(self) -> dict[str, Any]:
        """The arguments of the action, by its own names."""
        return {name: getattr(self, name) for name in type(self).model_fields if name != "on"}


B = TypeVar("B", bound=BodyTable)


def read_body(body: type[B], given: object) -> B:
    """A body that did not come as one by itself. Raises Refused with the first field that is wrong."""
    try:
        return body.model_validate(given)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "body"
        said = "nothing" if first["type"] == "missing" else ascii(first.get("input"))[:80]
        raise Refused(said, f"{first['msg'][:1].lower()}{first['msg'][1:]}"[:200], where[:200]) from None
