"""How likely one more unit of a part sells where others are on offer before it."""

from __future__ import annotations

from collections.abc import Iterator

from partway.formulas.resale.demand import nth_sells
from partway.things.anatomy import Anatomy, Part
from partway.things.scenario import Find, Scenario, Works

MOST = 12  # of one part are put on offer side by side
LEAST = 0.01  # a unit that is less likely to sell is not put on offer


def ahead(scenario: Scenario, anatomy: Anatomy, piece: str, part: Part) -> int | None:
    """How many of a part are on offer already; None where the scenario does not say, and all sell alike.

    What is certain to sell, or never does, sells alike however many there are.
    """
    finds = [find for find in scenario.finds if find.listed and find.kind == anatomy.kind]
    whole = sum(find.listed for find in finds if anatomy.whole.id == piece and offered_as(anatomy, find.works) == part)
    said = scenario.listed.get((anatomy.kind, piece, part.name))
    if not 0.0 < part.chance < 1.0 or (said is None and not whole):
        return None
    return (said or 0) + whole


def steps(part: Part, before: int | None, most: int) -> Iterator[tuple[int | None, float]]:
    """The units that a plan may add, each with its chance; one step for all of them where all sell alike."""
    if before is None:
        yield None, part.chance
        return
    for step in range(min(most, max(0, MOST - before))):
        chance = nth_sells(before + step + 1, part.chance)
        if chance < LEAST:
            return
        yield step, chance


def offered_as(anatomy: Anatomy, works: Works) -> Part | None:
    """By which part a find is on offer whole: that which brings most, of those that go with its condition."""
    fit = [part for part in anatomy.whole.parts if part.needs != "works" or works == "yes"]
    return max(fit, key=lambda part: (part.needs == "works", part.brings), default=None)


def ranked(find: Find, first: int, part: Part | None) -> Iterator[tuple[int, int]]:
    """Finds on offer by their rank among those of their kind, and how many: ranks that hardly sell are one."""
    for n in range(find.listed):
        rank = first + n
        if part is None or nth_sells(rank, part.chance) < LEAST:
            yield rank, find.listed - n
            return
        yield rank, 1
