"""The lines of a plan: what is opened, sold, kept and driven, each with what defends it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from partway.valuing.finds.facts import OnlyIf
from partway.valuing.plans.facts import Fate, Reason


@dataclass(frozen=True, slots=True)
class Why:
    """A line defended: what the best plan without it would do, and what it loses.

    `runner_up` is empty where that plan makes none of it.

    `worth` is the objective lost without the line. `flip_price` is the price nearest to today's at which the best plan
    without the line is as good as the best plan, and stays so just beyond; keep values move along. It is per kg of
    `flip_grade` at `flip_buyer`, everywhere in the same proportion where `flip_buyer` is null, or of one part where
    both are null. It is null itself where no price from nothing to ten times today's does it. `exact` is true where
    planning again confirmed it; false where time ran out first: both numbers are then rough. `includes_postage` is
    true where the price is a mail-in's quote, its postage to be paid out of it.
    """

    worth: float
    runner_up: tuple[Fate, ...]
    flip_buyer: str | None
    flip_grade: str | None
    flip_price: float | None
    exact: bool
    includes_postage: bool = False


@dataclass(frozen=True, slots=True)
class OpenLine:
    """Run `operation` `times` on `piece`. `per_hour` is money per bench hour, wage not yet taken off.

    `minutes` are of this operation alone, `gain` and `per_hour` count what is done with its pieces afterwards. One that
    `asks` takes nothing apart: it gives the answers, each with its share of the finds. What is run `only_if` a question
    is answered so counts by that share. `advice` is what the catalogue says about the operation. `chance` is how likely
    the find is to work, where that was said of it and not of its kind. Of finds on offer `offer` is the place in that
    row, 0 for the others.
    """

    kind: str
    piece: str
    operation: str
    times: int
    line: int
    name: str
    works: str
    mass_kg: float | None
    of: int
    minutes: float
    gain: float
    per_hour: float | None
    cautions: tuple[str, ...]
    tools: tuple[str, ...]
    note: str = ""
    why: Why | None = None
    asks: bool = False
    only_if: OnlyIf | None = None
    advice: str = ""
    chance: float | None = None
    offer: int = 0


@dataclass(frozen=True, slots=True)
class WholeLine:
    """Pieces of a lot that are loaded whole: never cut, all `count` of them `mass_kg` together, as this lot is paid."""

    kind: str
    piece: str
    name: str
    count: int
    mass_kg: float


@dataclass(frozen=True, slots=True)
class SaleLine:
    """One lot. `trip` counts from 1 and points into `routes`; null goes by mail. `whole` is part of its mass.

    `pieces` is how many it is where the buyer counts them, `each` what one brings where it pays by the piece: then the
    amount is that of the pieces, and `price_per_kg` what a kilogram of usual pieces comes to.
    `ends` are lowest and highest per kg where the buyer said a range, of which the price is the middle.
    """

    trip: int | None
    buyer: str
    grade: str
    mass_kg: float
    price_per_kg: float
    amount: float
    line: int
    why: Why | None = None
    whole: tuple[WholeLine, ...] = ()
    pieces: float | None = None
    each: float | None = None
    ends: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class PartLine:
    """Units sold whole or as parts; `expected` is what they bring on average together.

    What only some finds have (`only_if` a question is answered so) brings its share of that: `units` are of the finds
    that are asked about.
    """

    kind: str
    piece: str
    name: str
    units: int
    price: float
    chance: float
    days: float
    minutes: float
    expected: float
    line: int
    why: Why | None = None
    only_if: OnlyIf | None = None


@dataclass(frozen=True, slots=True)
class KeptLine:
    """What stays: a grade in its bin (`grade`), or finds and pieces as they are (`kind`, `piece`).

    `reason` is `because` in words, with names and in the scenario's unit.
    """

    kind: str | None
    piece: str | None
    grade: str | None
    count: int | None
    mass_kg: float
    value: float
    reason: str
    line: int
    because: Reason


@dataclass(frozen=True, slots=True)
class EndLine:
    """Where opening stops: `count` of a piece, as `outlet` (grade, part or keep) `to`.

    `stop` names the caution that keeps it shut, if one does. What only some finds have (`only_if` a question is
    answered so) counts in mass by its share; `count` is of the finds that were asked about.
    """

    piece: str
    name: str
    count: int
    mass_kg: float
    outlet: Literal["grade", "part", "keep"]
    to: str
    stop: str | None
    only_if: OnlyIf | None = None


@dataclass(frozen=True, slots=True)
class FindLine:
    """What becomes of the finds of one kind, condition and mass. `open` are line numbers of its openings.

    `per_hour` is money per bench hour, wage not yet taken off; null where nothing is opened.
    """

    kind: str
    name: str
    works: str
    count: int
    mass_kg: float
    left_whole: int
    per_hour: float | None
    minutes: float
    open: tuple[int, ...]
    ends: tuple[EndLine, ...]


@dataclass(frozen=True, slots=True)
class BinFilled:
    """Where a grade of this plan comes from: stock and the pieces put into its bin."""

    grade: str
    mass_kg: float
    stock_kg: float
    pieces: tuple[tuple[str, str, int], ...]  # kind, piece, count


@dataclass(frozen=True, slots=True)
class TripLine:
    """One drive, from home to home, or to the place that `ends_at` names.

    `past` are the buyers driven past without stopping, one tuple for each leg, the way home last; () where none are.
    """

    trip: int
    stops: tuple[str, ...]
    km: float
    hours: float
    load_kg: float
    load_litres: float
    past: tuple[tuple[str, ...], ...] = ()
    ends_at: str | None = None

    @property
    def driven(self) -> tuple[tuple[str, bool], ...]:
        """Every buyer in driving order, and whether one stops there."""
        legs = self.past or ((),) * (len(self.stops) + 1)
        ahead = [((b, False) for b in leg) for leg in legs]
        stops = [[(stop, True)] for stop in self.stops]
        return tuple(place for leg, stop in zip(ahead, [*stops, []], strict=True) for place in (*leg, *stop))


@dataclass(frozen=True, slots=True)
class StopLine:
    """What one buyer pays on one trip (null: by mail): expected, and where 10 and 90 of 100 seeded draws lie; `fee` is
    already off all three.
    """

    trip: int | None
    buyer: str
    low: float
    expected: float
    high: float
    fee: float = 0.0


@dataclass(frozen=True, slots=True)
class ParcelLine:
    """Parcels of one size to one mail-in buyer."""

    buyer: str
    parcels: int
    up_to_kg: float
    cost: float


@dataclass(frozen=True, slots=True)
class OpinionLine:
    """What another method says: the worth of its best plan, and a bound on all plans; null where it has none."""

    method: str
    worth: float | None
    bound: float | None


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """The plan held against other methods before it was called optimal; `seconds` of the processor went into it."""

    opinions: tuple[OpinionLine, ...]
    seconds: float = field(compare=False)
