"""One question where a message has the prices of several yards: whose are written down here."""

from __future__ import annotations

from collections.abc import Sequence

from partway.pricelist.asking.questions import LEAVE_OUT, either
from partway.pricelist.copying import replace
from partway.pricelist.lines import GradeChoice, Item, ListSheet, PriceLine


def is_of_another(item: Item, sheet: ListSheet) -> bool:
    """Whether a line is of another yard than the one that was answered; rows that name none are of each."""
    whose = sheet.yards.get(item.row, "")
    return bool(sheet.yard and whose) and whose != sheet.yard


def priced_by_several(lines: Sequence[PriceLine], sheet: ListSheet) -> bool:
    """Whether one grade has a price at two of the yards."""
    said: dict[str, set[str]] = {}
    for line in lines:
        if line.grade and line.item.prices and (whose := sheet.yards.get(line.item.row)):
            said.setdefault(line.grade, set()).add(whose)
    return any(len(yards) > 1 for yards in said.values())


def yard_asked(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """The lines, the first asking whose prices are written down; all others wait for that, which may change any."""
    names = tuple(dict.fromkeys(sheet.yards.values()))
    found = list(lines)
    priced = [at for at, line in enumerate(lines) if sheet.yards.get(line.item.row) and line.status != "remark"]
    choices = tuple(GradeChoice(name, name, lines[priced[0]].item, settles=("yard", name)) for name in names)
    question = f"Prices of several yards stand in this list; which of them do you write down here: {either(names)}?"
    for at, line in enumerate(lines):
        if line.status != "remark":
            found[at] = replace(line, status="ambiguous", asks="with", question="", choices=())
    first = found[priced[0]]
    found[priced[0]] = replace(first, asks="yard", question=question, choices=(*choices, LEAVE_OUT))
    return found
