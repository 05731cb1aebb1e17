"""Who may do what: the one table of it. The web's door, what records, and the pocket ask here and nowhere else."""

from __future__ import annotations

import enum
from collections.abc import Mapping
from dataclasses import dataclass

from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected, Described, Quoted, Ruled, Set, Traded
from partway.quantities import shown

PRICES, CORRECTS = "helper_prices", "helper_corrects"  # settings: what the owner lets helpers do
YES, NO, OWN, ALL = "yes", "no", "own", "all"


class Role(enum.Enum):
    """What somebody is here."""

    OWNER = "owner"
    HELPER = "helper"
    VIEWER = "viewer"


class Permission(enum.Enum):
    """What somebody wants to do; the value ends the sentence "may not ..."."""

    LOOK = "look"  # at any page, and have something worked out that is kept nowhere
    RECORD = "record anything"
    PRICE = "record prices heard"
    CORRECT = "take back or put right what they recorded themselves"
    CORRECT_OTHERS = "take back or put right what others recorded"
    ARRANGE = "change settings, buyers' terms, kinds of one's own or rules of the place"
    MERGE = "take in another ledger"
    UNSTATED = "send anything to this address"  # of which no rule says what it is for
    KEYS = "make or end keys"  # at the machine itself alone: a stolen phone must not make itself a second


HELPERS = frozenset({Permission.LOOK, Permission.RECORD, Permission.CORRECT})
ARRANGES = (Traded, Set, Described, Ruled)


def role_named(text: str, where: str = "role") -> Role:
    """The role that a word names. Raises Refused."""
    try:
        return Role(text.strip().lower())
    except ValueError:
        raise Refused(shown(text), "owner, helper or viewer", where) from None


def a_role(role: Role) -> str:
    """A role within a sentence."""
    return f"{'an' if role is Role.OWNER else 'a'} {role.value}"


class NotAllowed(Refused):
    """What somebody's role does not let them do."""


@dataclass(frozen=True, slots=True)
class Rights:
    """The role of whoever asks, and what the owner lets helpers do. `desk` is the machine itself: its own browser, or
    its command line. `ask` is who can do what they may not, by name; empty for "the owner".
    """

    role: Role = Role.OWNER
    desk: bool = True
    prices: bool = True
    others: bool = False
    ask: str = ""

    def may(self, act: Permission) -> bool:
        """Whether they may do it."""
        if act is Permission.KEYS:
            return self.desk and self.role is Role.OWNER
        if self.role is not Role.HELPER:
            return self.role is Role.OWNER or act is Permission.LOOK
        return (
            act in HELPERS
            or (act is Permission.PRICE and self.prices)
            or (act is Permission.CORRECT_OTHERS and self.others)
        )

    def check(self, act: Permission, who: str) -> None:
        """Raises NotAllowed, in words: who may not do what, and whom to ask."""
        if not self.may(act):
            raise refusal(self, act, who)


def refusal(rights: Rights, act: Permission, who: str) -> NotAllowed:
    """Who may not do what, and whom to ask."""
    if rights.role is Role.OWNER:  # the owner, away from the machine
        return NotAllowed("a device with a key", "the machine itself: keys are made and ended there", "device")
    what = f"{who}, a {rights.role.value}" if who else f"a {rights.role.value}"
    says = f"A {rights.role.value} may not {act.value} here. Ask {rights.ask or 'the owner'}."
    return NotAllowed(what, "the owner", "who", says=says)


def rights_of(role: Role, settings: Mapping[str, str], *, desk: bool = False, ask: str = "") -> Rights:
    """What a role may do, by the settings of the workspace.

    Where the owner said nothing, helpers record prices heard: a price is a fact with a day and a name, from a window at
    which the owner does not stand, and can be taken back. What others recorded they leave alone.
    """
    prices, corrects = settings.get(PRICES, YES), settings.get(CORRECTS, OWN)
    return Rights(role, desk, prices != NO, corrects == ALL, ask)


def permission_for(book: Book, event: Event) -> Permission:
    """What recording an event is. A correction is of what its target's own person said, or of what others said."""
    if isinstance(event.what, Corrected):
        target = book.event(event.what.event)
        return Permission.CORRECT if target is not None and target.who == event.who else Permission.CORRECT_OTHERS
    if isinstance(event.what, Quoted):
        return Permission.PRICE
    return Permission.ARRANGE if isinstance(event.what, ARRANGES) else Permission.RECORD
