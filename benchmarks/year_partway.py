"""partway in the simulated year: the app's own verdicts, tests and plans, told what one has heard, seen or been told."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from dataclasses import fields, replace

from year_carry import carry_out
from year_learned import learned
from year_market import START
from year_shed import AWAY, BENCH, COST_PER_KM, LOOK_HOURS, PAYLOAD_KG, SHED_L, VOLUME_L, WAGE, Shed
from year_truth import Thing

from partway.actions.curb.curb import bare
from partway.catalogue import shipped
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.things.anatomy import Anatomy
from partway.things.scenario import Buyer, Find, Hours, Scenario, Vehicle, Works
from partway.valuing.finds.curb import Lifted, handling
from partway.valuing.finds.hand import Holding
from partway.valuing.finds.hands import HoldingValues
from partway.valuing.finds.opened import Solved
from partway.valuing.finds.verdict import judged

SECONDS, GAP = 2.0, 5e-3  # of a week's plan
DRAWS = 8  # of ranges, which decide nothing here
FLAT = {"keep_factor": 0.8}  # what a workspace without a setting had before room was priced


def scenario(anatomies: Mapping[str, Anatomy], buyers: tuple[Buyer, ...], week: int) -> Scenario:
    """What one knows in a week, without finds and stock."""
    known = {"storage_l": SHED_L} if "storage_l" in {f.name for f in fields(Scenario)} else {}
    return Scenario(
        name=f"week {week}",
        currency="CAD",
        on=START + dt.timedelta(weeks=week),
        hours=Hours(BENCH, AWAY, WAGE, 1),
        vehicle=Vehicle(PAYLOAD_KG, VOLUME_L, COST_PER_KM),
        buyers=buyers,
        finds=(),
        stock={},
        grades=shipped().grades,
        anatomies=anatomies,
        cautions=shipped().cautions,
        **known,
    )


class Partway:
    """Do what the app says. `told`: by true means, today's prices, and with the condition seen at the curb."""

    def __init__(self, shed: Shed, *, learns: bool = False, told: bool = False) -> None:
        self.shed, self.learns, self.told = shed, learns, told
        self.heard = {key: 0 for key in shed.market.keys}
        kinds = shed.truth.kinds
        self.anatomies = {k: it.told() if told else it.guess for k, it in kinds.items()}

    # -- what is known --------------------------------------------------------------------------

    def now(self) -> Scenario:
        """Today's scenario: finds, bins and prices."""
        finds = Counter((thing.kind, thing.known) for thing in self.shed.things)
        return replace(
            scenario(self.believed(), self.shed.market.buyers(self.heard), self.shed.week),
            finds=tuple(Find(kind, n, known) for (kind, known), n in finds.items()),  # type: ignore[arg-type]
            stock={grade: mg / 1e6 for grade, mg in self.shed.bins.items() if mg},
        )

    def believed(self) -> dict[str, Anatomy]:
        """Kinds as one believes they are."""
        if not self.learns:
            return self.anatomies
        return {kind: learned(guess, self.shed.seen, self.shed.market) for kind, guess in self.anatomies.items()}

    def hear(self) -> None:
        """Prices that were heard this week; whoever is told knows all."""
        market, week = self.shed.market, self.shed.week
        for i, key in enumerate(market.keys):
            if self.told or market.heard[week, i]:
                self.heard[key] = week

    # -- at the curb ----------------------------------------------------------------------------

    def round(self, things: tuple[Thing, ...]) -> None:
        """Look at each thing for ten seconds; lift what the app says, while there is room."""
        self.hear()
        lifted = self._lifted({thing.kind for thing in things})
        kg, litres, full = 0.0, 0.0, self.shed.litres()
        for thing in things:
            self.shed.work(LOOK_HOURS, "look")
            if self.told:
                thing = replace(thing, known="yes" if thing.works else "no")
            takes = self.shed.litres_of(thing.kind, thing.mg)
            fits = kg + thing.mg / 1e6 <= PAYLOAD_KG and litres + takes <= VOLUME_L and full + takes <= SHED_L
            if fits and self._wanted(thing, lifted):
                self.shed.lift(thing, handling(self.anatomies[thing.kind]))
                kg, litres, full = kg + thing.mg / 1e6, litres + takes, full + takes

    def _lifted(self, kinds: set[str]) -> dict[tuple[str, str], Lifted]:
        """Every kind as if it worked and as if not, solved together as the app's ranking does."""
        here, states = self.now(), ("yes", "no")
        finds = [Find(kind, 1, works) for kind in sorted(kinds) for works in states]  # type: ignore[arg-type]
        if not finds:
            return {}
        each = Lifted.each(Solved.of_finds(bare(here), finds, DRAWS))
        return {(one.group.find.kind, one.group.find.works): one for one in each}

    def _wanted(self, thing: Thing, lifted: dict[tuple[str, str], Lifted]) -> bool:
        works: Works = thing.known  # type: ignore[assignment]
        said, _ = judged(works, lifted[thing.kind, "yes"], lifted[thing.kind, "no"])
        self.shed.counts[f"verdict {said}"] += 1
        return said == "take"

    # -- the week -------------------------------------------------------------------------------

    def work(self) -> None:
        """One week at the bench and on the road."""
        self.plan_week()

    def plan_week(self, *, at_home: bool = False) -> None:
        """Test what the app says is worth testing, then plan the week and carry it out."""
        self._test()
        here, left = self.now(), max(0.0, BENCH - self.shed.bench)
        here = replace(here, hours=replace(here.hours, bench=left, trips=0 if at_home else 1))
        instance = build(here)
        decision = verify(instance, search(instance, SECONDS, GAP).decision)
        for buyer in carry_out(self.shed, instance, decision):
            for key in self.heard:
                if key[0] == buyer:
                    self.heard[key] = self.shed.week

    def _test(self) -> None:
        unknown = [thing for thing in self.shed.things if thing.known == "unknown"]
        here = self.now()
        holdings = {t.kind: Holding(t.kind, "unknown", None, ((here.anatomies[t.kind].whole.id, 1),)) for t in unknown}
        if not holdings:
            return
        values = HoldingValues.at(here).of(holdings.values())
        tests = {kind: values[holding].test for kind, holding in holdings.items()}
        worth = [(test.first.gain / test.first.hours, t) for t in unknown if (test := tests[t.kind])]
        for _, thing in sorted(worth, key=lambda one: -one[0]):
            if self.shed.bench < BENCH:
                self.shed.test(thing)
