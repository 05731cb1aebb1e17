"""Mass arithmetic of anatomies: what is left over, a component at another size, what does not add up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from partway.things.anatomy import Anatomy, Gives, Operation, Piece
from partway.things.estimate import Estimate

TOLERANCE = 0.005  # share of the opened mass: what rounding the masses in a file may add up to


def with_mean(low: float, likely: float, mean: float) -> Estimate | None:
    """The range around `likely` whose PERT mean is `mean`, starting at `low` where that is possible.

    Masses add up at the likely point and at the mean, so these two are kept to and the ends give way.
    None when no range above 0 has that mean.
    """
    ends = 6.0 * mean - 4.0 * likely
    slack = 1e-9 * abs(likely)
    high = max(ends - min(low, likely), likely)
    low = ends - high
    if low <= 0.0 or low > likely + slack:
        return None
    return Estimate(min(low, likely), likely, high)


def left_over(opened: Estimate, taken: Iterable[tuple[Estimate, int]]) -> Estimate | tuple[float, float, float]:
    """What is left of a mass after `count` of each other mass went, at low, likely and high.

    Where the ends cross (wide ranges of many pieces), they move so that the mean still adds up. Where
    nothing is left, the three differences come back as they are.
    """
    low, likely, high, mean = opened.low, opened.likely, opened.high, opened.mean
    for mass, count in taken:
        low, likely, high = low - count * mass.low, likely - count * mass.likely, high - count * mass.high
        mean -= count * mass.mean
    fitted = with_mean(low, likely, mean) if low > 0.0 and likely > 0.0 else None
    return fitted or (low, likely, high)


def resized(component: Anatomy, mass: Estimate) -> dict[str, Estimate]:
    """The masses of a component's pieces when the whole component weighs `mass`.

    Likely masses scale with the whole. Means are mapped by the one linear rule that turns the
    component's mean into the new mean, so that whatever added up still does; each piece keeps its own
    relative low end where it can. When some piece cannot, all take the relative range of `mass`.
    """
    whole = component.whole.mass
    scale = mass.likely / whole.likely
    shift = (mass.mean - scale * whole.mean) / whole.likely
    inner = {piece.id: piece.mass for piece in component.pieces[1:]}
    fitted = {
        name: with_mean(scale * m.low, scale * m.likely, scale * m.mean + shift * m.likely) for name, m in inner.items()
    }
    masses = {name: fit for name, fit in fitted.items() if fit is not None}
    if len(masses) < len(fitted):
        masses = {name: mass.scaled(m.likely / whole.likely) for name, m in inner.items()}
    masses = {component.whole.id: mass, **masses}
    for piece in component.pieces:
        if piece.answer_to is not None:  # what a piece turns out to be weighs what it weighs
            masses[piece.id] = masses[piece.answer_to]
    return masses


def sums(operation: Operation, masses: Mapping[str, Estimate]) -> tuple[float, float]:
    """What an operation's pieces add up to at their likely masses and at their means, kg."""
    given = [(gives.count, masses[gives.piece]) for gives in operation.gives]
    return sum(n * mass.likely for n, mass in given), sum(n * mass.mean for n, mass in given)


def closes(opened: float, total: float, loss: float) -> bool:
    """Whether pieces of `total` kg can come out of `opened` kg with at most the share `loss` missing."""
    slack = 1e-9
    return 1.0 - loss - TOLERANCE - slack <= total / opened <= 1.0 + TOLERANCE + slack


def prefixed(piece_id: str, component: Anatomy, mass: Estimate) -> tuple[list[Piece], list[Operation]]:
    """A component's inner pieces and its operations under the name of the piece that is one of it.

    What the component as a whole warns of stands with each of its operations. Where it is asked about as a whole, the
    question and its answers take the piece's name for the component's: motor.tell becomes fan-motor.tell.
    """
    masses = resized(component, mass)
    whole = component.whole.id

    def name(inner: str) -> str:
        return piece_id if inner == whole else f"{piece_id}.{inner.removeprefix(f'{whole}.')}"

    pieces = [
        replace(p, id=name(p.id), mass=masses[p.id], answer_to=None if p.answer_to is None else name(p.answer_to))
        for p in component.pieces[1:]
    ]
    operations = [
        replace(
            op,
            id=f"{piece_id}.{op.id.removeprefix(f'{whole}.')}",
            on=name(op.on),
            gives=tuple(Gives(name(g.piece), g.count) for g in op.gives),
            cautions=tuple(dict.fromkeys((*component.cautions, *op.cautions))),
        )
        for op in component.operations
    ]
    return pieces, operations
