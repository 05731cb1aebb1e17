"""What is told of a haul and of a ticket."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from partway.actions.haul.after_words import after_lines
from partway.actions.haul.took_words import took_words
from partway.actions.recording.describe import Say, careful
from partway.catalogue.cards import CautionCard
from partway.display import length_of_time
from partway.reports.called import Called
from partway.reports.haul.ticket_words import WORDS
from partway.valuing.trips.after_haul import AfterHaul
from partway.valuing.trips.loads import TakenLot
from partway.valuing.trips.ticket_seen import LineSeen


@dataclass(frozen=True, slots=True)
class HaulResult:
    """A haul set out on or finished; `took` is what it took along, `after` holds a finished one against its plan."""

    haul: str
    status: str
    stops: tuple[str, ...]
    km: Decimal | None = None
    minutes: int | None = None
    after: AfterHaul | None = None
    took: tuple[TakenLot, ...] = ()
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        km = f", {say.km(self.km)}" if self.km is not None else ""
        minutes = f", {length_of_time(self.minutes)}" if self.minutes is not None else ""
        yield f"{self.haul} {self.status}: {', '.join(self.stops)}{km}{minutes}"
        if self.took:
            yield f"  takes along {took_words(self.took, say)}"
        if self.after is not None:
            yield from (f"  {line}" for line in after_lines(self.after, say))

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Set out: today's haul, ridge yard"."""
        return f"{'Set out' if self.status == 'started' else 'Over'}: {called.haul(self.haul)}"


@dataclass(frozen=True, slots=True)
class TicketResult:
    """A ticket as recorded, held against scale, plan and quote; `gap` is total less what its lines make.

    `verdict` is one for the whole ticket, `say` the sentence for the scale window, "" where there is nothing to ask.
    `deductions` are what was taken off, a fee by the buyer's terms among them.
    """

    ON_ITS_PAGE: ClassVar[bool] = True  # the page that follows shows its lines

    ticket: str
    buyer: str
    lines: tuple[LineSeen, ...]
    total: Decimal
    gap: Decimal
    cautions: tuple[CautionCard, ...] = ()
    verdict: str = ""
    say: str = ""
    deductions: tuple[tuple[str, Decimal], ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        yield f"{self.ticket} from {self.buyer}: {len(self.lines)} lines, {say.money(self.total)}"
        for line in self.lines:
            short = ""
            if line.short_mg:
                short = f", {say.mass(abs(line.short_mg))} {'below' if line.short_mg > 0 else 'above'} your scale"
            quoted = "" if line.quoted in (None, line.price) else f", quoted {line.quoted:.4g}"
            price = f"{line.price} /{line.unit}"
            yield f"  {line.grade} {say.mass(line.mass_mg)} at {price}{quoted} = {say.money(line.amount)}{short}"
            for doubt in line.doubts:
                money = "" if doubt.money is None else f": {say.money(doubt.money)}"
                yield f"    {WORDS[doubt.what]}{money}"
        for what, amount in self.deductions:
            yield f"  less {what}: {say.money(amount)}"
        if self.gap:
            yield f"  The total differs from its lines by {say.money(self.gap)}"
        if self.verdict:
            yield f"  {self.verdict}{'.' if not self.say else ':'}"
        if self.say:
            yield f'    "{self.say}"'

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Sold 41 lb of No. 2 copper to the ridge yard: $160.00"."""
        grades = list(dict.fromkeys(called.grade(line.grade) for line in self.lines))
        what = grades[0] if len(grades) == 1 else f"{len(grades)} grades"
        mass = say.mass(sum(line.mass_mg for line in self.lines))
        return f"Sold {mass} of {what} to the {called.buyer(self.buyer)}: {say.money(self.total)}"
