"""What holds of every buyer, of a ledger or of a scenario file: its refusals, what it is called, the way there."""

from __future__ import annotations

import re
from collections.abc import Collection
from decimal import Decimal
from typing import Protocol

from partway.things.material import Grade

PHONE_EXAMPLE = '"555-0142" or "+1 555 0142 ext 7"'
DIGITS = range(3, 16)  # of a number: ITU-T E.164 (2010) has 15 at most, short ones are for one place alone
SHARE_EXAMPLE = '"2 %", below 100 %'
_SHARE = re.compile(r"([0-9]{1,2}(?:\.[0-9]{1,6})?) ?(?:%|percent|per cent|pct)", re.IGNORECASE)
_PHONE = re.compile(r"(\+?[0-9(][0-9 ().-]*[0-9])(?: ?(?:ext\.?|x) ?([0-9]{1,7}))?", re.IGNORECASE)


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


def read_share(text: str) -> Decimal:
    """A share of a ticket in percent, below all of it; a number alone says too little. Raises ValueError."""
    plain = " ".join(text.split())
    match = _SHARE.fullmatch(plain)
    if match is None and plain not in ("", "0"):
        raise ValueError(text)
    return Decimal(0) if match is None else Decimal(match[1]) / 100


def share_text(share: Decimal) -> str:
    """A share as it is typed and read: "2 %"."""
    percent = f"{share * 100:f}"
    return f"{percent.rstrip('0').rstrip('.') if '.' in percent else percent} %"


def read_phone(text: str) -> tuple[str, str]:
    """A telephone number as it is dialled, digits with perhaps a plus first, and its extension. Raises ValueError."""
    match = _PHONE.fullmatch(" ".join(text.split()))
    dialled = "" if match is None else "".join(char for char in match[1] if char in "+0123456789")
    if match is None or len(dialled.removeprefix("+")) not in DIGITS:
        raise ValueError(text)
    return dialled, match[2] or ""


def phone_address(text: str) -> str:
    """What a telephone opens to dial a number: a "tel" address as RFC 3966 has it, "" where none is known."""
    if not text:
        return ""
    dialled, extension = read_phone(text)
    return f"tel:{dialled};ext={extension}" if extension else f"tel:{dialled}"
