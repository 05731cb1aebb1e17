"""A yard's ticket as it was read in a photograph: of each line its grade, net mass, price and amount.

The figures of a line hold one another: mass times price is the amount, to the cent. Where they do not, or one of them
was not read, somebody has to look. Nothing is worked out in place of what could not be read.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from partway.pricelist.copying import replace
from partway.pricelist.layout.scanned import unscanned
from partway.pricelist.reading import read_price_list, sheet_of
from partway.pricelist.tickets.figures import FIGURE, Figure, figures_in
from partway.quantities import kg_per
from partway.things.material import Grade

Doubt = Literal["grade", "mass", "price", "amount", "sum"]  # sum: mass times price is not the amount
UNREAD: tuple[Doubt, ...] = ("mass", "price", "amount")
CENT = Decimal("0.01")  # that rounding may leave between them
LINE = re.compile(rf"(?P<name>.*?[A-Za-z].*?)\s+(?P<figures>{FIGURE}(?:\s+(?:[x×*=]\s*)?{FIGURE}){{1,5}})\s*")
TOTAL = re.compile(rf"(?:grand |ticket )?total\s*(?:due|paid)?\s*:?\s*(?P<figure>{FIGURE})\s*", re.IGNORECASE)
POUND = re.compile(r"(?<=[0-9])\s?[1lI|]b(?![A-Za-z])")  # 107.7 1b, and 26.4 lb0.41
RUN_ON = re.compile(
    r"(?P<name>.*[A-Za-z)])\s+[^A-Za-z]*[0-9?][^A-Za-z]*(?:/?\s?[a-z]{1,3})?[^A-Za-z]*"
)  # figures in one
NUMBER = re.compile(
    r".*\bticket\s*(?:no\.?|number|nr\.?|#)*\s*:?\s*(?P<number>[A-Z]{0,3}-?[0-9]{2,12})\b.*", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class TicketRow:
    """A line as it stands on the ticket (`text`), and each field as somebody would type it; empty where it could not be
    read, or, for the grade, where its name is not of one grade alone. `doubts` are what to look at.
    """

    text: str
    grade: str
    mass: str
    price: str
    amount: str
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class TicketText:
    """A ticket: its lines, its printed total and number, empty where they are not there, and whatever else was read."""

    rows: tuple[TicketRow, ...]
    total: str = ""
    number: str = ""
    rest: tuple[str, ...] = ()


def read_ticket(text: str, grades: Mapping[str, Grade], currency: str, unit: str, *, comma: bool = False) -> TicketText:
    """What is printed on a ticket, line by line. `unit` is the workspace's, of a bare number. Raises Refused for a
    currency or a unit that does not exist.
    """
    lexicon = sheet_of(grades, currency, unit, {}, comma=comma).lexicon
    found = TicketText(())
    for said in filter(None, (" ".join(line.split()) for line in text.splitlines())):
        line = " ".join(POUND.sub(" lb ", unscanned(said, lexicon)).split())
        row = LINE.fullmatch(line)
        if total := TOTAL.fullmatch(line):
            (sum_,) = figures_in(total["figure"], comma=comma)
            found = replace(found, total=sum_.text if sum_.value is not None and not sum_.unit else "")
        elif row and not line.lower().startswith(("total", "subtotal", "sub total")):
            name, figures = _without_number(row["name"], figures_in(row["figures"], comma=comma))
            grade = _grade(name, grades, currency, unit)
            found = replace(found, rows=(*found.rows, _row(said, grade, figures, unit)))
        elif (number := NUMBER.fullmatch(said)) and not found.number:
            found = replace(found, number=number["number"])
        elif (run := RUN_ON.fullmatch(line)) and (grade := _grade(run["name"], grades, currency, unit)):
            found = replace(found, rows=(*found.rows, TicketRow(said, grade, "", "", "", UNREAD)))
        else:
            found = replace(found, rest=(*found.rest, said))
    return found


def _without_number(name: str, figures: Sequence[Figure]) -> tuple[str, Sequence[Figure]]:
    """The number of a name that ends in one, "HMS 1", is none of the figures: of these there are three, or five with
    gross and tare before the net.
    """
    first = figures[0]
    if len(figures) in (4, 6) and first.value is not None and first.text.isdecimal() and not first.unit:
        return f"{name} {first.text}", figures[1:]
    return name, figures


def _grade(name: str, grades: Mapping[str, Grade], currency: str, unit: str) -> str:
    """The one grade that a name is of, as lists are read; empty where it would be asked about."""
    said = [one for one in read_price_list(f"{name}  1.00 /lb", grades, currency, unit, {}) if one.status != "remark"]
    return (said[0].grade or "") if len(said) == 1 and said[0].asks != "grade" else ""


def _row(text: str, grade: str, figures: Sequence[Figure], unit: str) -> TicketRow:
    mass, price, amount = _roles(figures)
    of = mass.unit or unit
    per = price.unit or of
    doubts: list[Doubt] = [] if grade else ["grade"]
    sides: tuple[tuple[Doubt, Figure], ...] = (("mass", mass), ("price", price), ("amount", amount))
    doubts += [name for name, figure in sides if figure.value is None]
    if mass.value is not None and price.value is not None and amount.value is not None:
        made = mass.value * kg_per(of) / kg_per(per) * price.value
        if abs(made - amount.value) > CENT:
            doubts.append("sum")
    return TicketRow(
        text,
        grade,
        f"{mass.text} {of}" if mass.value is not None else "",
        f"{price.text} /{per}" if price.value is not None else "",
        amount.text if amount.value is not None else "",
        tuple(doubts),
    )


def _roles(figures: Sequence[Figure]) -> tuple[Figure, Figure, Figure]:
    """Which of a line's figures are its net mass, its price and its amount: by what they say they are, else by their
    order, in which tickets have them (common practice, no source).
    """
    none = Figure("", None)
    rates = [n for n, one in enumerate(figures) if one.per]
    masses = [n for n, one in enumerate(figures) if one.unit and not one.per]
    if masses and not rates:
        behind = [*figures[masses[-1] + 1 :], none, none]
        return figures[masses[-1]], behind[0], behind[1]
    if not rates:
        three = figures[-3:] if len(figures) > 2 else [*figures, none]
        return three[0], three[1], three[2]
    plain = [n for n, one in enumerate(figures) if not one.unit and not one.per]
    before = [n for n in plain if n < rates[0]]
    mass = masses[-1] if masses else before[-1] if before else None
    amount = next((n for n in reversed(plain) if n != mass), None)
    return (
        figures[mass] if mass is not None else none,
        figures[rates[0]],
        figures[amount] if amount is not None else none,
    )
