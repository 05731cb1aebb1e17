"""What a piece can be sold as, and what can hurt about it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from partway.things.estimate import Estimate

Magnet = Literal["strong", "weak", "none"]


@dataclass(frozen=True, slots=True)
class Grade:
    """What a buyer prices.

    `density` is bulk density in kg/L; `ratio` is the price relative to No. 2 copper at the same
    yard on the same day (a prior, never a price); `downgrades` are grades this may also be sold as; `note` says what
    decides whether a piece belongs here; `unsold` why no piece of any kind we ship is sold as it.
    """

    id: str
    name: str
    family: str
    density: Estimate
    downgrades: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    magnet: Magnet | None = None
    qualifies: str = ""
    spoilers: tuple[str, ...] = ()
    clues: tuple[str, ...] = ()
    ratio: Estimate | None = None
    anchor: str | None = None
    source: str = "memory"
    on: dt.date | None = None
    note: str = ""
    unsold: str = ""


@dataclass(frozen=True, slots=True)
class Law:
    """What one place says about a hazard, with its edition; `read` is the day the text was read, None: from memory."""

    place: str
    says: str
    read: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """One hazard: what it does, what comes first, and who may do the work.

    `out_first` hazards never travel hidden: a piece that still holds one is not sold by a grade
    that does not name it. `forbids` are words of work that the card forbids: no operation under the card is named by
    one, gives a piece of that name or takes such a tool. `at` is where it hurts: as soon as the thing is carried, or
    only when it is worked on; a card that does not say is taken to hurt when carried. `law` is what single places say,
    besides the short `rule`.
    """

    id: str
    name: str
    hurts: str
    first: str
    licensed: str = ""
    rule: str = ""
    never: str = ""
    out_first: bool = False
    forbids: tuple[str, ...] = ()
    at: Literal["carry", "work", ""] = ""
    law: tuple[Law, ...] = ()


@dataclass(frozen=True, slots=True)
class Source:
    """Where an estimate comes from."""

    id: str
    kind: Literal["published", "measured", "practice", "memory", "demo"]
    citation: str
