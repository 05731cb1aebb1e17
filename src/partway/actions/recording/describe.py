"""What was recorded, in a line or two, in the workspace's unit and currency. Cautions come before money."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from partway import display
from partway.actions.books.consequences import Consequences
from partway.actions.recording import results as t
from partway.actions.recording.context import ClockBack
from partway.actions.recording.words import unit
from partway.catalogue.cards import CautionCard
from partway.ledger.book import Book
from partway.ledger.fold.standing import settings
from partway.quantities import MG_PER_KG, kg_per
from partway.reports.haul.ticket_audit import WORDS

SHORT_WORDS = ("closed", "count", "works", "grade", "status", "value")  # fields whose words can be read as they are
WORKS = {"yes": "works", "no": "does not work", "unknown": "condition unknown"}


@dataclass(frozen=True)
class Say:
    """Masses and money of one workspace."""

    unit: str
    currency: str
    locale: str

    @classmethod
    def of(cls, book: Book) -> Say:
        """In the workspace's settings, the locale of the machine where it has none."""
        known = settings(book)
        return cls(unit(book), known.get("currency", "XXX"), known.get("locale") or display.locale_of())

    def mass(self, mg: int) -> str:
        """A mass in milligrams."""
        return display.mass(mg, self.unit, self.locale)

    def kg(self, kg: float) -> str:
        """A mass in kilograms."""
        return self.mass(round(kg * MG_PER_KG))

    def money(self, amount: Decimal | float) -> str:
        """An amount."""
        return display.money(Decimal(amount), self.currency, self.locale)

    def price(self, per_kg: float) -> str:
        """A price per kilogram, shown per the workspace's unit."""
        return display.price(round(Decimal(per_kg) * kg_per(self.unit), 4), self.currency, self.unit, self.locale)


def said(told: Any, say: Say) -> list[str]:
    """The lines of a report."""
    return list(LINES[type(told)](told, say))


def clock_said(clock: ClockBack | None) -> list[str]:
    """What there is to say of a clock that was set back."""
    if clock is None:
        return []
    return [f"The clock stands {_span(clock.seconds)} before your last entry; this was recorded after it."]


def _span(seconds: int) -> str:
    """A stretch of time, in its two largest units at most."""
    if seconds < 60:
        return f"{seconds} s"
    minutes = seconds // 60
    hours, days = minutes // 60, minutes // 1440
    if days:
        return f"{days} day{'' if days == 1 else 's'}"
    return f"{hours} h {minutes % 60:02d} min" if hours else f"{minutes} min"


def careful(cards: Iterable[CautionCard]) -> Iterator[str]:
    """What comes first, a line a hazard."""
    for card in cards:
        yield card.line


def _find(told: t.FindTold, say: Say) -> Iterator[str]:
    yield from careful(told.cautions)
    count = f"{told.count} × " if told.count > 1 else ""
    mass = f", {say.mass(told.mass_mg)}" if told.mass_mg else ", not weighed"
    yield f"{told.find} {told.what}: {count}{told.name.lower()}{mass}, {WORKS[told.works]}"


def _open(told: t.OpenTold, say: Say) -> Iterator[str]:
    yield from careful(told.cautions)
    parts = [f"{f'{n} × ' if n > 1 else ''}{piece} {say.mass(mg)} into {b}" for piece, n, b, mg in told.pieces]
    minutes = f" in {told.minutes} min" if told.minutes else ""
    yield f"{told.find} opened{minutes}: {', '.join(parts) or 'nothing weighed'}"
    out = sum(mg for *_, mg in told.pieces)
    rest = [(told.residue_mg, "residue"), (told.loss_mg, "loss"), (told.left_mg, "left in it")]
    sums = " + ".join([f"{say.mass(out)} in bins", *(f"{say.mass(mg)} {name}" for mg, name in rest if mg)])
    was = told.was_mg or out + told.residue_mg + told.loss_mg
    how = " (weighed wrong before)" if told.reweighed else "" if told.was_mg else " (not weighed before)"
    yield f"  mass balance: {say.mass(was)}{how} = {sums}; {'closed' if told.closed else 'still open'}"
    if told.new_bins:
        yield f"  new bins: {', '.join(told.new_bins)}"


def _bin(told: t.BinTold, say: Say) -> Iterator[str]:
    yield from careful(told.cautions)
    if told.what == "moved":
        yield f"{say.mass(told.change_mg)} from {told.other} to {told.bin} ({told.grade}), now {say.mass(told.mass_mg)}"
        return
    change = ""
    if told.change_mg:
        change = f", {say.mass(abs(told.change_mg))} {'more' if told.change_mg > 0 else 'less'} than it was down as"
    yield f"bin {told.bin} {told.what}: {told.grade}, {say.mass(told.mass_mg)}{change}"


def _sold(told: t.SoldTold, say: Say) -> Iterator[str]:
    yield from careful(told.cautions)
    left = "" if told.closed else f"; {say.mass(told.left_mg)} left" if told.left_mg else "; the rest is still there"
    count = f"{told.count} × " if told.count > 1 else ""
    yield f"{told.find}: {count}{told.what} sold, {say.money(told.net)} after fee and postage{left}"


def _buyer(told: t.BuyerTold, _: Say) -> Iterator[str]:
    changed = f": {', '.join(told.changed)} changed" if told.changed and not told.new else ""
    yield f"buyer {told.buyer} ({told.kind}) {'added' if told.new else 'kept'}{changed}"


