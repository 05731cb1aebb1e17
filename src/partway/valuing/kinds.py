"""What finds of each kind brought for the minutes on them: what came out, priced, and parts sold."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from partway.catalogue import Catalogue
from partway.catalogue.cards import card
from partway.catalogue.named import hazards_of
from partway.ledger.events.effects import RESIDUE
from partway.ledger.fold.period import Moved, Posted
from partway.planning.instance.market import Market
from partway.things.material import Caution, Grade
from partway.things.scenario import Scenario
from partway.valuing.window import Window

KG = 1e-6  # of a milligram
UNNAMED = "of no known kind"


@dataclass(frozen=True, slots=True)
class KindMoney:
    """One kind: `openings` of which `timed` have minutes; what came out into bins and what that is worth.

    `at_tickets` is worth at prices received, `at_quotes` at today's best quote; `unpriced_kg` has neither. `cautions`
    are names of what can hurt about the kind, to be read before its money.
    """

    kind: str
    name: str
    openings: int
    timed: int
    minutes: int
    out_kg: float
    at_tickets: float
    at_quotes: float
    unpriced_kg: float
    parts: float
    cautions: tuple[str, ...] = ()

    @property
    def out_value(self) -> float:
        """What came out, at the prices there are."""
        return self.at_tickets + self.at_quotes

    @property
    def money(self) -> float:
        """What came out and the parts."""
        return self.out_value + self.parts

    @property
    def per_hour(self) -> float | None:
        """Money for an hour on its finds; None where no minute was recorded."""
        return self.money * 60.0 / self.minutes if self.minutes else None

    @property
    def untimed(self) -> int:
        """Openings without minutes: the figure for an hour is at most what it says."""
        return max(0, self.openings - self.timed)


@dataclass(frozen=True, slots=True)
class Kinds:
    """All kinds, best hour first, and what is left over: minutes by activity and costs that belong to no kind."""

    lines: tuple[KindMoney, ...]
    overhead: tuple[tuple[str, int], ...]
    costs: Decimal

    @property
    def money(self) -> float:
        """What all kinds brought."""
        return sum(line.money for line in self.lines)

    @property
    def minutes(self) -> int:
        """Minutes on finds of a kind."""
        return sum(line.minutes for line in self.lines)

    @property
    def overhead_minutes(self) -> int:
        """Minutes that belong to no kind."""
        return sum(minutes for _, minutes in self.overhead)

    @property
    def per_hour(self) -> float | None:
        """All kinds over the minutes on them alone."""
        return self.money * 60.0 / self.minutes if self.minutes else None

    @property
    def per_hour_with_all(self) -> float | None:
        """The same less the costs, over every minute there was."""
        minutes = self.minutes + self.overhead_minutes
        return (self.money + float(self.costs)) * 60.0 / minutes if minutes else None

    @property
    def openings(self) -> int:
        """How many finds were opened."""
        return sum(line.openings for line in self.lines)

    @property
    def untimed(self) -> int:
        """How many of the openings have no minutes."""
        return sum(line.untimed for line in self.lines)


def kinds_of(window: Window, prices: Scenario, known: Catalogue) -> Kinds:
    """The kinds of a window; `known` are those that have a name."""
    moved = window.moved
    out: dict[str, Counter[str]] = defaultdict(Counter)
    for (source, target, grade), mg in moved.items():
        if source.startswith("find:") and target == "bin" and grade != RESIDUE:
            out[source[5:]][grade] += mg
    tally = _tally(window.posted)
    priced = PricedMasses(received(moved, window.posted), Market.of(prices), prices.grades, prices.cautions, known)
    kinds = {*out, *window.openings, *tally.minutes, *tally.parts}
    lines = [_line(kind, out.get(kind, Counter()), window.openings.get(kind, 0), tally, priced) for kind in kinds]
    lines.sort(key=lambda line: (line.per_hour is None, -(line.per_hour or 0.0), -line.money, line.kind))
    return Kinds(tuple(lines), tuple(tally.overhead.most_common()), tally.costs)


def received(moved: Moved, posted: Iterable[Posted]) -> dict[str, float]:
    """What a kilogram of each grade brought on tickets, by the buyers' scales and before deductions."""
    amounts: dict[str, Decimal] = defaultdict(Decimal)
    for line in posted:
        if line.account.startswith("sales:"):
            amounts[line.tag] += line.amount
    masses: Counter[str] = Counter()
    for (source, target, grade), mg in moved.items():
        if source == "bin" and target.startswith("buyer:"):
            masses[grade] += mg
    return {grade: float(amounts[grade]) / (mg * KG) for grade, mg in masses.items() if grade in amounts}


@dataclass(frozen=True, slots=True)
class _Tally:
    minutes: Counter[str]
    timed: Counter[str]
    parts: dict[str, Decimal]
    overhead: Counter[str]
    costs: Decimal


def _tally(posted: Iterable[Posted]) -> _Tally:
    """Minutes and parts by kind; what belongs to none."""
    minutes, timed, overhead = Counter[str](), Counter[str](), Counter[str]()
    parts: dict[str, Decimal] = defaultdict(Decimal)
    costs = Decimal(0)
    for line in posted:
        if line.account.startswith("minutes:"):
            if line.of:
                minutes[line.of] += int(line.amount)
                timed[line.of] += line.by == "opened"
            else:
                overhead[line.account[8:]] += int(line.amount)
        elif line.account.startswith("parts"):
            parts[line.of] += line.amount
        elif line.account.startswith(("spent:", "deductions:")) or _tipped(line):
            costs += line.amount
    return _Tally(minutes, timed, parts, overhead, costs)


def _tipped(line: Posted) -> bool:
    """Whether it is what residue cost at the tip: of that no kind is worth anything."""
    return line.account.startswith("sales:") and line.tag == RESIDUE


@dataclass(frozen=True, slots=True)
class PricedMasses:
    """Prices of what came out of finds: what tickets brought of each grade, else the best quote there is."""

    received: Mapping[str, float]
    market: Market
    grades: Mapping[str, Grade]
    cards: Mapping[str, Caution]
    known: Catalogue

    def cautions(self, kind: str) -> tuple[str, ...]:
        """Names of all that can hurt about a kind."""
        if not self.known.knows(kind):
            return ()
        hazards = dict.fromkeys(hazards_of(self.known.anatomy(kind), self.grades))
        return tuple(card(self.cards, hazard).name for hazard in hazards)

    def worth(self, masses: Mapping[str, int]) -> tuple[float, float, float]:
        """What masses by grade are worth at tickets and at quotes, and the kilograms that have no price."""
        at_tickets = at_quotes = unpriced = 0.0
        for grade, mg in masses.items():
            offer = self.market.best(grade) if grade in self.market.grades else None
            if grade in self.received:
                at_tickets += mg * KG * self.received[grade]
            elif offer is not None:
                at_quotes += mg * KG * offer.price
            else:
                unpriced += mg * KG
        return at_tickets, at_quotes, unpriced


def _line(kind: str, out: Mapping[str, int], openings: int, tally: _Tally, priced: PricedMasses) -> KindMoney:
    name = priced.known.anatomy(kind).name if priced.known.knows(kind) else kind or UNNAMED
    minutes, timed, parts = tally.minutes[kind], tally.timed[kind], float(tally.parts.get(kind, 0))
    cautions = priced.cautions(kind)
    return KindMoney(kind, name, openings, timed, minutes, sum(out.values()) * KG, *priced.worth(out), parts, cautions)
