"""A price list before it is saved, as it is sent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from partway.pricelist import PreviewRow, PriceLine, preview
from partway.web.api.problems import ProblemChoice


@dataclass(frozen=True, slots=True)
class ListRow:
    """A line as it is understood (`row`), and the answers to its question, or its own where it is one of several names
    that are asked about together; none where it asks nothing.
    """

    row: PreviewRow
    choices: tuple[ProblemChoice, ...]


def rows_of(lines: Sequence[PriceLine]) -> tuple[ListRow, ...]:
    """The lines in their order."""
    return tuple(
        ListRow(row, tuple(ProblemChoice(choice.key, choice.label) for choice in line.choices or line.offers))
        for row, line in zip(preview(lines), lines, strict=True)
    )
