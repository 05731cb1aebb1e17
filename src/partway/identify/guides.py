"""The board and wire guides: from what is seen to the grades it may be."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.things.testkey import Guide, GuideRow


@dataclass(frozen=True, slots=True)
class Match:
    """A grade that what was seen agrees with: `seen` of its features, and those still to look for."""

    row: GuideRow
    seen: tuple[str, ...]
    to_see: tuple[str, ...]

    @property
    def whole(self) -> bool:
        """Whether all that the grade shows was seen."""
        return not self.to_see


def matches(guide: Guide, features: Collection[str]) -> tuple[Match, ...]:
    """Grades that show something of what was seen and lack none of it, the best match first. Raises Refused.

    What nobody saw counts neither for nor against a grade. With nothing seen, all grades.
    """
    known = [feature.id for feature in guide.features]
    for feature in features:
        if feature not in known:
            raise unknown(Refused, feature, f"feature of the {guide.id} guide", known, "feature")
    found = [_match(row, features) for row in guide.rows if not set(row.lacks) & set(features)]
    if any(feature in row.shows for feature in features for row in guide.rows):
        found = [match for match in found if match.seen]
    return tuple(sorted(found, key=lambda match: (-len(match.seen), len(match.to_see))))


def _match(row: GuideRow, features: Collection[str]) -> Match:
    seen = tuple(feature for feature in row.shows if feature in features)
    return Match(row, seen, tuple(feature for feature in row.shows if feature not in features))
