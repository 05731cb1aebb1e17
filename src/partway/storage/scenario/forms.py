"""The scenario file field by field, as pydantic models: the same text checks a file and teaches its schema.

Only the shape is checked here: fields, types, bounds. What needs the catalogue or other tables, such as whether a
grade exists, is checked in `assemble`.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from partway.things.defaults import KMH, LEAVE, ROAD_FACTOR, TRIPS, WHOLE_ABOVE_KG
from partway.things.limits.opening import clock_text

HOURS_MOST = 8784  # a leap year
KM_MOST = 20040  # half way round the earth
MONEY_MOST = 1e6
MINUTES_MOST = 1440  # a day
COUNT_MOST = 100_000

_ID = r"^[a-z0-9][a-z0-9-]*$"


def _must(expected: str, holds: Callable[[Any], bool]) -> AfterValidator:
    """A validator that refuses, in our words, a value that fails the test."""

    def validate(value: Any) -> Any:
        if not holds(value):
            raise PydanticCustomError("expected", "{expected}", {"expected": expected})
        return value

    return AfterValidator(validate)


def _is_point(values: list[float]) -> bool:
    return len(values) == 2 and abs(values[0]) <= 90 and abs(values[1]) <= 180


Id = Annotated[
    str,
    _must(
        "at most 64 lower-case letters, digits and hyphens, not starting with a hyphen",
        lambda text: len(text) <= 64 and re.fullmatch(_ID[1:-1], text) is not None,
    ),
    WithJsonSchema({"type": "string", "pattern": _ID, "maxLength": 64}),
]
Free = Annotated[
    str,
    _must("printable text of at most 200 characters", lambda text: len(text) <= 200 and text.isprintable()),
    WithJsonSchema({"type": "string", "maxLength": 200}),
]
Minutes = Annotated[float, Field(ge=0, le=MINUTES_MOST)]
Money = Annotated[float, Field(ge=0, le=MONEY_MOST)]
Km = Annotated[float, Field(ge=0, le=KM_MOST)]


def _text(*examples: str) -> WithJsonSchema:
    """Schema of a quantity written as text; it is read exactly, later, by `partway.quantities`."""
    return WithJsonSchema({"type": "string", "examples": list(examples)})


Mass = Annotated[object, _text("450 kg", "300 g", "10 lb", "16 oz", "2 short ton", "1 long ton", "1 tonne")]
Most = Annotated[
    object,
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "examples": ["200 kg"]},
                {"type": "integer", "minimum": 1, "maximum": COUNT_MOST, "examples": [5]},
            ]
        }
    ),
]
Volume = Annotated[object, _text("1800 L", "1.2 m3", "50 cu ft")]
_price = {"type": "string", "examples": ["4.10 /lb", "38 ¢/lb", "0.25 /kg", "180 /short ton", "-0.20 /kg", "3.50 each"]}
Price = Annotated[
    object,
    WithJsonSchema({"anyOf": [_price, {"type": "array", "items": _price, "minItems": 3, "maxItems": 3}]}),
]
Point = Annotated[
    list[float],
    _must("[lat, lon] in degrees, -90 to 90 and -180 to 180", _is_point),
    WithJsonSchema(
        {
            "type": "array",
            "prefixItems": [
                {"type": "number", "minimum": -90, "maximum": 90},
                {"type": "number", "minimum": -180, "maximum": 180},
            ],
            "minItems": 2,
            "maxItems": 2,
            "examples": [[31.0, -40.5]],
        }
    ),
]


class FileTable(BaseModel):
    """Any table of the file: numbers are numbers, unknown fields are refused by name."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, frozen=True)


class ScenarioTable(FileTable):
    """What the whole plan is counted in, and as of which day."""

    name: Free = Field(description="Name of the scenario, free text.", examples=["Saturday"])
    currency: str = Field(description="ISO 4217 code that all money in the file is counted in.", examples=["CAD"])
    on: dt.date = Field(description="Day the prices are read as of, a TOML date: 2026-03-14 without quotes.")
    keep_factor: float | None = Field(
        None,
        ge=0,
        le=1,
        description="A kept kilogram counts for this share of its best quoted price; absent: the price of room.",
    )
    storage: Volume | None = Field(
        None, description="What the shed holds, as text with its unit; absent: it counts as less than half full."
    )
    inflow: Mass | None = Field(None, description="Mass that comes into the bins each week, as text with its unit.")


