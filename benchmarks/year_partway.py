"""partway in the simulated year: do what the app says, as far as one has heard, seen or been told."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from year_app import BENCH, PAYLOAD_KG, SHED_L, VOLUME_L, planned, scenario, verdicts_on, worth_testing
from year_carry import carry_out
from year_learned import learned
from year_shed import LOOK_HOURS, Shed
from year_truth import MG, Thing

from partway.things.anatomy import Anatomy
from partway.things.scenario import Find, Scenario, Works
from partway.valuing.finds.curb import handling


class Partway:
    """`learns`: from one's own weighings, tests and sales.

    Told are the true `means`, the condition of a thing at the curb (`condition`), and today's `prices`.
    """

    def __init__(
        self, shed: Shed, *, learns: bool = False, means: bool = False, condition: bool = False, prices: bool = False
    ) -> None:
        self.shed, self.learns, self.condition, self.prices = shed, learns, condition, prices
        self.heard = dict.fromkeys(shed.market.keys, 0)
        kinds = shed.truth.kinds
        self.anatomies = {k: it.told() if means else it.guess for k, it in kinds.items()}
        self.known = -1, self.anatomies

    # -- what is known --------------------------------------------------------------------------

    def now(self) -> Scenario:
        """Today's scenario: finds, bins and prices."""
        finds = Counter((thing.kind, thing.known) for thing in self.shed.things)
        room = SHED_L - self.shed.litres_on_offer()
        return replace(
            scenario(self.believed(), self.shed.market.buyers(self.heard), self.shed.week, room),
            finds=tuple(Find(kind, n, known) for (kind, known), n in finds.items()),
            stock={grade: mg / MG for grade, mg in self.shed.bins.items() if mg},
        )

    def believed(self) -> dict[str, Anatomy]:
        """Kinds as one believes they are, at the beginning of the week."""
        if not self.learns:
            return self.anatomies
        if self.known[0] != self.shed.week:
            self.known = self.shed.week, learned(self.anatomies, self.shed)
        return self.known[1]

    def hear(self) -> None:
        """Prices that were heard this week; whoever is told knows all."""
        market, week = self.shed.market, self.shed.week
        for i, key in enumerate(market.keys):
            if self.prices or market.heard[week, i]:
                self.heard[key] = week

    # -- the week -------------------------------------------------------------------------------

    def round(self, things: tuple[Thing, ...]) -> None:
        """Look at each thing for ten seconds; lift what the app says, while there is room."""
        self.hear()
        said = verdicts_on(self.now(), {thing.kind for thing in things})
        kg, litres, full = 0.0, 0.0, self.shed.litres()
        for thing in things:
            self.shed.work(LOOK_HOURS, "look")
            if self.condition:
                thing.known = "yes" if thing.works else "no"
            wanted = said[thing.kind, thing.known]
            self.shed.counts[f"verdict {wanted}"] += 1
            takes = self.shed.litres_of(thing.kind, thing.mg)
            fits = kg + thing.mg / MG <= PAYLOAD_KG and litres + takes <= VOLUME_L and full + takes <= SHED_L
            if wanted == "take" and fits:
                self.shed.lift(thing, handling(self.anatomies[thing.kind]))
                kg, litres, full = kg + thing.mg / MG, litres + takes, full + takes
            elif wanted == "take":
                self.shed.counts["no room"] += 1

    def work(self) -> None:
        """One week at the bench and on the road."""
        self.plan_week()

    def plan_week(self, *, at_home: bool = False) -> None:
        """Test what the app says is worth testing, then plan the week and carry it out."""
        self._test()
        here, left = self.now(), max(0.0, BENCH - self.shed.bench)
        here = replace(here, hours=replace(here.hours, bench=left, trips=0 if at_home else 1))
        for buyer in carry_out(self.shed, *planned(here)):
            self.heard |= {key: self.shed.week for key in self.heard if key[0] == buyer}

    def _test(self) -> None:
        unknown = [thing for thing in self.shed.things if thing.known == "unknown"]
        worth = worth_testing(self.now(), {thing.kind for thing in unknown})
        for thing in sorted((t for t in unknown if t.kind in worth), key=lambda t: -worth[t.kind]):
            if self.shed.bench < BENCH:
                self.shed.test(thing)


__all__ = ["Partway", "Works"]
