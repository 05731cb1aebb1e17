"""Numbers as pages show them: in the workspace's unit, currency and locale."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway import display
from partway.actions.recording.describe import Say
from partway.catalogue.cards import CautionCard
from partway.ledger.days import day_of
from partway.photographs.photograph import small_size
from partway.quantities import kg_per, out_of
from partway.reports.books.conflicts import mark_of
from partway.reports.buyers.fee_words import KeepsBack, fee_words
from partway.reports.called import Called, date_said, running
from partway.things.families import family_name
from partway.web.drawings.sketches import Sketch, Sort, sketch

UNKNOWN = "unknown"
AGO = {0: "today", 1: "yesterday"}


@dataclass(frozen=True)
class Show:
    """What templates call `show`. None is always shown as unknown, never as nothing."""

    say: Say
    today: dt.date
    zone: dt.tzinfo | None
    called: Called

    def find(self, find: str) -> str:
        """What a find is called."""
        return self.called.find(find)

    def bin(self, bin_id: str) -> str:
        """What a bin is called."""
        return self.called.bin(bin_id)

    def haul(self, haul: str) -> str:
        """What a haul is called."""
        return self.called.haul(haul)

    def ticket(self, ticket: str) -> str:
        """What a ticket is called."""
        return self.called.ticket(ticket)

    def buyer(self, buyer: str) -> str:
        """What a buyer is called."""
        return self.called.buyer(buyer)

    def grade(self, grade: str) -> str:
        """What a grade is called."""
        return self.called.grade(grade)

    def place(self, place: str) -> str:
        """Where something lies or went to."""
        return self.called.place(place)

    def family(self, family: str) -> str:
        """A family of grades by its name."""
        return family_name(family)

    def in_text(self, text: str) -> str:
        """A text with names in place of the ids of finds."""
        return self.called.in_text(text)

    def refusal(self, text: str) -> str:
        """What is wrong, with names in place of all ids. Every template says it through this."""
        return self.called.in_refusal(text)

    def capital(self, text: str) -> str:
        """A text that begins a line: with a capital."""
        return text[:1].upper() + text[1:]

    def names(self, cards: Iterable[CautionCard]) -> str:
        """The hazards of cards in a list, as they stand within a sentence."""
        return ", ".join(running(card.name) for card in cards)

    def sentence(self, text: str) -> str:
        """A text of the catalogue as a sentence: a capital first, a full stop last."""
        return f"{text[:1].upper()}{text[1:].rstrip('.')}."

    def conflict(self, codes: Sequence[str]) -> str:
        """Why a figure is in doubt, in words."""
        return mark_of(codes)

    def money(self, amount: Decimal | float | None) -> str:
        """An amount."""
        return UNKNOWN if amount is None else self.say.money(amount)

    def fees(self, of: KeepsBack) -> str:
        """What a buyer keeps back of its tickets; empty where nothing."""
        return fee_words(of, self.money)

    def about(self, amount: Decimal | float | None) -> str:
        """An amount for a glance: whole units from ten up."""
        if amount is None:
            return UNKNOWN
        return display.rough(Decimal(amount), self.say.currency, self.say.locale)

    def between(self, low: float | None, high: float | None) -> str:
        """A range of money."""
        return UNKNOWN if low is None or high is None else f"{self.money(low)} to {self.money(high)}"

    def kg(self, kg: float | None) -> str:
        """A mass in kilograms."""
        return UNKNOWN if kg is None else self.say.kg(kg)

    def mg(self, mg: int | None) -> str:
        """A mass in milligrams."""
        return UNKNOWN if mg is None else self.say.mass(mg)

    def price(self, per_kg: float | None) -> str:
        """A price per kilogram, per the workspace's unit."""
        return UNKNOWN if per_kg is None else self.say.price(per_kg)

    def amount(self, per_kg: float | None) -> str:
        """A price per kilogram, per the workspace's unit, as a number alone: for columns that say so at their top."""
        return UNKNOWN if per_kg is None else self.bare(float(round(Decimal(per_kg) * kg_per(self.say.unit), 6)))

    def bare(self, price: float | None) -> str:
        """A price as a number alone: with a decimal more where it is small and has it."""
        if price is None:
            return UNKNOWN
        exact = round(Decimal(price), 4)
        return display.number(exact, self.say.locale, 2 if abs(exact) >= 1 or round(exact, 2) == exact else 3)

    def per_unit(self, price: float | None) -> str:
        """A price that is per the workspace's unit already."""
        return self.as_said(None if price is None else round(Decimal(price), 4), self.say.unit)

    def as_said(self, price: Decimal | None, unit: str) -> str:
        """A price per the unit it was said in."""
        return UNKNOWN if price is None else display.price(price, self.say.currency, unit, self.say.locale)

    def minutes(self, minutes: float | None) -> str:
        """A length of time: "45 min", "1 h 20", "6 h"."""
        if minutes is None:
            return UNKNOWN
        return display.length_of_time(minutes)

    def hours(self, hours: float | None) -> str:
        """Hours as time."""
        return UNKNOWN if hours is None else self.minutes(hours * 60.0)

    def litres(self, litres: float | None) -> str:
        """A volume."""
        return UNKNOWN if litres is None else f"{self.number(litres, 0 if litres >= 10 else 1)} L"

    def km(self, km: float | Decimal | None) -> str:
        """A distance in kilometres, in the workspace's unit."""
        return UNKNOWN if km is None else self.say.km(km)

    def share(self, share: float | None) -> str:
        """A share of one as a percentage without decimals."""
        return UNKNOWN if share is None else f"{self.number(share * 100.0)} %"

    def out_of(self, share: float) -> str:
        """A share of many finds: "6 of 10"."""
        return out_of(share)

    def percent(self, share: float | None) -> str:
        """A share of one as a percentage with one decimal, "under 0.1 %" where that would be nothing."""
        if share is None:
            return UNKNOWN
        return "under 0.1 %" if 0 < share < 0.0005 else display.share(Decimal(share), self.say.locale)

    def along(self, share: float) -> str:
        """A share of a drawing's width or height, as SVG writes a length."""
        return f"{share:.3%}"

    def sketch(self, sort: Sort, id_: str) -> Sketch | None:
        """The line drawing of a kind, a piece or a grade; None where there is none."""
        return sketch(sort, id_)

    def small_size(self, width: int, height: int) -> tuple[int, int]:
        """How wide and how high a photograph is among others."""
        return small_size(width, height)

    def number(self, value: float | None, digits: int = 0) -> str:
        """A plain number."""
        return UNKNOWN if value is None else display.number(Decimal(value), self.say.locale, digits)

    def day(self, day: dt.date | dt.datetime | str | None) -> str:
        """A day: "14 March", with the year where it is another; of a moment the day it was in the workspace's zone."""
        if day is None or day == "":
            return UNKNOWN
        if isinstance(day, str):
            day = dt.date.fromisoformat(day)
        if isinstance(day, dt.datetime):
            day = day_of(day, self.zone)
        return date_said(day, self.today)

    def weekday(self, day: dt.date | str) -> str:
        """A day of the week to come by its name, a later one with its date: "Saturday", "Saturday 28 March"."""
        day = dt.date.fromisoformat(day) if isinstance(day, str) else day
        return f"{day:%A}" if 0 < (day - self.today).days < 7 else f"{day:%A} {self.day(day)}"

    def ago(self, days: int | None) -> str:
        """An age in days."""
        if days is None:
            return UNKNOWN
        return AGO.get(days) or f"{days} days ago"
