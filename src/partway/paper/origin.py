"""A provenance sheet for a yard that asks: what, when and where from, and lines to sign on."""

from __future__ import annotations

import datetime as dt
from typing import Any

from partway.paper.say import PaperWords, caution, day_with_year
from partway.paper.typeset import Typeset, typeset
from partway.quantities import MG_PER_KG
from partway.reports.bins.origin import BinOrigin, OriginLine, OriginSheet

LAW = (  # the usual caution; common practice, no source
    "What a yard must ask, what may be sold as scrap and by whom, and how it is paid for differ from place to place: "
    "check your local code. A wrong statement can be an offence."
)
SAYS = (
    "This says what the seller's own ledger has and no more; nobody else has checked it. What was put into a bin first "
    "is counted as gone first. Where it was taken is as it was written down then; a blank was not written down."
)


def origin_paper(sheet: OriginSheet, words: PaperWords, paper: str, *, pictures: bool = False) -> Typeset:
    """The sheet as PDF, on Letter or a4. Raises Refused for another paper."""
    data = {
        "title": "Where it came from",
        "day": day_with_year(sheet.on),
        "law": LAW,
        "says": SAYS,
        "cautions": [caution(card, words) for card in sheet.cautions],
        "bins": [_bin(one, words) for one in sheet.bins],
        "mass": _mass(sheet.mg, words),
    }
    return typeset("origin", data, paper, dt.date.fromisoformat(sheet.on), pictures=pictures)


def _mass(mg: int, words: PaperWords) -> dict[str, str]:
    """As it is written everywhere, and to the gram: the parts are to add up."""
    return {"said": words.kg(mg / MG_PER_KG), "exact": f"{words.number(mg / MG_PER_KG, 3)} kg"}


def _bin(one: BinOrigin, words: PaperWords) -> dict[str, Any]:
    return {
        "name": one.name,
        "grade": one.grade_name if one.grade_name.casefold() != one.name.casefold() else "",
        "doubt": one.doubt,
        "lines": [_line(line, words) for line in one.lines],
        "untold": _mass(one.untold_mg, words) if one.untold_mg else None,
        "mass": _mass(one.mg, words),
    }


def _line(line: OriginLine, words: PaperWords) -> dict[str, Any]:
    first, last = line.binned
    return {
        "what": line.what,
        "model": line.model,
        "found": day_with_year(line.found) if line.found else "",
        "places": ", ".join(line.places),
        "binned": day_with_year(first) if first == last else f"{day_with_year(first)} to {day_with_year(last)}",
        "mass": _mass(line.mg, words),
    }
