"""What a printed plan keeps, and its money."""

from __future__ import annotations

from rich.text import Text

from partway.cli.haul.page.sheet import PlanSheet, table_of
from partway.cli.words import hours, times


def show_kept(sheet: PlanSheet) -> None:
    """What is kept and why."""
    if not sheet.plan.kept:
        return
    sheet.title("Keep")
    table = table_of("", "what", "mass", "counts as", "why")
    for line in sheet.plan.kept:
        what = sheet.words.grade(line.grade) if line.grade else _kept_piece(sheet, line.kind, line.piece, line.count)
        mass, value = sheet.words.mass(line.mass_kg), sheet.words.plain(line.value)
        table.add_row(str(line.line), what, mass, value, Text(line.reason))
    sheet.console.print(table)


def _kept_piece(sheet: PlanSheet, kind: str | None, piece: str | None, count: int | None) -> str:
    return times(count or 1, sheet.words.piece(kind or "", piece or ""))


def show_money(sheet: PlanSheet) -> None:
    """The sum, line by line, as the objective counts it."""
    money, words = sheet.plan.money, sheet.words
    sheet.title(f"Money, {sheet.plan.currency}")
    table = table_of("what", "amount", "why")
    table.show_header = False
    rows = [
        ("scale and mail", money.sales),
        ("parts, on average", money.parts),
        ("postage", money.shipping),
        ("fees and consumables", money.fees),
        ("driving", money.driving),
    ]
    for what, amount in rows:
        if amount:
            table.add_row(what, words.plain(amount), "")
    table.add_row(Text("cash", style="bold"), Text(words.plain(sheet.plan.cash.expected), style="bold"), _rate(sheet))
    wage = words.scenario.hours.wage
    spent = hours(sheet.plan.hours.bench + sheet.plan.hours.away)
    table.add_row("your hours", words.plain(money.wage), f"{spent} at {words.plain(wage)}")
    table.add_row("what is kept", words.plain(money.kept), "at its keep value")
    table.add_row(
        "what the plan is worth",
        words.plain(sheet.plan.objective),
        "this is what was made as large as it can be",
    )
    sheet.console.print(table)
    _next_hours(sheet)


def _rate(sheet: PlanSheet) -> str:
    rate = sheet.plan.cash_per_hour
    return "" if rate is None else f"{sheet.words.money(rate)} for each hour worked"


def _next_hours(sheet: PlanSheet) -> None:
    for gain, where in ((sheet.plan.next_hour, "at the bench"), (sheet.plan.next_away_hour, "away")):
        if gain is not None:
            added = f"adds {sheet.words.money(gain)} on top of your wage" if gain >= 0.005 else "adds nothing"
            sheet.indented(f"One hour more {where} {added} (solved again).")
