"""What shows in seconds and says something of whether a find works, and what its place of origin says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

NOT = "-"  # before a sign that was looked for and is not there


@dataclass(frozen=True, slots=True)
class Sign:
    """Seen on `works` of the finds that work, and on `broken` of those that do not.

    Looked for at kinds with one of its `hazards` or of its `families`; at all kinds where it has neither.
    """

    id: str
    name: str
    ask: str
    seconds: float
    works: float
    broken: float
    hazards: tuple[str, ...] = ()
    families: tuple[str, ...] = ()
    source: str = "memory"


@dataclass(frozen=True, slots=True)
class Origin:
    """Finds from where one of `words` is said of: their odds to work are `odds` times those at the curb."""

    words: tuple[str, ...]
    odds: float
    source: str = "memory"


@dataclass(frozen=True, slots=True)
class Signs:
    """All signs by id, and what origins say."""

    signs: Mapping[str, Sign]
    origins: tuple[Origin, ...]

    def odds_from(self, source: str) -> float:
        """What the odds of a find are multiplied by for where it came from; 1 where nothing is known of that."""
        said = f" {source.casefold()} "
        return next((it.odds for it in self.origins if any(f" {word} " in said for word in it.words)), 1.0)


def seen_in(text: str) -> dict[str, bool]:
    """Signs as an event has them, "cord-cut -boxed": whether each was seen or looked for in vain."""
    return {word.removeprefix(NOT): not word.startswith(NOT) for word in text.split()}


def as_text(seen: Mapping[str, bool]) -> str:
    """The same as one text, always in one order."""
    return " ".join(sign if seen[sign] else NOT + sign for sign in sorted(seen))
