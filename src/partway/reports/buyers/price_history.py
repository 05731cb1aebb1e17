"""What buyers said of one grade over time. A price holds until the next word; no trend is claimed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.codec import payload_kept
from partway.ledger.events.kinds import Quoted, Traded
from partway.ledger.fold.history import PastFact
from partway.quantities import MG_PER_KG, kg_per
from partway.things.buyers import buyer_name
from partway.valuing.price_steps import PriceSpread, PriceStep, spread, thinned, thinned_spread, window

YEAR = 365
ROWS = 60  # of the table


@dataclass(frozen=True, slots=True)
class At:
    """A step with its date; `price` is per one of the history's unit, None where none holds from here on."""

    on: str
    price: float | None


@dataclass(frozen=True, slots=True)
class SaidPriceLine:
    """One buyer's price for lots from `from_kg`: its steps, how often it was named, its range and what holds now."""

    buyer: str
    name: str
    from_kg: float
    steps: tuple[At, ...]
    heard: int
    low: float | None
    high: float | None
    now: float | None


@dataclass(frozen=True, slots=True)
class Between:
    """From a day on: the lowest and highest price among so many buyers."""

    on: str
    low: float | None
    high: float | None
    buyers: int


@dataclass(frozen=True, slots=True)
class QuoteSaid:
    """One quote as it was said; `change` is the share by which it differs from the same buyer's last."""

    on: str
    buyer: str
    name: str
    from_kg: float
    price: Decimal | None
    unit: str
    per_unit: float | None
    change: float | None


@dataclass(frozen=True, slots=True)
class PriceHistory:
    """Prices per one `unit` from `since` to `on`.

    `between` compares what buyers pay for their smallest lots. `words` are the latest first, `more` how many are left
    out of them; `heard` is how many there are in these days. `note` is what decides whether a piece belongs to the
    grade.
    """

    grade: str
    name: str
    unit: str
    since: str
    on: str
    lines: tuple[SaidPriceLine, ...]
    between: tuple[Between, ...]
    words: tuple[QuoteSaid, ...]
    more: int
    heard: int
    note: str = ""

    @property
    def low(self) -> float | None:
        """The lowest price that held in these days."""
        return min((line.low for line in self.lines if line.low is not None), default=None)

    @property
    def high(self) -> float | None:
        """The highest price that held in these days."""
        return max((line.high for line in self.lines if line.high is not None), default=None)


def report_price_history(
    book: Book, grade: str, on: dt.date, unit: str = "kg", *, buyer: str = "", days: int | None = YEAR
) -> PriceHistory:
    """The prices of a grade in the `days` up to `on`, of one buyer where it is named; all there is for None."""
    buyers = trading.buyers(book)
    asked = [name for name in buyers if buyer in ("", name)]
    said = [_quoted(word) for word in book.words([f"quote:{name}:{grade}:" for name in asked], "heard")]
    said = sorted((quote for quote in said if quote.on <= on), key=lambda quote: quote.on)
    first = on - dt.timedelta(days=days) if days is not None else said[0].on if said else on
    factor = float(kg_per(unit))
    tiers: dict[tuple[str, int], list[Quoted]] = {}
    for quote in said:
        tiers.setdefault((quote.buyer, quote.from_mg), []).append(quote)
    steps = {key: _steps(quotes, first, on, factor) for key, quotes in sorted(tiers.items())}
    lines = tuple(_line(buyers, key, steps[key], tiers[key], first) for key in steps)
    smallest = {name: min(from_mg for of, from_mg in steps if of == name) for name, _ in steps}
    between = thinned_spread(spread({name: steps[name, from_mg] for name, from_mg in smallest.items()}))
    words = _words(buyers, tiers, first, factor)
    known = shipped().grades.get(grade)
    return PriceHistory(
        grade=grade,
        name=known.name if known else grade,
        unit=unit,
        since=first.isoformat(),
        on=on.isoformat(),
        lines=tuple(line for line in lines if line.steps),
        between=tuple(_between(one) for one in between),
        words=tuple(words[:ROWS]),
        more=max(0, len(words) - ROWS),
        heard=len(words),
        note=known.note if known else "",
    )


def _quoted(word: PastFact) -> Quoted:
    return cast(Quoted, payload_kept("quoted", word.value, word.subject))


def _per_unit(quote: Quoted, factor: float) -> float | None:
    return None if quote.price is None else float(quote.price / kg_per(quote.unit)) * factor


def _steps(quotes: Sequence[Quoted], first: dt.date, on: dt.date, factor: float) -> list[PriceStep]:
    steps = [PriceStep(quote.on.toordinal(), _per_unit(quote, factor)) for quote in quotes]
    return window(steps, first.toordinal(), on.toordinal())


def _line(
    buyers: dict[str, Traded], key: tuple[str, int], steps: list[PriceStep], quotes: list[Quoted], first: dt.date
) -> SaidPriceLine:
    """A line; without steps where no price held in these days."""
    held = [step.value for step in steps if step.value is not None]
    drawn = thinned(steps) if held else []
    return SaidPriceLine(
        buyer=key[0],
        name=buyer_name(key[0], buyers[key[0]].name),
        from_kg=key[1] / MG_PER_KG,
        steps=tuple(At(dt.date.fromordinal(step.day).isoformat(), step.value) for step in drawn),
        heard=sum(quote.on >= first for quote in quotes),
        low=min(held, default=None),
        high=max(held, default=None),
        now=steps[-1].value,
    )


def _between(one: PriceSpread) -> Between:
    return Between(dt.date.fromordinal(one.day).isoformat(), one.low, one.high, one.buyers)


def _words(
    buyers: dict[str, Traded], tiers: dict[tuple[str, int], list[Quoted]], first: dt.date, factor: float
) -> list[QuoteSaid]:
    """Every quote of these days, the latest first."""
    found = []
    for (buyer, from_mg), quotes in tiers.items():
        before: float | None = None
        for quote in quotes:
            price = _per_unit(quote, factor)
            change = price / before - 1 if price is not None and before is not None and before > 0 else None
            if quote.on >= first:
                name, from_kg = buyer_name(buyer, buyers[buyer].name), from_mg / MG_PER_KG
                found.append(
                    QuoteSaid(quote.on.isoformat(), buyer, name, from_kg, quote.price, quote.unit, price, change)
                )
            before = price
    return sorted(found, key=lambda word: word.on, reverse=True)
