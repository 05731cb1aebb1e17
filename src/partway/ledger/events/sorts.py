"""The sorts of values that an event may hold: how each is read from JSON, what it names, how it is shown and typed.

A field of an event is annotated with one of these, and that is all there is to say of it: its JSON form, the columns
of an export, what the event is about, and what may be said anew follow from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal

from partway.ledger.events import fields as f
from partway.things.traits import ANSWERS, SIZE_NAMES

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Sort:
    """One sort of value.

    `read` takes it from JSON, by its type where there is none. `name` is by what the rim knows how to show it and how
    it is typed. `alone`: it may be said anew by itself, without the other fields of its event. `names` is the sort of
    thing (find, bin, buyer ...) that it is the name of.
    """

    read: f.Read | None = None
    name: str = ""
    alone: bool = False
    names: str = ""


@dataclass(frozen=True, slots=True)
class Since:
    """Marks a field that events did not have from the beginning, with the format of the Data Package that has it first.

    It has a default, and is written only where it says something else: so older events keep their text to the letter.
    """

    format: int


Id = Annotated[str, Sort(f.identifier)]
FindId = Annotated[str, Sort(f.identifier, names="find")]
BinId = Annotated[str, Sort(f.identifier, names="bin")]
BuyerId = Annotated[str, Sort(f.identifier, names="buyer")]
HaulId = Annotated[str, Sort(f.identifier, names="haul")]
RoundId = Annotated[str, Sort(f.identifier, names="round")]
TicketId = Annotated[str, Sort(f.identifier, names="ticket")]
ListingId = Annotated[str, Sort(f.identifier, names="listing")]
GradeId = Annotated[str, Sort(f.identifier, "grade")]
KindId = Annotated[str, Sort(f.identifier, "kind", alone=True)]
Mostly = Annotated[str, Sort(f.plain_word, "mostly", alone=True)]  # what a thing of no catalogue mostly is
Has = Annotated[str, Sort(f.word(("", *ANSWERS)), "has", alone=True)]  # whether it has a cord ...; "" where unknown
Signs = Annotated[str, Sort(f.signs, "text", alone=True)]  # what shows on a find, "cord-cut -boxed"
Size = Annotated[str, Sort(f.word(("", *SIZE_NAMES)))]
Category = Annotated[str, Sort(f.identifier, "category", alone=True)]
Text = Annotated[str, Sort(f.prose, "text", alone=True)]
Why = Annotated[str, Sort(f.prose, "text")]  # of a correction, which is made again and not said anew
Words = Annotated[str, Sort(f.words, "words", alone=True)]

Mass = Annotated[int, Sort(f.whole(0, f.LARGEST_MG, "milligrams"), "mass", alone=True)]
# What the ledger had, which may be less than nothing in a bin.
MassBefore = Annotated[int, Sort(f.whole(-f.LARGEST_MG, f.LARGEST_MG, "milligrams"), "mass")]
Count = Annotated[int, Sort(f.whole(1, f.LARGEST_COUNT, "a count"), "count", alone=True)]
Minutes = Annotated[int, Sort(f.whole(0, f.LARGEST_MINUTES, "minutes"), "minutes", alone=True)]

Money = Annotated[Decimal, Sort(f.decimal(f.MONEY, None, None, "money"), "money", alone=True)]
Total = Annotated[Decimal, Sort(f.decimal(f.MONEY, None, None, "money"), "total", alone=True)]
Outlay = Annotated[Decimal, Sort(f.decimal(f.MONEY, ZERO, None, "money"), "money", alone=True)]
Price = Annotated[Decimal, Sort(f.decimal(f.FINE, None, None, "a price"), "price", alone=True)]
PriceEnd = Annotated[Decimal, Sort(f.decimal(f.FINE, None, None, "a price"), "price")]  # of a range, said with it
Unit = Annotated[str, Sort(f.word(("lb", "kg", "short ton", "long ton", "tonne", "oz", "g")))]  # that a price is per
Km = Annotated[Decimal, Sort(f.decimal(f.FINE, ZERO, None, "a number"), "km", alone=True)]
Litres = Annotated[Decimal, Sort(f.decimal(f.FINE, ZERO, None, "a number"), "litres", alone=True)]
OpenHours = Annotated[str, Sort(f.opening)]
Share = Annotated[Decimal, Sort(f.share, "share", alone=True)]
Phone = Annotated[str, Sort(f.phone, "text", alone=True)]
Place = Annotated[tuple[Decimal, Decimal], Sort(f.place)]

Works = Literal["yes", "no", "unknown"]
BuyerKind = Literal["yard", "mail-in", "drop-off", "tip"]
Activity = Literal["collect", "bench", "haul", "list", "other"]
# Where one's own mass on a ticket comes from: put on one's scale for it, all that the bin held, or the yard's, taken
# over unweighed; "" where nobody said.
OwnBy = Literal["", "scale", "bin", "yard"]
