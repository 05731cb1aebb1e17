"""The table of guesses, `data/guesses.toml`: what things are that are mostly steel, plastic, cables ..."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from partway.catalogue.reading.toml import load
from partway.things.traits import traits_in


@dataclass(frozen=True)
class Guesses:
    """What a thing is taken to be: by what it mostly is, by words of danger in its name, by what it may have in it."""

    rows: Mapping[str, Mapping[str, Any]]
    words: Sequence[Mapping[str, Any]]
    battery: Mapping[str, Any]
    cord: Mapping[str, Any]
    motor: Mapping[str, Any]

    @property
    def names(self) -> dict[str, str]:
        """What a thing may mostly be, by id, in plain words."""
        return {row: str(said["name"]) for row, said in self.rows.items()}

    def knows(self, kind: str) -> bool:
        """Whether a kind is one that somebody described."""
        found = traits_in(kind)
        return found is not None and found[1].mostly in self.rows

    def danger(self, name: str) -> Mapping[str, Any] | None:
        """The first row of words of danger of which a name has one."""
        return next((word for word in self.words if _says(name, word["words"])), None)


@lru_cache(maxsize=8)
def guesses_in(file: Path) -> Guesses:
    """The table of a file. Raises BadCatalogue for what is no TOML."""
    tables = load(file)
    rows = {row["id"]: row for row in tables["mostly"]}
    return Guesses(rows, tables["word"], tables["battery"], tables["cord"], tables["motor"])


def _says(name: str, words: Sequence[str]) -> bool:
    """Whether a name has one of these words in it, or its plural."""
    said = f" {name.replace('-', ' ')} "
    return any(re.search(rf" {re.escape(word)}(?:s|es)? ", said) for word in words)
