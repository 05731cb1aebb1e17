"""Acts with the names of what they are about, and what is said of each in one line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from partway.catalogue import Catalogue
from partway.catalogue.cards import card
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.fold.standing import BinNow, FindNow
from partway.things.buyers import buyer_name
from partway.things.scenario import Scenario
from partway.things.traits import said_kind
from partway.valuing.acts.act import Act, Sort
from partway.valuing.acts.danger import YEAR
from partway.valuing.known import estimates_of

FEW_HAZARDS = 2  # named in a line
OF_KIND = ("open", "hazard-find")  # acts about a find, which is called by its kind


@dataclass(frozen=True, slots=True)
class ActLine:
    """An act. `name` is that of the find, bin or haul it is about, `of_name` of the grade, `hazards` what can hurt."""

    act: Act
    urgency: str
    name: str
    of_name: str
    buyer: str
    hazards: tuple[str, ...]


@dataclass(frozen=True)
class ActNames:
    """Names of what acts speak of by id."""

    known: Catalogue
    prices: Scenario
    finds: Mapping[str, FindNow]
    bins: Mapping[str, str]
    buyers: Mapping[str, str]

    @classmethod
    def of(cls, book: Book, prices: Scenario, finds: Mapping[str, FindNow], bins: Mapping[str, BinNow]) -> ActNames:
        """Those of a book."""
        grades = prices.grades
        called = {
            one.id: one.name or (grades[one.grade].name if one.grade in grades else one.id) for one in bins.values()
        }
        buyers = {one: buyer_name(one, terms.name) for one, terms in trading.buyers(book).items()}
        return cls(estimates_of(book), prices, finds, called, buyers)

    def line(self, act: Act) -> ActLine:
        """An act with its names."""
        grades = self.prices.grades
        return ActLine(
            act,
            act.urgency,
            self._subject(act),
            grades[act.of].name if act.of in grades else "",
            self.buyers.get(act.buyer, act.buyer),
            tuple(card(self.prices.cautions, hazard).name for hazard in act.hazards),
        )

    def _subject(self, act: Act) -> str:
        if act.sort in OF_KIND:
            find = self.finds.get(act.subject)
            kind = act.of or (find.kind if find else "")
            return self.known.anatomy(kind).name if self.known.knows(kind) else said_kind(kind)
        return self.bins.get(act.subject, "") if act.sort in ("hazard-bin", "full") else ""


# What to do, and why, by the sort of an act; the fields are those of ActWords._fields.
WORDS: dict[Sort, tuple[str, str]] = {
    "hazard-bin": ("Take away what can burn or leak: {name}", "{hazards}, {with_others}{days}"),
    "hazard-find": ("Make safe: {name}", "{hazards}, {with_others}{days}"),
    "settle": ("Settle what cannot all be true", "{count} that disagree; their figures are in doubt until then"),
    "haul": ("End the haul that is still running", "Started {days} ago"),
    "round": ("End the round that is still running", "Started {days} ago"),
    "full": ("Empty a bin: {name}", "{share} full{others}"),
    "unpaid": ("Ask {buyer} for your money", "{worth} open on {tickets}{oldest}{days}"),
    "open": ("{way}", "{worth} in {minutes}{others}"),
    "call": ("Call {buyer} about {of}", "Its price is {days} old: worth {worth} to know"),
    "takes": ("Call {buyer} about {of}", "Nobody quotes it: worth {worth} to ask"),
    "go": ("Drive to {buyer} today", "What is in the bins brings {worth}, the drive paid, in {minutes}"),
    "wait": ("Wait with the load for {buyer}", "It pays on {by}: {worth} then, the drive paid"),
}
OPEN = {"test": "Test the {}", "part": "Sell the {} whole", "grade": "Put the {} in its bin"}


@dataclass(frozen=True)
class ActWords:
    """How acts are said: `money` and `minutes` as a page or a command writes them, `day` an ISO day by its name."""

    money: Callable[[float], str]
    minutes: Callable[[float], str]
    day: Callable[[str], str]

    def title(self, line: ActLine) -> str:
        """What to do, in a few words."""
        return WORDS[line.act.sort][0].format_map(self._fields(line))

    def why(self, line: ActLine) -> str:
        """Why, in one line."""
        return WORDS[line.act.sort][1].format_map(self._fields(line))

    def _fields(self, line: ActLine) -> dict[str, str]:
        act, more = line.act, line.act.count - 1
        return {
            "name": line.name.lower() if act.sort in OF_KIND else line.name,
            "of": line.of_name.lower(),
            "buyer": line.buyer,
            "way": OPEN.get(act.way, "Open the {}").format(line.name.lower()),
            "tickets": f"{act.count} tickets" if more else "a ticket",
            "oldest": ", the oldest for " if more else " for ",
            "hazards": _few(line.hazards),
            "count": str(act.count),
            "others": f"; {more} more like it" if more else "",
            "with_others": f"{more} more with it, the longest for " if more else "for ",
            "worth": self.money(act.worth or 0.0),
            "minutes": self.minutes(act.minutes or 0.0),
            "days": f"{act.days} day{'' if act.days == 1 else 's'}" if act.days != YEAR else "a year or more",
            "share": f"{act.share or 0.0:.0%}",
            "by": self.day(act.by) if act.by else "",
        }


def _few(hazards: tuple[str, ...]) -> str:
    names = [name.lower() for name in hazards]
    left = len(names[FEW_HAZARDS:])
    more = f" and {left} more" if left else ""
    return f"{', '.join(names[:FEW_HAZARDS]).capitalize()}{more}"
