"""One error class per way of failing; the rim maps each to an exit status in one place.

Every refusal says three things: what was given, what was expected, and where.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Literal

HintName = Literal[
    "set", "recount", "refuses", "new-buyer", "start-haul", "weigh", "finds", "events", "kinds", "grades", "new-bin",
    "grade-of-piece", "name-bin", "own-mass", "own-kind", "overwrite", "start-round",
]  # fmt: skip


class PartwayError(Exception):
    """Root of everything partway raises on purpose."""

    exit_status = 1


@dataclass(frozen=True, slots=True)
class Hint:
    """What would help first, and `of` what. The command line says it as a command, the app by the name of a page."""

    name: HintName
    of: str = ""


@dataclass
class Refused(PartwayError):
    """Input that partway will not work with; nothing was written.

    `where` is the field, by the name that the function which refuses gives it (`mass`, `piece fan-motor`); in a file it
    reads from the outside in: file, table, field. Neither it nor the words name an option of the command line or a
    label of a page: each of the two puts its own word for the field. `says`, where there is one, is a sentence that
    says both what was expected and what is wrong.
    """

    given: str
    expected: str
    where: str
    says: str = dataclasses.field(default="", kw_only=True)
    hint: Hint | None = dataclasses.field(default=None, kw_only=True)

    exit_status = 2

    @property
    def field(self) -> str:
        """The first word of `where`: `piece` of `piece fan-motor`."""
        return self.where.partition(" ")[0]

    def __str__(self) -> str:
        said = f"{self.says} Got {self.given}." if self.says else f"got {self.given}; expected {self.expected}"
        return f"{self.where}: {said}"


class BadQuantity(Refused):
    """A mass, price, volume or range that cannot be read."""


class BadScenario(Refused):
    """A scenario file that breaks the contract of docs/scenario.md."""


class BadCatalogue(Refused):
    """A grade, component or anatomy that does not hold together."""


class LedgerRefuses(Refused):
    """The ledger itself cannot be opened, read or written; what was asked of it may well be right."""


class BadEvent(Refused):
    """An event that says what cannot be, or the same id with other content."""


class ToSettle(PartwayError):
    """Events were added, and not all of them can be true: they are kept, and listed until somebody settles it."""

    exit_status = 3


class SolverFailed(PartwayError):
    """The solver returned no usable answer; its own status is in the message."""


class PlanUnsound(PartwayError):
    """A plan that failed its own check. It is never shown: this is a bug in partway."""


class LedgerUnsound(PartwayError):
    """What follows from the ledger does not balance. Events are untouched: this is a bug in partway."""


@dataclass
class LedgerDamaged(PartwayError):
    """Something in the ledger that was changed by hand or damaged; `remedy` is what to do about it."""

    given: str
    expected: str
    where: str
    remedy: str = "`partway doctor` lists all that is damaged, `partway restore` brings back a backup"

    def __str__(self) -> str:
        return (
            f"{self.where}: changed by hand or damaged: got {self.given}; expected {self.expected}. "
            f"Nothing was written. {self.remedy}."
        )
