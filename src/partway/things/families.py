"""What people call a family of grades. Its id is for scenarios, commands and terms of buyers."""

from __future__ import annotations

# Families that are not called by their id; one of a catalogue of one's own is called as it is written.
NAMES = {
    "": "not in the catalogue",
    "boards": "boards and computer parts",
    "brass": "brass and bronze",
    "careful": "handle with care",
    "ferrous": "iron and steel",
    "inert": "glass, wood, rubble, residue",
    "other": "stainless, lead, zinc",
    "wire": "insulated wire",
    "wound": "motors and transformers",
}


def family_name(family: str) -> str:
    """A family as people call it: "motors and transformers" for wound."""
    return NAMES.get(family) or family.replace("-", " ")
