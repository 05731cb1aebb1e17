"""Where a price is believed: within a factor of three of the last quote, or of what No. 2 copper makes likely."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from partway.pricelist.lines import ListSheet

COPPER = "copper-2"  # what every ratio is relative to
FAR = 3.0  # a price this many times the expected one, or one this many times smaller, is asked about


@dataclass(frozen=True, slots=True)
class Band:
    """Prices per kg strictly between `low` and `high` are believed; `likely` is the one expected.

    `known`: it comes from the buyer's own last quote, else from the ratio to No. 2 copper.
    """

    low: float
    high: float
    likely: float
    known: bool

    def holds(self, per_kg: Decimal) -> bool:
        """Whether a price per kg is believed."""
        return self.low < float(per_kg) < self.high


def band_of(grade: str, sheet: ListSheet, copper: float | None) -> Band | None:
    """Where the price of a grade is believed; None where nothing is known to compare with.

    `copper` is the price of No. 2 copper per kg, of this list or else the buyer's last. A grade's own ratio range is
    always believed, however wide it is.
    """
    last = sheet.known.get(grade, 0.0)
    if last != 0.0:
        ends = sorted((last / FAR, last * FAR))
        return Band(ends[0], ends[1], last, known=True)
    ratio = sheet.grades[grade].ratio
    if ratio is None or ratio.likely <= 0.0 or copper is None or copper <= 0.0 or grade == COPPER:
        return None
    low, high = min(ratio.low, ratio.likely / FAR), max(ratio.high, ratio.likely * FAR)
    return Band(low * copper, high * copper, ratio.likely * copper, known=False)
