"""Kilograms that came in and where they ended: kept out of the landfill or not, by month and in all.

Masses only: what that saved elsewhere is another question, and needs a named set of factors.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from partway.ledger.balance.sheet import BalanceSheet, sort_of
from partway.ledger.fold.period import Moved
from partway.valuing.window import WindowStep


@dataclass(frozen=True, slots=True)
class Ends:
    """Milligrams that came in and where they went. `stock` is what was there at the end, residue apart.

    The one home of what "diverted" is (docs/glossary.md): pages, JSON and command all take it from here.
    Below zero, `lost` is more found on a scale than was lost.
    """

    came: int
    reused: int
    recycled: int
    tipped: int
    residue: int
    lost: int
    stock: int

    @property
    def diverted(self) -> int:
        """Kept out of the landfill: sold as parts or whole, or gone to somebody who recycles it."""
        return self.reused + self.recycled

    @property
    def wasted(self) -> int:
        """Not kept out of it: residue, and what went to a tip."""
        return self.residue + self.tipped

    @property
    def left(self) -> int:
        """All that has gone for good and is accounted for."""
        return self.diverted + self.wasted

    @property
    def share(self) -> float | None:
        """How much of what left was kept out of the landfill; None before anything left."""
        return self.diverted / self.left if self.left else None


@dataclass(frozen=True, slots=True)
class DivertedLine:
    """A month, or a year."""

    first: dt.date
    ends: Ends


@dataclass(frozen=True, slots=True)
class Diverted:
    """The whole ledger, and the steps of a window."""

    whole: Ends
    steps: tuple[DivertedLine, ...]


def report_diverted(sheet: BalanceSheet, tips: Collection[str], steps: Iterable[WindowStep]) -> Diverted:
    """What stands in the balances, and steps that end now; the stock at the end of each follows from the next."""
    whole = ends_so_far(sheet)
    lines: list[DivertedLine] = []
    stock = whole.stock
    for step in reversed(list(steps)):
        ends = ends_of(step.moved, tips, stock)
        lines.append(DivertedLine(step.first, ends))
        stock = stock - ends.came + ends.left + ends.lost
    return Diverted(whole, tuple(reversed(lines)))


def ends_so_far(sheet: BalanceSheet) -> Ends:
    """Where the mass of the whole ledger went."""
    return Ends(
        sheet.in_mg,
        sheet.people_mg,
        sheet.buyers_mg,
        sheet.tips_mg,
        sheet.residue_mg,
        sheet.loss_mg,
        sheet.stock_mg,
    )


def ends_of(moved: Moved, tips: Collection[str], stock: int) -> Ends:
    """Where the mass of a stretch went; `stock` is what was there at its end."""
    net: Counter[str] = Counter()
    for (source, target, grade), mg in moved.items():
        net[sort_of(source, grade, tips)] -= mg
        net[sort_of(target, grade, tips)] += mg
    return Ends(-net["outside"], net["people"], net["buyer"], net["tip"], net["residue"], net["loss"], stock)
