"""What a scrapper of the simulated year owns and does: mass in whole milligrams, money in whole cents, nothing lost.

Every act changes what is there and writes into the journal besides; `check` holds the two against each other.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from math import exp, sqrt

from year_app import COST_PER_KM, VOLUME_L, WAGE, scenario
from year_market import Market
from year_truth import GOT_SD, MG, Kind, Thing, Truth, drawn
from year_work import Choose, Work

from partway.planning.instance.allowed import allowed_sales
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario
from partway.valuing.finds.curb import rides_as

PATIENCE = 1.5  # times the days in which a part is said to sell: then it comes down
LOOK_HOURS = 10.0 / 3600.0
ROUND_HOURS, ROUND_KM = 0.5, 8.0  # a week's rounds, the same for everybody


@dataclass(frozen=True)
class Listing:
    """One thing or piece on offer since `week`."""

    thing: Thing
    piece: str
    part: int
    mg: int
    week: int
    grade: str


@dataclass
class Seen:
    """What one has seen oneself, for whoever learns: by kind, and by piece, operation or part."""

    tested: list[Thing] = field(default_factory=list)
    masses: dict[tuple[str, str], list[float]] = field(default_factory=dict)
    minutes: dict[tuple[str, str], list[float]] = field(default_factory=dict)
    work: dict[str, list[tuple[tuple[tuple[str, int], ...], float]]] = field(default_factory=dict)  # by find
    offered: Counter[tuple[str, str, int]] = field(default_factory=Counter)  # weeks on offer
    got: dict[tuple[str, str, int], list[float]] = field(default_factory=dict)


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

    # -- resale ---------------------------------------------------------------------------------

    def offer(self, thing: Thing, piece: str, part: int, mg: int) -> None:
        """List a thing or a piece of it."""
        said = self.kind(thing).guess.piece(piece).parts[part]
        if said.needs == "works" and not thing.works:
            raise AssertionError(f"a {thing.kind} that does not work is offered as working")
        self.work(said.minutes.mean / 60.0, "list")
        self.listed.append(Listing(thing, piece, part, mg, self.week, self.bin_of(thing, piece)))
        self.counts["listed"] += 1

    def resale_week(self) -> None:
        """Who asks this week buys the longest on offer; what found nobody in a long while comes down again.

        Several alike draw more buyers than one, but not as many more: with the root of their number.
        """
        for key in dict.fromkeys((one.thing.kind, one.piece, one.part) for one in self.listed):
            sale = self.truth.kinds[key[0]].sales[key[1], key[2]]
            on_offer = [one for one in self.listed if (one.thing.kind, one.piece, one.part) == key]
            self.seen.offered[key] += 1
            rng = drawn(self.truth.seed, "buyers", *key, self.week)
            for one in on_offer[: rng.poisson(sale.rate * 7.0 * sqrt(len(on_offer)))]:
                got = sale.price * exp(GOT_SD * rng.standard_normal())
                self.listed.remove(one)
                self.gone_mg["resale"] += one.mg
                self.pay(got * (1.0 - sale.fee) - sale.postage, "resale")
                self.seen.got.setdefault(key, []).append(got)
                self.counts["resold"] += 1
        for one in [x for x in self.listed if (self.week - x.week) * 7.0 >= PATIENCE * self._days(x)]:
            self.take_down(one)

    def is_whole(self, one: Listing) -> bool:
        """Whether a thing is on offer as it is."""
        return one.piece == self.kind(one.thing).guess.whole.id

    def parts_on_offer(self) -> Counter[tuple[str, str, str]]:
        """How many of a part are on offer, whole things apart: by kind, piece and name of the part."""
        pieces = [one for one in self.listed if not self.is_whole(one)]
        return Counter(
            (one.thing.kind, one.piece, self.kind(one.thing).guess.piece(one.piece).parts[one.part].name)
            for one in pieces
        )

    def _days(self, one: Listing) -> float:
        return self.kind(one.thing).sales[one.piece, one.part].days

    def take_down(self, one: Listing) -> None:
        """A whole thing goes back among the others, a piece into its bin."""
        self.listed.remove(one)
        if self.is_whole(one):
            self.things.append(one.thing)
        else:
            self.into_bin(one.thing, one.piece, one.grade, one.mg)

    # -- what is left ---------------------------------------------------------------------------

    def left(self) -> float:
        """What is in the shed at the best true prices, a full load's share of an ordinary trip taken off.

        A thing counts as what it may be sold as whole; what is on offer as what it fetches by its hidden chance.
        """
        trip = (2 * 15.0) * COST_PER_KM + WAGE * (2 * 15.0 / 45.0 + 20.0 / 60.0)
        worth = -self.litres() / VOLUME_L * trip
        worth += sum(mg / MG * self.market.best(grade, self.week) for grade, mg in self.bins.items())
        worth += sum(self.as_scrap(thing) for thing in self.things)
        for one in self.listed:
            sale = self.kind(one.thing).sales[one.piece, one.part]
            sells = 1.0 - exp(-sale.rate * max(0.0, PATIENCE * sale.days - 7.0 * (self.week - one.week)))
            scrap = one.mg / MG * self.market.best(one.grade, self.week)
            worth += sells * (sale.price * (1.0 - sale.fee) - sale.postage) + (1.0 - sells) * scrap
        return worth

    def as_scrap(self, thing: Thing) -> float:
        """What a whole thing fetches as it is; 0 where it may not be sold so."""
        sales = allowed_sales(self.rules, self.kind(thing).guess, self.kind(thing).guess.whole.id)
        return max((thing.mg / MG * s.share * self.market.best(s.grade, self.week) for s in sales), default=0.0)


def rules_of(truth: Truth) -> Scenario:
    """Grades, cautions and anatomies, without prices: what the rules of selling are read from."""
    return scenario({kind: it.guess for kind, it in truth.kinds.items()}, (), 0)
