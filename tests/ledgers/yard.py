"""A scrapper's days at random, with a model of their own of what lies where.

`Yard` keeps masses and money in plain numbers and shares no code with what derives them from events, so the two can
be held against each other. Choices come from a Chooser: Hypothesis (strategies.py) or a seeded generator.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from functools import cache
from random import Random
from typing import Protocol, TypeVar
from uuid import UUID

from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built

T = TypeVar("T")
START = dt.datetime(2026, 3, 1, 8, tzinfo=dt.UTC)
START_MS = 1_772_352_000_000  # START
ANSWERS = ("red", "white")  # to the question about the first piece of an opening
KINDS = ("fan", "bread-machine", "desktop-pc")
GRADES = ("copper-2", "light-iron", "motors")
BUYERS = ("harbour", "ridge", "depot")
BINS = ("drum", "crate", "bucket", "shelf")


class Chooser(Protocol):
    """Where the choices come from."""

    def whole(self, least: int, most: int) -> int:
        """A whole number, both ends included."""
        ...

    def pick(self, among: Sequence[T]) -> T:
        """One of several."""
        ...


class Seeded:
    """Choices of a seeded generator."""

    def __init__(self, seed: int) -> None:
        self._random = Random(seed)

    def whole(self, least: int, most: int) -> int:
        return self._random.randint(least, most)

    def pick(self, among: Sequence[T]) -> T:
        return self._random.choice(among)


@dataclass
class Yard:
    """What happened so far, and what the model says lies where. Masses in mg, grades by bin and buyer."""

    choose: Chooser
    events: list[Event] = field(default_factory=list)
    finds: dict[str, int | None] = field(default_factory=dict)  # open ones; None: never weighed
    bins: dict[tuple[str, str], int] = field(default_factory=dict)  # may be short
    sold: dict[tuple[str, str], int] = field(default_factory=dict)
    people: int = 0
    residue: int = 0
    lost: int = 0
    brought: int = 0
    money: dict[str, Fraction] = field(default_factory=dict)
    minutes: dict[str, int] = field(default_factory=dict)
    hauls: int = 0
    offers: list[str] = field(default_factory=list)
    sales: list[Event] = field(default_factory=list)

    def step(self) -> None:
        """One thing more happens."""
        steps = [self.found, self.found, self.recounted, self.traded, self.quoted, self.ticketed, self.ticketed]
        steps += [self.moved, self.paid, self.spent, self.worked, self.hauled, self.settled, self.binned]
        steps += [self.identified, self.ruled, self.described, self.round, self.noted, self.pictured]
        if self.finds:
            steps += [self.listed]
            steps += [self.tested, self.weighed, self.opened, self.opened, self.opened, self.parted, self.discarded]
        if self.offers:
            steps += [self.repriced, self.taken_down]
        if self.sales:
            steps += [self.returned]
        self.choose.pick(steps)()

    def says(self, what: p.Payload) -> Event:
        """Types something in: ids in the order of typing, things having happened in any order."""
        number = len(self.events)
        typed = START + dt.timedelta(minutes=number)
        happened = START + dt.timedelta(minutes=self.choose.whole(0, 3) * 20)
        event_id = built(START_MS + 60_000 * number, self.choose.whole(0, 2**20))
        event = Event(event_id, self.choose.pick(("me", "mate")), happened, typed, what)
        self.events.append(event)
        return event

    def corrected(self, target: UUID | None = None) -> None:
        """An event is taken back; the model does not follow, so masses are no longer its own."""
        self.says(p.Corrected(target or self.choose.pick(self.events).id, "slip of the thumb"))

    # --- finds ---

    def found(self) -> None:
        name = f"f{len(self.events)}"
        mass = self.choose.whole(1, 9_000_000) if self.choose.whole(0, 2) else None
        self.finds[name] = mass
        self.brought += mass or 0
        count = self.choose.whole(1, 3)
        self.says(
            p.Found(name, self.choose.pick(KINDS), count, self.choose.pick(("yes", "no", "unknown")), mass, "curb")
        )

    def tested(self) -> None:
        self.says(p.Tested(self._find(), self.choose.pick(("yes", "no"))))

    def weighed(self) -> None:
        name, mass = self._find(), self.choose.whole(0, 9_000_000)
        was = self.finds[name] or 0
        self.finds[name] = mass
        self.brought += mass - was
        self.says(p.Weighed(name, mass, was))

    def opened(self) -> None:
        name, most = self._find(), 2_000_000
        was = self.finds[name] or 0
        pieces = []
        for number in range(self.choose.whole(0, 3)):
            place, grade, mass = self.choose.pick(BINS), self.choose.pick(GRADES), self.choose.whole(0, most)
            pieces.append(p.PieceOut(f"piece{number}", self.choose.whole(1, 4), grade, place, mass))
            self._bin(place, grade, mass)
        residue, loss = self.choose.whole(0, 500_000), self.choose.whole(0, 50_000)
        minutes, closes = self.choose.whole(0, 90), self.choose.whole(0, 2) > 0
        self.residue, self.lost = self.residue + residue, self.lost + loss
        self._gives(name, was, sum(piece.mass_mg for piece in pieces) + residue + loss, closes)
        self._spend("bench", minutes)
        runs = (p.Run("whole", "open", 1),)
        seen = tuple(p.AnswerSeen(piece.piece, ANSWERS[piece.count % 2], piece.count) for piece in pieces[:1])
        self.says(p.Opened(name, tuple(pieces), was, runs, minutes, residue, loss, closes, seen))

    def parted(self) -> None:
        name, mass, closes = self._find(), self.choose.whole(0, 800_000), self.choose.whole(0, 1) > 0
        was, count, minutes = self.finds[name] or 0, self.choose.whole(1, 3), self.choose.whole(0, 30)
        price, fee, postage = self._money(), self._money(), self._money()
        self.people += mass
        self._gives(name, was, mass, closes)
        for account, amount in (("parts", price * count), ("parts-fees", -fee), ("parts-postage", -postage)):
            self._earn(account, Fraction(amount))
        self._spend("list", minutes)
        offer = self.choose.pick((None, *self.offers))
        sold = p.Parted(name, "motor", count, mass, was, price, fee, postage, minutes, closes, offer)
        self.sales.append(self.says(sold))

    def round(self) -> None:
        """A collecting round, over: its minutes are of collecting."""
        number, minutes = f"r{len(self.events)}", self.choose.whole(0, 90)
        self._spend("collect", minutes)
        self.says(p.Round(number, "ended", "the quay", minutes, self._money(), ("a sofa bed",), "wet"))

    def listed(self) -> None:
        """On offer: nothing moves."""
        name, number = self._find(), f"o{len(self.events)}"
        count, minutes = self.choose.whole(1, 3), self.choose.whole(0, 9)
        self._spend("list", minutes)
        event = self.says(p.Listed(number, name, "motor", count, self._money(), "the board", minutes=minutes))
        self.offers.append(event.what.listing)  # type: ignore[attr-defined]

    def repriced(self) -> None:
        self.says(p.AskedAnew(self.choose.pick(self.offers), self._money()))

    def taken_down(self) -> None:
        self.says(p.TakenDown(self.choose.pick(self.offers), self.choose.whole(1, 2)))

    def returned(self) -> None:
        """One that was sold comes back, into its find or into a bin."""
        sale = self.choose.pick(self.sales)
        sold: p.Parted = sale.what  # type: ignore[assignment]
        mass, refund, postage = sold.mass_mg, self._money(), self._money()
        self.people -= mass
        self._earn("parts", -Fraction(refund))
        self._earn("parts-postage", -Fraction(postage))
        if self.choose.whole(0, 1):
            place, grade = self.choose.pick(BINS), self.choose.pick(GRADES)
            self._bin(place, grade, mass)
            self.says(p.Returned(sale.id, sold.find, "motor", 1, mass, refund, postage, place, grade))
        else:
            self.finds[sold.find] = (self.finds.get(sold.find) or 0) + mass
            self.says(p.Returned(sale.id, sold.find, "motor", 1, mass, refund, postage, listing=sold.listing))

    def discarded(self) -> None:
        name = self._find()
        was = self.finds[name] or 0
        mass = self.choose.pick((was, self.choose.whole(0, 3_000_000)))
        self.residue += mass
        self._gives(name, was, mass, True)
        self.says(p.Discarded(name, mass, was))

    # --- bins ---

    def binned(self) -> None:
        capacity = self.choose.pick((None, Decimal(20), Decimal("7.5")))
        self.says(p.Binned(self.choose.pick(BINS), self.choose.pick(GRADES), "by the door", capacity))

    def recounted(self) -> None:
        place, grade, mass = self.choose.pick(BINS), self.choose.pick(GRADES), self.choose.whole(0, 40_000_000)
        was = self.bins.get((place, grade), 0)
        self._bin(place, grade, mass - was)
        self.lost -= mass - was
        self.says(p.Recounted(place, grade, mass, was))

    def moved(self) -> None:
        place, grade, mass = self.choose.pick(BINS), self.choose.pick(GRADES), self.choose.whole(0, 5_000_000)
        others = [(b, g) for b in BINS for g in GRADES if (b, g) != (place, grade)]
        to_place, to_grade = self.choose.pick(others)
        self._bin(place, grade, -mass)
        self._bin(to_place, to_grade, mass)
        self.says(p.Moved(place, to_place, grade, to_grade, mass))

    # --- trade ---

    def traded(self) -> None:
        shipping = (p.Postage(20_000_000, Decimal("17.00")),) if self.choose.whole(0, 1) else ()
        at = (Decimal("30.65"), Decimal("-40.57")) if self.choose.whole(0, 1) else None
        buyer, minutes = self.choose.pick(BUYERS), self.choose.whole(0, 40)
        phone = self.choose.pick(("", "555-0142", "+1 (555) 0142 ext 7"))
        terms = ("harbour yard", Decimal("14.0"), at, minutes, ("li-ion",), shipping)
        fee, share = ((0, 0), (5, 0), (0, "0.02"), ("3.50", "0.015"))[minutes % 4]  # without a draw of its own
        back = (None, Decimal(18), None)[minutes % 3]  # without a draw of its own
        said = p.Traded(buyer, "yard", *terms, phone=phone, back_km=back)
        self.says(replace(said, ticket_fee=Decimal(fee), ticket_share=Decimal(share)))

    def quoted(self) -> None:
        price = self._money() if self.choose.whole(0, 4) else None
        tier = self.choose.pick((0, 22_679_618))
        buyer, grade = self.choose.pick(BUYERS), self.choose.pick(GRADES)
        self.says(p.Quoted(buyer, grade, price, "lb", START.date(), tier, 0, "no 2 copper 4.10"))

    def hauled(self) -> None:
        self.hauls += 1
        name, minutes = f"h{self.hauls}", self.choose.whole(0, 300)
        self.says(p.Hauled(name, "started", ("harbour", "ridge")))
        self.says(p.Hauled(name, "finished", ("harbour",), Decimal("31.5"), minutes))
        self._spend("haul", minutes)

    def ticketed(self) -> None:
        buyer, lines = self.choose.pick(BUYERS), []
        for _ in range(self.choose.whole(1, 3)):
            place, grade, own = self.choose.pick(BINS), self.choose.pick(GRADES), self.choose.whole(0, 3_000_000)
            net = self.choose.pick((own, self.choose.whole(0, 3_000_000)))
            amount = self._money() - self._money()
            lines.append(p.TicketLine(grade, place, net, own, Decimal("4.10"), "lb", amount))
            self._bin(place, grade, -own)
            self.sold[buyer, grade] = self.sold.get((buyer, grade), 0) + net
            self.lost += own - net
            self._earn(f"sales:{buyer}", Fraction(amount))
        taken = self._money()
        self._earn(f"deductions:{buyer}", -Fraction(taken))
        total = sum((line.amount for line in lines), Decimal(0)) - taken
        number = f"t{len(self.events)}"
        self.says(p.Ticketed(number, buyer, tuple(lines), total, (p.Deduction("moisture", taken),)))

    def paid(self) -> None:
        buyer, amount = self.choose.pick(BUYERS), self._money()
        self._earn(f"paid:{buyer}", Fraction(amount))
        self.says(p.Paid(buyer, amount, self.choose.pick((None, "t1")), "cash"))

    def spent(self) -> None:
        category, amount = self.choose.pick(("fuel", "blades")), self._money()
        self._earn(f"spent:{category}", -Fraction(amount))
        self.says(p.Spent("a day's worth", amount, category))

    def worked(self) -> None:
        activity: p.Activity = self.choose.pick(("collect", "bench", "other"))
        minutes = self.choose.whole(0, 240)
        self._spend(activity, minutes)
        self.says(p.Worked(activity, minutes))

    def settled(self) -> None:
        self.says(p.Set(self.choose.pick(("wage", "bench")), str(self.choose.whole(1, 20))))

    def identified(self) -> None:
        """What a piece turned out to be: it moves nothing."""
        said = (p.Said("magnet", self.choose.pick(("none", "weak"))), p.Said("density", "8.4+-0.2"))
        count = self.choose.whole(1, 5)
        self.says(p.Identified("brass-yellow", "taps", count, self.choose.pick((None, "brass-yellow")), said, 400_000))

    def ruled(self) -> None:
        """What a rule of the place says: it moves nothing."""
        card, day = (
            self.choose.pick(("curbside", "payment")),
            START.date() - dt.timedelta(days=self.choose.whole(0, 500)),
        )
        self.says(p.Ruled(card, self.choose.pick(("no cash", "by cheque")), "notice, at the yard", day))

    def described(self) -> None:
        """A kind of one's own, or one no more: it moves nothing."""
        text = '[[anatomy]]\nkind = "toy"\n[[anatomy.piece]]\nid = "whole"\nmass_kg = 1\n'
        self.says(p.Described("toy", self.choose.pick((text, ""))))

    def noted(self) -> None:
        """A note, of a buyer or nothing: it moves nothing."""
        self.says(p.Noted("closes at noon", buyer=self.choose.pick((None, *BUYERS))))

    def pictured(self) -> None:
        """A photograph of a kind's piece, which lies elsewhere: it moves nothing."""
        self.says(p.Pictured(f"{self.choose.whole(0, 2**64):064x}", 40, 30, kind="fan", piece="cord"))

    # --- the model ---

    def _find(self) -> str:
        return self.choose.pick(sorted(self.finds))

    def _gives(self, name: str, was: int, out: int, closes: bool) -> None:
        """A find gives up mass, and no more than it turns out to have had."""
        self.brought += max(0, out - was)
        left = max(was, out) - out
        self.finds[name] = left
        if closes and left == 0:
            del self.finds[name]

    def _bin(self, place: str, grade: str, mg: int) -> None:
        self.bins[place, grade] = self.bins.get((place, grade), 0) + mg

    def _earn(self, account: str, amount: Fraction) -> None:
        self.money[account] = self.money.get(account, Fraction(0)) + amount

    def _spend(self, activity: str, minutes: int) -> None:
        self.minutes[activity] = self.minutes.get(activity, 0) + minutes

    def _money(self) -> Decimal:
        return Decimal(self.choose.whole(0, 99_999)).scaleb(-self.choose.pick((0, 2, 2, 2, 3, 6)))


def seeded_history(seed: int, steps: int, corrections: int = 0) -> list[Event]:
    """So many steps of a yard and then corrections, always the same for a seed."""
    return list(_lived(seed, steps, corrections))


@cache
def _lived(seed: int, steps: int, corrections: int) -> tuple[Event, ...]:
    """Lived once a process: an event never changes."""
    yard = Yard(Seeded(seed))
    for _ in range(steps):
        yard.step()
    for _ in range(corrections):
        yard.corrected()
    return tuple(yard.events)
