"""The mass balance of an opening while it is still being typed: was = pieces + residue + loss + left.

Nothing here refuses: what cannot be read yet, or looks like a slip of the finger, is said beside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from partway.quantities import kg_per
from partway.things.estimate import Estimate

FAR = 2.0  # times beyond the usual range before a mass is asked about (a choice of ours)
NEAR = 1.5  # times beyond it that a slip of the decimal point or of the unit would still explain
LB = float(kg_per("lb"))
# What was typed over what was meant.
SLIPS = {"ten": 10.0, "hundred": 100.0, "thousand": 1000.0, "tenth": 0.1, "hundredth": 0.01, "thousandth": 0.001}
UNITS = {"pounds": 1.0 / LB, "kilograms": LB}


@dataclass(frozen=True, slots=True)
class TypedPiece:
    """One piece as typed: `mg` None where nothing can be read yet, `wrong` what is wrong with the text.

    `expected` is the usual mass of so many of them in kg, None where nobody knows.
    """

    piece: str
    mg: int | None
    wrong: str = ""
    expected: Estimate | None = None
    to_residue: bool = False


@dataclass(frozen=True, slots=True)
class BalanceHint:
    """A mass far off what is usual; `meant_mg` what it would be if a known slip (`slip`) explains it."""

    heavy: bool
    slip: str = ""
    meant_mg: int | None = None


@dataclass(frozen=True, slots=True)
class Weighing:
    """One piece in the balance."""

    piece: str
    mg: int | None
    wrong: str
    expected: Estimate | None
    hint: BalanceHint | None


@dataclass(frozen=True, slots=True)
class MassBalance:
    """Mass in against mass out. `was_mg` None where the find was never weighed: then nothing can be missing.

    `state`: unweighed, empty (nothing typed), closed, within (a gap that counts as loss), missing, over. `gap_mg` is
    what is missing, below 0 where more came out than was in. `share` of the find that is accounted for, at most 1 for
    a bar. `usual_mg` is what the pieces not weighed yet usually weigh.
    """

    rows: tuple[Weighing, ...]
    was_mg: int | None
    pieces_mg: int
    residue_mg: int
    loss_mg: int
    gap_mg: int
    allowed_mg: int
    state: str
    share: float
    usual_mg: int

    @property
    def out_mg(self) -> int:
        """All that came out."""
        return self.pieces_mg + self.residue_mg + self.loss_mg

    @property
    def wrong(self) -> bool:
        """Whether something typed cannot be read."""
        return any(row.wrong for row in self.rows)


def balance_typed(
    was_mg: int | None, typed: Sequence[TypedPiece], residue_mg: int = 0, loss_mg: int = 0, allowed_mg: int = 0
) -> MassBalance:
    """The balance of what was typed so far; `allowed_mg` is the gap that scale and operations explain."""
    pieces = sum(one.mg or 0 for one in typed if not one.to_residue)
    residue = residue_mg + sum(one.mg or 0 for one in typed if one.to_residue)
    out = pieces + residue + loss_mg
    gap = 0 if was_mg is None else was_mg - out
    return MassBalance(
        rows=tuple(Weighing(t.piece, t.mg, t.wrong, t.expected, _hint(t)) for t in typed),
        was_mg=was_mg,
        pieces_mg=pieces,
        residue_mg=residue,
        loss_mg=loss_mg,
        gap_mg=gap,
        allowed_mg=allowed_mg,
        state=_state(was_mg, out, gap, allowed_mg),
        share=min(1.0, out / was_mg) if was_mg else 0.0,
        usual_mg=round(sum(t.expected.likely for t in typed if t.expected and not t.mg and not t.wrong) * 1e6),
    )


def _state(was_mg: int | None, out: int, gap: int, allowed: int) -> str:
    if was_mg is None:
        return "unweighed"
    if out == 0:
        return "empty"
    if gap == 0:
        return "closed"
    if gap < 0:
        return "over"
    return "within" if gap <= allowed else "missing"


def _hint(typed: TypedPiece) -> BalanceHint | None:
    """Something to look at again where a mass lies far outside the usual range."""
    if not typed.mg or typed.expected is None or typed.expected.likely <= 0.0:
        return None
    kg, usual = typed.mg / 1e6, typed.expected
    low, high = usual.low, usual.high
    if low / FAR <= kg <= high * FAR:
        return None
    likely = {slip: kg / times for slip, times in (SLIPS | UNITS).items() if low / NEAR <= kg / times <= high * NEAR}
    if not likely:
        return BalanceHint(kg > high)
    slip = min(likely, key=lambda name: abs(math.log(likely[name] / usual.likely)))
    return BalanceHint(kg > high, slip, round(likely[slip] * 1e6))
