"""Demo days of trade: prices that drift from week to week, hauls, tickets that now and then fall short."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal

from partway.actions.books import money
from partway.actions.buyers import buyers, quoting
from partway.actions.demo.town import Town, buyer_tables
from partway.actions.haul import hauls, tickets
from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import Quoted
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.quantities import kg_per

# 555-0100 to 555-0199 belong to nobody in North America: they are kept for stories (from memory).
PHONES = {
    "harbour-yard": "555-0142",
    "ridge-yard": "555-0117",
    "quarry-road-yard": "555-0163",
    "town-depot": "555-0128",
}
TIP = "hill-tip"  # of the demo week
LEAST_KG = 1.0  # a bin that is carried along
WEEKLY = 0.02  # standard deviation of the logarithm of a metal's price from week to week
PRICE = re.compile(r"(-?[0-9.]+) (/.+)")


@dataclass
class Trade:
    """Buyers with their own price lists, and how far each metal has moved since the first day."""

    town: Town
    tables: list[dict[str, object]] = field(default_factory=buyer_tables)
    moved: dict[str, float] = field(default_factory=dict)

    def introduce(self) -> None:
        """All buyers with their terms."""
        for table in self.tables:
            steps = [(step["up_to"], f"{step['cost']}") for step in table.get("shipping", [])]  # type: ignore[attr-defined]
            terms = buyers.Terms(
                kind=str(table["kind"]),
                name=str(table["name"]),
                km=None if "km" not in table else f"{table['km']}",
                minutes=f"{table.get('minutes', 0)}",
                refuses=tuple(table.get("refuses", ())),  # type: ignore[arg-type]
                shipping=steps or None,
                note="demo: invented",
                phone=PHONES.get(str(table["id"])),
            )
            buyers.buyer(self.town.book, self.town.context(), str(table["id"]), terms)

    def week(self) -> None:
        """A week's drift, and a price list from most of the yards; the others are heard of once in a while."""
        for anchor in ("copper", "iron", "aluminium", "gold", "lead", "zinc", "nickel", ""):
            self.moved[anchor] = self.moved.get(anchor, 0.0) + float(self.town.rng.normal(0.0, WEEKLY))
        for table in self.tables:
            if self.town.chance(0.75 if table["kind"] in ("yard", "mail-in") else 0.12):
                self.call(table)

    def call(self, table: dict[str, object]) -> None:
        """One buyer's list as of today."""
        rows: list[dict[str, str]] = table["price"]  # type: ignore[assignment]
        given = [
            quoting.QuoteGiven(row["grade"], self._today(row), row.get("from"), row.get("minimum"), "demo: invented")
            for row in rows
        ]
        quoting.quotes(self.town.book, self.town.context(), str(table["id"]), given)

    def _today(self, row: dict[str, str]) -> str:
        match = PRICE.fullmatch(row["price"])
        if match is None:
            return row["price"]
        anchor = shipped().grades[row["grade"]].anchor or ""
        price = float(match[1]) * 2.718281828459045 ** self.moved.get(anchor, 0.0)
        return f"{price:.0f} {match[2]}" if abs(price) >= 50 else f"{price:.2f} {match[2]}"

    def haul(self) -> None:
        """A trip to the two yards that pay most for what is there, now and then on to the depot and the tip."""
        town = self.town
        stops = sorted(self._loads("yard"), key=lambda stop: -stop[0])[:2]
        if not stops:
            return
        if town.chance(0.4):
            stops += self._loads("drop-off", "tip")
        started = hauls.start(town.book, town.context(), [buyer for _, buyer in stops])
        for _, buyer in stops:
            self.deliver(buyer, started.result.haul)
        km = sum(float(trading.buyers(town.book)[buyer].km or 0) for _, buyer in stops) * 1.6
        hauls.finish(town.book, town.context(), None, f"{km:.0f}", round(km / 45 * 60 + 25 * len(stops)))
        money.spend(town.book, town.context(), "fuel", f"{km * 0.16:.2f}", "fuel")

    def mail(self) -> None:
        """A parcel of boards, if there are some."""
        for _, buyer in self._loads("mail-in"):
            self.deliver(buyer, None)
            money.spend(self.town.book, self.town.context(), "parcel", "22.00", "postage")

    def _loads(self, *kinds: str) -> list[tuple[float, str]]:
        """What each buyer would pay for what is in the bins, those that want any of it."""
        known = trading.buyers(self.town.book)
        found = []
        for buyer, terms in known.items():
            if terms.kind in kinds:
                lots = self._lots(buyer)
                worth = sum(now.mg / 1e6 * float(q.price or 0) / float(kg_per(q.unit)) for now, q in lots)
                found += [(worth, buyer)] if lots else []
        return found

    def _lots(self, buyer: str) -> list[tuple[BinNow, Quoted]]:
        """Bins that a buyer quotes, large enough, at the price of the tier they reach."""
        quotes = trading.quotes(self.town.book, buyer)
        lots = []
        for now in standing.bins(self.town.book).values():
            tiers = [q for q in quotes if q.grade == now.grade and max(q.from_mg, q.minimum_mg) <= now.mg]
            tiers = [q for q in tiers if q.price is not None and (q.price >= 0 or buyer == TIP)]
            if tiers and now.mg >= LEAST_KG * 1e6 and now.grade != RESIDUE:
                lots.append((now, max(tiers, key=lambda q: q.from_mg)))
        return lots

    def deliver(self, buyer: str, haul: str | None) -> None:
        """The ticket of one stop, and mostly its money."""
        town = self.town
        lines = [self._line(buyer, now, quote) for now, quote in self._lots(buyer)]
        if not lines:
            return
        less = [("dirt", "2.50")] if len(lines) > 3 and town.chance(0.15) else []
        number = f"{int(town.rng.integers(10_000, 99_999))}"
        lines += self._residue(buyer)
        printed = tickets.ticket(
            town.book, town.context(), buyer, lines, None, less, haul, number, as_printed=True
        ).result
        if printed.total > 0 and not town.chance(0.12):
            money.paid(town.book, town.context(), buyer, printed.total, printed.ticket, "cash")

    def _residue(self, buyer: str) -> list[tickets.LineGiven]:
        """All residue, at the tip alone: weighed as it is at home, so that nothing is drawn for it."""
        now = standing.bins(self.town.book).get(RESIDUE)
        if buyer != TIP or now is None or now.mg < LEAST_KG * 1e6:
            return []
        fee = next(q for q in trading.quotes(self.town.book, TIP, RESIDUE) if q.price is not None)
        net = f"{now.mg / 1e6 / float(kg_per('lb')):.1f} lb"
        return [tickets.LineGiven(RESIDUE, net, f"{fee.price:f} /{fee.unit}", own="all")]

    def _line(self, buyer: str, now: BinNow, quote: Quoted) -> tickets.LineGiven:
        """The yard's own weighing: a little off, sometimes short; sometimes a lower grade or price."""
        town = self.town
        share = float(town.rng.normal(1.0, 0.003)) - (0.03 if town.chance(0.06) else 0.0)
        share -= 0.012 if buyer == "quarry-road-yard" else 0.0
        net = f"{max(0.1, now.mg / 1e6 / float(kg_per('lb')) * share):.1f} lb"
        price = quote.price or Decimal(0)
        lower = [g for g in shipped().grades[now.grade].downgrades if self._same_hazards(now.grade, g)]
        if lower and town.chance(0.04):
            price = (price * Decimal("0.9")).quantize(Decimal("0.01"))
            return tickets.LineGiven(lower[0], net, f"{price} /{quote.unit}", own="all", bin=now.id)
        if town.chance(0.04):
            price = (price * Decimal("0.95")).quantize(Decimal("0.01"))
        return tickets.LineGiven(now.grade, net, f"{price:f} /{quote.unit}", own="all", bin=now.id)

    @staticmethod
    def _same_hazards(grade: str, lower: str) -> bool:
        grades = shipped().grades
        return set(grades[grade].hazards) <= set(grades[lower].hazards)
