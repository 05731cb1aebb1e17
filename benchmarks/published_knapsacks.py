"""Knapsacks that others published: which whole things to take along.

- Pisinger, "Where are the hard knapsack problems?", Computers and Operations Research 32, 2005: a name, `n`, `c` (the
  capacity), `z` (the optimum), `time`, then a line `number,profit,weight,taken` for each thing; many in a file.
- OR-Library (Beasley, Journal of the Operational Research Society 41, 1990), several limits: the number of problems; of
  each: things, limits and optimum (0 where unknown), the profits, what the things take, limit by limit, the limits.

A thing is a find that is loaded whole and that one yard next door pays for. Its weight is kilograms against the
payload, a second limit is litres against the load volume, a third minutes against the hours at the bench: the find is
sold only once a step that takes so long is done. A plan has no fourth limit of that sort, so most of OR-Library's are
refused by name. Weights are whole numbers, so half a one more of the limit changes nothing; a weight of 0 becomes a
thousandth.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from published_problems import DAY, Knapsack, Published, Unread

from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

LEAST = 1e-3  # in place of a weight of 0: a hundred of them are still less than what is added to each limit
MORE = 0.5  # added to each limit, half of the smallest weight
MOST_LIMITS = 3
exact = Estimate.exact


def knapsacks(path: Path, text: str) -> Iterator[Published | Unread]:
    """The instances of a file; in place of one that a plan cannot say, why. Raises Unread."""
    try:
        for name, sack in _with_commas(text) if "," in text else _in_a_row(path.stem, text.split()):
            if len(sack.limits) > MOST_LIMITS:
                yield Unread(f"{name}: {len(sack.limits)} limits: expected at most kilograms, litres and bench hours")
            elif not all(number.is_integer() for row in (sack.worth, *sack.takes) for number in map(float, row)):
                yield Unread(f"{name}: a number that is not whole: expected whole ones")
            else:
                yield Published(name, "knapsack", sack, _scenario(name, sack), float, most=True)
    except (ValueError, IndexError, KeyError) as problem:
        raise Unread(f"{path.name}: not a file of knapsacks: {problem}") from None


def _with_commas(text: str) -> Iterator[tuple[str, Knapsack]]:
    for part in text.split("-----"):
        lines = [line.strip() for line in part.splitlines() if line.strip()]
        if not lines:
            continue
        head = dict(line.split(None, 1) for line in lines[1:] if "," not in line)
        things = [[int(word) for word in line.split(",")] for line in lines[1:] if "," in line]
        if len(things) != int(head["n"]):
            raise ValueError(f"{lines[0]}: {len(things)} things: expected {head['n']}")
        worth, takes = tuple(row[1] for row in things), tuple(row[2] for row in things)
        yield lines[0].removesuffix("\n"), Knapsack(worth, (takes,), (int(head["c"]),))


def _in_a_row(stem: str, words: list[str]) -> Iterator[tuple[str, Knapsack]]:
    left = [float(word) for word in words]

    def some(count: float) -> tuple[float, ...]:
        if len(left) < count:
            raise ValueError(f"{count - len(left):g} numbers too few")
        found = tuple(left[: round(count)])
        del left[: round(count)]
        return found

    for number in range(1, round(some(1)[0]) + 1):
        things, limits, _ = some(3)
        worth = some(things)
        yield f"{stem}.{number}", Knapsack(worth, tuple(some(things) for _ in range(round(limits))), some(limits))


def _scenario(name: str, sack: Knapsack) -> Scenario:
    kilograms, litres, minutes = [*(limit + MORE for limit in sack.limits), None, None][:MOST_LIMITS]
    things = [f"t{i}" for i in range(len(sack.worth))]
    takes = [[max(float(row[i]), LEAST) for row in sack.takes] for i in range(len(things))]
    kg, dense = [row[0] for row in takes], [row[0] / row[1] if len(row) > 1 else 1.0 for row in takes]
    long = [sack.takes[2][i] if len(sack.takes) > 2 else 0 for i in range(len(things))]
    prices = tuple(Quote(t, exact(sack.worth[i] / kg[i]), DAY) for i, t in enumerate(things))
    return Scenario(
        name=name,
        currency="CAD",
        on=DAY,
        hours=Hours(0.0 if minutes is None else minutes / 60.0, 1.0, 0.0, 1),
        vehicle=Vehicle(kilograms or 0.0, litres, 0.0, whole_above_kg=0.0),
        buyers=(Buyer("yard", "yard", km=0.0, quotes=prices),),
        finds=tuple(Find(t, works="no") for t in things),
        stock={},
        grades={t: Grade(t, t, "copper", exact(dense[i])) for i, t in enumerate(things)},
        anatomies={t: _thing(t, kg[i], long[i]) for i, t in enumerate(things)},
        keep_factor=0.0,
    )


def _thing(name: str, kg: float, minutes: float) -> Anatomy:
    sold = (SaleAs(name),)
    if not minutes:
        return Anatomy(name, name, (Piece("whole", name, exact(kg), sold),))
    pieces = (Piece("whole", name, exact(kg)), Piece("inside", name, exact(kg), sold))
    step = Operation("open", "open", "whole", exact(float(minutes)), (Gives("inside"),))
    return Anatomy(name, name, pieces, (step,))
