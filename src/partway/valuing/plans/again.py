"""How good a plan stays in other worlds, in figures that a person can read."""

from __future__ import annotations

import numpy as np

from partway.planning.check.verify import Checked
from partway.planning.depth.dynamic import Draws
from partway.planning.instance.frozen import Instance
from partway.planning.worlds.again import Again, OnWorld, plan_again
from partway.planning.worlds.news import News, news_of, regret
from partway.valuing.plans.facts import NewsLine, PlannedAgain

CENT = 0.005
MOST_NEWS = 12


def planned_again(
    instance: Instance, checked: Checked, seconds: float, on_world: OnWorld | None = None
) -> PlannedAgain:
    """The plan made again in other worlds, in about `seconds`."""
    again = plan_again(instance, checked, seconds, on_world=on_world)
    news = tuple(news_line(again, one) for one in news_of(again)[:MOST_NEWS] if one.worth >= CENT)
    return PlannedAgain(again.solved, again.same_trip, regret(again), news)


def news_line(again: Again, news: News) -> NewsLine:
    """One thing to find out, by ids, in kg and currency per kg."""
    sort, *of = news.unknown
    instead = again.plans[news.instead].stops if news.instead is not None else ()
    if sort == "price":
        buyer, grade = of
        today, drawn = _price(again, buyer, grade)
        turns = _turns(news, drawn)
        return NewsLine("price", news.worth, today, turns, news.above, news.beyond, instead, buyer=buyer, grade=grade)
    today, drawn = _mass(again, of[0])
    return NewsLine("mass", news.worth, today, _turns(news, drawn), news.above, news.beyond, instead, kind=of[0])


def _turns(news: News, drawn: Draws) -> float | None:
    """Where another plan takes over."""
    if news.instead is None:
        return None
    return float(np.quantile(drawn, 1.0 - news.beyond if news.above else news.beyond))


def _price(again: Again, buyer: str, grade: str) -> tuple[float, Draws]:
    """What the buyer's smallest lot is paid."""
    quotes = (q for b in again.worlds.instance.buyers if b.id == buyer for q in b.quotes if q.grade == grade)
    quote = min(quotes, key=lambda quote: quote.least_kg)
    drawn = again.worlds.drawn.prices[buyer, grade, quote.least_kg]
    return quote.price.mean, drawn


def _mass(again: Again, kind: str) -> tuple[float, Draws]:
    instance = again.worlds.instance
    n = next(
        n
        for n, node in enumerate(instance.nodes)
        if node.found
        and instance.groups[node.group].find.kind == kind
        and instance.groups[node.group].find.mass_kg is None
    )
    kg = instance.nodes[n].kg
    return kg, kg * again.worlds.drawn.sizes[n]
