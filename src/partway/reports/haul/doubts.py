"""What speaks against calling a plan the best there is, in words. Codes are those of `planning.search.found.Found`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

SHORT: Mapping[str, str] = {
    "two-methods-disagree": "not proven: two methods disagree",
    "no-time-to-drive": "no time to look for a trip",
}
LONG: Mapping[str, str] = {
    "two-methods-disagree": (
        "Not proven: two methods disagree on the best plan. This one is the better of theirs, and it passed its check;"
        " the fault is in the solver or in partway, not in your scenario."
    ),
    "no-time-to-drive": "The plan drives nowhere because time ran out before a trip was found; allow it more time.",
}


def in_short(doubts: Sequence[str]) -> str:
    """For the head of a plan, in place of how far from the best it may be; empty without a doubt."""
    return "; ".join(SHORT[doubt] for doubt in doubts if doubt in SHORT)


def in_full(doubts: Sequence[str]) -> tuple[str, ...]:
    """A note for each doubt."""
    return tuple(LONG[doubt] for doubt in doubts if doubt in LONG)


def kept_in(place: str) -> str:
    """The note that says where the scenario of a disagreement was kept."""
    return (
        f"The scenario is kept in {place}, so that the fault can be found. Nothing was sent anywhere; to help,"
        " send that file to the developers of partway."
    )


def not_kept(why: str) -> str:
    """The note where it could not be kept."""
    return f"The scenario could not be kept for finding the fault: {why}."
