"""All that a phone carries, worked out from a ledger at a moment."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from partway.actions.haul.prices import prices_from_book
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.recording.describe import Say
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard, card
from partway.ledger import trading
from partway.ledger.events.kinds import Traded
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.ledger.workspaces import workspace_id
from partway.reports.bins.all import report_bins
from partway.reports.buyers.sheet import report_sheet
from partway.reports.called import Called
from partway.reports.haul.expected_ticket import haul_sheet
from partway.reports.pocket.shape import SCHEMA, Pocket, PocketCard, PocketHaul, PocketKind
from partway.reports.what.caution_cards import all_cards
from partway.storage.store import SqlBook
from partway.things.scenario import Scenario
from partway.valuing.known import catalogue_of
from partway.valuing.learned.odds import odds_of
from partway.web.pocket.carried.forms import pocket_forms
from partway.web.pocket.carried.kinds import pocket_guesses, pocket_kinds
from partway.web.pocket.carried.sheet import pocket_buyers, pocket_sheet
from partway.web.pocket.carried.standing import pocket_bins, pocket_finds, pocket_grades, pocket_haul
from partway.web.pocket.carried.tables import pocket_tables
from partway.web.pocket.state import state_of
from partway.web.show import Show

WEEK = 7  # days, from which on a day is named by its date and not as yesterday or Tuesday


@dataclass(frozen=True)
class Carrying:
    """A ledger at a moment of its own zone, each part of it read once."""

    book: SqlBook
    now: dt.datetime

    @property
    def day(self) -> dt.date:
        """The day prices are read as of."""
        return self.now.date()

    @cached_property
    def show(self) -> Show:
        """Numbers in the workspace's unit, currency and locale. Names go by dates: today is over when they are read."""
        later = self.day + dt.timedelta(days=WEEK)
        return Show(Say.of(self.book), self.day, self.now.tzinfo, Called(self.book, later, self.now.tzinfo))

    @cached_property
    def settings(self) -> dict[str, str]:
        """The settings of the workspace."""
        return standing.settings(self.book)

    @cached_property
    def finds(self) -> dict[str, FindNow]:
        """Finds that are not closed."""
        return standing.finds(self.book)

    @cached_property
    def buyers(self) -> dict[str, Traded]:
        """Buyers with their terms."""
        return trading.buyers(self.book)

    @cached_property
    def prices(self) -> Scenario:
        """As the pages have them."""
        return prices_from_book(self.book, self.day, lambda: scenario_from_book(self.book, self.day, counting=False))

    def pocket(self) -> Pocket:
        """All of it but the test key."""
        show, prices = self.show, self.prices
        mostly = shipped().guesses.names
        kinds = pocket_kinds(prices, odds_of(self.book), show)
        sheet = pocket_sheet(report_sheet(self.book, self.day), self.buyers, show)
        return Pocket(
            schema=SCHEMA,
            workspace=workspace_id(self.book),
            state=state_of(self.book, self.day),
            name=self.settings.get("name", ""),
            made=self.now.astimezone(dt.UTC).isoformat(timespec="seconds"),
            on=self.day.isoformat(),
            day=day_words(self.day),
            currency=show.say.currency,
            unit=show.say.unit,
            cards=self._cards(kinds),
            kinds=kinds,
            unknown=pocket_guesses(prices, mostly, show),
            sheet=sheet,
            finds=pocket_finds(self.finds, catalogue_of(self.book), prices, show),
            bins=pocket_bins(report_bins(self.book, self.now).lines, show),
            buyers=pocket_buyers(sheet),
            grades=pocket_grades(shipped().grades.values()),
            hauls=self._hauls(),
            tables=pocket_tables(show.say.unit, self.settings.get("locale", "")[-2:]),
            forms=pocket_forms(mostly, show.say.unit),
        )

    def _hauls(self) -> tuple[PocketHaul, ...]:
        sheets = [haul_sheet(self.book, name, shipped().grades, self.now) for name in trading.started(self.book)]
        return tuple(pocket_haul(sheet, self.buyers, self.show) for sheet in sheets if sheet is not None)

    def _cards(self, kinds: tuple[PocketKind, ...]) -> tuple[PocketCard, ...]:
        """Every card, and one for each hazard that a kind of one's own names and no card is of."""
        known = all_cards()
        others = dict.fromkeys(hazard for kind in kinds for hazard in kind.hazards)
        more = [card(shipped().cautions, hazard) for hazard in others if hazard not in shipped().cautions]
        return tuple(card_in_words(one, self.show) for one in (*known, *more))


def day_words(day: dt.date) -> str:
    """A day as a phone shows it, which cannot know how long ago it will be: "Saturday 21 November 2026"."""
    return f"{day:%A} {day.day} {day:%B} {day.year}"


def card_in_words(one: CautionCard, show: Show) -> PocketCard:
    """A card: what comes first, then the rest."""
    more = tuple((title, text) for title, text in one.full if title != "first")
    return PocketCard(one.id, one.name, show.sentence(one.first), more)