class HoursTable(FileTable):
    """Your time, over all trips together."""

    bench: float = Field(ge=0, le=HOURS_MOST, description="Most hours at the bench.", examples=[6.0])
    away: float = Field(ge=0, le=HOURS_MOST, description="Most hours driving and on site.", examples=[5.0])
    wage: Money = Field(description="What an hour of yours is worth at least, in the currency.", examples=[12.0])
    trips: int | None = Field(None, ge=0, le=9, description=f"Most trips, 0 to 9; default {TRIPS}.", examples=[1])
    trip: float | None = Field(
        None, ge=0, le=HOURS_MOST, description="Most hours of each trip, driving and on site.", examples=[3.0]
    )
    leave: str | None = Field(
        None,
        description=f"When the first trip leaves, for buyers that say when they are open; default {clock_text(LEAVE)}.",
        examples=["09:00"],
    )
    helpers: int | None = Field(
        None, ge=0, le=9, description="People who lift with you; matters only where `lift` is set; default 0."
    )


class VehicleTable(FileTable):
    """What one trip can carry and what it costs."""

    payload: Mass = Field(description="Most mass of one load, as text with its unit.")
    volume: Volume | None = Field(None, description="Most bulk volume of one load, as text; absent: no limit.")
    cost_per_km: Money | None = Field(None, description="Fuel and wear per km driven, in the currency; default 0.")
    kmh: float | None = Field(None, gt=0, le=200, description=f"Average speed in km/h; default {KMH:g}.")
    road_factor: float | None = Field(
        None,
        ge=1,
        le=10,
        description=f"How many times the straight line the road between `at` points is; default {ROAD_FACTOR:g}.",
    )
    whole_above: Mass | None = Field(
        None,
        description="Pieces above this mass are loaded whole, as finds always are: none is cut to fill a load or a "
        f"lot; default {WHOLE_ABOVE_KG:g} kg.",
    )
    lift: Mass | None = Field(
        None, description="Most that you lift alone: without a helper nothing heavier is loaded; absent: no limit."
    )


class HomeTable(FileTable):
    """Where every trip starts, and ends where there is no [end]; in roads its name is `home`."""

    at: Point = Field(description="Latitude and longitude in degrees.")


class EndTable(FileTable):
    """Where the trip ends if not at home; in roads its name is `end`. A plan then has one trip at most."""

    name: Free = Field(min_length=1, description="Name for people to read, free text.", examples=["the workshop"])
    at: Point | None = Field(
        None, description="Latitude and longitude in degrees; absent: a [[road]] to `end` leads there."
    )


class StepTable(FileTable):
    """One parcel of at most this mass costs this much."""

    up_to: Mass = Field(description="Most mass of one parcel, as text with its unit.")
    cost: Money = Field(description="Price of one such parcel, in the currency.", examples=[17.0])


class PriceTable(FileTable):
    """A quote: what a buyer said it pays for a grade on a day."""

    grade: str = Field(description="Id of a grade; `partway grades` lists them.", examples=["copper-2"])
    price: Price = Field(
        description="Price as text with its unit of mass, or by the piece; negative: you pay; three texts are low, "
        "likely, high."
    )
    range: list[str] | None = Field(
        None,
        min_length=2,
        max_length=2,
        description="Lowest and highest, where the buyer said a range; `price` is then its middle.",
        examples=[["0.28 /lb", "0.34 /lb"]],
    )
    on: dt.date | None = Field(None, description="Day the price was heard; default the scenario's day.")
    minimum: Mass | None = Field(None, description="Minimum lot: a smaller lot is not taken.")
    from_: Mass | None = Field(
        None,
        alias="from",
        description="A tier: this price holds for the whole of a lot of at least this mass.",
    )
    most: Most | None = Field(
        None,
        description="Most of the grade that is taken at one visit, or by mail in one plan: a mass, or a number of "
        "pieces.",
    )
    piece: Mass | None = Field(
        None,
        description="What one piece weighs, for a price by the piece or a number of pieces; default: the mean of the "
        "pieces of this grade in the finds.",
    )


