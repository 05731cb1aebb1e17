"""Why something is kept, and whether to go or wait, in words: the one place where a reason becomes a sentence."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from partway.quantities import format_least_in, format_rate_in
from partway.reports.names import ScenarioNames
from partway.things.scenario import Scenario
from partway.valuing.plans.facts import Because, GoOrWait, Reason

# Filled in once, so that nothing inside a name is ever taken for something to fill in.
WORDS: dict[Because, str] = {
    "unquoted": "nobody here quotes it",
    "charges": "{buyer} would charge {price} for it",
    "postage-too-dear": "posting it to {buyer} costs more than it pays, at any mass",
    "small-lot": "{buyer} takes lots from {least}",
    "no-room-for-lot": "{buyer} takes lots from {least}, and the load has no room for so much more",
    "small-to-post": "{buyer} pays by post from {least}, sent alone",
    "pays-best-elsewhere": "{buyer} pays best and is not on this haul",
    "taken-free-elsewhere": "{buyer} takes it for nothing and is not on this haul",
    "not-posted": "{buyer} pays best, by mail, and nothing is posted there this time",
    "too-large": "loaded whole, it is too large for any load, parcel or lot here",
    "too-heavy": "too heavy for one person, who lifts {most}: it takes a helper",
    "closed": "{buyer} pays best and is closed that day{opens}",
    "takes-no-more": "{buyer} takes no more than {most} at one visit",
    "payload-full": "the load weighs all that the vehicle may carry",
    "vehicle-full": "the load fills the vehicle",
    "no-room": "no room left for it on this haul",
    "stays-shut": "stays shut ({caution}); no buyer here takes it as it is",
    "required-first": "may be sold by grade only after: {operation}",
    "opening-earns-less": "opening it earns less than the bench hours bring elsewhere",
    "on-offer": "it is on offer, and waits for its buyer",
    "pays-less": "sold now it brings less than it counts for kept",
    "next-load": "comes with the next load: alone it is not worth the trip to {buyer}",
}
GO = {
    "full-load": "the vehicle is full, and the load {brings}",
    "shed-filling": "the shed is filling up, and the load {brings}",
    "pays": "the load {brings}",
}
WAIT = {
    "pays-by": "a load for {buyer} is worth {worth} now, {later} by {day}, when it pays its trip",
    "too-little": "a load for {buyer} is worth {worth} now, and what comes in makes no trip pay within half a year",
    "inflow-unknown": "a load for {buyer} is worth {worth} now, less than it counts kept; what comes in is not known",
}


@dataclass(frozen=True)
class ReasonWords:
    """A scenario's names, and how masses and prices per kg are written where the words are read."""

    names: ScenarioNames
    mass: Callable[[float], str]
    price: Callable[[float], str]

    @classmethod
    def of(cls, scenario: Scenario) -> ReasonWords:
        """In the scenario's own unit and currency."""
        unit, currency = scenario.unit, scenario.currency
        return cls(
            ScenarioNames(scenario),
            lambda kg: format_least_in(kg, unit),
            lambda per_kg: f"{currency} {format_rate_in(per_kg, unit)}",
        )

    def say(self, reason: Reason) -> str:
        """One clause, without a full stop."""
        reached = (
            f", reached by {day_said(reason.by)} at {self.mass(reason.weekly_kg or 0.0)} a week" if reason.by else ""
        )
        said = WORDS[reason.code].format(
            buyer=self.names.buyer(reason.buyer or ""),
            opens=f": it opens on {reason.opens}" if reason.opens else "",
            most=f"{reason.pieces} pieces" if reason.pieces else self.mass(reason.most_kg or 0.0),
            least=self.mass(reason.least_kg or 0.0),
            price=self.price(reason.per_kg or 0.0),
            caution=self.names.caution(reason.caution or "").lower(),
            operation=self.names.operation(reason.kind or "", reason.operation or ""),
        )
        return said + reached


def say_go(it: GoOrWait, names: ScenarioNames, money: Callable[[float], str], day: Callable[[str], str]) -> str:
    """The sentence."""
    if it.go:
        brings = f"brings {money(it.worth)} after its drive"
        if it.worth < 0.0:
            brings = f"costs {money(-it.worth)}, drive included"
        later = f", {money(it.later)} in a week" if it.later is not None and it.code == "pays" else ""
        return f"Go: {GO[it.code].format(brings=brings)}{later}{_room(it)}."
    said = WAIT[it.code].format(
        buyer=names.buyer(it.buyer or ""),
        worth=money(it.worth),
        later=money(it.later or 0.0),
        day=day(it.by) if it.by else "",
    )
    return f"Wait: {said}{_room(it)}."


def _room(it: GoOrWait) -> str:
    if it.room_weeks is None:
        return ""
    weeks = int(it.room_weeks)
    return (
        f"; the shed has room for {'less than a week' if not weeks else 'a week' if weeks == 1 else f'{weeks} weeks'}"
    )


def day_said(day: str) -> str:
    """A day as people say it: "Saturday 28 March"."""
    on = dt.date.fromisoformat(day)
    return f"{on:%A} {on.day} {on:%B}"
