"""The verdict on one kind at the curb, and what it hangs on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partway.things.scenario import Works
from partway.valuing.finds.curb import Lifted, World, shut_piece
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


@dataclass(frozen=True, slots=True)
class Outlook:
    """A find as it is known to be (`here`), and as it is if it works and if it does not."""

    works: Works
    here: Lifted
    if_works: Lifted
    if_not: Lifted

    @property
    def quoted(self) -> bool:
        """Whether anybody quotes anything in it."""
        return self.here.quoted or self.if_works.quoted

    @property
    def sure(self) -> Lifted:
        """The state that a verdict may count on: what has to stay shut is not lifted on the hope that it works."""
        return self.if_not if self.works == "unknown" and _goes_whole(self.here) else self.here

    @property
    def odds(self) -> bool:
        """Whether it is known how likely it is to work, where nobody knows if it does."""
        return self.works == "unknown" and self.here.test is not None


def verdict(nets: tuple[float, float], works: Works, *, odds: bool, whole: bool) -> Verdict:
    """What to do, by what is left with all hours paid: as it is known to be, and if it works.

    `odds`: what it brings counts how likely it is to work. `whole` marks what has to stay shut: it is never just left
    for want of a quote.
    """
    here, if_works = nets
    if here > CENT:
        return "take"
    if whole:
        return "depot"
    return "if-works" if works == "unknown" and not odds and if_works > CENT else "leave"


def judged(it: Outlook) -> tuple[Verdict, World | None]:
    """The verdict, and the figures of the state it speaks of; None where nothing in it is quoted.

    An unknown find is lifted where its odds of working, less the test and the carrying, pay.
    """
    whole = _goes_whole(it.here)
    if not it.quoted:
        return "depot" if whole else "unknown", None
    said = verdict((it.sure.net, it.if_works.net), it.works, odds=it.odds, whole=whole)
    return said, (it.if_works if said == "if-works" else it.sure).world()


def hinges(said: Verdict, it: Outlook) -> tuple[Hinge, ...]:
    """What a verdict hangs on: the condition, a sale by the unit, a price."""
    found = []
    if it.works == "unknown":
        other = verdict((it.if_works.net, it.if_works.net), "yes", odds=False, whole=_goes_whole(it.here))
        if other != said:
            found.append(Hinge("works", becomes=other))
    here = it.if_works if said == "if-works" else it.sure
    return (*found, *_sale(here), *_price(said, it, here))


def _goes_whole(lifted: Lifted) -> bool:
    return shut_piece(lifted.anatomy) is not None


def _sale(here: Lifted) -> list[Hinge]:
    """A find that is sold whole by the unit hangs on somebody wanting it."""
    option = here.find.values.best(here.root)
    if option.sort != "part":
        return []
    sale = here.find.instance.part_sales[option.number]
    return [Hinge("sale", name=sale.part.name or here.anatomy.name, chance=sale.chance)]


def _price(said: Verdict, it: Outlook, here: Lifted) -> list[Hinge]:
    """The best quote of the grade that brings most, where it turns the verdict over and is not far off."""
    find = here.find
    flip = find.breakevens.worth(here.root, here.carrying)
    if flip is None or flip.flip is None or flip.flip > FAR * flip.today:
        return []
    past = flip.flip * (1.0 + PAST if flip.flip > flip.today else 1.0 - PAST)
    nets = (it.sure.net_at(flip.grade, past), it.if_works.net_at(flip.grade, past))
    becomes = verdict(nets, it.works, odds=it.odds, whole=_goes_whole(here))
    if becomes == said:
        return []
    name, shown = find.instance.scenario.grades[flip.grade].name, FlipPrice.of(flip)
    return [Hinge("price", becomes, flip.grade, name, shown.today, shown.flip, shown.includes_postage)]
