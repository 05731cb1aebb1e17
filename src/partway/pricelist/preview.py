"""A price list before it is saved: plain rows to show, and lines written so that they read back the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.pricelist.lines import PriceLine, Status
from partway.pricelist.questions import price_text
from partway.quantities import kg_per, mg_text, to_mg

SHORT = 12  # characters of a mass that is shown in its own unit


@dataclass(frozen=True, slots=True)
class PreviewRow:
    """One line for display. Prices are exact: money per kg, and per one of the workspace's `unit`.

    `previous` is the buyer's last price per `unit`, `change` the new one over it, less one; None where there is none.
    """

    position: int
    text: str
    read_as: str
    status: Status
    per_kg: Decimal | None
    per_unit: Decimal | None
    unit: str
    previous: Decimal | None
    change: Decimal | None
    question: str


def preview(lines: Sequence[PriceLine]) -> list[PreviewRow]:
    """The lines as rows, in their order."""
    return [_row(line) for line in lines]


def _row(line: PriceLine) -> PreviewRow:
    unit = line.sheet.unit if line.sheet else line.unit
    factor = kg_per(unit)
    per_unit = None if line.price is None or not line.unit else _in(line.price, line.unit, unit)
    last = line.sheet.known.get(line.grade) if line.sheet and line.grade else None
    previous = None if last is None else Decimal(repr(last)) * factor
    change = per_unit / previous - 1 if previous and previous > 0 and per_unit is not None else None
    return PreviewRow(
        line.position,
        line.text,
        written(line),
        line.status,
        line.per_kg,
        per_unit,
        unit,
        previous,
        change,
        line.question,
    )


def _in(price: Decimal, unit: str, other: str) -> Decimal:
    """A price per one unit as a price per another, exact where the units are the same."""
    return price if unit == other else price / kg_per(unit) * kg_per(other)


def written(line: PriceLine) -> str:
    """The line as it was read: "No. 2 copper 4.10 /lb from 100 lb". Reading an understood one again gives it back."""
    if line.sheet is None or line.grade is None:
        return ""
    name = line.sheet.grades[line.grade].name
    price = "" if line.price is None else f" {price_text(line.price, line.sheet.currency)}"
    per = f" /{line.unit}" if price and line.unit else ""
    first = f" from {_lot(line.from_mg, line)}" if line.from_mg else ""
    least = f" min {_lot(line.minimum_mg, line)}" if line.minimum_mg else ""
    if line.refuses or line.price == 0:
        return f"{name}{first}{least} {'not taking' if line.refuses else 'free'}"
    return f"{name}{price}{per}{first}{least}"


def _lot(mg: int, line: PriceLine) -> str:
    """A mass in the unit that says it shortest."""
    units = (line.unit or "kg", "lb", "kg", "short ton", "tonne", "long ton", "g", "oz")
    texts = [mg_text(mg, unit) for unit in units]
    return min((text for text in texts if to_mg(text, "price list") == mg), key=lambda text: len(text.split()[0]))
