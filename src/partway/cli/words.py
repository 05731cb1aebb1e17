"""Small words for pages: names for ids, masses and money as the scenario's people say them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from partway import display
from partway.distances import format_km_in
from partway.quantities import format_mass_in, format_money, format_price_in, out_of
from partway.reports.names import ScenarioNames
from partway.valuing.finds.facts import OnlyIf

LEAST_CHANCE = 0.05
MORE = (
    "Check your local code; leave licensed work to those who hold the licence. "
    "Who that is, and which rule: partway cautions NAME."
)


class PageWords(ScenarioNames):
    """Names and numbers of one scenario."""

    def mass(self, kg: float) -> str:
        """A mass in the scenario's unit."""
        return format_mass_in(kg, self.scenario.unit)

    def distance(self, km: float) -> str:
        """A distance in the scenario's unit."""
        return format_km_in(km, self.scenario.distance)

    def price(self, per_kg: float) -> str:
        """A price per unit of mass, currency understood."""
        return format_price_in(per_kg, self.scenario.unit)

    def money(self, amount: float) -> str:
        """An amount with its currency."""
        return format_money(amount, self.scenario.currency)

    def plain(self, amount: float) -> str:
        """An amount in a column that names the currency."""
        return self.money(amount).removeprefix(self.scenario.currency).strip()


def hours(value: float) -> str:
    """Hours as a clock says them: "45 min", "2 h 05"."""
    minutes = round(value * 60.0)
    return display.length_of_time(minutes)


def in_ten(chance: float) -> str:
    """A chance as people say it: "7 of 10"; what is rarer than 1 of 20 or surer than 19 of 20 as just that."""
    if chance < LEAST_CHANCE:
        return "under 1 of 20"
    return "over 19 of 20" if chance > 1.0 - LEAST_CHANCE else f"{round(chance * 10.0)} of 10"


def minutes(value: float) -> str:
    """A length of time, as pages say it; nothing takes no time."""
    return display.length_of_time(max(value, 0.01))


def weekday(on: str) -> Callable[[str], str]:
    """Days to come as people name them on a day: "Saturday", later ones with their date."""
    start = dt.date.fromisoformat(on)

    def said(day: str) -> str:
        then = dt.date.fromisoformat(day)
        return f"{then:%A}" if 0 < (then - start).days < 7 else f"{then:%A} {then.day} {then:%B}"

    return said


def sentence(text: str) -> str:
    """A text with its first letter a capital."""
    return text[:1].upper() + text[1:]


def answered(only_if: OnlyIf | None) -> str:
    """What only some finds need, before what it is: "if wound with copper (6 of 10): "."""
    return f"if {only_if.answer} ({out_of(only_if.share)}): " if only_if else ""


def in_some(only_if: OnlyIf | None) -> str:
    """How many of many have what only some finds have, behind what it is: ", in 6 of 10"."""
    return f", in {out_of(only_if.share)}" if only_if else ""


def typed(name: str) -> str:
    """The name by which a thing is typed in the next command, behind what people call it: "  [microwave-3]"."""
    return f"  [{name}]"


def times(count: int, what: str) -> str:
    """A count before a name, left out for one."""
    return what if count == 1 else f"{count} × {what}"


def few(names: Sequence[str]) -> str:
    """The first three of a list, and how many more."""
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
