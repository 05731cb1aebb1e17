"""What to say at the scale window: one sentence for a ticket that is not as it should be."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal

from partway.actions.recording.describe import Say
from partway.catalogue import shipped
from partway.quantities import plain_text
from partway.reports.haul.ticket_words import AS_IT_SHOULD_BE
from partway.spoken.texts import dated
from partway.things.material import Grade
from partway.valuing.trips.ticket_seen import Asked, LineSeen, TicketSeen

_TOPICS: Mapping[Asked, str] = {
    "short": "the weight of the {name}",
    "below-quote": "the price of the {name}",
    "below-plan": "the price of the {name}",
    "amount": "the amount of the {name}",
    "downgrade": "the grade of the {name}",
    "total": "the total",
    "deduction": "what was taken off",
}


def verdict(seen: TicketSeen) -> str:
    """One verdict a ticket: as it should be, or what to ask about."""
    return ask_about(seen) if seen.ask else AS_IT_SHOULD_BE


def ask_about(seen: TicketSeen) -> str:
    """What to ask about, in a few words."""
    ask = seen.ask
    if ask is None:
        return ""
    name = _name(seen.lines[ask.line - 1]) if ask.line else ""
    return f"Ask about {_TOPICS[ask.what].format(name=name)}"


def sentence(seen: TicketSeen, say: Say, grades: Mapping[str, Grade] | None = None) -> str:
    """What to say at the window, "" where there is nothing to ask."""
    ask = seen.ask
    if ask is None:
        return ""
    if ask.what == "total":
        lines = say.money(seen.total - seen.gap)
        total = f"the total says {say.money(seen.total)}"
        return f"The lines less what was taken off make {lines}, {total}: could you add it up again?"
    if ask.what == "deduction":
        what, amount = max(seen.new_deductions, key=lambda taken: taken[1])
        return f"You took {say.money(amount)} off for {what or 'something'}, for the first time: what was it?"
    return _of_line(ask.what, seen.lines[ask.line - 1], say, grades or shipped().grades)


def _of_line(what: str, line: LineSeen, say: Say, grades: Mapping[str, Grade]) -> str:
    name, mass = _name(line), say.mass(line.mass_mg)
    if what == "short":
        good = f"my scale is good to {say.mass(line.good_to_mg)}"
        return f"You wrote {mass} of {name}; I weighed {say.mass(line.own_mg)}, and {good}: could we put it on again?"
    price = f"{plain_text(line.price)} /{line.unit}"
    if what == "below-quote":
        ends = line.quoted_ends
        quoted = f"{_price(line.quoted)} /{line.unit}"
        quoted = f"{_price(ends[0])} to {_price(ends[1])} /{line.unit}" if ends else quoted
        return f"You said {quoted} for {name} on {_day(line.quoted_on)}; the ticket says {price}: which one holds?"
    if what == "below-plan":
        planned = f"{_price(line.planned_price)} /{line.unit}"
        return f"I came for {planned} for {name}; the ticket says {price}: what has changed?"
    if what == "amount":
        made, says = say.money(line.amount - _off(line)), say.money(line.amount)
        return f"{mass} of {name} at {price} make {made}, the ticket says {says}: could you work it out again?"
    brought = grades[line.brought_as].name if line.brought_as in grades else line.brought_as
    return f"I brought it as {_lower(brought)}, you wrote {name}: what did you see in it?"


def _off(line: LineSeen) -> Decimal:
    return next((d.money for d in line.doubts if d.what == "amount" and d.money is not None), Decimal(0))


def _price(price: Decimal | None) -> str:
    return "" if price is None else plain_text(round(price, 4))


def _name(line: LineSeen) -> str:
    return _lower(line.name)


def _lower(name: str) -> str:
    """A grade's name within a sentence: "No. 2 copper" keeps its capital, "Light iron" does not."""
    first, rest = name[:1], name[1:]
    return name if name.startswith("No.") or rest[:1].isupper() else f"{first.lower()}{rest}"


def _day(text: str) -> str:
    """A day as it is said at a window."""
    return dated(dt.date.fromisoformat(text))
