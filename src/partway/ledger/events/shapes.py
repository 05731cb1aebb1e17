"""The form of every payload as JSON, field by field, in one table; `Shape` reads and writes by it."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any, get_args
from uuid import UUID

from partway.ledger.events import fields as f
from partway.ledger.events import payloads as p

ZERO = Decimal(0)
MASS = f.whole(0, f.LARGEST_MG, "milligrams")
SIGNED_MASS = f.whole(-f.LARGEST_MG, f.LARGEST_MG, "milligrams")  # a ledger may have less than nothing in a bin
COUNT = f.whole(1, f.LARGEST_COUNT, "a count")
MINUTES = f.whole(0, f.LARGEST_MINUTES, "minutes")
MONEY = f.decimal(f.MONEY, None, None, "money")
OUTLAY = f.decimal(f.MONEY, ZERO, None, "money")
PRICE = f.decimal(f.FINE, None, None, "a price")
AMOUNT = f.decimal(f.FINE, ZERO, None, "a number")
WORKS = f.word(get_args(p.Works))
ID, TEXT, OPTIONAL_ID = f.identifier, f.prose, f.optional(f.identifier)
UNIT = f.word(("lb", "kg", "short ton", "long ton", "tonne", "oz", "g"))


class Shape:
    """How one dataclass is written as a JSON object and read back; it names every field of the dataclass."""

    __slots__ = ("cls", "known", "readers", "required")

    def __init__(self, cls: type[Any], readers: Mapping[str, f.Read]) -> None:
        if [field.name for field in dataclasses.fields(cls)] != list(readers):
            raise TypeError(f"the shape of {cls.__name__} names other fields than the class")
        missing = dataclasses.MISSING
        self.cls, self.readers = cls, tuple(readers.items())
        self.required = tuple(field.name for field in dataclasses.fields(cls) if field.default is missing)
        self.known = frozenset(readers)

    def read(self, data: Any) -> Any:
        """The dataclass of a JSON object. Raises Bad; fields that have a default may be absent."""
        if type(data) is not dict:
            raise f.Bad(data, "a table")
        if not self.known.issuperset(data):
            name = next(name for name in data if name not in self.known)
            raise f.Bad(name, "only " + ", ".join(sorted(self.known)))
        values = {}
        for name, read in self.readers:
            if name in data:
                try:
                    values[name] = read(data[name])
                except f.Bad as bad:
                    raise bad.inside(name) from None
            elif name in self.required:
                raise f.Bad(None, "a value", name)
        return self.cls(**values)


def written(value: Any) -> Any:
    """A value as JSON has it. What cannot be written exactly stays as it is, for the reader to refuse."""
    write = WRITERS.get(type(value))
    return value if write is None else write(value)


def _table(value: Any) -> dict[str, Any]:
    return {name: written(getattr(value, name)) for name in value.__dataclass_fields__}


def decimal_text(value: Decimal) -> str:
    """Every digit, without an exponent where that takes no more than 40 digits."""
    text = str(value)
    return f"{value:f}" if "E" in text and abs(value.adjusted()) < 40 else text


def time_text(value: dt.datetime) -> str:
    """A time in UTC to the microsecond, always as long, so that texts sort as times do; naive times keep no Z."""
    if value.tzinfo is None:
        return value.isoformat()
    return value.astimezone(dt.UTC).isoformat(timespec="microseconds")[:-6] + "Z"


POSTAGE = Shape(p.Postage, {"up_to_mg": MASS, "cost": OUTLAY})
PIECE = Shape(p.PieceOut, {"piece": ID, "count": COUNT, "grade": ID, "bin": ID, "mass_mg": MASS})
RUN = Shape(p.Run, {"piece": ID, "operation": ID, "times": COUNT})
DEDUCTION = Shape(p.Deduction, {"what": TEXT, "amount": OUTLAY})
SAID = Shape(p.Said, {"test": ID, "answer": ID})
LINE = Shape(p.TicketLine, {
    "grade": ID, "bin": ID, "mass_mg": MASS, "own_mg": MASS, "price": PRICE, "unit": UNIT, "amount": MONEY,
})  # fmt: skip

SHAPES = {shape.cls: shape for shape in (
    Shape(p.Found, {
        "find": ID, "kind": ID, "count": COUNT, "works": WORKS, "mass_mg": f.optional(MASS), "source": TEXT,
        "note": TEXT, "photo": TEXT,
    }),
    Shape(p.Tested, {"find": ID, "works": WORKS}),
    Shape(p.Weighed, {"find": ID, "mass_mg": MASS, "was_mg": SIGNED_MASS}),
    Shape(p.Opened, {
        "find": ID, "pieces": f.several(PIECE.read), "was_mg": SIGNED_MASS, "runs": f.several(RUN.read),
        "minutes": MINUTES, "residue_mg": MASS, "loss_mg": MASS, "closes": f.flag,
    }),
    Shape(p.Binned, {"bin": ID, "grade": ID, "name": TEXT, "capacity_l": f.optional(AMOUNT)}),
    Shape(p.Recounted, {"bin": ID, "grade": ID, "mass_mg": MASS, "was_mg": SIGNED_MASS, "opening": f.flag}),
    Shape(p.Moved, {"bin": ID, "to_bin": ID, "grade": ID, "to_grade": ID, "mass_mg": MASS}),
    Shape(p.Parted, {
        "find": ID, "what": TEXT, "count": COUNT, "mass_mg": MASS, "was_mg": SIGNED_MASS, "price": OUTLAY,
        "fee": OUTLAY, "postage": OUTLAY, "minutes": MINUTES, "closes": f.flag,
    }),
    Shape(p.Discarded, {"find": ID, "mass_mg": MASS, "was_mg": SIGNED_MASS}),
    Shape(p.Traded, {
        "buyer": ID, "kind": f.word(get_args(p.BuyerKind)), "name": TEXT, "km": f.optional(AMOUNT),
        "at": f.optional(f.place), "minutes": MINUTES, "refuses": f.several(ID), "shipping": f.several(POSTAGE.read),
        "note": TEXT,
    }),
    Shape(p.Quoted, {
        "buyer": ID, "grade": ID, "price": f.optional(PRICE), "unit": UNIT, "on": f.day, "from_mg": MASS,
        "minimum_mg": MASS, "said": TEXT,
    }),
    Shape(p.Set, {"name": ID, "value": TEXT}),
    Shape(p.Hauled, {
        "haul": ID, "status": f.word(("started", "finished")), "stops": f.several(ID), "km": f.optional(AMOUNT),
        "minutes": f.optional(MINUTES), "note": TEXT,
    }),
    Shape(p.Ticketed, {
        "ticket": ID, "buyer": ID, "lines": f.several(LINE.read), "total": MONEY,
        "deductions": f.several(DEDUCTION.read), "haul": OPTIONAL_ID, "number": TEXT,
    }),
    Shape(p.Paid, {"buyer": ID, "amount": MONEY, "ticket": OPTIONAL_ID, "how": TEXT}),
    Shape(p.Spent, {"what": TEXT, "amount": MONEY, "category": ID}),  # below 0: a coin more than was owed
    Shape(p.Worked, {
        "activity": f.word(get_args(p.Activity)), "minutes": MINUTES, "find": OPTIONAL_ID, "note": TEXT,
    }),
    Shape(p.Identified, {
        "material": ID, "context": ID, "count": COUNT, "grade": OPTIONAL_ID, "answers": f.several(SAID.read),
        "mass_mg": f.optional(MASS), "note": TEXT,
    }),
    Shape(p.Ruled, {"card": ID, "says": f.words, "source": f.words, "seen": f.day}),
    Shape(p.Corrected, {"event": f.event_id, "why": TEXT, "instead": f.optional(f.event_id)}),
)}  # fmt: skip

WRITERS: dict[type, Callable[[Any], Any]] = {
    UUID: str,
    Decimal: decimal_text,
    dt.datetime: time_text,
    dt.date: dt.date.isoformat,
    tuple: lambda values: [written(value) for value in values],
    **dict.fromkeys((*SHAPES, *(shape.cls for shape in (POSTAGE, PIECE, RUN, DEDUCTION, SAID, LINE))), _table),
}
