"""The work on a thing that nobody has opened: battery, cord and motor come out, then what is left comes apart.

Each step takes the piece it is done on, with its mass, and gives back what is left of it, with its mass.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partway.catalogue.guesses.draft import Draft
from partway.catalogue.guesses.shares import parted
from partway.catalogue.reading.questions import TELL, answer_id
from partway.things.anatomy import Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate

LABEL_MINUTES = Estimate(0.2, 0.5, 2.0)  # to find a battery's label and read it (from memory)
BATTERY_CARDS = ("live-on-battery", "li-ion", "battery-short")  # until its label is read it is taken as lithium


def take_battery(draft: Draft, on: str, mass: Estimate) -> tuple[str, Estimate]:
    """Out before anything else; where nobody said that there is one, most things have none."""
    said, sure = draft.table.battery, "" if draft.said.battery == "yes" else "unsaid_"
    (battery,), rest = parted(mass, [said[f"{sure}share"]])
    unread_battery(draft, "battery", "Battery", battery)
    draft.rest("no-battery", "battery out", rest)
    draft.operation(
        "take-battery",
        "switch it off, find its battery and take it out whole; if there is none, go on",
        on,
        said[f"{sure}minutes"],
        ("battery", "no-battery"),
        BATTERY_CARDS,
        required=True,
    )
    return "no-battery", rest


def unread_battery(draft: Draft, piece: str, name: str, mass: Estimate) -> None:
    """A battery whose label nobody has read: each chemistry is an answer, and it is not sold before one is given."""
    answers = draft.table.battery["answers"]
    draft.pieces.append(
        Piece(piece, name, mass, note="Read its label. No label: keep it apart; no buyer takes it before it is known.")
    )
    draft.pieces.extend(_answer(piece, name, mass, one) for one in answers)
    draft.operations.append(
        Operation(
            f"{piece}.{TELL}",
            "read the label: lithium, nickel, lead or alkaline?",
            piece,
            LABEL_MINUTES,
            tuple(Gives(answer_id(piece, one["answer"])) for one in answers),
            loss=0.0,
            asks=True,
        )
    )


def cut_cord(draft: Draft, on: str, mass: Estimate) -> tuple[str, Estimate]:
    """The cord with its plug."""
    said = draft.table.cord
    (cord,), rest = parted(mass, [said["share"]])
    draft.pieces.append(Piece("cord", "Cord with plug", cord, (SaleAs(said["grade"]),)))
    draft.rest("no-cord", "cord off", rest)
    draft.operation(
        "cut-cord", "unplug it and cut the cord off", on, said["minutes"], ("cord", "no-cord"), ("mains",),
        ("side cutters", "goggles"),
    )  # fmt: skip
    return "no-cord", rest


def take_motor(draft: Draft, on: str, mass: Estimate) -> tuple[str, Estimate]:
    """The motor, whole."""
    said = draft.table.motor
    (motor,), rest = parted(mass, [draft.row["motor"]])
    draft.pieces.append(Piece("motor", "Motor", motor, tuple(SaleAs(grade) for grade in said["grades"])))
    draft.rest("no-motor", "motor out", rest)
    draft.operation(
        "take-motor", "unscrew it and take the motor out", on, said["minutes"], ("motor", "no-motor"),
        ("sharp-edges",), ("screwdrivers", "side cutters", "goggles"),
    )  # fmt: skip
    return "no-motor", rest


def take_apart(draft: Draft, on: str, mass: Estimate) -> None:
    """The rest, by what it is made of; what nobody takes is left. Pieces are called as their grades."""
    parts = draft.row["parts"]
    masses, waste = parted(mass, [part["share"] for part in parts])
    given = [f"part-{part['grade']}" for part in parts]
    for piece, part, of in zip(given, parts, masses, strict=True):
        draft.pieces.append(Piece(piece, draft.grades[part["grade"]].name, of, (SaleAs(part["grade"]),)))
    draft.pieces.append(Piece("part-residue", "What nobody takes", waste, (SaleAs("residue"),)))
    name = "sort it, with a magnet in hand" if draft.lot else "take it apart and sort it, with a magnet in hand"
    tools = ("magnet",) if draft.lot else ("magnet", "screwdrivers", "side cutters", "goggles")
    minutes = _sorting_minutes(draft.row["minutes"], draft.mass.likely)
    draft.operation("sort", name, on, minutes, (*given, "part-residue"), ("sharp-edges",), tools)


def _answer(asked: str, name: str, mass: Estimate, said: Mapping[str, Any]) -> Piece:
    return Piece(
        answer_id(asked, said["answer"]),
        f"{name}, {said['name']}",
        mass,
        (SaleAs(said["grade"]),),
        answer_to=asked,
        share=said["chance"],
        answer=said["name"],
    )


def _sorting_minutes(said: Mapping[str, Any], kg: float) -> list[float]:
    """A start, and more for each kilogram of the whole thing, at low, likely and high."""
    return [float(start) + float(more) * kg for start, more in zip(said["start"], said["per_kg"], strict=True)]
