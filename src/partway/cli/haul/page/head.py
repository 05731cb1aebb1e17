"""The head of a printed plan: its name, what can hurt, what is in doubt, the one number with its range."""

from __future__ import annotations

import datetime as dt

from rich.text import Text

from partway.cli.books.conflicts import ALL, mark
from partway.cli.haul.page.sheet import PlanSheet
from partway.cli.words import MORE, few, hours, in_ten, sentence
from partway.reports.books.conflicts import mark_of
from partway.reports.haul.doubts import in_short
from partway.spoken.texts import dated

SURELY = 0.95  # a plan that beats staying home so often needs no word about it


def show_name(sheet: PlanSheet) -> None:
    """What it is; no money before the cautions."""
    sheet.console.print(
        Text(sheet.plan.name, style="bold"), f" prices as of {dated(dt.date.fromisoformat(sheet.plan.on))}", sep=","
    )


def show_expected(sheet: PlanSheet) -> None:
    """The one number with its range, and how sure it is."""
    plan, words = sheet.plan, sheet.words
    sheet.console.print()
    sure = "proven best" if plan.status == "optimal" else in_short(plan.doubts) or _open(plan.gap)
    sheet.console.print(
        f"{words.money(plan.cash.expected)} in cash expected{_range(sheet)}; "
        f"{hours(plan.hours.bench)} at the bench, {hours(plan.hours.away)} away ({sure})."
    )
    if plan.go_or_wait:
        sheet.console.print(plan.go_or_wait)
    if plan.cash.beats_home < SURELY:
        sheet.console.print(f"Better than staying home in {in_ten(plan.cash.beats_home)}.")


def _open(gap: float | None) -> str:
    """How much better a plan may be; the first plan of a long search has no bound yet."""
    if gap is None:
        return "how much better is possible is not known yet"
    return f"at most {gap:.2%} better is possible"


def _range(sheet: PlanSheet) -> str:
    cash, plain = sheet.plan.cash, sheet.words.plain
    return f", 8 times in 10 between {plain(cash.low)} and {plain(cash.high)}" if cash.low != cash.high else ""


def show_cautions(sheet: PlanSheet, most: int | None = None) -> None:
    """Hazards before any money line; a picture may show the first few."""
    if not sheet.plan.cautions:
        return
    sheet.title("First: what can hurt")
    for caution in sheet.plan.cautions[:most]:
        whose = few([_whose(sheet, k) for k in caution.kinds])
        sheet.indented(Text.assemble((caution.name, "bold"), f" ({whose}): {caution.first}."))
        if caution.never:
            sheet.indented(f"{sentence(caution.never)}.", by=4)
    sheet.indented(MORE)


def show_conflicts(sheet: PlanSheet) -> None:
    """Finds and bins whose mass is in doubt: the money below counts them as the ledger has them."""
    if not sheet.plan.conflict:
        return
    sheet.title("To settle: what this plan counts may not be there")
    for one in sheet.plan.conflict:
        what = f"{one.place.partition(':')[2]} ({_whose(sheet, one.of).lower()})"
        sheet.indented(f"{what}{mark(mark_of(one.conflict))}")
    sheet.indented(ALL)


def _whose(sheet: PlanSheet, of: str) -> str:
    name = sheet.words.kind(of)
    return name if name != of else sheet.words.grade(of)
