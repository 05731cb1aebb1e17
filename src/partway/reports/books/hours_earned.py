"""What an hour brought, with what each kind comes to: for programs, which do not reckon it again."""

from __future__ import annotations

from dataclasses import dataclass

from partway.reports.books.per_hour import PerHour
from partway.valuing.kinds import KindMoney


@dataclass(frozen=True, slots=True)
class KindEarned:
    """A kind, what its finds brought, and for an hour on them; null where no minute was recorded."""

    line: KindMoney
    money: float
    per_hour: float | None


@dataclass(frozen=True, slots=True)
class HoursEarned:
    """Money and hours of a stretch; `kinds` with what they come to, best hour first."""

    report: PerHour
    kinds: tuple[KindEarned, ...]
    per_hour: float | None
    per_hour_with_all: float | None


def hours_earned(found: PerHour) -> HoursEarned:
    """The same with every figure that follows from it."""
    kinds = tuple(KindEarned(line, line.money, line.per_hour) for line in found.kinds.lines)
    return HoursEarned(found, kinds, found.kinds.per_hour, found.kinds.per_hour_with_all)
