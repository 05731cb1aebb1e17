"""Distances as they are typed, in km: "12 mi", "8 km", "eight and a half miles".

One without a unit is in the workspace's, where people type it. Under a name that says km (an option, a field of JSON)
it is in kilometres whatever the workspace counts in: what a program sends means the same everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation

from partway.actions.recording.heard import hearing, or_spoken
from partway.distances import KM_FINEST, km_per
from partway.errors import BadQuantity, Refused
from partway.ledger.book import Book
from partway.quantities import parse_distance, plain_text, shown
from partway.spoken import Hearing, distance_at, english, read_distance, tokens_of

NAMED_KM = ("km", "back_km")


def km(book: Book, given: str, where: str, most: Decimal) -> Decimal:
    """Kilometres of a distance in digits or words; a bare number is in the workspace's unit. Raises Refused."""
    return km_heard(given, where, most, hearing(book))


def km_heard(given: str, where: str, most: Decimal, heard: Hearing) -> Decimal:
    """The same against a hearing."""
    unit = heard.distance or "km"
    refusal = Refused(
        shown(given), f'a distance from 0 to {int(most / km_per(unit))} {unit}, such as "12 {unit}"', where
    )
    found = _number(given)
    found = found * km_per(unit) if found is not None else _with_unit(given, where, heard, refusal)
    if not 0 <= found <= most:
        raise refusal
    return Decimal(plain_text(round(found, KM_FINEST)))


def _number(given: str) -> Decimal | None:
    try:
        found = Decimal(given.strip())
    except InvalidOperation:
        return None
    return found if found.is_finite() else None


def _with_unit(given: str, where: str, heard: Hearing, refusal: Refused) -> Decimal:
    try:
        return parse_distance(given, where)
    except BadQuantity:
        return or_spoken(refusal, lambda: read_distance(given, heard, where))


def named_km(changes: Mapping[str, str]) -> dict[str, str]:
    """Fields by the names of an event's: a number under `km` or `back_km` is in kilometres."""
    return {name: in_unit(text, "km") if name.strip().lower() in NAMED_KM else text for name, text in changes.items()}


def in_unit(given: str, unit: str) -> str:
    """A distance whose number stands in that unit unless it names another; what is none is left to be refused."""
    tokens = tokens_of(given)
    said = distance_at(tokens, 0, Hearing(tongue=english())) if tokens else None
    bare = _number(given) is not None or (said is not None and said.end == len(tokens) and not said.unit)
    return f"{given.strip()} {unit}" if bare else given
