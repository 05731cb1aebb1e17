"""Two plans side by side: only what differs."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from partway.reports.haul.plan import Plan

K = TypeVar("K", bound=Hashable)
CENT = 0.005
GRAM = 0.0005
MINUTE = 1.0 / 120.0  # of an hour, either way
PARTS = ("sales", "parts", "shipping", "fees", "driving", "wage", "kept")


@dataclass(frozen=True, slots=True)
class MoneyChange:
    """A part of the objective before and after; `part` as in `PlanMoney`, or cash or objective."""

    part: str
    before: float
    after: float
    change: float


@dataclass(frozen=True, slots=True)
class OpenChange:
    """How often an operation is run."""

    kind: str
    piece: str
    name: str
    before: int
    after: int


@dataclass(frozen=True, slots=True)
class SaleChange:
    """What a buyer gets of a grade, and pays for it."""

    buyer: str
    grade: str
    before_kg: float
    after_kg: float
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class KeptChange:
    """What stays of a grade (`grade`) or of a kind's piece."""

    kind: str | None
    piece: str | None
    grade: str | None
    before_kg: float
    after_kg: float


@dataclass(frozen=True, slots=True)
class PlanChanges:
    """What another plan does differently; `same` where the two differ in nothing that is done.

    `bench` and `away` are hours more (or fewer), `routes` the two ways driven where they differ, `ends_at` where
    a trip ends if not at home.
    """

    same: bool
    objective: MoneyChange
    cash: MoneyChange
    money: tuple[MoneyChange, ...]
    bench: float
    away: float
    opened: tuple[OpenChange, ...]
    sales: tuple[SaleChange, ...]
    kept: tuple[KeptChange, ...]
    routes: tuple[tuple[tuple[str, ...], ...], tuple[tuple[str, ...], ...]] | None
    ends_at: str | None


def changes(before: Plan, after: Plan) -> PlanChanges:
    """From one plan to another of the same finds and stock, say at other hours or another price."""
    money = tuple(_money(part, getattr(before.money, part), getattr(after.money, part)) for part in PARTS)
    opened, sales, kept = _opened(before, after), _sales(before, after), _kept(before, after)
    routes = None if before.routes == after.routes else (before.routes, after.routes)
    moved = any(abs(s.after_kg - s.before_kg) > GRAM for s in sales)
    return PlanChanges(
        same=not opened and not moved and not kept and routes is None,
        objective=_money("objective", before.objective, after.objective),
        cash=_money("cash", before.cash.expected, after.cash.expected),
        money=tuple(m for m in money if abs(m.change) > CENT),
        bench=_hours(before.hours.bench, after.hours.bench),
        away=_hours(before.hours.away, after.hours.away),
        opened=opened,
        sales=sales,
        kept=kept,
        routes=routes,
        ends_at=next((trip.ends_at for trip in after.trips), None),
    )


def _money(part: str, before: float, after: float) -> MoneyChange:
    return MoneyChange(part, before, after, after - before)


def _hours(before: float, after: float) -> float:
    return 0.0 if abs(after - before) < MINUTE else after - before


def _opened(before: Plan, after: Plan) -> tuple[OpenChange, ...]:
    names = {(line.kind, line.piece, line.operation): line.name for line in (*before.open, *after.open)}
    was, now = _times(before), _times(after)
    return tuple(
        OpenChange(key[0], key[1], name, was.get(key, 0), now.get(key, 0))
        for key, name in names.items()
        if was.get(key, 0) != now.get(key, 0)
    )


def _times(plan: Plan) -> dict[tuple[str, str, str], int]:
    found: dict[tuple[str, str, str], int] = {}
    for line in plan.open:
        key = line.kind, line.piece, line.operation
        found[key] = found.get(key, 0) + line.times
    return found


def _sales(before: Plan, after: Plan) -> tuple[SaleChange, ...]:
    was, now = _sold(before), _sold(after)
    lines = []
    for buyer, grade in dict.fromkeys([*was, *now]):
        kg, amount = was.get((buyer, grade), (0.0, 0.0))
        new_kg, new_amount = now.get((buyer, grade), (0.0, 0.0))
        if abs(new_kg - kg) > GRAM or abs(new_amount - amount) > CENT:
            lines.append(SaleChange(buyer, grade, kg, new_kg, amount, new_amount))
    return tuple(sorted(lines, key=lambda line: -abs(line.after - line.before)))


def _sold(plan: Plan) -> dict[tuple[str, str], tuple[float, float]]:
    found: dict[tuple[str, str], tuple[float, float]] = {}
    for line in plan.sales:
        kg, amount = found.get((line.buyer, line.grade), (0.0, 0.0))
        found[line.buyer, line.grade] = kg + line.mass_kg, amount + line.amount
    return found


def _kept(before: Plan, after: Plan) -> tuple[KeptChange, ...]:
    was, now = _stays(before), _stays(after)
    keys = dict.fromkeys([*was, *now])
    return tuple(
        KeptChange(*key, _of(was, key), _of(now, key)) for key in keys if abs(_of(now, key) - _of(was, key)) > GRAM
    )


def _stays(plan: Plan) -> dict[tuple[str | None, str | None, str | None], float]:
    found: dict[tuple[str | None, str | None, str | None], float] = {}
    for line in plan.kept:
        key = line.kind, line.piece, line.grade
        found[key] = found.get(key, 0.0) + line.mass_kg
    return found


def _of(sums: Mapping[K, float], key: K) -> float:
    return sums.get(key, 0.0)
