"""What rounds earned by the hour, place by place, and which to go on next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from partway.actions.bench.benching import bench_scenario, sorted_out
from partway.actions.curb.rounds import round_line
from partway.actions.recording.describe import Say
from partway.display import length_of_time
from partway.ledger.book import Book
from partway.ledger.fold.driving import cost_per_km
from partway.ledger.fold.standing import FindNow, settings
from partway.things.scenario import Scenario
from partway.valuing.known import catalogue_of
from partway.valuing.trips.find_money import find_money
from partway.valuing.trips.rounds import WEEKDAYS, PlaceDay, RoundEarned, RoundMade, earned_by, place_days, rounds_made

LATEST = 12  # rounds listed


@dataclass(frozen=True, slots=True)
class Rounds:
    """Rounds `going`, the `latest` that are over, what each place and weekday brings, and which to go on `next` on the
    `weekday` asked about, best first.
    """

    currency: str
    weekday: str
    hours: float | None
    going: tuple[RoundMade, ...]
    latest: tuple[RoundEarned, ...]
    count: int
    places: tuple[PlaceDay, ...]
    next: tuple[PlaceDay, ...]

    def words(self, say: Say, zone: dt.tzinfo | None) -> Iterator[str]:
        """Its lines."""
        for one in self.going:
            yield round_line(one, zone)
        if self.next:
            within = f" within {self.hours:g} h" if self.hours is not None else ""
            yield f"Next, on a {self.weekday}{within}:"
            yield from (f"  {place_line(one, say)}" for one in self.next)
        if self.places:
            yield "So far, bench and fuel paid:"
            yield from (f"  {one.weekday}, {place_line(one, say)}" for one in self.places)
        for earned in self.latest:
            yield f"{round_line(earned.made, zone)}: {earned_line(earned, say)}"
        if not (self.going or self.latest):
            yield "No round is recorded yet."


def place_line(one: PlaceDay, say: Say) -> str:
    """A place on a weekday: what an hour brings, with its range and what it counts on."""
    span = "" if one.low is None else f", mostly {say.money(one.low)} to {say.money(one.high or 0.0)}"
    here = f"{one.rounds} round{'' if one.rounds == 1 else 's'} that day, {one.of_place} in all"
    long = "" if one.fits is not False else "; longer than the hours there are"
    return f"{one.place}: {say.money(one.per_hour)} an hour{span} ({here}; {length_of_time(one.minutes)}{long})"


def earned_line(one: RoundEarned, say: Say) -> str:
    """What one round came to."""
    finds = f"{len(one.made.finds)} find{'' if len(one.made.finds) == 1 else 's'}"
    fuel = "fuel not counted, no distance said" if one.unknown_km else f"fuel {say.money(one.fuel)}"
    hour = "no time said" if one.per_hour is None else f"{say.money(one.per_hour)} an hour"
    worth = f"{say.money(one.brought)} brought, {say.money(one.waiting)} waiting"
    return f"{hour}; {finds}, {worth}, {fuel}"


def rounds_earned(book: Book, prices: Scenario, finds: Mapping[str, FindNow]) -> tuple[RoundEarned, ...]:
    """What each round that is over came to, the latest first: for all that is told of rounds, by day or by place."""
    return _earned(book, prices, finds, rounds_made(book))


def _earned(
    book: Book, prices: Scenario, finds: Mapping[str, FindNow], made: Sequence[RoundMade]
) -> tuple[RoundEarned, ...]:
    of_rounds = {find for one in made for find in one.finds}
    there = {name: now for name, now in finds.items() if name in of_rounds}
    waiting, _ = sorted_out(book, there, prices.on)
    scenario = bench_scenario(catalogue_of(book), prices, there)
    money = find_money(book, of_rounds, waiting, scenario) if of_rounds else {}
    return earned_by(made, money, float(cost_per_km(settings(book)) or 0))


def rounds_report(
    book: Book,
    prices: Scenario,
    finds: Mapping[str, FindNow],
    now: dt.datetime,
    weekday: int | None = None,
    hours: float | None = None,
) -> Rounds:
    """Rounds at the prices of a scenario; `finds` are those that are not closed. `weekday` counts from Monday, 0; by
    default that of `now`.
    """
    made = rounds_made(book)
    earned = _earned(book, prices, finds, made)
    day = now.weekday() if weekday is None else weekday
    return Rounds(
        currency=prices.currency,
        weekday=WEEKDAYS[day],
        hours=hours,
        going=tuple(one for one in made if one.ended is None),
        latest=earned[:LATEST],
        count=len(earned),
        places=place_days(earned, now.tzinfo),
        next=place_days(earned, now.tzinfo, day, hours),
    )
