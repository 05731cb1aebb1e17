"""An act that was said, as the action that records it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from inspect import signature
from typing import Any

from partway.actions.recording.context import Context, Recorded
from partway.ledger.book import Book


@dataclass(frozen=True)
class SayStep:
    """One action with what it is given. What it asks is answered by `answers`, by the names of its own parameters."""

    action: Callable[..., Recorded[Any]]
    given: tuple[Any, ...]
    named: Mapping[str, Any] = field(default_factory=dict)

    def run(self, book: Book, context: Context, answers: Mapping[str, str]) -> Recorded[Any]:
        """Record it. Raises Asked and Refused as the action does."""
        known = list(signature(self.action).parameters)[2 + len(self.given) :]  # behind book, context and what is given
        said = {name: _agreed(answer) for name, answer in answers.items() if name in known and name not in self.named}
        return self.action(book, context, *self.given, **self.named, **said)


def _agreed(answer: str) -> str | bool:
    """An answer as actions take it: yes is true, anything else as it is."""
    return True if answer == "yes" else answer
