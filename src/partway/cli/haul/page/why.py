"""Why a line of a printed plan is there: what would be done without it, and the price at which it turns over."""

from __future__ import annotations

from partway.cli.haul.page.sheet import PlanSheet
from partway.reports.haul.plan_lines import Why
from partway.valuing.plans.facts import Fate


def show_why(sheet: PlanSheet, why: Why | None, number: str = "") -> None:
    """One line, after its number where it stands below a table; nothing where nobody asked why."""
    if why is None:
        return
    start = f"{number}: " if number else ""
    about = "" if why.exact else "about "
    instead = ", ".join(_fate(sheet, fate) for fate in why.runner_up) or "there is none of it"
    text = f"{start}without it: {instead}; worth {about}{sheet.words.money(why.worth)}"
    sheet.indented(text + _flip(sheet, why), by=7, style="dim")


def _fate(sheet: PlanSheet, fate: Fate) -> str:
    much = sheet.words.mass(fate.mass_kg) if fate.mass_kg is not None else f"{fate.count}"
    to = {
        "buyer": f"to {sheet.words.buyer(fate.to)}",
        "grade": f"as {sheet.words.grade(fate.to)}",
        "part": "sold as a part",
        "open": fate.to,
        "keep": "kept",
    }
    return f"{much} {to[fate.way]}"


def _flip(sheet: PlanSheet, why: Why) -> str:
    if why.flip_price is None:
        of = f" of {sheet.words.grade(why.flip_grade)}" if why.flip_grade else ""
        found = "turns it over, up to ten times today's" if why.exact else "that turns it over was found in the time"
        return f"; no price{of} {found}"
    about = "" if why.exact else "about "
    if why.flip_grade is None:
        return f"; turns over at {about}{sheet.words.plain(why.flip_price)} asked"
    price = f"{about}{sheet.words.price(why.flip_price)}"
    postage = ", postage to be paid out of it" if why.includes_postage else ""
    if why.flip_buyer:
        return f"; turns over with {sheet.words.buyer(why.flip_buyer)} paying {price}{postage}"
    return f"; turns over with {sheet.words.grade(why.flip_grade)} at {price}{postage}"
