"""What holds of every buyer, of a ledger or of a scenario file: its refusals, what it is called, the way there."""

from __future__ import annotations

from collections.abc import Collection
from typing import Protocol

from partway.things.material import Grade


class Refusing(Protocol):
    """Whatever has a list of refused names."""

    @property
    def refuses(self) -> Collection[str]:
        """Names of grades, families or hazards that it turns away."""
        ...


def refused_names(buyer: Refusing, grade: Grade) -> tuple[str, ...]:
    """Why a buyer turns a grade away: those of its refusals that name the grade, its family or one of its hazards."""
    return tuple(sorted({grade.id, grade.family, *grade.hazards} & set(buyer.refuses)))


def takes(buyer: Refusing, grade: Grade) -> bool:
    """Whether a buyer's refusals leave room for a grade."""
    return not refused_names(buyer, grade)


def buyer_name(buyer_id: str, name: str) -> str:
    """What people read: the name a buyer was given, or else the words of its id."""
    return name or buyer_id.replace("-", " ")


def is_reached(kind: str, km: object | None, at: object | None, home: object | None) -> bool:
    """Whether it is known how to get there: by post, by its distance, or as a point where home is one, too."""
    return kind == "mail-in" or km is not None or (at is not None and home is not None)
