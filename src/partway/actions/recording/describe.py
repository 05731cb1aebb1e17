"""What was recorded, in a line or two, in the workspace's unit and currency. Cautions come before money."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from typing import Any, Protocol, TypeVar, cast

from partway import display
from partway.actions.recording.context import ClockBack
from partway.actions.recording.words import unit
from partway.catalogue.cards import CautionCard
from partway.ledger.book import Book
from partway.ledger.fold.driving import USUAL, distance_unit
from partway.ledger.fold.standing import settings
from partway.quantities import MG_PER_KG, kg_per
from partway.reports.called import Called
from partway.things.units import ShownUnits


@dataclass(frozen=True)
class Say:
    """Masses, distances and money of one workspace."""

    unit: str
    currency: str
    locale: str
    distance: str = USUAL

    @classmethod
    def of(cls, book: Book) -> Say:
        """In the workspace's settings, the locale of the machine where it has none."""
        known = settings(book)
        locale = known.get("locale") or display.locale_of()
        return cls(unit(book), known.get("currency", "XXX"), locale, distance_unit(known))

    @property
    def units(self) -> ShownUnits:
        """What masses and distances are read in."""
        return ShownUnits(self.unit, self.distance)

    def mass(self, mg: int) -> str:
        """A mass in milligrams."""
        return display.mass(mg, self.unit, self.locale)

    def kg(self, kg: float) -> str:
        """A mass in kilograms."""
        return self.mass(round(kg * MG_PER_KG))

    def km(self, km: Decimal | float) -> str:
        """A distance in kilometres."""
        return display.distance(Decimal(km), self.distance, self.locale)

    def money(self, amount: Decimal | float) -> str:
        """An amount."""
        return display.money(Decimal(amount), self.currency, self.locale)

    def as_said(self, price: Decimal, per: str) -> str:
        """A price per the unit it was said in."""
        return display.price(price, self.currency, per, self.locale)

    def about(self, amount: Decimal | float) -> str:
        """An amount for a glance: whole units from ten up."""
        return display.rough(Decimal(amount), self.currency, self.locale)

    def price(self, per_kg: float) -> str:
        """A price per kilogram, shown per the workspace's unit."""
        return display.price(round(Decimal(per_kg) * kg_per(self.unit), 4), self.currency, self.unit, self.locale)


R = TypeVar("R")


class Result(Protocol):
    """What there is to tell about an action: small, plain, in milligrams, minutes and exact money; and its words."""

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        ...

    def said(self, say: Say, called: Called) -> str:
        """What was done, in one sentence that names things as people do and has no id in it."""
        ...


SORTS = {  # fields of results that hold an id, and of what
    **{sort: sort for sort in ("find", "bin", "buyer", "haul", "ticket", "round", "grade", "listing")},
    "other": "bin",
    "new_bins": "bin",
    "stops": "buyer",
}
ROWS = ("quotes", "lines")  # fields whose rows hold such fields in turn


@dataclass(frozen=True, slots=True)
class Told:
    """What is said after an act: the sentence, what can hurt by name, and the rest, which is there when asked for."""

    said: str
    careful: tuple[str, ...] = ()
    more: tuple[str, ...] = ()


def tell(result: Result, say: Say, called: Called, clock: ClockBack | None = None, *, alone: bool = False) -> Told:
    """A result as it is told where somebody looks for a moment: its sentence, and folded what else there is to say.

    What a page of the app shows anyway is left out, unless the answer is shown `alone`.
    """
    cards: tuple[CautionCard, ...] = getattr(result, "cautions", ())
    lines = describe(named(result, called), say)
    first, rest = lines[: len(cards)], lines[len(cards) :]
    shown = getattr(result, "ON_ITS_PAGE", False) and not alone
    folded = rest if len(rest) > 1 and not shown else ()  # one line: the sentence again
    more = (*first, *folded, *clock_said(clock))
    return Told(result.said(say, called), tuple(card.name for card in cards), more)


def tell_all(results: Sequence[Result], say: Say, called: Called, clock: ClockBack | None = None) -> Told:
    """Several results of one act, told as one."""
    told = [tell(result, say, called) for result in results]
    more = (*(line for one in told for line in one.more), *clock_said(clock))
    return Told("; ".join(one.said for one in told), tuple(name for one in told for name in one.careful), more)


def named(result: R, called: Called, only: Collection[str] = ()) -> R:
    """A result with what people call things in place of their ids; of `only` some sorts where they are named."""
    own: Callable[[Called], R] | None = getattr(result, "named", None)
    if own is not None and not only:
        return own(called)
    changes: dict[str, Any] = {}
    for field in fields(cast(Any, result)):
        value, sort = getattr(result, field.name), SORTS.get(field.name, "")
        name = getattr(called, sort, None) if not only or sort in only else None
        if isinstance(value, str) and value and name is not None:
            changes[field.name] = name(value)
        elif isinstance(value, tuple) and value and name is not None:
            changes[field.name] = tuple(map(name, value))
        elif isinstance(value, tuple) and value and field.name in ROWS:
            changes[field.name] = tuple(named(one, called, only) for one in value)
    return cast(R, replace(cast(Any, result), **changes))


def describe(result: Result, say: Say) -> list[str]:
    """The lines of a result."""
    return list(result.words(say))


def clock_said(clock: ClockBack | None) -> list[str]:
    """What there is to say of a clock that was set back."""
    if clock is None:
        return []
    return [f"The clock stands {span(clock.seconds)} before your last entry; this was recorded after it."]


def span(seconds: int) -> str:
    """A stretch of time, in its two largest units at most."""
    if seconds < 60:
        return f"{seconds} s"
    minutes = seconds // 60
    hours, days = minutes // 60, minutes // 1440
    if days:
        return f"{days} day{'' if days == 1 else 's'}"
    return f"{hours} h {minutes % 60:02d} min" if hours else f"{minutes} min"


def counted(number: int, thing: str) -> str:
    """So many of something: "1 piece", "8 pieces"."""
    return f"{number} {thing}{'' if number == 1 else 's'}"


def capital(text: str) -> str:
    """A text that begins a sentence."""
    return text[:1].upper() + text[1:]


def the(name: str) -> str:
    """A thing with its article; one that begins with its day has none: "today's microwave"."""
    return name if "'s " in name else f"the {name}"


def careful(cards: Iterable[CautionCard]) -> Iterator[str]:
    """What comes first, a line a hazard."""
    for card in cards:
        yield card.line
