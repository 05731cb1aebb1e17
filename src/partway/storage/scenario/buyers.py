"""Buyers of a scenario file with their quotes, refusals and postage."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from partway.errors import BadScenario
from partway.quantities import shown
from partway.storage.scenario import measures
from partway.storage.scenario.file_locations import Spot
from partway.storage.scenario.forms import BuyerTable, PriceTable, ScenarioTable
from partway.storage.scenario.notes import Notes
from partway.storage.scenario.prices import PriceReader
from partway.things.ages import OLD_DAYS
from partway.things.buyers import refused_names
from partway.things.limits.opening import EXAMPLE, read_opening
from partway.things.material import Grade
from partway.things.scenario import END, HOME, Buyer, Postage, Quote


@dataclass(frozen=True)
class BuyerReader:
    """Reads buyer tables and checks their names against the scenario and the catalogue."""

    scenario: ScenarioTable
    grades: Mapping[str, Grade]
    cautions: Collection[str]
    spot: Spot
    notes: Notes
    pieces: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    ends: bool = False  # whether the file says where trips end

    def read(self, forms: list[BuyerTable]) -> tuple[Buyer, ...]:
        """All buyers; their ids are unique and none is `home`, or `end` where trips end there."""
        seen: set[str] = set()
        for i, form in enumerate(forms):
            if form.id == HOME:
                raise self.spot.refuse('"home"', "another id: home is where trips start", "buyer", i, "id")
            if form.id == END and self.ends:
                raise self.spot.refuse('"end"', "another id: end is where trips end", "buyer", i, "id")
            if form.id in seen:
                raise self.spot.refuse(f"{shown(form.id)} a second time", "an id of its own", "buyer", i, "id")
            seen.add(form.id)
        return tuple(self._buyer(i, form) for i, form in enumerate(forms))

    def _buyer(self, i: int, form: BuyerTable) -> Buyer:
        buyer = Buyer(
            id=form.id,
            kind=form.kind,
            name=form.name,
            km=form.km,
            at=None if form.at is None else (form.at[0], form.at[1]),
            minutes=form.minutes or 0.0,
            open=self._open(i, form),
            refuses=self._refuses(i, form),
            shipping=self._postage(i, form),
            quotes=self._quotes(i, form),
            ticket_fee=form.ticket_fee or 0.0,
            ticket_share=form.ticket_share or 0.0,
        )
        self._note(form, buyer)
        return buyer

    def _note(self, form: BuyerTable, buyer: Buyer) -> None:
        if not buyer.quotes:
            self.notes.of("No price heard, which is not a price of zero", buyer.id)
        if buyer.is_visited:
            if form.minutes is None:
                self.notes.of("Minutes on site not given, counted as 0", buyer.id)
            return
        if form.shipping is None:
            self.notes.of("No postage given: counted as paid by the buyer", buyer.id)
        for name in ("km", "at"):
            if getattr(form, name) is not None:
                self.notes.of(f"Mail-in buyers are not driven to, {name} is not used", buyer.id)

    def _open(self, i: int, form: BuyerTable) -> tuple[str, ...]:
        for j, text in enumerate(form.open):
            try:
                read_opening(text)
            except ValueError:
                raise self.spot.refuse(shown(text), f"opening hours such as {EXAMPLE}", "buyer", i, "open", j) from None
        return tuple(form.open)

    def _refuses(self, i: int, form: BuyerTable) -> tuple[str, ...]:
        known = {*self.grades, *(g.family for g in self.grades.values()), *self.cautions} - {""}
        for j, name in enumerate(form.refuses):
            if name not in known:
                raise self.spot.unknown(name, "grade, family or hazard", known, "buyer", i, "refuses", j)
        return tuple(form.refuses)

    def _postage(self, i: int, form: BuyerTable) -> tuple[Postage, ...]:
        if form.shipping is None:
            return ()
        if form.kind != "mail-in":
            given = f"shipping for a {form.kind}"
            raise self.spot.refuse(given, "shipping only where kind is mail-in", "buyer", i, "shipping")
        steps: list[Postage] = []
        for j, step in enumerate(form.shipping):
            where = self.spot("buyer", i, "shipping", j, "up_to")
            kg = measures.mass(step.up_to, where, above_zero=True)
            if steps and kg <= steps[-1].up_to_kg:
                raise BadScenario(shown(step.up_to), "more than the step before it", where)
            steps.append(Postage(kg, step.cost))
        if not steps:
            raise self.spot.refuse("no steps", "at least one step, or no shipping at all", "buyer", i, "shipping")
        return tuple(steps)

    def _quotes(self, i: int, form: BuyerTable) -> tuple[Quote, ...]:
        quotes: list[Quote] = []
        tiers: set[tuple[str, float]] = set()
        for j, row in enumerate(form.price):
            self._check_grade(i, j, form, row)
            quote = self._quote(i, j, row)
            if (quote.grade, quote.from_kg) in tiers:
                given = f"a second price of {quote.grade} from {quote.from_kg:g} kg"
                raise self.spot.refuse(given, "one price for each grade and `from`", "buyer", i, "price", j, "from")
            if any(q.grade == quote.grade and (q.counted or quote.counted) for q in quotes):
                given, expected = f"a second price of {quote.grade}", "one price alone where pieces are counted"
                raise self.spot.refuse(given, expected, "buyer", i, "price", j, "price")
            tiers.add((quote.grade, quote.from_kg))
            quotes.append(quote)
            if row.on is None:
                self.notes.of(f"Date of quotes not given, taken as heard on {quote.on}", form.id)
        self._note_stale(form.id, quotes)
        return tuple(quotes)

    def _check_grade(self, i: int, j: int, form: BuyerTable, row: PriceTable) -> None:
        grade = self.grades.get(row.grade)
        if grade is None:
            raise self.spot.unknown(row.grade, "grade", self.grades, "buyer", i, "price", j, "grade")
        refused = refused_names(form, grade)
        if refused:
            given = f"a price of {grade.id} from a buyer that refuses {', '.join(refused)}"
            raise self.spot.refuse(given, "either the price or the refusal", "buyer", i, "price", j, "grade")

    def _quote(self, i: int, j: int, row: PriceTable) -> Quote:
        day = row.on or self.scenario.on
        if day > self.scenario.on:
            expected = f"a day not after the scenario's, {self.scenario.on}"
            raise self.spot.refuse(f"{day}, a quote in the future", expected, "buyer", i, "price", j, "on")
        reader = PriceReader(self.scenario.currency, self.pieces, self.notes)
        return reader.read(row, day, self.spot("buyer", i, "price", j))

    def _note_stale(self, buyer: str, quotes: list[Quote]) -> None:
        for quote in quotes:
            age = (self.scenario.on - quote.on) // dt.timedelta(days=1)
            if age > OLD_DAYS:
                sentence = f"Quotes of {buyer} older than {OLD_DAYS} days"
                self.notes.of(sentence, f"{quote.grade} ({age} days)")
