"""Where a price is believed: within a factor of three of the last quote, or of what No. 2 copper makes likely."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import inf
from typing import Literal

from partway.pricelist.copying import replace
from partway.pricelist.lines import ListSheet

COPPER = "copper-2"  # what every ratio is relative to
ABSURD = 20.0  # a reading so many times what is expected is none
FARTHER = 6.0  # the same where nothing but other prices of the list is there to compare with
# No. 2 copper per kg over many years, in currencies whose unit is of a like worth (from memory, unverified): so wide
# that it only tells copper from steel and a kilogram from a tonne.
USUAL_IN, USUAL = frozenset(["AUD", "CAD", "EUR", "GBP", "NZD", "USD"]), (2.0, 30.0)
FAR_OUT = 2.0  # so many times what is paid in any year is doubted
FAR = 3.0  # a price this many times the expected one, or one this many times smaller, is asked about


@dataclass(frozen=True, slots=True)
class Band:
    """Prices per kg strictly between `low` and `high` are believed; `likely` is the one expected.

    A reading above `absurd` is none. `by` says where that comes from: the buyer's own last quote, the ratio to No. 2
    copper, or what the same list pays for the smallest lot or, of No. 2 copper, for other copper.
    """

    low: float
    high: float
    likely: float
    by: Literal["last", "copper", "smallest", "others", "list", "usual"]
    absurd: float = inf

    def holds(self, per_kg: Decimal) -> bool:
        """Whether a price per kg is believed."""
        return self.low < float(per_kg) < self.high


def band_of(grade: str, sheet: ListSheet, copper: float | None, smallest: float | None = None) -> Band | None:
    """Where the price of a grade is believed; None where nothing is known to compare with.

    `copper` is the price of No. 2 copper per kg, of this list or else the buyer's last. A grade's own ratio range is
    always believed, however wide it is. `smallest`: what this list pays per kg for the smallest lot of the grade, for
    the price of a larger one.
    """
    last = sheet.known.get(grade, 0.0)
    if last != 0.0:
        return replace(around(last, "last"), absurd=_absurd(grade, last, sheet))
    ratio = sheet.grades[grade].ratio
    others = sheet.other_copper(grade)
    if grade == COPPER and not smallest and others:
        return around(others, "others")
    by: Literal["copper", "list"] = "copper" if copper or others else "list"
    copper = copper or others or sheet.implied_without(grade)
    if ratio is None or ratio.likely <= 0.0 or copper is None or copper <= 0.0 or grade == COPPER:
        return around(smallest, "smallest") if smallest else None
    far = FAR if by == "copper" else FARTHER
    low, high = min(ratio.low, ratio.likely / far), max(ratio.high, ratio.likely * far)
    absurd = ABSURD * ratio.high * copper if by == "copper" else inf
    return Band(low * copper, high * copper, ratio.likely * copper, by, absurd)


def usual_band(grade: str, sheet: ListSheet, *, wide: bool) -> Band | None:
    """Where the price of a grade lies in most years, for lists in which nothing else is there to compare with; `wide`
    where only what is beyond all measure is to be doubted.
    """
    ratio, far = sheet.grades[grade].ratio, FAR_OUT if wide else 1.0
    if ratio is None or ratio.likely <= 0.0 or sheet.currency not in USUAL_IN:
        return None
    low, high = USUAL
    return Band(ratio.low * low / far, ratio.high * high * far, ratio.likely * (low * high) ** 0.5, "usual")


def _absurd(grade: str, last: float, sheet: ListSheet) -> float:
    """Above which no price can be: far above the buyer's own last quote, and above what this list's other prices make
    likely; without the two of them nothing is.
    """
    ratio, copper = sheet.grades[grade].ratio, sheet.other_copper(grade)
    return ABSURD * max(last, ratio.high * copper) if last > 0.0 and ratio is not None and copper else inf


def around(per_kg: float, by: Literal["last", "smallest", "others"]) -> Band:
    """Prices within a factor of three."""
    low, high = sorted((per_kg / FAR, per_kg * FAR))
    return Band(low, high, per_kg, by)
