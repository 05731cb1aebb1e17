"""What a thing that no catalogue has is taken to be, from what somebody said of it: a pure function of its kind.

Hazards come first: what may hold a battery opens with taking it out, what may have a cord says so, and a name that
tells of gas or refrigerant brings its card. Shares and minutes are wide, since nobody has opened it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from partway.catalogue.checks.masses import with_mean
from partway.catalogue.reading.toml import load
from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.traits import SIZES, Traits, shown_name, traits_in

LOSS = 0.02
SMALLEST = 0.02  # kg, of the smallest size
LARGEST = 400.0  # kg: beyond this nobody lifts it
HEAVY = 25.0  # kg, from which on two people had better lift it
ANY_SIZE, ANY_LOT = Estimate(0.5, 4.0, 25.0), Estimate(0.2, 3.0, 15.0)  # of what nobody weighed (from memory)
REST_LOW = 0.3  # of the likely mass of a rest, where its low end would be nothing


@dataclass(frozen=True)
class Guesses:
    """The table of guesses: what things are that are mostly steel, plastic, cables ..."""

    rows: Mapping[str, Mapping[str, Any]]
    words: Sequence[Mapping[str, Any]]
    battery: Mapping[str, Any]
    cord: Mapping[str, Any]
    motor: Mapping[str, Any]

    @property
    def names(self) -> dict[str, str]:
        """What a thing may mostly be, by id, in plain words."""
        return {row: str(said["name"]) for row, said in self.rows.items()}

    def knows(self, kind: str) -> bool:
        """Whether a kind is one that somebody described."""
        found = traits_in(kind)
        return found is not None and found[1].mostly in self.rows

    def anatomy(self, kind: str, grades: Mapping[str, Grade]) -> Anatomy:
        """The anatomy of such a kind; KeyError for any other. Pieces are called as their grades."""
        found = traits_in(kind)
        if found is None or found[1].mostly not in self.rows:
            raise KeyError(kind)
        return _Guess(self, grades, kind, *found).anatomy()


@lru_cache(maxsize=8)
def guesses_in(file: Path) -> Guesses:
    """The table of a file. Raises BadCatalogue for what is no TOML."""
    tables = load(file)
    rows = {row["id"]: row for row in tables["mostly"]}
    return Guesses(rows, tables["word"], tables["battery"], tables["cord"], tables["motor"])


def mass_of(size: str, lot: bool = False) -> Estimate:
    """What a thing of a size weighs, in kg."""
    names = [name for name, _ in SIZES]
    if size not in names:
        return ANY_LOT if lot else ANY_SIZE
    at = names.index(size)
    low = SIZES[at - 1][1] if at else SMALLEST
    high = min(SIZES[at][1], LARGEST)
    return Estimate(low, (low + high) / 2.0, high)


class _Guess:
    """One kind in the making: pieces and operations, from the whole down to its rest."""

    def __init__(self, table: Guesses, grades: Mapping[str, Grade], kind: str, name: str, said: Traits) -> None:
        self.table, self.grades, self.kind, self.said = table, grades, kind, said
        self.name = shown_name(name)
        self.row = table.rows[said.mostly]
        self.lot = bool(self.row.get("lot"))
        self.mass = mass_of(said.size, self.lot)
        self.pieces: list[Piece] = []
        self.operations: list[Operation] = []
        self.word = next((word for word in table.words if _says(name, word["words"])), None)

    def anatomy(self) -> Anatomy:
        if self.word is not None and self.word.get("stop"):
            self._shut(self.word)
        elif self.row.get("batteries"):
            self._asked("whole", self.name, self.mass)
        else:
            self._open()
        return Anatomy(
            kind=self.kind,
            name=self.name,
            pieces=tuple(self.pieces),
            operations=tuple(self.operations),
            family="not in the catalogue",
            cautions=self._cautions(),
            note=self._note(),
            guessed=True,
        )

    def _has(self, what: str) -> bool:
        """Whether it is taken to have a cord, a motor, a battery: as said; else a battery where it may hold one."""
        answer = getattr(self.said, what)
        if answer:
            return bool(answer == "yes")
        return bool(self.row.get("has_motor")) if what == "motor" else what == "battery" and what in self._may

    @property
    def _may(self) -> tuple[str, ...]:
        return tuple(self.row.get("may", ()))

    def _cautions(self) -> tuple[str, ...]:
        found = [self.word["caution"]] if self.word else []
        if self.said.cord == "yes" or (self.said.cord != "no" and "cord" in self._may):
            found.append("mains")
        if self._has("battery"):
            found += ["live-on-battery", "battery-short"]
        found += [*self.row.get("cautions", ())]
        if self.mass.likely >= HEAVY:
            found.append("heavy-lift")
        return tuple(dict.fromkeys(found))

    def _note(self) -> str:
        shut = " Its name tells of danger: it stays shut." if self.word and self.word.get("stop") else ""
        return f"A guess from what you said: mostly {self.row['name']}.{shut} Open one and weigh it to know."

    def _shut(self, word: Mapping[str, Any]) -> None:
        """What a name says is never opened."""
        sells = (SaleAs(word["grade"]),) if "grade" in word else ()
        self.pieces.append(Piece("whole", self.name, self.mass, sells, stop=word["caution"]))

    def _open(self) -> None:
        """Battery, cord and motor come out one after the other; then what is left comes apart."""
        here, mass, left = "whole", self.mass, self.name
        self.pieces.append(Piece(here, left, mass, self._sells()))
        for what, take in (("battery", self._battery), ("cord", self._cord), ("motor", self._motor)):
            if not self._has(what) or (self.lot and what != "battery"):
                continue
            here, mass = take(here, mass)
        self._apart(here, mass)

    def _sells(self) -> tuple[SaleAs, ...]:
        return tuple(_sale(one["grade"], one["share"]) for one in self.row["whole"])

    def _battery(self, on: str, mass: Estimate) -> tuple[str, Estimate]:
        said, sure = self.table.battery, "" if self.said.battery == "yes" else "unsaid_"
        battery, rest = _parted(mass, [said[f"{sure}share"]])
        self._asked("battery", "Battery", battery[0])
        self._rest(on, "no-battery", f"{self.name}, battery out", rest)
        self._operation(
            "take-battery",
            "switch it off, find its battery and take it out whole; if there is none, go on",
            on,
            said[f"{sure}minutes"],
            ("battery", "no-battery"),
            ("live-on-battery", "li-ion", "battery-short"),  # until its label is read it is taken as lithium
            required=True,
        )
        return "no-battery", rest

    def _asked(self, piece: str, name: str, mass: Estimate) -> None:
        """A battery of which nobody read the label: each chemistry an answer, and no sale before it is known."""
        answers = self.table.battery["answers"]
        self.pieces.append(
            Piece(piece, name, mass, note="Read its label. No label: keep it apart, it goes nowhere yet.")
        )
        for one in answers:
            self.pieces.append(
                Piece(
                    f"{piece}.{one['answer']}",
                    f"{name}, {one['name']}",
                    mass,
                    (SaleAs(one["grade"]),),
                    answer_to=piece,
                    share=one["chance"],
                    answer=one["name"],
                )
            )
        self.operations.append(
            Operation(
                f"{piece}.tell",
                "read the label: lithium, nickel, lead or alkaline?",
                piece,
                Estimate(0.2, 0.5, 2.0),
                tuple(Gives(f"{piece}.{one['answer']}") for one in answers),
                loss=0.0,
                asks=True,
            )
        )

    def _cord(self, on: str, mass: Estimate) -> tuple[str, Estimate]:
        said = self.table.cord
        cord, rest = _parted(mass, [said["share"]])
        self.pieces.append(Piece("cord", "Cord with plug", cord[0], (SaleAs(said["grade"]),)))
        self._rest(on, "no-cord", f"{self.name}, cord off", rest)
        self._operation(
            "cut-cord", "unplug it and cut the cord off", on, said["minutes"], ("cord", "no-cord"), ("mains",),
            ("side cutters", "goggles"),
        )  # fmt: skip
        return "no-cord", rest

    def _motor(self, on: str, mass: Estimate) -> tuple[str, Estimate]:
        said = self.table.motor
        motor, rest = _parted(mass, [self.row["motor"]])
        self.pieces.append(Piece("motor", "Motor", motor[0], tuple(SaleAs(grade) for grade in said["grades"])))
        self._rest(on, "no-motor", f"{self.name}, motor out", rest)
        self._operation(
            "take-motor", "unscrew it and take the motor out", on, said["minutes"], ("motor", "no-motor"),
            ("sharp-edges",), ("screwdrivers", "side cutters", "goggles"),
        )  # fmt: skip
        return "no-motor", rest

    def _apart(self, on: str, mass: Estimate) -> None:
        """The rest by what it is made of, and what nobody takes."""
        parts = self.row["parts"]
        masses, waste = _parted(mass, [part["share"] for part in parts])
        given = [f"part-{part['grade']}" for part in parts]
        for piece, part, of in zip(given, parts, masses, strict=True):
            self.pieces.append(Piece(piece, self.grades[part["grade"]].name, of, (SaleAs(part["grade"]),)))
        self.pieces.append(Piece("part-residue", "What nobody takes", waste, (SaleAs("residue"),)))
        start, per_kg = (Estimate(*map(float, self.row["minutes"][name])) for name in ("start", "per_kg"))
        kg = self.mass.likely
        minutes = [getattr(start, end) + getattr(per_kg, end) * kg for end in ("low", "likely", "high")]
        name = "sort it, with a magnet in hand" if self.lot else "take it apart and sort it, with a magnet in hand"
        tools = ("magnet",) if self.lot else ("magnet", "screwdrivers", "side cutters", "goggles")
        self._operation("sort", name, on, minutes, (*given, "part-residue"), ("sharp-edges",), tools)

    def _rest(self, on: str, piece: str, name: str, mass: Estimate) -> None:
        """What is left after something came out of a piece: it sells as the whole does."""
        self.pieces.append(Piece(piece, name, mass, self._sells()))

    def _operation(
        self,
        operation: str,
        name: str,
        on: str,
        minutes: Sequence[float],
        gives: Sequence[str],
        cautions: tuple[str, ...] = (),
        tools: tuple[str, ...] = (),
        *,
        required: bool = False,
    ) -> None:
        self.operations.append(
            Operation(
                operation,
                name,
                on,
                Estimate(*map(float, minutes)),
                tuple(map(Gives, gives)),
                tools,
                cautions,
                loss=LOSS,
                required=required,
            )
        )


def _says(name: str, words: Sequence[str]) -> bool:
    """Whether a name has one of these words in it, or its plural."""
    said = f" {name.replace('-', ' ')} "
    return any(re.search(rf" {re.escape(word)}(?:s|es)? ", said) for word in words)


def _sale(grade: str, share: Sequence[float]) -> SaleAs:
    return SaleAs.of(grade, Estimate(*map(float, share)))


def _parted(mass: Estimate, shares: Sequence[Sequence[float]]) -> tuple[list[Estimate], Estimate]:
    """Pieces by their shares of a mass, and the rest of it: they add up at the likely masses and at the means."""
    points = [Estimate(*map(float, share)) for share in shares]
    pieces = [_shared(mass, share.mean, share.low) for share in points]
    rest = 1.0 - sum(share.mean for share in points)
    return pieces, _shared(mass, rest, REST_LOW * rest)


def _shared(mass: Estimate, share: float, low: float) -> Estimate:
    """So much of a mass, from a low share on up to what keeps its mean that share of the mean."""
    found = with_mean(low * mass.likely, share * mass.likely, share * mass.mean)
    if found is None:
        raise ValueError(f"{share} of {mass}, from {low} on: no such range")
    return found
