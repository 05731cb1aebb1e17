"""What it would be worth to know one thing before the plan is carried out.

The expected value of perfect information on one input: of the plans there are to choose among, the one best by that
input in each world, less the one best without it (Raiffa and Schlaifer, "Applied Statistical Decision Theory", 1961,
ch. 4). Worlds that are alike in the input are taken together, twenty lots of them, and the choice made in one half of
the worlds is paid by the other half, so that a lucky lot is not taken for news.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partway.planning.depth.dynamic import Draws
from partway.planning.worlds.again import Again
from partway.planning.worlds.draws import Unknown

LOTS = 20  # of worlds alike in what is asked about


@dataclass(frozen=True, slots=True)
class News:
    """One thing not known: what knowing it is worth, and from which of its values on another plan is better.

    `instead` is the place of that plan among the plans; the thing is less (`above` False) or more (True) than where it
    takes over in the share `beyond` of the worlds. None where no plan takes over.
    """

    unknown: Unknown
    worth: float
    instead: int | None = None
    above: bool = True
    beyond: float = 0.0


def regret(again: Again) -> float:
    """What the best plan of each world would bring more than the decided one, on average over the worlds solved."""
    totals = again.totals[:, : again.solved]
    return float(np.mean(totals.max(axis=0) - totals[0])) if again.solved else 0.0


def news_of(again: Again) -> tuple[News, ...]:
    """What is not known and would be worth to know, the dearest first."""
    found = [worth_of_knowing(again.totals, score, name) for name, score in again.worlds.drawn.unknowns.items()]
    return tuple(sorted((one for one in found if one.worth > 0.0), key=lambda one: -one.worth))


def worth_of_knowing(totals: Draws, score: Draws, name: Unknown) -> News:
    """What it is worth to know the thing by which `score` orders the worlds; `totals` has shape (plans, n)."""
    lots = np.array_split(np.argsort(score, kind="stable"), LOTS)
    halves = [(lot[0::2], lot[1::2]) for lot in lots]
    gains = []
    for chosen, paid in ((0, 1), (1, 0)):
        choice = [int(np.argmax(totals[:, lot[chosen]].mean(axis=1))) for lot in halves]
        first = int(np.argmax(totals[:, np.concatenate([lot[chosen] for lot in halves])].mean(axis=1)))
        known = sum(float(totals[c, lot[paid]].sum()) for c, lot in zip(choice, halves, strict=True))
        blind = sum(float(totals[first, lot[paid]].sum()) for lot in halves)
        gains.append((known - blind) / sum(lot[paid].size for lot in halves))
    return _turning(totals, lots, News(name, float(np.mean(gains))))


def _turning(totals: Draws, lots: list[NDArray[np.intp]], news: News) -> News:
    """Where another plan takes over, nearest to the middle of the worlds."""
    best = [int(np.argmax(totals[:, lot].mean(axis=1))) for lot in lots]
    middle = LOTS // 2
    changed = [i for i, plan in enumerate(best) if plan != 0]
    if not changed:
        return news
    i = min(changed, key=lambda lot: abs(lot + 0.5 - middle))
    above = i >= middle
    return News(news.unknown, news.worth, best[i], above, (LOTS - i) / LOTS if above else (i + 1) / LOTS)
