"""The verdict on one kind at the curb, and what it hangs on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partway.things.scenario import Works
from partway.valuing.finds.curb import Lifted, World, shut_piece, tested_first
from partway.valuing.finds.facts import CENT, FlipPrice

FAR = 3.0  # times today: a price that far away is no hinge
PAST = 0.01  # share of a price by which to step over where it turns

Verdict = Literal["take", "if-works", "leave", "depot", "unknown"]


@dataclass(frozen=True, slots=True)
class Hinge:
    """What the verdict hangs on, and what it `becomes`.

    works: `if_works` and `if_not` say what each is worth. price: the best quote of a grade per kg, `today` and where
    the verdict turns (`flip`); `includes_postage` where the best buyer is a mail-in whose postage is paid out of it.
    sale: a part that is sold with a `chance`.
    """

    what: Literal["works", "price", "sale"]
    becomes: Verdict | None = None
    grade: str = ""
    name: str = ""
    today: float | None = None
    flip: float | None = None
    includes_postage: bool = False
    chance: float | None = None


def verdict(works: Works, if_works: float | None, if_not: float | None, *, whole: bool) -> Verdict:
    """What to do, by the worth of each state with all hours paid (None: nothing in it is quoted).

    `whole` marks what has to stay shut: it is never lifted on the hope that it works, and never just left for want of
    a quote.
    """
    sure = if_works if works == "yes" else if_not
    if sure is not None and sure > CENT:
        return "take"
    if whole:
        return "depot"
    if works == "unknown" and if_works is not None and if_works > CENT:
        return "if-works"
    return "unknown" if sure is None else "leave"


def judged(works: Works, if_works: Lifted, if_not: Lifted) -> tuple[Verdict, World | None]:
    """The verdict, and the figures of the state it speaks of; None where nothing in it is quoted.

    An unknown find that is taken anyway is tested first where that pays.
    """
    whole = _goes_whole(if_not)
    if not if_not.quoted and not if_works.quoted:
        return verdict(works, None, None, whole=whole), None
    said = verdict(works, if_works.net, if_not.net, whole=whole)
    if works == "yes" or said == "if-works":
        return said, if_works.world()
    first = tested_first(if_works, if_not) if works == "unknown" and said == "take" else None
    return said, first or if_not.world()


def hinges(said: Verdict, works: Works, if_works: Lifted, if_not: Lifted) -> tuple[Hinge, ...]:
    """What a verdict hangs on: the condition, a sale by the unit, a price."""
    found = []
    if works == "unknown":
        other = verdict("yes", if_works.net, if_not.net, whole=_goes_whole(if_not))
        if other != said:
            found.append(Hinge("works", becomes=other))
    here = if_works if works == "yes" or said == "if-works" else if_not
    return (*found, *_sale(here), *_price(said, works, here, (if_works, if_not)))


def _goes_whole(lifted: Lifted) -> bool:
    return shut_piece(lifted.anatomy) is not None


def _sale(here: Lifted) -> list[Hinge]:
    """A find that is sold whole by the unit hangs on somebody wanting it."""
    option = here.find.values.best(here.root)
    if option.sort != "part":
        return []
    sale = here.find.instance.part_sales[option.number]
    return [Hinge("sale", name=sale.part.name or here.anatomy.name, chance=sale.chance)]


def _price(said: Verdict, works: Works, here: Lifted, both: tuple[Lifted, Lifted]) -> list[Hinge]:
    """The best quote of the grade that brings most, where it turns the verdict over and is not far off."""
    find = here.find
    flip = find.breakevens.worth(here.root, here.carrying)
    if flip is None or flip.flip is None or flip.flip > FAR * flip.today:
        return []
    past = flip.flip * (1.0 + PAST if flip.flip > flip.today else 1.0 - PAST)
    nets = [world.net_at(flip.grade, past) for world in both]
    becomes = verdict(works, *nets, whole=_goes_whole(here))
    if becomes == said:
        return []
    name, shown = find.instance.scenario.grades[flip.grade].name, FlipPrice.of(flip)
    return [Hinge("price", becomes, flip.grade, name, shown.today, shown.flip, shown.includes_postage)]
