"""Names of what a plan speaks of by id."""

from __future__ import annotations

from partway.reports.haul.reason_words import ReasonWords, say_go
from partway.reports.names import ScenarioNames
from partway.valuing.plans.facts import GoOrWait, Reason
from partway.web.show import Show


class PlanNames(ScenarioNames):
    """Names of one scenario, and reasons in words."""

    def reason(self, reason: Reason, show: Show) -> str:
        """Why something is kept, in the locale's numbers and with a capital first."""
        words = ReasonWords(self, show.kg, show.price).say(reason)
        return words[:1].upper() + words[1:]

    def go(self, it: GoOrWait, show: Show) -> str:
        """Go or wait, in the locale's money and days."""
        return say_go(it, self, show.money, show.day)

    def whose(self, of: str) -> str:
        """A kind or a grade."""
        return self.kind(of) if of in self.scenario.anatomies else self.grade(of)
