"""Caution cards at the terminal: each whole the first time a day that somebody sees it, then by its name in one line.

Hard stops are always whole. What is written for programs (--json) always has every card.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from partway.catalogue.cards import CautionCard, is_hard_stop

if TYPE_CHECKING:
    from partway.cli.context import CommandContext

AGAIN = "Careful again: {names}. Shown in full earlier today; partway cautions NAME shows one."


class Careful:
    """What one command shows of cautions to whoever runs it; it counts as shown once the command has said all."""

    def __init__(self, ctx: CommandContext) -> None:
        self._ctx = ctx
        self._shown: set[str] = set()

    def split(self, cards: Iterable[CautionCard]) -> tuple[tuple[CautionCard, ...], str]:
        """The cards to be shown whole, and the line that names the others."""
        from partway.storage.shown_today import shown_to

        given = tuple(cards)
        if not given:
            return (), ""
        before = shown_to(self._ctx.book, self._ctx.by, self._ctx.now().date()) | self._shown
        whole = tuple(card for card in given if card.id not in before or is_hard_stop(card.id))
        again = [card.name for card in given if card not in whole]
        self._shown |= {card.id for card in whole}
        return whole, AGAIN.format(names=", ".join(again)) if again else ""

    def note(self) -> None:
        """Remember what was shown, where it is not known yet."""
        from partway.storage.shown_today import note_shown, shown_to

        book, who, day = self._ctx.book, self._ctx.by, self._ctx.now().date()
        if self._shown - shown_to(book, who, day):
            note_shown(book, who, day, self._shown)

    def lines(self, cards: Iterable[CautionCard]) -> list[str]:
        """The same in lines."""
        whole, again = self.split(cards)
        return [*(card.line for card in whole), *([again] if again else [])]
