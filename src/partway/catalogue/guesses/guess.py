"""The anatomy of a thing that no catalogue has, from what somebody said of it: a pure function of its kind.

Hazards come first: what may hold a battery opens with taking it out, what may have a cord says so, and a name that
tells of gas or refrigerant brings its card. Shares and minutes are wide, since nobody has opened it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partway.catalogue.guesses.draft import Draft
from partway.catalogue.guesses.steps import cut_cord, take_apart, take_battery, take_motor, unread_battery
from partway.catalogue.guesses.table import Guesses
from partway.things.anatomy import Anatomy, Piece, SaleAs
from partway.things.material import Grade
from partway.things.traits import shown_name, traits_in

HEAVY = 25.0  # kg, from which on two people had better lift it
FAMILY = "not in the catalogue"


def guess(table: Guesses, kind: str, grades: Mapping[str, Grade]) -> Anatomy:
    """The anatomy of a kind that somebody described; KeyError for any other."""
    found = traits_in(kind)
    if found is None or found[1].mostly not in table.rows:
        raise KeyError(kind)
    name, said = found
    draft, danger = Draft(table, grades, shown_name(name), said), table.danger(name)
    shut = danger is not None and bool(danger.get("stop"))
    if danger is not None and shut:
        _stays_shut(draft, danger)
    elif draft.row.get("batteries"):
        unread_battery(draft, "whole", draft.name, draft.mass)
    else:
        _opens(draft)
    return Anatomy(
        kind=kind,
        name=draft.name,
        pieces=tuple(draft.pieces),
        operations=tuple(draft.operations),
        family=FAMILY,
        cautions=_cautions(draft, danger),
        note=_note(draft, shut),
        guessed=True,
    )


def _stays_shut(draft: Draft, danger: Mapping[str, Any]) -> None:
    """One piece, never opened, sold whole where a grade takes it."""
    sells = (SaleAs(danger["grade"]),) if "grade" in danger else ()
    draft.pieces.append(Piece("whole", draft.name, draft.mass, sells, stop=danger["caution"]))


def _opens(draft: Draft) -> None:
    """Battery, cord and motor come out one after the other; then what is left comes apart. A lot has no cord or motor
    of its own.
    """
    here, mass = "whole", draft.mass
    draft.pieces.append(Piece(here, draft.name, mass, draft.sells))
    for what, take in (("battery", take_battery), ("cord", cut_cord), ("motor", take_motor)):
        if draft.has(what) and (what == "battery" or not draft.lot):
            here, mass = take(draft, here, mass)
    take_apart(draft, here, mass)


def _cautions(draft: Draft, danger: Mapping[str, Any] | None) -> tuple[str, ...]:
    found = [] if danger is None else [danger["caution"]]
    if draft.said.cord == "yes" or (draft.said.cord != "no" and draft.may_have("cord")):
        found.append("mains")
    if draft.has("battery"):
        found += ["live-on-battery", "battery-short"]
    found += draft.row.get("cautions", ())
    if draft.mass.likely >= HEAVY:
        found.append("heavy-lift")
    return tuple(dict.fromkeys(found))


def _note(draft: Draft, shut: bool) -> str:
    return f"A guess from what you said: mostly {draft.row['name']}. {_how_to_know(draft, shut)}"


def _how_to_know(draft: Draft, shut: bool) -> str:
    """How the guess becomes knowledge; nobody is told to open what stays shut."""
    if shut:
        return "Its name tells of danger: it stays shut."
    if draft.row.get("batteries"):
        return "Read each label to know."
    return "Sort and weigh it to know." if draft.lot else "Open one and weigh it to know."
