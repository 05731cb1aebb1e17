"""What a haul took along, in words."""

from __future__ import annotations

from collections.abc import Sequence

from partway.actions.recording.describe import Say
from partway.catalogue import shipped
from partway.valuing.trips.loads import TakenLot


def took_words(lots: Sequence[TakenLot], say: Say) -> str:
    """All of it in one line: "20 kg of No. 2 copper, 15 kg of Light iron (5 kg more are with haul-3)"."""
    return ", ".join(took_lot(lot, say) for lot in lots)


def took_lot(lot: TakenLot, say: Say) -> str:
    """One lot, and which hauls have what it is short of."""
    known = shipped().grades.get(lot.grade)
    elsewhere = f" ({say.mass(lot.short_mg)} more are with {', '.join(lot.held_by)})" if lot.short_mg else ""
    return f"{say.mass(lot.mass_mg)} of {known.name if known else lot.grade}{elsewhere}"