def _quotes(told: t.QuotesTold, say: Say) -> Iterator[str]:
    yield from careful(told.cautions)
    for quote in told.quotes:
        tier = f" from {say.mass(quote.from_mg)}" if quote.from_mg else ""
        before = f", before {quote.before} /{quote.before_unit}" if quote.before is not None else ""
        price = "not taken any more" if quote.price is None else f"{quote.price} /{quote.unit}"
        yield f"{quote.buyer} {quote.grade}{tier}: {price}{before}"


def _haul(told: t.HaulTold, _: Say) -> Iterator[str]:
    km = f", {told.km} km" if told.km is not None else ""
    minutes = f", {told.minutes} min" if told.minutes is not None else ""
    yield f"{told.haul} {told.status}: {', '.join(told.stops)}{km}{minutes}"


def _ticket(told: t.TicketTold, say: Say) -> Iterator[str]:
    yield from careful(told.cautions)
    yield f"{told.ticket} from {told.buyer}: {len(told.lines)} lines, {say.money(told.total)}"
    for line in told.lines:
        short = ""
        if line.short_mg:
            short = f", {say.mass(abs(line.short_mg))} {'below' if line.short_mg > 0 else 'above'} your scale"
        quoted = "" if line.quoted in (None, line.price) else f", quoted {line.quoted:.4g}"
        price = f"{line.price} /{line.unit}"
        yield f"  {line.grade} {say.mass(line.mass_mg)} at {price}{quoted} = {say.money(line.amount)}{short}"
        for doubt in line.doubts:
            money = "" if doubt.money is None else f": {say.money(doubt.money)}"
            yield f"    {WORDS[doubt.what]}{money}"
    if told.gap:
        yield f"  The total differs from its lines by {say.money(told.gap)}"


def _money(told: t.MoneyTold, say: Say) -> Iterator[str]:
    left = "" if told.open is None else f", {say.money(told.open)} open" if told.open else ", paid in full"
    cents = f", {say.money(told.rounding)} booked as rounding" if told.rounding else ""
    yield f"{say.money(abs(told.amount))} {told.what}{f' for {told.of}' if told.of else ''}{left}{cents}"


def _hours(told: t.HoursTold, _: Say) -> Iterator[str]:
    yield f"{told.minutes} min {told.activity}{f' on {told.find}' if told.find else ''}"


def _identified(told: t.IdentifiedTold, _: Say) -> Iterator[str]:
    yield from careful(told.cautions)
    count = f"{told.count} × " if told.count > 1 else ""
    bin_ = f", for a bin of {told.grade}" if told.grade else ", for no bin: set it aside"
    yield f"{count}{told.name.lower()} from {told.context}{bin_}; {told.known} confirmed there by now"


def _correct(told: t.CorrectTold, say: Say) -> Iterator[str]:
    yield f"{'would no longer count' if told.preview else 'no longer counts'}: {told.kind} {told.what}"
    if told.instead and not told.preview:
        yield f"  instead: {told.instead[-8:]}"
    for place, mg in told.stands:
        yield f"  {place.replace(':', ' ')} stays at {say.mass(mg)}: it was weighed later"
    if told.follows is not None:
        yield from (f"  {line}" for line in follows(told.follows, say))


def follows(given: Consequences, say: Say) -> Iterator[str]:
    """What a correction changes, a line each, what it rests on last."""
    for mass in given.masses:
        grade = f" ({mass.grade})" if mass.grade and mass.grade != mass.place.partition(":")[2] else ""
        yield f"{mass.place.replace(':', ' ')}{grade}: {say.mass(mass.before)}, then {say.mass(mass.after)}"
    for sum_ in given.sums:
        name, amount = sum_.account.replace(":", " "), say.money
        if sum_.account.startswith("minutes:"):
            yield f"{name}: {sum_.before} min, then {sum_.after} min"
        else:
            yield f"{name}: {amount(sum_.before)}, then {amount(sum_.after)}"
    for word in given.words:
        if word.name in SHORT_WORDS:
            before, after = word.before or "nothing", word.after or "nothing"
            yield f"{word.subject.replace(':', ' ')} {word.name}: {before}, then {after}"
    for find in given.left_over:
        yield f"{find} is closed and would hold something all the same: correct its opening next"
    for event in given.rests:
        yield f"rests on it: {event.id} {event.kind} {event.words}"


def _setting(told: t.SettingTold, _: Say) -> Iterator[str]:
    yield f"{told.name} = {told.value}{f', before {told.before}' if told.before else ''}"


def _rule(told: t.RuleTold, _: Say) -> Iterator[str]:
    yield f"{told.name} ({told.card}): {told.says}"
    yield f"  {told.source}, seen {told.seen}"
    if told.before and told.before != told.says:
        yield f"  before: {told.before}"


LINES: dict[type, Callable[[Any, Say], Iterator[str]]] = {
    t.FindTold: _find,
    t.OpenTold: _open,
    t.BinTold: _bin,
    t.SoldTold: _sold,
    t.BuyerTold: _buyer,
    t.QuotesTold: _quotes,
    t.HaulTold: _haul,
    t.TicketTold: _ticket,
    t.MoneyTold: _money,
    t.HoursTold: _hours,
    t.IdentifiedTold: _identified,
    t.RuleTold: _rule,
    t.CorrectTold: _correct,
    t.SettingTold: _setting,
}