class BuyerTable(FileTable):
    """Whoever takes material."""

    id: Id = Field(description="Short name: lower-case letters, digits and hyphens; not `home`.", examples=["harbour"])
    kind: Literal["yard", "mail-in", "drop-off", "tip"] = Field(
        description="yard, drop-off and tip are driven to; mail-in is sent parcels."
    )
    name: Free = Field("", description="Name for people to read, free text.")
    km: Km | None = Field(None, description="Road km from home, one way.", examples=[14.0])
    at: Point | None = Field(None, description="Latitude and longitude in degrees, instead of km; needs [home].")
    minutes: Minutes | None = Field(None, description="Minutes on site at each visit; default 0.", examples=[20])
    open: list[str] = Field(
        [], description="Opening hours; absent: open always.", examples=[["mon-fri 08:00-16:30", "sat 08:00-12:00"]]
    )
    refuses: list[str] = Field([], description="Grades, families or hazards turned away.", examples=[["li-ion"]])
    shipping: list[StepTable] | None = Field(
        None,
        description="Mail-in only: parcel prices in steps of growing mass; absent: the buyer pays postage.",
    )
    ticket_fee: Money | None = Field(
        None, description="Kept back of each ticket on which it pays for something; default 0.", examples=[5.0]
    )
    ticket_share: float | None = Field(
        None,
        ge=0.0,
        lt=1.0,
        description="Share kept back of what the lines of a ticket pay; default 0.",
        examples=[0.02],
    )
    price: list[PriceTable] = Field([], description="Quotes; a grade without one is unquoted, which is not zero.")


class RoadTable(FileTable):
    """A way between two places, the same in both directions if not `one_way`; it beats `km` and straight lines."""

    from_: str = Field(alias="from", description="`home`, `end` or the id of a buyer.", examples=["home"])
    to: str = Field(description="`home`, `end` or the id of a buyer.", examples=["harbour"])
    km: Km = Field(description="Road km, one way.", examples=[9.5])
    minutes: Minutes | None = Field(None, description="Driving minutes, one way; absent: km divided by kmh.")
    one_way: bool = Field(
        False, description="Whether it leads from `from` to `to` only; the other way is what it would be without it."
    )


class FindTable(FileTable):
    """Things collected of one kind and condition."""

    kind: str = Field(description="Id of a kind; `partway kinds` lists them.", examples=["bread-machine"])
    count: int | None = Field(None, ge=1, le=COUNT_MOST, description="How many; default 1.", examples=[3])
    works: Literal["yes", "no", "unknown"] | None = Field(None, description="Does it work; default unknown.")
    mass: Mass | None = Field(None, description="Mass of one, weighed; scales its whole anatomy.")
    chance: float | None = Field(
        None, gt=0.0, lt=1.0, description="How likely each works, where that is not known; default: its kind's."
    )
    listed: int | None = Field(
        None,
        ge=0,
        le=COUNT_MOST,
        description="How many of them are on offer whole already; opening one means taking it down. Default 0.",
        examples=[1],
    )


class ListedTable(FileTable):
    """Units of a part that are on offer already, besides finds that are: a further one waits for a buyer more."""

    kind: str = Field(description="Id of a kind that a find is of.", examples=["bread-machine"])
    piece: str = Field(description="Id of the piece, `whole` for the find itself.", examples=["motor"])
    part: Free = Field("", description="Name of the part, where the piece has a named one.")
    count: int = Field(ge=0, le=COUNT_MOST, description="How many are on offer; 0 says that the next is the first.")


class ScenarioFile(FileTable):
    """A situation for partway to plan: your hours, your vehicle, buyers with their quotes, finds and stock."""

    scenario: ScenarioTable
    hours: HoursTable
    vehicle: VehicleTable | None = Field(None, description="Required as soon as one buyer is driven to.")
    home: HomeTable | None = Field(None, description="Required where buyers are placed by `at`.")
    end: EndTable | None = Field(None, description="Where the trip ends; absent: at home.")
    buyer: list[BuyerTable] = Field([], description="The buyers, one table each.")
    road: list[RoadTable] = Field([], description="Ways that are known better than by `km` or `at`.")
    stock: dict[str, Mass] = Field({}, description="Mass in the bins: grade = text with its unit.")
    inflow: dict[str, Mass] = Field(
        {}, description="Mass of each grade that comes in each week, where it is known: grade = text with its unit."
    )
    find: list[FindTable] = Field([], description="The finds.")
    listed: list[ListedTable] = Field([], description="What is on offer by the unit already.")
    grade: list[dict[str, Any]] = Field([], description="Grades that overlay the shipped catalogue.")
    anatomy: list[dict[str, Any]] = Field([], description="Anatomies that overlay the shipped catalogue.")


class AnatomyFile(FileTable):
    """A file of grades and anatomies alone, as the catalogue keeps them."""

    grade: list[dict[str, Any]] = []
    anatomy: list[dict[str, Any]] = []
    source: object = None
    on: object = None
