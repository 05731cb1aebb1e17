"""The tables of a catalogue file, field by field: types and ranges, nothing that takes two fields to see."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from partway.things.anatomy import LOSS
from partway.things.estimate import Estimate

NOTE = 160  # characters of a note or of a field of a card: what fits a phone beside a piece
LARGEST = 1e7  # kg, minutes, money: above this a number is a slip


class TableForm(BaseModel):
    """A table whose every field is known and of exactly its type."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, defer_build=True)


def _points(value: object) -> list[float] | None:
    """One number or three as three floats, None when it is anything else."""
    given = value if isinstance(value, list) else [value] * 3
    numbers = [n for n in given if isinstance(n, (int, float)) and not isinstance(n, bool)]
    if len(given) != 3 or len(numbers) != 3 or not all(abs(n) <= LARGEST for n in numbers):  # also NaN
        return None
    return [float(n) for n in numbers]


def _estimate(what: str, least: str, word: str | None = None, most: float = LARGEST) -> Callable[[object], Any]:
    """A validator of `what` as one number or low, likely, high, none above `most`; `word` stands for itself.

    `least` is "above 0", "at least 0" or "" for no lower bound.
    """
    expected = f"{what}, {least or 'any size'}, at most {most:,.0f}: one number or [low, likely, high]"
    expected += f', or "{word}"' if word else ""

    def validate(value: object) -> Estimate | str:
        if word is not None and value == word:
            return word
        points = _points(value)
        if (
            points is None
            or (least and min(points) < 0)
            or (least == "above 0" and min(points) == 0)
            or max(points) > most
        ):
            raise PydanticCustomError("expected", "{expected}", {"expected": expected})
        if not points[0] <= points[1] <= points[2]:
            raise PydanticCustomError("expected", "{expected}", {"expected": "low <= likely <= high"})
        return Estimate(*points)

    return validate


def _schema(what: str, least: str, word: str | None = None, most: float = LARGEST) -> WithJsonSchema:
    """The JSON Schema of what `_estimate` takes."""
    bound: dict[str, Any] = {"above 0": {"exclusiveMinimum": 0}, "at least 0": {"minimum": 0}}.get(least, {})
    number = {"type": "number", "maximum": most, **bound}
    choices: list[dict[str, Any]] = [number, {"type": "array", "items": number, "minItems": 3, "maxItems": 3}]
    if word:
        choices.append({"const": word})
    return WithJsonSchema({"anyOf": choices, "description": f"{what}; one number or [low, likely, high]"})


Mass = Annotated[Estimate | str, PlainValidator(_estimate("kg", "above 0", "rest")), _schema("kg", "above 0", "rest")]
Minutes = Annotated[Estimate, PlainValidator(_estimate("minutes", "at least 0")), _schema("minutes", "at least 0")]
Money = Annotated[Estimate, PlainValidator(_estimate("money", "at least 0")), _schema("money", "at least 0")]
SaleShare = Annotated[
    Estimate,
    PlainValidator(_estimate("a share", "above 0", most=1.0)),
    _schema("share of its mass", "above 0", most=1.0),
]
Density = Annotated[Estimate, PlainValidator(_estimate("kg/L", "above 0")), _schema("kg/L", "above 0")]
Ratio = Annotated[Estimate, PlainValidator(_estimate("a ratio", "")), _schema("ratio to No. 2 copper", "")]


def _is_id(text: str) -> bool:
    return 0 < len(text) <= 80 and text == text.strip() and text.isprintable() and not set('"[]') & set(text)


def _is_prose(text: str) -> bool:
    """Text that is safe on a terminal; lines may break."""
    return len(text) <= 2000 and text.replace("\n", " ").replace("\t", " ").isprintable()


def _is_note(text: str) -> bool:
    return len(text) <= NOTE and text.isprintable()


def _must(expected: str, holds: Callable[[str], bool]) -> AfterValidator:
    """A validator that refuses, in our words, a text that does not hold."""

    def validate(text: str) -> str:
        if not holds(text):
            raise PydanticCustomError("expected", "{expected}", {"expected": expected})
        return text

    return AfterValidator(validate)


Id = Annotated[
    str,
    _must("an id of 1 to 80 printable characters without quotes, brackets or space around it", _is_id),
    WithJsonSchema({"type": "string", "minLength": 1, "maxLength": 80}),
]
Free = Annotated[str, _must("printable text of at most 2000 characters", _is_prose)]
Text = Annotated[Free, Field(min_length=1)]
Note = Annotated[str, _must("printable text of at most 160 characters, to be read on a phone", _is_note)]
Share = Annotated[float, Field(gt=0.0, le=1.0)]
Chance = Annotated[float, Field(ge=0.0, le=1.0)]
Amount = Annotated[float, Field(ge=0.0, le=LARGEST)]
Count = Annotated[int, Field(ge=1, le=100_000)]


