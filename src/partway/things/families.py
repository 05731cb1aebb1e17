"""What people call a family of grades. Its id is for scenarios, commands and terms of buyers."""

from __future__ import annotations

# Families that are not called by their id; one of a catalogue of one's own is called as it is written.
NAMES = {
    "": "not in the catalogue",
    "careful": "handle with care",
    "inert": "waste",
    "other": "other metals",
    "wound": "motors and coils",
}


def family_name(family: str) -> str:
    """A family as people call it: "motors and coils" for wound."""
    return NAMES.get(family) or family.replace("-", " ")
