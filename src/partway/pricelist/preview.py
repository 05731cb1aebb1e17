"""A price list before it is saved: plain rows to show, and lines written so that they read back the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.pricelist.asking.questions import per_text, price_text
from partway.pricelist.lines import EACH, PriceLine, Status
from partway.quantities import kg_per, mg_text, to_mg

SHORT = 12  # characters of a mass that is shown in its own unit


@dataclass(frozen=True, slots=True)
class PreviewRow:
    """One line for display. Prices are exact: money per kg, and per one of the workspace's `unit`.

    `previous` is the buyer's last price per `unit`, `change` the new one over it, less one; None where there is none.
    `passed_over` says in words why a remark is one. `most_ends` is the most that was taken until now, in
    words, where the new price says none: it holds no longer. `piece_by` says who knows what one piece weighs where the
    buyer did not say it. `told_by` says what told the grade or the price where the line leaves it open.
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
    most_ends: str = ""
    passed_over: str = ""
    piece_by: str = ""
    told_by: str = ""


PASSED_OVER = {
    "": "",
    "no price": "says no price, passed over",
    "heading": "stands over the lines below it",
    "when asked": "a price only when asked, passed over",
    "left out": "left out, as you said",
    "corrected": "corrected further on in the list",
    "ticket": "holds for the whole ticket, goes into the buyer's note",
}


def preview(lines: Sequence[PriceLine]) -> list[PreviewRow]:
    """The lines as rows, in their order."""
    return [_row(line) for line in lines]


def _row(line: PriceLine) -> PreviewRow:
    unit = line.sheet.unit if line.sheet else line.unit
    factor = kg_per(unit)
    per_unit = None
    if line.price is not None and line.per_kg is not None:
        per_unit = line.price if line.unit == unit else line.per_kg * factor
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
        _most_ends(line),
        PASSED_OVER[line.passed_over],
        line.piece_by,
        _told_by(line),
    )


def _told_by(line: PriceLine) -> str:
    """What settled a line that leaves its grade, or its price, open; "" where it says both or an answer did."""
    item, sheet = line.item, line.sheet
    if sheet is None or line.grade is None or line.status != "understood" or not item.prices:
        return ""
    if item.moved is not None:
        return "by the price before"
    if not item.words or item.exact or item.called:
        return ""
    family = sheet.grades[line.grade].family  # "#2" is copper or heavy melt, which nobody takes for each other
    alike = sum(sheet.grades[grade].family == family for grade, _ in sheet.lexicon.match(item.words)[0])
    if alike < 2:
        return ""
    return "as this buyer quoted it before" if line.grade in sheet.known else "by the rest of the list"


def _most_ends(line: PriceLine) -> str:
    if line.sheet is None or line.grade is None or line.refuses or line.most_mg or line.most_pieces:
        return ""
    mg, pieces = line.sheet.mosts.get((line.grade, line.from_mg), (0, 0))
    return (
        f"at most {pieces} piece{'' if pieces == 1 else 's'}" if pieces else f"at most {_lot(mg, line)}" if mg else ""
    )


def written(line: PriceLine) -> str:
    """The line as it was read: "No. 2 copper 4.10 /lb from 100 lb". Reading an understood one again gives it back."""
    if line.sheet is None or line.grade is None:
        return ""
    name = line.sheet.grades[line.grade].name
    price = "" if line.price is None else f" {price_text(line.price, line.sheet.currency)}"
    if price and line.unit:
        price = f" {per_text(line.price or Decimal(0), line.unit, line.sheet.currency)}"
    if price and line.unit and line.ends:
        low = price_text(line.ends[0], line.sheet.currency)
        price = f" {low} to {per_text(line.ends[1], line.unit, line.sheet.currency)}"
    lots = _lots_of(line)
    if line.refuses or line.price == 0:
        return f"{name}{lots}{',' if ',' in lots else ''} {'not taking' if line.refuses else 'free'}"
    return f"{name}{price}{lots}"


def _lots_of(line: PriceLine) -> str:
    """Where its tier begins, least and most; behind what one piece weighs with commas, since they would run on."""
    behind = "," if line.piece_mg else ""
    one = f", one weighs {_lot(line.piece_mg, line)}" if line.piece_mg else ""
    first = f"{behind} from {_lot(line.from_mg, line)}" if line.from_mg else ""
    least = f"{behind} min {_lot(line.minimum_mg, line)}" if line.minimum_mg else ""
    most = f"{behind} max {_lot(line.most_mg, line)}" if line.most_mg else ""
    most = f"{behind} max {line.most_pieces} pieces" if line.most_pieces else most
    return f"{one}{first}{least}{most}"


def _lot(mg: int, line: PriceLine) -> str:
    """A mass in the unit that says it shortest."""
    said = "" if line.unit == EACH else line.unit
    units = (said or "kg", "lb", "kg", "short ton", "tonne", "long ton", "g", "oz")
    texts = [mg_text(mg, unit) for unit in units]
    return min((text for text in texts if to_mg(text, "price list") == mg), key=lambda text: len(text.split()[0]))
