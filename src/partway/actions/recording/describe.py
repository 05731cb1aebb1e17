"""What was recorded, in a line or two, in the workspace's unit and currency. Cautions come before money."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from partway import display
from partway.actions.recording.context import ClockBack
from partway.actions.recording.words import unit
from partway.catalogue.cards import CautionCard
from partway.ledger.book import Book
from partway.ledger.fold.standing import settings
from partway.quantities import MG_PER_KG, kg_per


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

    def about(self, amount: Decimal | float) -> str:
        """An amount for a glance: whole units from ten up."""
        return display.rough(Decimal(amount), self.currency, self.locale)

    def price(self, per_kg: float) -> str:
        """A price per kilogram, shown per the workspace's unit."""
        return display.price(round(Decimal(per_kg) * kg_per(self.unit), 4), self.currency, self.unit, self.locale)


class Result(Protocol):
    """What there is to tell about an action: small, plain, in milligrams, minutes and exact money; and its words."""

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        ...


def describe(result: Result, say: Say) -> list[str]:
    """The lines of a result."""
    return list(result.words(say))


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
