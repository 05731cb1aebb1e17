"""partway in the simulated year: do what the app says, as far as one has heard, seen or been told."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

from year_app import (
    BENCH,
    LISTED,
    PAYLOAD_KG,
    SHED_L,
    VOLUME_L,
    WAGE,
    find_of,
    lifted_on,
    planned,
    scenario,
    verdicts_on,
    with_offers,
    worth_testing,
)
from year_carry import carry_out
from year_learned import learned
from year_offers import is_whole, parts_on_offer
from year_shed import LOOK_HOURS, Shed
from year_signs import has_signs, look, odds_of
from year_things import Thing
from year_truth import MG

from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario
from partway.valuing.finds.curb import handling, shut_piece


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
        finds = Counter(thing.asked for thing in self.shed.things)
        on_offer = Counter(one.thing.asked for one in self.shed.listed if LISTED and is_whole(self.shed, one))
        room = SHED_L if LISTED else SHED_L - self.shed.litres_on_offer()
        here = replace(
            scenario(self.believed(), self.shed.market.buyers(self.heard), self.shed.week, room),
            finds=tuple(find_of(asked, n, on_offer[asked]) for asked, n in (finds + on_offer).items()),
            stock={grade: mg / MG for grade, mg in self.shed.bins.items() if mg},
        )
        return with_offers(here, parts_on_offer(self.shed)) if LISTED else here

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
        self._look(things)
        said = verdicts_on(self.now(), {thing.asked for thing in things})
        kg, litres, full = 0.0, 0.0, self.shed.litres()
        for thing in things:
            wanted = said[thing.asked]
            self.shed.counts[f"verdict {wanted}"] += 1
            takes = self.shed.litres_of(thing.kind, thing.mg)
            fits = kg + thing.mg / MG <= PAYLOAD_KG and litres + takes <= VOLUME_L and full + takes <= SHED_L
            if wanted == "take" and fits:
                self.shed.lift(thing, handling(self.anatomies[thing.kind]))
                kg, litres, full = kg + thing.mg / MG, litres + takes, full + takes
            elif wanted == "take":
                self.shed.counts["no room"] += 1

    def _look(self, things: tuple[Thing, ...]) -> None:
        """Ten seconds each, and what the app asks about; whoever is told sees whether it works."""
        self.shed.work(LOOK_HOURS * len(things), "look")
        if self.condition:
            for thing in things:
                thing.known = "yes" if thing.works else "no"
        elif has_signs():
            odds, base = (
                odds_of(self.shed, learns=self.learns),
                lifted_on(self.now(), [thing.asked for thing in things]),
            )
            for thing in things:
                here: Any = base[thing.kind, "unknown", None]
                if here.test is not None and shut_piece(here.anatomy) is None:
                    seconds = look(thing, odds, here.test, here.carrying, WAGE)
                    self.shed.work(seconds / 3600.0, "look")

    # -- the week -------------------------------------------------------------------------------

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
