"""One bin as a page: what is in it, and what that brings at each buyer."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from partway.actions.recording.describe import Say
from partway.catalogue.cards import cards_of_grades
from partway.cli.careful import Careful
from partway.cli.words import few
from partway.reports.bins.one import OneBin
from partway.valuing.lots import AtBuyer


def show_bin(console: Console, one: OneBin, say: Say, careful: Careful) -> None:
    """What can hurt first, then what is there, then the buyers, the best first."""
    for text in careful.lines(cards_of_grades([one.line.grade])):
        console.print(Text(text))
    line = one.line
    full = f", {line.fill.share[1]:.0%} full" if line.fill else ""
    age = f", the oldest {line.days} day{'' if line.days == 1 else 's'} old" if line.days else ""
    name = line.name or line.grade_name
    grade = "" if name == line.grade_name else f" ({line.grade_name})"
    console.print(Text.assemble((f"{name}{grade}", "bold"), f": {say.kg(line.mass_kg)}{full}{age}"))
    if one.note:
        console.print(Text(f"  {one.note}"))
    for at in one.at_buyers:
        console.print(Text(f"  {_at(at, say, line.grade)}"))
    for lot in one.next_lots:
        if lot.near:
            console.print(
                Text(f"  {say.kg(lot.missing_kg)} more and {lot.name} pays {say.money(lot.adds)} more for it")
            )
    for refusal in one.turned:
        console.print(Text(f"  {refusal.name} does not take it"))
    if one.unquoted:
        console.print(Text(f"  Never asked: {few([name for _, name in one.unquoted])}"))


def _at(at: AtBuyer, say: Say, grade: str) -> str:
    as_grade = "" if at.grade == grade else f" as {at.grade_name}"
    after = f" after {' and '.join(at.after)}" if at.after else ""
    price = f"{say.price(at.net_per_kg)}{after}"
    worth = f"{say.kg(at.short_kg)} short of a lot" if at.value is None else say.money(at.value)
    flat = f"; each ticket there costs {say.money(at.ticket_fee)}" if at.ticket_fee else ""
    return f"{at.name}{as_grade}: {price}, {worth}{flat}"
