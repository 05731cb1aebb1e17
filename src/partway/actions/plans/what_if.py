"""The same plan at other hours, another wage or one other price: what a slider asks."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from partway.actions.plans.flips import quote_at
from partway.errors import Refused
from partway.quantities import kg_per, shown
from partway.reports.haul.plan import Plan
from partway.things.buyers import takes
from partway.things.scenario import Scenario

HOURS_MOST = 24.0  # of a slider, unless there are more already
HOUR_STEP = 0.5
PRICE_STEPS = 100  # of a slider, about
ROUND = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Slider:
    """A number that may be moved: from `least` to `most` by `step`; `today` is what the plan was made with."""

    name: str
    least: float
    most: float
    step: float
    value: float
    today: float


@dataclass(frozen=True, slots=True)
class SliderValues:
    """What was asked, every number as it stands on its slider.

    `lot` is (buyer, grade) of the price that may be moved, None where nothing is quoted; `lots` are all there are.
    """

    scenario: Scenario
    bench: Slider
    away: Slider
    wage: Slider
    price: Slider | None
    lot: tuple[str, str] | None
    lots: tuple[tuple[str, str], ...]
    unit: str

    @property
    def changed(self) -> bool:
        """Whether anything differs from the plan."""
        sliders = (self.bench, self.away, self.wage, *((self.price,) if self.price else ()))
        return any(slider.value != slider.today for slider in sliders)


@dataclass(frozen=True, slots=True)
class SliderTexts:
    """What came from the sliders, as text; empty where one was not moved. `was` is the lot the price is for."""

    bench: str = ""
    away: str = ""
    wage: str = ""
    lot: str = ""
    was: str = ""
    price: str = ""


def what_if(scenario: Scenario, plan: Plan, given: SliderTexts) -> SliderValues:
    """The sliders and the scenario they make. Raises Refused."""
    hours = scenario.hours
    bench = _hours("bench", given.bench, hours.bench)
    away = _hours("away", given.away, hours.away)
    wage = _wage(given.wage, hours.wage)
    lots = tuple(_lots(scenario, plan))
    lot = _lot(given.lot, lots)
    changed = replace(scenario, hours=replace(hours, bench=bench.value, away=away.value, wage=wage.value))
    if lot is None:
        return SliderValues(changed, bench, away, wage, None, None, lots, scenario.unit)
    today, per = _today(scenario, lot), float(kg_per(scenario.unit))
    typed = given.price if given.was in ("", "/".join(lot)) else ""
    price = _price(typed, today * per)
    if price.value != price.today:
        changed = quote_at(changed, *lot, today)(price.value / per)
    return SliderValues(changed, bench, away, wage, price, lot, lots, scenario.unit)


def _number(text: str, today: float, where: str, least: float, most: float) -> float:
    if not text.strip():
        return today
    try:
        value = float(Decimal(text.strip()))
    except ArithmeticError:
        raise Refused(shown(text), f"a number from {least:g} to {most:g}", where) from None
    if not math.isfinite(value) or not least <= value <= most:
        raise Refused(shown(text), f"a number from {least:g} to {most:g}", where)
    return value


def _slid(value: float, today: float, step: float) -> float:
    """A slider lands on its steps: as close to today's number as it comes is today's number."""
    return today if abs(value - today) <= step / 2 else value


def _hours(name: str, text: str, today: float) -> Slider:
    most = max(HOURS_MOST, HOUR_STEP * math.ceil(today / HOUR_STEP))
    value = _slid(_number(text, today, name, 0.0, 8784.0), today, HOUR_STEP)
    return Slider(name, 0.0, most, HOUR_STEP, value, today)


def _wage(text: str, today: float) -> Slider:
    most = max(50.0, 2.0 * math.ceil(today))
    value = _slid(_number(text, today, "wage", 0.0, 1e6), today, 1.0)
    return Slider("wage", 0.0, most, 1.0, value, today)


def _price(text: str, today: float) -> Slider:
    """From nothing to twice the price (what is charged, from twice that to nothing), in about a hundred round steps."""
    width = max(2.0 * abs(today), 0.2)
    step = _round_step(width / PRICE_STEPS)
    today = round(today, 4)
    least, most = (0.0, width) if today >= 0 else (-width, 0.0)
    value = _slid(_number(text, today, "price", -1e6, 1e6), today, step)
    return Slider("price", round(least, 4), round(step * math.ceil(most / step), 4), step, value, today)


def _round_step(step: float) -> float:
    power = 10.0 ** math.floor(math.log10(step))
    return next(round(r * power, 6) for r in ROUND if r * power >= step * 0.999)


def _lots(scenario: Scenario, plan: Plan) -> Iterable[tuple[str, str]]:
    """What is sold comes first, then every other quote that stands."""
    sold = [(line.buyer, line.grade) for line in sorted(plan.sales, key=lambda line: -abs(line.amount))]
    grades = {*scenario.stock, *(g for _, g in sold), *_inside(scenario)}
    quoted = [
        (b.id, q.grade)
        for b in scenario.buyers
        for q in b.quotes
        if q.grade in grades and takes(b, scenario.grades[q.grade])
    ]
    return dict.fromkeys([*sold, *quoted])


def _inside(scenario: Scenario) -> set[str]:
    """Grades that the finds may come to."""
    anatomies = [scenario.anatomies[find.kind] for find in scenario.finds]
    return {sale.grade for anatomy in anatomies for piece in anatomy.pieces for sale in piece.sells}


def _lot(text: str, lots: tuple[tuple[str, str], ...]) -> tuple[str, str] | None:
    if not text:
        return lots[0] if lots else None
    buyer, _, grade = text.partition("/")
    if (buyer, grade) not in lots:
        raise Refused(shown(text), "a buyer and a grade it quotes", "lot")
    return buyer, grade


def _today(scenario: Scenario, lot: tuple[str, str]) -> float:
    """The price a small lot is paid."""
    quotes = [q for b in scenario.buyers if b.id == lot[0] for q in b.quotes if q.grade == lot[1]]
    return min(quotes, key=lambda q: q.from_kg).price.mean
