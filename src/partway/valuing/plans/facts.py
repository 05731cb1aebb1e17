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


@dataclass(frozen=True, slots=True)
class GoOrWait:
    """What to do about driving, and why.

    `code` is one of: full-load (a trip fills the vehicle), shed-filling (more than half of it is in use), pays (the
    load is worth its trip today); or, to wait: pays-by (`by` that day a load for `buyer` is worth its trip), too-little
    (not within half a year), inflow-unknown (nobody knows what comes in). `worth` is what the load brings now, its
    drive and the wage of it paid; `later` what it brings `by` then, or, to go, in a week; `room_weeks` for how long
    the shed has room. What is not known is null.
    """

    go: bool
    code: Literal["full-load", "shed-filling", "pays", "pays-by", "too-little", "inflow-unknown"]
    worth: float
    later: float | None
    by: str | None
    room_weeks: float | None
    buyer: str | None = None


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
    "too-heavy",
    "closed",
    "takes-no-more",
    "payload-full",
    "vehicle-full",
    "no-room",
    "stays-shut",
    "required-first",
    "opening-earns-less",
    "pays-less",
    "next-load",
    "on-offer",
]


@dataclass(frozen=True, slots=True)
class Reason:
    """The fact that keeps something here, by ids and in kg; null where a field says nothing about it.

    `code` is one of: unquoted (nobody quotes it); charges (`buyer` takes `per_kg` for it); postage-too-dear (a full
    parcel to `buyer` costs more than it pays); small-lot (`buyer` takes no lot under `least_kg`); no-room-for-lot
    (that lot does not fit on the trip); small-to-post (posted alone it pays for its parcels from `least_kg`);
    pays-best-elsewhere, taken-free-elsewhere (by `buyer`, where this plan does not drive); next-load (nobody is driven
    to: alone it is not worth the trip to `buyer`); not-posted (`buyer` pays best, by mail, and gets nothing);
    too-large (loaded whole, it fits no load or lot here); too-heavy (for one person to lift, who lifts `most_kg`);
    closed (`buyer`, all that day; it `opens` next); takes-no-more (`buyer` has the most it takes: `most_kg`, or
    `pieces`); payload-full, vehicle-full, no-room (of the trip); stays-shut (because of `caution`); required-first
    (`operation` of `kind`, before any sale by grade); opening-earns-less (than the bench hours bring elsewhere);
    pays-less (sold now, than it counts for kept); on-offer (it waits for a buyer by the unit).
    `grade` is what `buyer` would take it as. `by` is the day on which `least_kg` is reached at `weekly_kg` a week, null
    where nobody knows what comes in.
    """

    code: Because
    buyer: str | None = None
    grade: str | None = None
    least_kg: float | None = None
    per_kg: float | None = None
    caution: str | None = None
    kind: str | None = None
    operation: str | None = None
    weekly_kg: float | None = None
    by: str | None = None
    most_kg: float | None = None
    opens: str | None = None
    pieces: int | None = None


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
