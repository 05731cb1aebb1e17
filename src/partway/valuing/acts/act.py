"""One thing that could be done next, and which few of many come first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

MOST = 5  # acts shown: more is a list, not a next step (our own choice)

Urgency = Literal["danger", "deadline", "money"]
Sort = Literal[
    "hazard-bin", "hazard-find", "settle", "haul", "round", "full", "unpaid", "open", "call", "takes", "go", "wait"
]
URGENCY: dict[Sort, Urgency] = {
    "hazard-bin": "danger",
    "hazard-find": "danger",
    "settle": "danger",
    "haul": "deadline",
    "round": "deadline",
    "full": "deadline",
    "unpaid": "deadline",
    "open": "money",
    "call": "money",
    "takes": "money",
    "go": "money",
    "wait": "money",
}
ORDER: tuple[Urgency, ...] = ("danger", "deadline", "money")


@dataclass(frozen=True, slots=True)
class Act:
    """One act, by ids. `subject` is the find, bin, haul, ticket, buyer or grade it is about, the first of `count`.

    `sort` is hazard-bin or hazard-find (`hazards` lie there, the longest for `days`); settle (`count` conflicts); haul
    or round (started `days` ago and not ended); full (a bin, `share` of it); unpaid (tickets, `worth` still to come on
    them, the oldest for `days`); open (or test, as `way` says, a find of kind `of`, which adds `worth` in `minutes`);
    call (`buyer`, whose price of grade `of` is `days` old); takes (ask `buyer` for grade `of`, which nobody quotes); go
    (drive to `buyer` today, `worth` with the drive paid); wait (until `by`, when the load for `buyer` is worth that).
    `worth` of a call is what could be gained by it: the value of hearing it. What is not known is null.
    """

    sort: Sort
    subject: str = ""
    of: str = ""
    buyer: str = ""
    count: int = 1
    hazards: tuple[str, ...] = ()
    worth: float | None = None
    minutes: float | None = None
    per_minute: float | None = None
    days: int | None = None
    share: float | None = None
    by: str | None = None
    way: str = ""

    @property
    def ids(self) -> dict[str, str]:
        """What it is about, for the address or the command by which it is done."""
        return {"subject": self.subject, "buyer": self.buyer}

    @property
    def urgency(self) -> Urgency:
        """What it is done for."""
        return URGENCY[self.sort]


def next_acts(found: Iterable[Act], most: int = MOST) -> tuple[Act, ...]:
    """The first few: danger before what is due before money, and money by what a minute of one's own brings.

    The last place is kept for the act that earns most, so that a bad week still says what the next hour is good for.
    """
    ranked = sorted(found, key=_rank)
    earning = [act for act in ranked if act.urgency == "money"]
    if len(ranked) > most and earning and earning[0] not in ranked[:most]:
        return (*ranked[: most - 1], earning[0])
    return tuple(ranked[:most])


def _rank(act: Act) -> tuple[int, float, int, str]:
    """What has waited longest first; of what earns, the most a minute, and last what only waits for a day."""
    brings = 0.0 if act.urgency != "money" else -(act.per_minute if act.per_minute is not None else -1e9)
    return ORDER.index(act.urgency), brings, -(act.days or 0), act.subject
