"""Go or wait, in one sentence with its reason."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from partway.reports.names import ScenarioNames
from partway.valuing.plans.facts import GoOrWait

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
