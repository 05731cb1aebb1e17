"""Ledgers of any size for `scale.py`: so many finds over so many years, so many waiting, kinds and buyers. Invented."""

from __future__ import annotations

import datetime as dt
import math
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

import ledger
import pages

from partway.catalogue import shipped
from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built

FINDS_A_YEAR, QUOTES_A_YEAR, OTHERS_A_YEAR = ledger.FINDS // 10, ledger.QUOTES // 10, ledger.OTHERS // 10
HOME = (54.0, -3.0)
GRADES = 40
END = ledger.START + dt.timedelta(days=ledger.DAYS)
KM = 60.0  # the buyers lie in a square of this side, home in its middle
DEGREE = 111.2  # km of a degree of latitude
OWN = """[[anatomy]]
kind = "{kind}"
name = "Own thing {number}"
source = "demo"
on = 2026-03-01
works = 0.5
test_minutes = [1, 2, 4]

  [[anatomy.piece]]
  id = "whole"
  name = "Own thing {number}"
  mass_kg = [2.0, {likely:.1f}, 9.0]
  sells = [ {{ grade = "light-iron", share = 1.0 }} ]

  [[anatomy.piece]]
  id = "motor"
  name = "Motor"
  mass_kg = [0.3, 0.5, 0.8]
  sells = [ {{ grade = "motors", share = 1.0 }} ]

  [[anatomy.piece]]
  id = "rest"
  name = "The rest"
  mass_kg = "rest"
  sells = [ {{ grade = "light-iron", share = 1.0 }} ]

  [[anatomy.operation]]
  id = "motor-out"
  name = "Take the motor out"
  on = "whole"
  minutes = [3, 6, 12]
  gives = [ {{ piece = "motor" }}, {{ piece = "rest" }} ]
"""


@dataclass(frozen=True)
class Town:
    """`years` of one scrapper who brings in 2,000 finds a year, with so many `waiting`, of so many kinds, for so many
    buyers.
    """

    years: float = 1.0
    waiting: int = 200
    kinds: int = 159
    buyers: int = 12

    @property
    def finds(self) -> int:
        """All that were ever brought in."""
        return max(self.waiting, round(FINDS_A_YEAR * self.years))

    @property
    def name(self) -> str:
        return f"years {self.years:.3g}, waiting {self.waiting}, kinds {self.kinds}, buyers {self.buyers}"


def events(town: Town) -> list[Event]:
    """The town's ledger, spread evenly over its years; it ends on the day on which all the others end."""
    what = list(payloads(town))
    first, span = END - dt.timedelta(days=365 * town.years), dt.timedelta(days=365 * town.years) / len(what)
    return [_event(n, first + n * span, one) for n, one in enumerate(what)]


def _event(number: int, when: dt.datetime, what: p.Payload) -> Event:
    when = when.replace(microsecond=0)
    return Event(built(int(when.timestamp() * 1000), number), "me", when, when, what)


def usual_grades() -> list[str]:
    """The grades that pieces of the catalogue are sold as most often."""
    sold = Counter(s.grade for kind in shipped().kinds for p in shipped().anatomy(kind).pieces for s in p.sells)
    return [grade for grade, _ in sold.most_common(GRADES + 1) if grade != "residue"][:GRADES]


def payloads(town: Town) -> Iterator[p.Payload]:
    """What happened, in an order in which it could have: found before opened, all else in between."""
    draw = random.Random(5)
    yield from (p.Set(name, value) for name, value in pages.SETTINGS.items())
    yield p.Set("home", f"{HOME[0]}, {HOME[1]}")
    yield from (_buyer(draw, n) for n in range(town.buyers))
    ledger.GRADES[:] = grades = usual_grades()
    ledger.BUYERS[:] = [f"buyer-{n}" for n in range(town.buyers)]
    yield from (p.Binned(f"bin-{grade}", grade) for grade in grades)
    own = [f"own-{n}" for n in range(max(0, town.kinds - len(shipped().kinds)))]
    yield from (
        p.Described(kind, OWN.format(kind=kind, number=n, likely=3 + n % 40 / 10)) for n, kind in enumerate(own)
    )
    yield from _work(draw, town, (*list(shipped().kinds)[: town.kinds], *own))


def _buyer(draw: random.Random, number: int) -> p.Traded:
    north, east = (draw.uniform(-KM / 2, KM / 2) for _ in range(2))
    place = HOME[0] + north / DEGREE, HOME[1] + east / DEGREE / math.cos(math.radians(HOME[0]))
    at = (Decimal(f"{place[0]:.4f}"), Decimal(f"{place[1]:.4f}"))
    return p.Traded(f"buyer-{number}", "yard", f"Yard {number}", at=at, minutes=20)


def _work(draw: random.Random, town: Town, kinds: tuple[str, ...]) -> Iterator[p.Payload]:
    """Finds come in; all but the last ones are opened, and one opening in nine is followed by a ticket."""
    quotes = round(QUOTES_A_YEAR * town.years * town.buyers / 12)
    others: list[p.Payload] = [ledger.quote(draw) for _ in range(quotes)]
    others += [p.Worked("bench", draw.randrange(5, 200)) for _ in range(round(OTHERS_A_YEAR * town.years))]
    draw.shuffle(others)
    held, opened = Counter[str](), town.finds - town.waiting
    for number in range(town.finds):
        yield pages.found(draw, f"f{number}", kinds, weighed=number < opened or draw.random() < 0.5)
        if number >= town.waiting:
            yield from _opened(draw, number - town.waiting, held)
        yield from others[number * len(others) // town.finds : (number + 1) * len(others) // town.finds]


def _opened(draw: random.Random, number: int, held: Counter[str]) -> Iterator[p.Payload]:
    one = ledger.opened(draw, number)
    held.update({piece.grade: piece.mass_mg for piece in one.pieces})
    yield one
    if number % 9 == 8:
        ticket = ledger.ticket(draw, number // 9, held)
        yield ticket
        yield p.Paid(ticket.buyer, ticket.total, ticket.ticket)
        if number % 2 == 0:
            yield p.Hauled(f"h{number // 9}", "finished", (ticket.buyer,), Decimal(31), 90)
