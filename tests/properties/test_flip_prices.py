"""Flip prices of plan lines, held against trying everything at other prices (tests/brute.py, tests/tiny.py).

A line's lead at a price is what the best plan is worth above the best plan without the line. It has to be above
nothing from today's price to the flip price, and nothing just beyond it. Prices are moved here by code of this file,
as the report says they are: one buyer's quotes for a grade by the same amount, all quotes for a grade in proportion,
or one part's price.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest
from brute import Search
from brute_pieces import Barred, TooLarge, after_share
from planned import defended
from tiny import scenario
from tiny_fees import with_fees

from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import OpenLine, PartLine, SaleLine, Why
from partway.things.estimate import Estimate
from partway.things.scenario import Scenario

SEEDS = range(330)  # one block more than LINES need: of lines worth the same a plan may show another one
BLOCK = 30
LINES = 300
MOST_PROGRAMMES, MOST_ENDS = 2, 100  # of trying everything at today's prices: larger ones are left out for time
SAME = 1e-6  # share of the objective: two plans this close are worth the same
BESIDE = 2e-3  # share of the price: how far on today's side of a flip the lead is looked at
BEYOND = 1e-4  # share of the price: how far beyond it
ON_THE_WAY = (0.6,)  # of the way from today to the flip
SCAN = tuple(k / 8 for k in range(1, 8))  # the same for the lines of the first block

Line = OpenLine | PartLine | SaleLine


@dataclass(frozen=True)
class Asked:
    """One line, its price today, and the scenario with that price moved."""

    line: Line
    why: Why
    today: float
    at: Callable[[float], Scenario]
    barred: Barred

    def lead(self, price: float) -> float:
        """What the best plan is worth above the best without the line, as a share of the objective."""
        search = Search(self.at(price))
        best = search.best()
        return (best.total - search.without(best, self.barred).total) / max(1.0, abs(best.total))


def moved(price: Estimate, by: float) -> Estimate:
    """All three points further."""
    return Estimate(price.low + by, price.likely + by, price.high + by)


def quotes_moved(it: Scenario, grade: str, buyer: str | None, change: Callable[[Estimate], Estimate]) -> Scenario:
    """The scenario with the quotes of a grade changed, at one buyer or at all."""
    buyers = []
    for b in it.buyers:
        mine = buyer in (None, b.id)
        quotes = (replace(q, price=change(q.price)) if mine and q.grade == grade else q for q in b.quotes)
        buyers.append(replace(b, quotes=tuple(quotes)))
    return replace(it, buyers=tuple(buyers))


def part_moved(it: Scenario, line: PartLine, factor: float) -> Scenario:
    """The scenario with the only part of a piece asked for at another price."""
    anatomy = it.anatomies[line.kind]
    pieces = tuple(
        replace(p, parts=tuple(replace(part, price=part.price.scaled(factor)) for part in p.parts))
        if p.id == line.piece
        else p
        for p in anatomy.pieces
    )
    return replace(it, anatomies={**it.anatomies, line.kind: replace(anatomy, pieces=pieces)})


def asked(it: Scenario, report: Plan, line: Line) -> Asked | None:
    """A line as a question; None where no price carries it."""
    why = line.why
    assert why is not None
    if isinstance(line, SaleLine):
        buyer, grade, today = line.buyer, line.grade, line.price_per_kg
        barred = Barred(lot=(buyer, grade))
        return Asked(line, why, today, lambda p: quotes_moved(it, grade, buyer, lambda e: moved(e, p - today)), barred)
    if isinstance(line, PartLine):
        price = line.price
        barred = Barred(part=(line.kind, line.piece, line.name))
        return Asked(line, why, price, lambda p: part_moved(it, line, p / price), barred)
    barred = Barred(opening=(line.kind, line.works, line.mass_kg, line.piece, line.operation))
    carried = why.flip_grade
    if carried is None:
        return None
    lots = [sale for sale in report.sales if sale.grade == carried]
    paid = max(lots, key=lambda sale: sale.mass_kg).price_per_kg if lots else best_quote(it, carried)
    return Asked(line, why, paid, lambda p: quotes_moved(it, carried, None, lambda e: e.scaled(p / paid)), barred)


def best_quote(it: Scenario, grade: str) -> float:
    """The mean of the quote that is best with the cheapest postage of a full parcel off."""
    nets = [
        (after_share(b, q.price.mean) - min((p.cost / p.up_to_kg for p in b.shipping), default=0.0), q.price.mean)
        for b in it.buyers
        for q in b.quotes
        if q.grade == grade and not {grade, it.grades[grade].family, *it.grades[grade].hazards} & set(b.refuses)
    ]
    return max(nets)[1]


def small(it: Scenario) -> bool:
    """Whether trying everything is quick enough to do it at a dozen prices a line."""
    try:
        search = Search(it)
        return len(search.ends) <= MOST_ENDS and search.best().programmes <= MOST_PROGRAMMES
    except TooLarge:
        return False


@cache
def questions(first: int, drawn: Callable[[int], Scenario] = scenario) -> tuple[Asked, ...]:
    """The lines of a block of scenarios that are small enough to try everything."""
    found = []
    for seed in range(first, first + BLOCK):
        it = drawn(seed)
        if not small(it):
            continue
        report = defended(it)
        lines: list[Line] = [*report.open, *report.parts, *report.sales]
        found += [question for line in lines if (question := asked(it, report, line)) is not None]
    return tuple(found)


def wrong(question: Asked, on_the_way: tuple[float, ...] = ON_THE_WAY, least: float = 0.0) -> str:
    """What is wrong with the flip price of a line, if anything is; `least` of today's price is the lowest looked at."""
    why, today = question.why, question.today
    flip = why.flip_price
    if flip is None:
        leads = [question.lead(x) for x in (today * np.array([least, 10.0]) if today > 0.0 else [])]
        return "" if all(lead > SAME for lead in leads) else f"no flip price, and leads of {leads}"
    if flip == today:
        return "" if question.lead(today) <= 10.0 * SAME else "no lead today"
    size, way = max(abs(today), abs(flip)), 1.0 if flip > today else -1.0
    beyond = flip + way * BEYOND * size
    if abs(question.lead(beyond if beyond > 0.0 or today <= 0.0 else least * today)) > SAME:
        return f"the line still leads beyond {flip}"
    between = [today + (flip - today) * share for share in on_the_way]
    other_side = [x for share in on_the_way[1::2] if 0.0 < (x := today - (flip - today) * share) < 10.0 * today]
    beside = [flip - way * BESIDE * size] if abs(flip - today) > BESIDE * size else []
    for x in (*between, *other_side):
        if question.lead(x) <= 0.0:
            return f"no lead at {x}, nearer than {flip}"
    return "" if all(question.lead(x) > 0.0 for x in beside) else f"no lead just beside {flip}"


