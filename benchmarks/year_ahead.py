"""Whoever knows three weeks ahead: told, and trying to go or to stay in the true weeks to come before choosing."""

from __future__ import annotations

from copy import copy, deepcopy
from dataclasses import replace

from year_app import WAGE
from year_left import left
from year_offers import resale_week
from year_partway import Partway
from year_shed import Shed

AHEAD = 3


class Ahead(Partway):
    """Goes or stays at home each week, whichever leaves more three weeks on."""

    def __init__(self, shed: Shed) -> None:
        super().__init__(shed, means=True, prices=True, condition=True)

    def work(self) -> None:
        """Try both, then do the better."""
        go, stay = (self._tried(home) for home in (False, True))
        self.plan_week(at_home=stay > go)

    def _tried(self, home: bool) -> float:
        """What one has three weeks on, hours paid, if this week is spent so."""
        other = copy(self)
        other.shed = deepcopy(
            self.shed,
            {
                id(self.shed.truth): self.shed.truth,
                id(self.shed.market): self.shed.market,
                id(self.shed.rules): self.shed.rules,
            },
        )
        other.heard = dict(self.heard)
        other.plan_week(at_home=home)
        shed, last = other.shed, min(self.shed.week + AHEAD, len(self.shed.truth.weeks))
        resale_week(shed)
        for week in range(self.shed.week + 1, last):
            shed.week, shed.bench = week, 0.0
            shed.drive_round()
            other.round(tuple(replace(thing) for thing in shed.truth.weeks[week]))
            other.plan_week()
            resale_week(shed)
        return shed.cents / 100.0 - WAGE * shed.hours + left(shed)
