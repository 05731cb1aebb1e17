"""Notes of a scenario: one short sentence for each default used, with all it concerns."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass
class Notes:
    """Collects sentences; `of` adds names to one."""

    _lines: dict[str, list[str]] = field(default_factory=dict)

    def add(self, sentence: str) -> None:
        """One sentence of its own, without the full stop."""
        self._lines.setdefault(sentence, [])

    def of(self, sentence: str, name: str) -> None:
        """One more name that a sentence concerns."""
        self._lines.setdefault(sentence, []).append(name)

    def sentences(self) -> tuple[str, ...]:
        """All notes in the order they came up."""
        return tuple(
            f"{s}: {', '.join(dict.fromkeys(names))}." if names else f"{s}." for s, names in self._lines.items()
        )
