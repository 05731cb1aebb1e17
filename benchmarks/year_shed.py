"""What a scrapper of the simulated year owns and does: mass in whole milligrams, money in whole cents, nothing lost.

Every act changes what is there and writes into the journal besides; `check` holds the two against each other.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from year_app import COST_PER_KM, scenario
from year_market import Market
from year_seen import Listing, Seen
from year_things import Thing, Truth
from year_truth import MG, Kind
from year_work import Choose, Work

from partway.planning.instance.allowed import allowed_sales
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario
from partway.valuing.finds.curb import rides_as

LOOK_HOURS = 10.0 / 3600.0
ROUND_HOURS, ROUND_KM = 0.5, 8.0  # a week's rounds, the same for everybody


@dataclass
class Shed:
    """One policy's year so far."""

    truth: Truth
    market: Market
    rules: Scenario  # grades, anatomies and cautions: what may be sold as what
    things: list[Thing] = field(default_factory=list)
    bins: Counter[str] = field(default_factory=Counter)
    listed: list[Listing] = field(default_factory=list)
    cents: int = 0
    hours: float = 0.0
    week: int = 0
    bench: float = 0.0  # hours at the bench this week
    lifted_mg: int = 0
    gone_mg: Counter[str] = field(default_factory=Counter)  # by whom it went to
    journal: list[tuple[int, str, int]] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    spent: Counter[str] = field(default_factory=Counter)  # hours by what for
    seen: Seen = field(default_factory=Seen)

    # -- room, hours and money ------------------------------------------------------------------

    def litres(self) -> float:
        """The room that everything takes up."""
        loose = sum(mg / MG / self.rules.grades[g].density.mean for g, mg in self.bins.items())
        whole = sum(self.litres_of(t.kind, t.mg) for t in self.things)
        return loose + whole + self.litres_on_offer()

    def litres_on_offer(self) -> float:
        """The room of what is listed."""
        return sum(self.litres_of(one.thing.kind, one.mg) for one in self.listed)

    def litres_of(self, kind: str, mg: int) -> float:
        """The room of a whole thing, as the app estimates it."""
        grade = rides_as(self.rules.anatomies[kind]) or "light-iron"
        return mg / MG / self.rules.grades[grade].density.mean

    def work(self, hours: float, what: str) -> None:
        """Spend hours."""
        self.hours += hours
        self.spent[what] += hours
        if what in ("open", "list", "test"):
            self.bench += hours

    def pay(self, money: float, what: str) -> None:
        """Money in, or out where it is negative, to the cent."""
        cents = round(money * 100.0)
        self.cents += cents
        self.journal.append((self.week, what, cents))

    def check(self) -> None:
        """Mass in = mass out + what is there, and cash = the journal's sum, exactly."""
        there = sum(t.mg for t in self.things) + sum(self.bins.values()) + sum(one.mg for one in self.listed)
        if self.lifted_mg != there + sum(self.gone_mg.values()):
            raise AssertionError(f"week {self.week}: {self.lifted_mg} mg in, {there} there, {self.gone_mg} gone")
        if self.cents != sum(cents for _, _, cents in self.journal):
            raise AssertionError(f"week {self.week}: {self.cents} cents in hand are not what the journal says")
        if min(self.bins.values(), default=0) < 0:
            raise AssertionError(f"week {self.week}: a bin holds less than nothing")

    # -- acts -----------------------------------------------------------------------------------

    def drive_round(self) -> None:
        """A week's rounds past the curbs."""
        self.work(ROUND_HOURS, "round")
        self.pay(-ROUND_KM * COST_PER_KM, "round")

    def lift(self, thing: Thing, minutes: float) -> None:
        """Load a thing, bring it home and unload it."""
        self.things.append(thing)
        self.lifted_mg += thing.mg
        self.work(minutes / 60.0, "lift")
        self.counts["lifted"] += 1

    def test(self, thing: Thing) -> None:
        """Plug it in: it works or not."""
        self.work(self.kind(thing).test_minutes / 60.0, "test")
        thing.known, thing.odds = "yes" if thing.works else "no", None
        self.seen.tested.append(thing)
        self.counts["tested"] += 1

    def kind(self, thing: Thing) -> Kind:
        """Its kind as it really is."""
        return self.truth.kinds[thing.kind]

    def take_apart(self, thing: Thing, choose: Choose, anatomy: Anatomy | None = None) -> bool:
        """Do with a thing and all that comes out of it what `choose` says; False where it stays whole.

        `anatomy` is that of a plan, where it has more pieces than the kind: those behind a test.
        """
        whole = self.kind(thing).guess.whole
        if choose(thing, whole.id)[0] == "keep":
            return False
        self.things.remove(thing)
        work = Work(self, thing, choose, anatomy or self.kind(thing).guess)
        work.handle(whole, thing.mg)
        if work.runs:
            runs = tuple(sorted(Counter(work.runs).items()))
            self.seen.work.setdefault(thing.kind, []).append((runs, work.minutes()))
        return True

    def bin_of(self, thing: Thing, piece: str) -> str:
        """The bin of what nobody wants to sell now: of what it may be sold as, what fetches most."""
        sales = allowed_sales(self.rules, self.kind(thing).guess, piece)
        return max(sales, key=lambda s: s.share * self.market.best(s.grade, self.week)).grade if sales else "residue"

    def into_bin(self, thing: Thing, piece: str, grade: str, mg: int) -> None:
        """What reaches its grade, and the residue."""
        sales = allowed_sales(self.rules, self.kind(thing).guess, piece)
        sale = next((s for s in sales if s.grade == grade), None)
        reached = mg if sale is None else round(mg * sale.share)
        self.bins[grade if sale else "residue"] += reached
        self.bins["residue"] += mg - reached


def rules_of(truth: Truth) -> Scenario:
    """Grades, cautions and anatomies, without prices: what the rules of selling are read from."""
    return scenario({kind: it.guess for kind, it in truth.kinds.items()}, (), 0)