class GradeForm(TableForm):
    """[[grade]]: a new grade needs a density; a known one changes only in the fields given."""

    id: Id
    name: Text | None = None
    family: Id | None = None
    qualifies: Free | None = None
    spoilers: list[Text] | None = None
    clues: list[Text] | None = None
    magnet: Literal["strong", "weak", "none"] | None = None
    density: Density | None = None
    ratio: Ratio | None = None
    anchor: Id | None = None
    downgrades: list[Id] | None = None
    hazards: list[Id] | None = None
    source: Id | None = None
    on: dt.date | None = None
    note: Note | None = None
    unsold: Note | None = None


class SaleForm(TableForm):
    """An entry of `sells`; a share that is a range is a guess."""

    grade: Id
    share: SaleShare = Estimate(1.0, 1.0, 1.0)
    before_required: bool = False


class PartForm(TableForm):
    """An entry of `parts`; `price_in` where it is not what the kind's `parts_in` says."""

    name: Free = ""
    price_in: Literal["money", "copper"] | None = None
    price: Money
    chance: Chance
    days: Annotated[float, Field(gt=0.0, le=LARGEST)] = 30.0
    minutes: Minutes
    fee: Chance = 0.0
    postage: Amount = 0.0
    needs: Literal["works"] | None = None
    most: Count | None = None


class PieceAnswerForm(TableForm):
    """An entry of `either`: what a piece turns out to be, with its chance among many finds."""

    answer: Id
    name: Text
    chance: Share
    like: Id | None = None
    sells: list[SaleForm] | None = None
    parts: list[PartForm] | None = None
    stop: Id | None = None
    note: Note = ""


class PieceForm(TableForm):
    """[[anatomy.piece]]; a piece `like` a component may leave out its mass and take the component's.

    One whose sort shows only in the hand has a question to `ask` and `either` of two answers or more; its own `sells`
    are what it goes as while nobody has looked.
    """

    id: Id
    name: Text | None = None
    mass_kg: Mass | None = None
    like: Id | None = None
    sells: list[SaleForm] | None = None
    parts: list[PartForm] | None = None
    stop: Id | None = None
    note: Note = ""
    ask: Text | None = None
    ask_minutes: Minutes = Estimate(0.1, 0.3, 1.0)
    ask_cautions: list[Id] = []
    either: Annotated[list[PieceAnswerForm], Field(min_length=2)] | None = None


class GivesForm(TableForm):
    """An entry of `gives`."""

    piece: Id
    count: Count = 1


class OperationForm(TableForm):
    """[[anatomy.operation]]; it comes `after` others on the same piece, each of which takes something off it."""

    id: Id | None = None
    name: Text | None = None
    on: Id
    after: Annotated[list[Id], Field(max_length=100)] = []
    minutes: Minutes
    tools: list[Text] = []
    gives: Annotated[list[GivesForm], Field(min_length=1)]
    cautions: list[Id] = []
    required: bool = False
    loss: Annotated[float, Field(ge=0.0, lt=1.0)] = LOSS
    cost: Amount = 0.0
    note: Note = ""


class PublishedForm(TableForm):
    """An entry of `published`."""

    source: Id
    mean_kg: Annotated[float, Field(gt=0.0, le=LARGEST)]
    of: Free = ""
    why: Free = ""


class AnatomyForm(TableForm):
    """[[anatomy]]: a kind or a component; the first piece is the whole of it."""

    kind: Id
    name: Text | None = None
    family: Free = ""
    source: Id = "memory"
    on: dt.date | None = None
    works: Chance | None = None
    test_minutes: Minutes | None = None
    cautions: list[Id] = []
    published: list[PublishedForm] = []
    parts_in: Literal["money", "copper"] = "money"
    note: Note = ""
    names: list[Text] = []
    became: list[Id] = []
    piece: Annotated[list[PieceForm], Field(min_length=1, max_length=1000)]
    operation: Annotated[list[OperationForm], Field(max_length=1000)] = []


class LawForm(TableForm):
    """An entry of `law`."""

    place: Text
    says: Text
    read: dt.date | None = None


class CautionForm(TableForm):
    """[[caution]]."""

    id: Id
    name: Text
    hurts: Text
    first: Text
    at: Literal["carry", "work", ""] = ""
    licensed: Free = ""
    rule: Free = ""
    never: Free = ""
    out_first: bool = False
    forbids: list[Text] = []
    law: list[LawForm] = []


class PlaceCardForm(TableForm):
    """[[card]] of place-cards.toml."""

    id: Id
    name: Text
    question: Text
    why: Text


class SourceForm(TableForm):
    """[[source]]."""

    id: Id
    kind: Literal["published", "measured", "practice", "memory", "demo"]
    citation: Text


class AnatomiesFile(TableForm):
    """All [[anatomy]] tables of a file."""

    anatomy: list[AnatomyForm] = []


class GradesFile(TableForm):
    """All [[grade]] tables of a file, and what holds for every row that does not say otherwise."""

    source: Id | None = None
    on: dt.date | None = None
    grade: list[GradeForm] = []


class CautionsFile(TableForm):
    """cautions.toml."""

    caution: list[CautionForm]


class PlaceCardsFile(TableForm):
    """place-cards.toml."""

    card: list[PlaceCardForm]


class SourcesFile(TableForm):
    """sources.toml."""

    source: list[SourceForm]
