"""What a plan does with things and why, as data; apart from how it is worked out, so that reports need no arrays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Fate:
    """What a plan does with some of a piece (`count`) or of a grade (`mass_kg`).

    `way`: buyer (sold to `to`), grade (sold or counted as `to`), part, open (by the operation `to`), keep.
    """

    way: Literal["buyer", "grade", "part", "open", "keep"]
    to: str
    count: int | None
    mass_kg: float | None


Because = Literal[
    "unquoted",
    "charges",
    "postage-too-dear",
    "small-lot",
    "no-room-for-lot",
    "small-to-post",
    "pays-best-elsewhere",
    "taken-free-elsewhere",
    "not-posted",
    "too-large",
    "payload-full",
    "vehicle-full",
    "no-room",
    "stays-shut",
    "required-first",
    "opening-earns-less",
    "pays-less",
]


@dataclass(frozen=True, slots=True)
class Reason:
    """The fact that keeps something here, by ids and in kg; null where a field says nothing about it.

    `code` is one of: unquoted (nobody quotes it); charges (`buyer` takes `per_kg` for it); postage-too-dear (a full
    parcel to `buyer` costs more than it pays); small-lot (`buyer` takes no lot under `least_kg`); no-room-for-lot (that
    lot does not fit on the trip); small-to-post (posted alone it pays for its parcels from `least_kg`); pays-best-
    elsewhere, taken-free-elsewhere (by `buyer`, where this plan does not drive); not-posted (`buyer` pays best, by
    mail, and gets nothing); too-large (loaded whole, it fits no load or lot here); payload-full, vehicle-full,
    no-room (of the trip); stays-shut (because of `caution`); required-first (`operation` of `kind`, before any sale by
    grade); opening-earns-less (than the bench hours bring elsewhere); pays-less (sold now, than it counts for kept).
    `grade` is what `buyer` would take it as.
    """

    code: Because
    buyer: str | None = None
    grade: str | None = None
    least_kg: float | None = None
    per_kg: float | None = None
    caution: str | None = None
    kind: str | None = None
    operation: str | None = None


@dataclass(frozen=True, slots=True)
class FindOut:
    """One thing that could be found out, what knowing it is worth before its `minutes` are paid, and those.

    `sort` is price (what `buyer` pays per kg of `grade`), mass (of one `kind`, in kg), look (at `count` of a `piece` of
    a kind, by `operation`, a test among them) or takes (whether `buyer` takes a `grade` that nobody quotes). Of a price
    or a mass, `today` is what the plan counts with; below `turns`, or above it where `above` says so, another plan is
    better, one that drives to `instead`; `chance` is how likely that is. `turns` is null where no other takes over.
    """

    sort: Literal["price", "mass", "look", "takes"]
    worth: float
    minutes: float
    buyer: str | None = None
    grade: str | None = None
    kind: str | None = None
    piece: str | None = None
    operation: str | None = None
    count: int | None = None
    today: float | None = None
    turns: float | None = None
    above: bool = False
    chance: float | None = None
    instead: tuple[tuple[str, ...], ...] = ()

    def net(self, wage: float) -> float:
        """What is left of its worth when the minutes are paid."""
        return self.worth - self.minutes / 60.0 * wage


@dataclass(frozen=True, slots=True)
class PlannedAgain:
    """The plan made again `times` with other prices and masses: `same_trip` times it drives to the same places.

    `regret` is what the best plan of each time brings more, on average.
    """

    times: int
    same_trip: int
    regret: float