@pytest.mark.parametrize("first", range(0, len(SEEDS), BLOCK))
def test_between_today_and_the_flip_price_the_line_leads_and_beyond_it_does_not(first: int) -> None:
    found = questions(first)
    assert all(question.why.exact for question in found)
    on_the_way = SCAN if first == 0 else ON_THE_WAY
    bad = [(question.line, answer) for question in found if (answer := wrong(question, on_the_way))]
    assert not bad


def test_lines_of_every_sort_were_asked_about() -> None:
    found = [question for first in range(0, len(SEEDS), BLOCK) for question in questions(first)]
    sorts = [sum(isinstance(question.line, sort) for question in found) for sort in (SaleLine, OpenLine, PartLine)]
    turned = [question for question in found if question.why.flip_price is not None]
    assert len(found) >= LINES
    assert min(sorts) >= 30
    assert len(turned) >= LINES / 2
    assert any((question.why.flip_price or 0.0) > question.today > 0.0 for question in turned)


def test_the_same_where_buyers_keep_back_fees_of_their_tickets() -> None:
    """Prices are what buyers quote, before fees. At nothing at all there would be no ticket, and no flat fee."""
    found = questions(0, with_fees)
    assert len(found) >= 15
    bad = [(question.line, answer) for question in found if (answer := wrong(question, ON_THE_WAY, 1e-6))]
    assert not bad
