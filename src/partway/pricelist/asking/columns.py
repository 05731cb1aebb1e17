"""Two of the questions for a whole list: which of several columns of prices it is, and who pays."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from partway.pricelist.asking.questions import THEY_PAY, YOU_PAY, either, price_text
from partway.pricelist.copying import replace
from partway.pricelist.lines import GradeChoice, Item, ListSheet, PriceLine
from partway.pricelist.names import listed

COLUMNS = ("the first", "the second", "the third", "the fourth", "the fifth", "the sixth")
SHOWN = 6  # numbers or names that one question repeats


def few_of(texts: Sequence[str]) -> str:
    """A few of several texts in a row: "41, 72 and 38"."""
    told = list(dict.fromkeys(texts))
    if len(told) > SHOWN:
        return f"{', '.join(told[:SHOWN])} and so on"
    return f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]


def named_all(names: Sequence[str]) -> str:
    """All of several names in a row, however many: a question shows which lines it is about."""
    told = list(dict.fromkeys(names))
    return f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]


def is_column(line: PriceLine) -> bool:
    """Whether a line asks which of several prices in its row it is."""
    several = len(line.item.prices) > 1 and not line.item.units[1:]
    return several and line.asks == "price" and line.status == "ambiguous"


def ask_column(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    """The question which column counts, and its answers."""
    count = len(lines[0].item.prices)
    of = [few_of([price_text(line.item.prices[n].readings[0], sheet.currency) for line in lines]) for n in range(count)]
    heads = sheet.columns if len(sheet.columns) == count else COLUMNS
    choices = tuple(
        GradeChoice(f"column {n + 1}", f"{heads[n]}: {prices}", lines[0].item, settles=("column", f"{n}/{count}"))
        for n, prices in enumerate(of)
    )
    names = named_all([sheet.grades[line.grade].name for line in lines if line.grade])
    return f"Which column of prices is it for {names}: {either(choice.label for choice in choices)}?", choices


def of_one_table(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """Those with as many prices as most of them have."""
    counts = Counter(len(line.item.prices) for line in lines)
    most = counts.most_common(1)[0][0] if counts else 0
    return [line for line in lines if len(line.item.prices) == most <= len(COLUMNS)]


def in_that_column(item: Item, sheet: ListSheet) -> Item:
    """The item at the price in the column that was answered for the list."""
    place, _, count = sheet.column.partition("/")
    if not count or len(item.prices) != int(count):
        return item
    return replace(item, prices=(item.prices[int(place)],))


def is_payer(line: PriceLine) -> bool:
    """Whether a line asks only who pays."""
    return line.asks == "price" and any(choice.key == YOU_PAY for choice in line.choices)


def ask_payer(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    """The question who pays, and its answers."""
    names = named_all([sheet.grades[line.grade].name for line in lines if line.grade])
    choices = tuple(GradeChoice(key, key, lines[0].item, settles=("pays", key)) for key in (THEY_PAY, YOU_PAY))
    return f"{names}: do they pay that, or do you pay it?", choices


def paid_so(item: Item, grade: str | None, sheet: ListSheet) -> Item:
    """The item with its price turned where it was answered for the list that you pay for such things."""
    if item.payer_known or grade not in listed("charged") or sheet.pays not in {THEY_PAY, YOU_PAY}:
        return item
    known = replace(item, payer_known=True)
    mine = sheet.pays == YOU_PAY
    return replace(known, prices=tuple(heard.negative() for heard in item.prices)) if mine else known
