"""The plan as it is shown and as `--json` writes it (docs/model.md)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from partway.catalogue.cards import CautionCard
from partway.planning.cash import CashRange
from partway.reports.haul.plan_lines import (
    BinFilled,
    FindLine,
    KeptLine,
    OpenLine,
    ParcelLine,
    PartLine,
    SaleLine,
    SecondOpinion,
    StopLine,
    TripLine,
)
from partway.things.scenario import InConflict
from partway.valuing.plans.facts import FindOut, GoOrWait, PlannedAgain

Status = Literal["optimal", "gap", "infeasible"]


@dataclass(frozen=True, slots=True)
class PlanMoney:
    """Parts of the objective, each with its sign: what costs is negative."""

    sales: float
    parts: float
    shipping: float
    fees: float
    driving: float
    wage: float
    kept: float


@dataclass(frozen=True, slots=True)
class PlanHours:
    """Hours the plan uses."""

    bench: float
    away: float


@dataclass(frozen=True, slots=True)
class Plan:
    """A checked plan. `objective` is the sum of `money`; no plan is worth more than `bound`.

    `bound` and `gap` are null where the search was stopped before anything was proven of all plans.

    `doubts` are codes of what speaks against the proof: with one of them `status` is not optimal, at whatever gap.

    `next_hour` is what one more bench hour would add to the objective, on top of the wage, by solving
    again; null where time did not allow it. `next_away_hour` likewise for an hour on the road. `conflict` are finds and
    bins counted in it whose mass is in doubt, to be said before any money. `go_or_wait` says in a sentence whether to
    drive now or until when to wait, `go_because` why, as data; empty and null where nobody is driven to.
    """

    status: Status
    objective: float
    bound: float | None
    gap: float | None
    name: str
    currency: str
    on: str
    money: PlanMoney
    cash: CashRange
    cash_per_hour: float | None
    hours: PlanHours
    cautions: tuple[CautionCard, ...]
    finds: tuple[FindLine, ...]
    open: tuple[OpenLine, ...]
    bins: tuple[BinFilled, ...]
    sales: tuple[SaleLine, ...]
    parts: tuple[PartLine, ...]
    kept: tuple[KeptLine, ...]
    routes: tuple[tuple[str, ...], ...]
    trips: tuple[TripLine, ...]
    parcels: tuple[ParcelLine, ...]
    next_hour: float | None
    next_away_hour: float | None
    notes: tuple[str, ...] = field(default_factory=tuple)
    stops: tuple[StopLine, ...] = ()
    doubts: tuple[str, ...] = ()
    second_opinion: SecondOpinion | None = None
    conflict: tuple[InConflict, ...] = ()
    go_or_wait: str = ""
    go_because: GoOrWait | None = None
    again: PlannedAgain | None = None
    find_out: tuple[FindOut, ...] = ()
