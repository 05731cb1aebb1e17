"""A picture of the year, to show somebody: one page, from one's own ledger."""

from __future__ import annotations

from typing import Any

from partway.paper.say import PaperWords, day_with_year
from partway.paper.typeset import Typeset, typeset
from partway.quantities import MG_PER_KG
from partway.reports.books.conflicts import mark_of
from partway.reports.books.told.year_seen import YearSeen

LINE, NAME = 34, 60  # signs of a name that are shown
TIMES = 2.0  # dots of the picture for each of a paper's usual ones: to be shown on a phone, and printed small


def year_paper(report: YearSeen, words: PaperWords, paper: str, *, money: bool = False) -> Typeset:
    """The year as PDF and as a picture, on Letter or a4; what was earned only where it is asked for.

    Raises Refused for another paper.
    """
    last = report.until.month == 12 and report.until.day == 31
    data = {
        "title": f"{report.year}",
        "day": "the whole year" if last else f"up to {day_with_year(report.until)}",
        "name": _short(report.name, NAME),
        "kept": words.kg(report.kept_mg / MG_PER_KG),
        "ends": _shares(report, words),
        "months": _months(report, words),
        "counts": _counts(report, words, money),
        "grades": [{"name": _short(name), "mass": words.kg(mg / MG_PER_KG)} for name, mg in report.grades],
        "careful": [{"name": _short(name), "pieces": words.number(pieces)} for name, pieces in report.careful],
        "spared": words.kg(report.kg_co2e) if report.kg_co2e > 0 else "",
        "factors": report.factors,
        "doubt": mark_of(report.doubt),
    }
    return typeset("year", data, paper, report.until, pictures=True, times=TIMES)


def _short(text: str, most: int = LINE) -> str:
    """A name that keeps the picture on its one page."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def _shares(report: YearSeen, words: PaperWords) -> list[dict[str, Any]]:
    """Where what left went, each with its share of all that left."""
    parts = (
        ("to recyclers", report.recycled_mg),
        ("used again", report.reused_mg),
        ("residue and tip", report.wasted_mg),
    )
    whole = sum(max(mg, 0) for _, mg in parts)
    return [
        {"name": name, "mass": words.kg(mg / MG_PER_KG), "share": max(mg, 0) / whole if whole else 0.0}
        for name, mg in parts
    ]


def _months(report: YearSeen, words: PaperWords) -> list[dict[str, Any]]:
    """A bar for each of twelve months, as high as the highest; those to come are empty."""
    most = max((mg for _, mg in report.months), default=0)
    kept = dict(report.months)
    bars = []
    for month in range(1, 13):
        mg = next((of for first, of in kept.items() if first.month == month), 0)
        said = words.kg(mg / MG_PER_KG) if mg > 0 else ""
        bars.append({"name": "JFMAMJJASOND"[month - 1], "mass": said, "share": max(mg, 0) / most if most > 0 else 0.0})
    return bars


def _counts(report: YearSeen, words: PaperWords, money: bool) -> list[dict[str, str]]:
    earned = report.earned
    minutes = sum(earned.minutes.values())
    rows = [
        (words.number(report.finds), "found"),
        (words.number(report.opened), "taken apart"),
        (words.number(report.sold), "sold to be used again"),
        (words.minutes(minutes), "at it"),
    ]
    if money:
        rows.append((words.money(earned.net), "left"))
        if earned.per_hour is not None:
            rows.append((words.money(earned.per_hour), "an hour"))
    return [{"figure": figure, "what": what} for figure, what in rows]
