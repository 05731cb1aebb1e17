"""One quote of a scenario file: by mass or by the piece, its smallest lot, and the most that is taken."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from partway.errors import BadScenario
from partway.quantities import EACH, shown
from partway.storage.scenario import measures
from partway.storage.scenario.forms import COUNT_MOST, PriceTable
from partway.storage.scenario.notes import Notes
from partway.things.estimate import Estimate
from partway.things.scenario import Quote

SAME = 1e-6  # of a mass: pieces that differ by less weigh the same


@dataclass(frozen=True)
class PriceReader:
    """Reads the rows of price tables. `pieces` are what pieces of each grade weigh in the finds there are."""

    currency: str
    pieces: Mapping[str, tuple[float, ...]]
    notes: Notes

    def read(self, row: PriceTable, day: dt.date, where: str) -> Quote:
        """The quote of a row that stands at `where`. Raises BadScenario."""

        def kg(value: object, name: str) -> float:
            return 0.0 if value is None else measures.mass(value, f"{where}.{name}")

        said, each = by_piece(row.price)
        minimum, from_kg = kg(row.minimum, "minimum"), kg(row.from_, "from")
        counts = each or isinstance(row.most, int)
        if counts and from_kg:
            raise BadScenario(f"a tier from {row.from_} in pieces", "tiers only of prices by mass", f"{where}.from")
        piece = self._piece(row, f"{where}.piece") if counts or row.piece is not None else None
        if piece is not None and not counts:
            raise BadScenario(shown(row.piece), 'only with a price such as "3.50 each" or most = 5', f"{where}.piece")
        price = measures.price(said, self.currency, f"{where}.price")
        per_kg = price if not each or piece is None else price.scaled(1.0 / piece)
        most_kg = None if row.most is None or isinstance(row.most, int) else kg(row.most, "most")
        if most_kg is not None and most_kg < max(minimum, from_kg):
            raise BadScenario(shown(row.most), "at least the smallest lot that gets this price", f"{where}.most")
        ends = self._ends(row, per_kg, f"{where}.range", each=each)
        return Quote(row.grade, per_kg, day, minimum, from_kg, most_kg, piece, each, self._most(row, where), ends)

    def _ends(self, row: PriceTable, price: Estimate, where: str, *, each: bool) -> tuple[float, float] | None:
        """Lowest and highest of a range that was said, per kg."""
        if row.range is None:
            return None
        if each:
            raise BadScenario(shown(row.range), "only with a price by mass", where)
        low, high = (measures.price(end, self.currency, f"{where}[#{n}]").likely for n, end in enumerate(row.range, 1))
        if not low <= price.likely <= high:
            given = f"{low:g} to {high:g} per kg around {price.likely:g}"
            raise BadScenario(given, "lowest and highest of a range that the price lies in", where)
        return low, high

    def _piece(self, row: PriceTable, where: str) -> float:
        """What one weighs: as said, or the mean of those in the finds."""
        if row.piece is not None:
            return measures.mass(row.piece, where, above_zero=True)
        known = self.pieces.get(row.grade, ())
        if not known:
            raise BadScenario("nothing", f"what one piece of {row.grade} weighs, as no find here has any", where)
        mean = sum(known) / len(known)
        apart = "" if known[-1] - known[0] <= SAME * mean else f", {known[0]:.3g} to {known[-1]:.3g}"
        self.notes.of("What one piece weighs not given, taken from the finds", f"{row.grade} ({mean:.3g} kg{apart})")
        return mean

    def _most(self, row: PriceTable, where: str) -> int | None:
        if row.most is None or isinstance(row.most, str):
            return None
        if not isinstance(row.most, int) or isinstance(row.most, bool) or not 1 <= row.most <= COUNT_MOST:
            expected = f'a mass such as "200 kg", or a whole number of pieces from 1 to {COUNT_MOST:,}'
            raise BadScenario(shown(row.most), expected, f"{where}.most")
        return row.most


def by_piece(price: object) -> tuple[object, bool]:
    """A price as it was said, per kg in the place of each; and whether it is by the piece."""
    texts = price if isinstance(price, list) else [price]
    amounts = [EACH.fullmatch(text.strip()) if isinstance(text, str) else None for text in texts]
    if not texts or not all(amounts):
        return price, False
    said = [f"{amount[1]} /kg" for amount in amounts if amount]
    return said if isinstance(price, list) else said[0], True
