"""One guess in the making: what was said of the thing, and the pieces and operations written down so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from partway.catalogue.guesses.shares import mass_of, sale
from partway.catalogue.guesses.table import Guesses
from partway.things.anatomy import Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.traits import Traits


@dataclass
class Draft:
    """A thing by its name and by what was said of it. Steps add to `pieces` and `operations`, from the whole down."""

    table: Guesses
    grades: Mapping[str, Grade]
    name: str
    said: Traits
    pieces: list[Piece] = field(default_factory=list)
    operations: list[Operation] = field(default_factory=list)

    @property
    def row(self) -> Mapping[str, Any]:
        """What the table says of things that are mostly this."""
        return self.table.rows[self.said.mostly]

    @property
    def lot(self) -> bool:
        """Whether it is many small things and not one thing."""
        return bool(self.row.get("lot"))

    @property
    def mass(self) -> Estimate:
        """What the whole weighs, in kg."""
        return mass_of(self.said.size, self.lot)

    @property
    def sells(self) -> tuple[SaleAs, ...]:
        """What the whole sells as, and what is left of it after something came out."""
        return tuple(sale(one["grade"], one["share"]) for one in self.row["whole"])

    def may_have(self, what: str) -> bool:
        """Whether things that are mostly this may have a cord or a battery where nobody said."""
        return what in self.row.get("may", ())

    def has(self, what: str) -> bool:
        """Whether it is taken to have a cord, a motor, a battery: as said; else a battery where it may hold one."""
        answer = getattr(self.said, what)
        if answer:
            return bool(answer == "yes")
        return bool(self.row.get("has_motor")) if what == "motor" else what == "battery" and self.may_have(what)

    def rest(self, piece: str, name: str, mass: Estimate) -> None:
        """Adds what is left after something came out of a piece."""
        self.pieces.append(Piece(piece, f"{self.name}, {name}", mass, self.sells))

    def operation(
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
        """Adds an operation that gives one of each piece."""
        self.operations.append(
            Operation(
                operation,
                name,
                on,
                Estimate(*map(float, minutes)),
                tuple(map(Gives, gives)),
                tools,
                cautions,
                required=required,
            )
        )
