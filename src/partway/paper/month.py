"""A month on paper: money, hours, buyers, and what was kept out of the landfill."""

from __future__ import annotations

from typing import Any

from partway.paper.say import PaperWords, day_with_year
from partway.paper.typeset import Typeset, typeset
from partway.quantities import MG_PER_KG
from partway.reports.books.told.month import MonthReport
from partway.valuing.trips.yards import YardMoney

HOW = (  # the caution about tax: common practice, no source
    "Cash: tickets and parts, less fees, postage, deductions and what was spent, by the day each happened. Hours "
    "nobody recorded make an hour look better than it was. No tax advice: what is to be declared is local law."
)


def month_paper(report: MonthReport, words: PaperWords, paper: str, *, pictures: bool = False) -> Typeset:
    """The month as PDF, on Letter or a4. Raises Refused for another paper."""
    earned = report.earned
    data = {
        "title": f"{report.first:%B} {report.first.year}",
        "day": "all of it" if report.whole else f"up to {day_with_year(report.last)}",
        "how": HOW,
        "money": [{"what": one.what, "of": one.of, "amount": words.money(one.amount)} for one in report.money],
        "income": words.money(earned.income),
        "costs": words.money(earned.costs),
        "net": words.money(earned.net),
        "hours": [{"name": name.capitalize(), "time": words.minutes(spent)} for name, spent in earned.minutes.items()],
        "worked": words.minutes(sum(earned.minutes.values())),
        "per_hour": f"{words.money(earned.per_hour)} an hour" if earned.per_hour is not None else "",
        "openings": words.number(report.openings),
        "yards": [_yard(yard, words) for yard in report.yards],
        "mass": _mass(report, words),
        "doubt": report.doubt,
    }
    return typeset("month", data, paper, report.last, pictures=pictures)


def _yard(yard: YardMoney, words: PaperWords) -> dict[str, Any]:
    return {
        "name": yard.name,
        "tickets": words.number(yard.tickets),
        "mass": words.kg(yard.kg),
        "sales": words.money(yard.sales),
        "deductions": words.money(yard.deductions) if yard.deductions else "",
        "money": words.money(yard.money),
        "owed": words.money(yard.owed) if yard.owed else "",
    }


def _mass(report: MonthReport, words: PaperWords) -> list[dict[str, str]]:
    """As everywhere, and to the gram."""
    ends = report.ends
    rows = (
        ("Came in", ends.came),
        ("To recyclers", ends.recycled),
        ("Reused: parts and whole", ends.reused),
        ("Residue, at hand or gone to a tip", ends.wasted),
        ("Lost, by the scales", ends.lost),
        ("Here at the end, residue apart", ends.stock),
        ("Kept out of the landfill", ends.diverted),
    )
    return [
        {"name": name, "said": words.kg(mg / MG_PER_KG), "exact": f"{words.number(mg / MG_PER_KG, 3)} kg"}
        for name, mg in rows
    ]
