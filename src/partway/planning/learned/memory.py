"""What one search learned, handed to the next one of the same scenario at other prices: its plan, and what it proved.

The plan's kilograms are worked out anew and it is checked as any other. What was proved is moved along to the new
prices by arithmetic (`statement`). Columns go by their names.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.learned.names import same_as
from partway.planning.learned.prices import differ_in_prices
from partway.planning.learned.programmes import Root
from partway.planning.learned.rebuilt import rebuilt
from partway.planning.learned.statement import Statement
from partway.planning.model.highs import Values
from partway.planning.model.milp import Model
from partway.things.scenario import Scenario

MOST_SCENARIOS = 6  # a plan asks for three: as it is, with an hour more at the bench, and away


@dataclass(frozen=True)
class LearnedSearch:
    """Of one search: of use for its `scenario` at any prices and wage. `plan` is the point of a programme with these
    `names` of columns. `root` is where the search began that proved what is `said`.
    """

    scenario: Scenario = field(repr=False)
    names: Sequence[str] = field(repr=False)
    plan: Values = field(repr=False)
    said: Statement | None = None
    root: Root | None = None

    def fits(self, scenario: Scenario) -> bool:
        """Whether it may be used for a scenario: nothing but prices and the wage is different."""
        return differ_in_prices(self.scenario, scenario)

    def instance_at(self, scenario: Scenario) -> Instance:
        """The instance of a scenario that it fits, out of the one that was searched."""
        return build(scenario) if self.root is None else rebuilt(self.root.model.instance, scenario)

    def plan_in(self, model: Model) -> Values:
        """The plan as a point of another programme, within the bounds of its columns; what has none there is left out.

        The whole numbers of a point are not held to their bounds again (`polish`), so it is done here.
        """
        linear = model.linear
        x = np.zeros(len(linear.names))
        for old, new in enumerate(same_as(self.names, linear.names)):
            if new is not None:
                x[new] = self.plan[old]
        whole, low, high = np.array(linear.integer), np.array(linear.lower), np.array(linear.upper)
        kept: Values = np.clip(x, np.where(whole, np.ceil(low), low), np.where(whole, np.floor(high), high))
        return kept


class Memory:
    """What the last searches learned, to be asked for by a scenario."""

    def __init__(self) -> None:
        self._learned: list[LearnedSearch] = []

    def of(self, scenario: Scenario) -> LearnedSearch | None:
        """What was learned last of a scenario, at whatever prices; None where that was never searched."""
        return next((learned for learned in reversed(self._learned) if learned.fits(scenario)), None)

    def instance(self, scenario: Scenario) -> Instance:
        """The instance of a scenario, out of one that was searched at other prices where there was one."""
        known = self.of(scenario)
        return build(scenario) if known is None else known.instance_at(scenario)

    def keep(self, learned: LearnedSearch | None) -> None:
        """Remember what a search learned, in the place of what was known of the scenario."""
        if learned is not None:
            others = [it for it in self._learned if not it.fits(learned.scenario)]
            self._learned = [*others, learned][-MOST_SCENARIOS:]
