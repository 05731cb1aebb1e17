"""The end of a printed plan: what to find out first, and its notes."""

from __future__ import annotations

from partway.cli.haul.page.sheet import PlanSheet
from partway.cli.words import in_ten, minutes, times
from partway.valuing.plans.facts import FindOut

MOST_TO_FIND_OUT = 4


def show_find_out(sheet: PlanSheet) -> None:
    """How good the plan stays with other prices and masses, and what to find out first."""
    again = sheet.plan.again
    if again is not None and again.times:
        sheet.title("With other prices and masses")
        sheet.indented(
            f"Planned again {again.times} times: {again.same_trip} times the same trip. "
            f"To know them all would bring {sheet.words.money(again.regret)} more."
        )
    if sheet.plan.find_out:
        sheet.title("Worth finding out first")
        for one in sheet.plan.find_out[:MOST_TO_FIND_OUT]:
            worth = f"{sheet.words.money(one.worth)}, {minutes(one.minutes)}"
            sheet.indented(f"{_what(sheet, one)}: worth {worth}.{_turns(sheet, one)}")


def _what(sheet: PlanSheet, one: FindOut) -> str:
    words = sheet.words
    if one.sort == "look":
        named = words.operation(one.kind or "", one.operation or "")
        return f"{times(one.count or 1, words.kind(one.kind or ''))}, {named}"
    if one.sort == "mass":
        return f"Weigh: {words.kind(one.kind or '')}"
    asked = "whether they take" if one.sort == "takes" else "for the price of"
    return f"Ask {words.buyer(one.buyer or '')} {asked} {words.grade(one.grade or '')}"


def _turns(sheet: PlanSheet, one: FindOut) -> str:
    if one.turns is None or one.chance is None:
        return ""
    at = sheet.words.price(one.turns) if one.sort == "price" else sheet.words.mass(one.turns)
    beyond = f"{'Above' if one.above else 'Below'} {at} ({in_ten(one.chance)})"
    return f" {beyond} another plan is better{_instead(sheet, one)}."


def _instead(sheet: PlanSheet, one: FindOut) -> str:
    if set(one.instead) == set(sheet.plan.routes):
        return ", by the same way"
    ways = [" and ".join(map(sheet.words.buyer, stops)) for stops in one.instead]
    return f": to {', then '.join(ways)}" if ways else ": stay home"


def show_notes(sheet: PlanSheet) -> None:
    """Defaults and doubts, each named."""
    if not sheet.plan.notes:
        return
    sheet.title("Notes")
    for note in sheet.plan.notes:
        sheet.indented(note)
