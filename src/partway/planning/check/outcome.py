"""The range of cash a decided plan may bring: the decision is fixed; masses, minutes, prices and luck vary."""

from __future__ import annotations

import numpy as np

from partway.planning.cash import CashRange
from partway.planning.check.verify import Checked
from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import SEED
from partway.planning.instance.frozen import Instance
from partway.planning.worlds.draws import DRAWS, draw_worlds
from partway.planning.worlds.fixed import FixedPlan
from partway.planning.worlds.outcome import Worlds


def cash_draws(instance: Instance, checked: Checked, n: int = DRAWS, seed: int = SEED) -> Draws:
    """`n` draws of sales + parts + shipping + fees + driving, shape (n,)."""
    worlds = Worlds(instance, draw_worlds(instance, n, seed, only=checked.decision))
    return worlds.outcome(FixedPlan.of(instance, checked)).cash


class PlanRanges:
    """The ranges that are shown of one checked plan, all of the same draws."""

    def __init__(self, instance: Instance, checked: Checked) -> None:
        self.worlds = Worlds(instance, draw_worlds(instance, only=checked.decision))
        self.plan, self.checked = FixedPlan.of(instance, checked), checked

    def cash(self) -> CashRange:
        """The expected cash, with its 10 % and 90 % points, and how often the plan beats staying home."""
        drawn, plan = self.worlds.drawn, self.worlds.outcome(self.plan)
        low, high = np.percentile(plan.cash, [10.0, 90.0])
        beats = np.mean(plan.total(self.worlds.instance.scenario.hours.wage) > self.worlds.at_home())
        return CashRange(float(low), self.checked.money.cash, float(high), drawn.n, drawn.seed, float(beats))

    def stops(self) -> dict[tuple[str, int], tuple[float, float]]:
        """The 10 % and 90 % points of what each buyer pays, by its id and trip (milp.MAIL for the mail)."""
        drawn = self.worlds.stops(self.plan)
        ends = {key: np.percentile(amounts, [10.0, 90.0]) for key, amounts in drawn.items()}
        return {key: (float(low), float(high)) for key, (low, high) in ends.items()}
