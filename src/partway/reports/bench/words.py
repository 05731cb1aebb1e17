"""What is done with a piece, in words: by the names people say, or by the ids of its grades."""

from __future__ import annotations

from partway.things.anatomy import Piece
from partway.things.material import Grade
from partway.things.scenario import Scenario
from partway.valuing.finds.facts import Use


def by_id(use: Use) -> str:
    """With the id of a grade: "sell as copper-2"."""
    return _said(use, use.grade)


def in_words(use: Use, scenario: Scenario) -> str:
    """As people say it: "sell as No. 2 copper"."""
    return _said(use, spoken(scenario, use.grade) if use.grade else "")


def _said(use: Use, grade: str) -> str:
    said = {"grade": f"sell as {grade}", "part": f"sell as a part: {use.name}", "open": use.name}
    return said.get(use.way, "keep")


def note_in_hand(piece: Piece, grade: Grade | None) -> str:
    """What decides about a piece in hand: its own note, else that of the grade it goes as."""
    return piece.note or (grade.note if grade else "")


def spoken(scenario: Scenario, grade: str) -> str:
    """The name of a grade within a sentence: "light iron", "No. 2 copper", "ABS and polystyrene, sorted"."""
    name = scenario.grades[grade].name
    return name[0].lower() + name[1:] if name[1:2].islower() and not name.startswith("No.") else name
