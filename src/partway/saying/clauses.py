"""One act as it was said: its slots, the words that fill them, and the parts that say more of it."""

from __future__ import annotations

from dataclasses import dataclass

from partway.saying.amounts import SaidAmount


@dataclass(frozen=True, slots=True)
class SaidSlot:
    """What was said in one place of a clause: `said` as it stands there, `words` in ours, `amount` if it is one."""

    name: str
    said: str
    words: str
    amount: SaidAmount | None = None


@dataclass(frozen=True, slots=True)
class Clause:
    """One act as it was said, or a part that says more of it.

    `ways`: what it may say, of which somebody has to choose.
    """

    does: str
    slots: tuple[SaidSlot, ...]
    fixed: tuple[tuple[str, str], ...]
    said: str
    parts: tuple[Clause, ...] = ()
    ways: tuple[Clause, ...] = ()

    def slot(self, name: str) -> SaidSlot | None:
        """The first slot of a name; None where it was not said."""
        return next((slot for slot in self.slots if slot.name == name), None)

    def all(self, name: str) -> list[Clause]:
        """Parts of a name."""
        return [part for part in self.parts if part.does == name]

    def part(self, name: str) -> Clause | None:
        """The last part of a name."""
        return next(iter(self.all(name)[::-1]), None)

    def value(self, name: str) -> str:
        """What the words alone say, such as that it works; "" where they say nothing of it."""
        return dict(self.fixed).get(name, "")
