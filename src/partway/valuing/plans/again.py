"""How good a plan stays in other worlds, in figures that a person can read."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from partway.planning.check.verify import Checked
from partway.planning.depth.dynamic import Draws
from partway.planning.instance.frozen import Instance
from partway.planning.worlds.again import Again, OnWorld, plan_again
from partway.planning.worlds.news import News, news_of, regret
from partway.valuing.plans.facts import FindOut, PlannedAgain

CALL = 3.0  # minutes to ask for one price (common practice, no source)
WEIGH = 2.0  # minutes to put one thing on the scale (common practice, no source)


def planned_again(
    instance: Instance, checked: Checked, seconds: float, on_world: OnWorld | None = None
) -> tuple[PlannedAgain, tuple[FindOut, ...]]:
    """The plan made again in other worlds, in about `seconds`; and what could be found out of prices and masses."""
    again = plan_again(instance, checked, seconds, on_world=on_world)
    found = tuple(_found(again, one) for one in news_of(again))
    return PlannedAgain(again.solved, again.same_trip, regret(again)), found


def _found(again: Again, news: News) -> FindOut:
    """One thing to find out, by ids, in kg and currency per kg."""
    sort, *of = news.unknown
    today, drawn = _price(again, *of) if sort == "price" else _mass(again, *of)
    found = FindOut(
        "mass",
        news.worth,
        WEIGH,
        today=today,
        turns=_turns(news, drawn),
        above=news.above,
        chance=news.beyond,
        instead=again.plans[news.instead].stops if news.instead is not None else (),
    )
    if sort == "mass":
        return replace(found, kind=of[0])
    buyer, grade = of
    return replace(found, sort="price", minutes=CALL, buyer=buyer, grade=grade)


def _turns(news: News, drawn: Draws) -> float | None:
    """Where another plan takes over."""
    if news.instead is None:
        return None
    return float(np.quantile(drawn, 1.0 - news.beyond if news.above else news.beyond))


def _price(again: Again, buyer: str, grade: str) -> tuple[float, Draws]:
    """What the buyer's smallest lot is paid."""
    quotes = (q for b in again.worlds.instance.buyers if b.id == buyer for q in b.quotes if q.grade == grade)
    quote = min(quotes, key=lambda quote: quote.least_kg)
    return quote.price.mean, again.worlds.drawn.prices[buyer, grade, quote.least_kg]


def _mass(again: Again, kind: str) -> tuple[float, Draws]:
    instance = again.worlds.instance
    groups = [instance.groups[node.group].find for node in instance.nodes]
    n = next(
        n for n, find in enumerate(groups) if instance.nodes[n].found and find.kind == kind and find.mass_kg is None
    )
    kg = instance.nodes[n].kg
    return kg, kg * again.worlds.drawn.sizes[n]
