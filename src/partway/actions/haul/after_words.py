"""A haul that is over, held against its plan, in words: what a page and the command say alike."""

from __future__ import annotations

from collections.abc import Iterator

from partway.actions.recording.describe import Say
from partway.display import length_of_time
from partway.things.buyers import buyer_name
from partway.valuing.trips.after_haul import AfterHaul, Difference


def after_lines(after: AfterHaul, say: Say) -> Iterator[str]:
    """What was planned and what came of it: the whole, each stop, and the largest difference last."""
    yield f"Planned {say.money(after.planned)}, {say.money(after.got)} on tickets{_road(after, say)}."
    if after.per_hour is not None:
        instead = f" instead of {say.money(after.planned_per_hour)}" if after.planned_per_hour is not None else ""
        yield f"{say.money(after.per_hour)} an hour, fuel paid{instead}."
    for stop in after.stops:
        planned = f"planned {say.kg(stop.planned_kg)} for {say.money(stop.planned)}"
        yield f"{stop.name}: {planned}, {say.kg(stop.got_kg)} for {say.money(stop.got)}"
    yield largest_line(after, say)


def largest_line(after: AfterHaul, say: Say) -> str:
    """The difference that most money hangs on, in one line."""
    one = after.largest
    if one is None:
        return "It came out as planned."
    sign = "less" if one.money < 0 else "more"
    return f"The largest difference: {_said(one, say)}: {say.money(abs(one.money))} {sign} than planned."


def _road(after: AfterHaul, say: Say) -> str:
    told = []
    if after.minutes is not None:
        of = f" ({length_of_time(after.planned_minutes)} planned)" if after.planned_minutes is not None else ""
        told.append(f"{length_of_time(after.minutes)}{of}")
    if after.km is not None:
        of = f" ({say.km(after.planned_km)} planned)" if after.planned_km is not None else ""
        told.append(f"{say.km(after.km)}{of}")
    return f"; {', '.join(told)}" if told else ""


def _said(one: Difference, say: Say) -> str:
    at = f" at {buyer_name(one.buyer, '')}" if one.buyer else ""
    planned, got = one.planned or 0.0, one.got or 0.0
    if one.what == "mass":
        return f"{one.name}{at} weighed {say.kg(got)}, {say.kg(planned)} planned"
    if one.what == "price":
        return f"{one.name}{at} at {say.price(got)}, {say.price(planned)} planned"
    if one.what == "not-handed-over":
        return f"{say.kg(planned)} of {one.name} not handed over{at}"
    if one.what == "not-planned":
        return f"{say.kg(got)} of {one.name}{at}, which was not planned"
    if one.what == "minutes":
        return f"{got:.0f} minutes, {planned:.0f} planned"
    if one.what == "km":
        return f"{say.km(got)}, {say.km(planned)} planned"
    return f"taken off{at}" if one.what == "deductions" else f"the arithmetic{at}"
