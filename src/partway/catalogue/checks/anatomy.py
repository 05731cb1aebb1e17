"""What every grade and anatomy is held to: names that exist, graphs without cycles, masses that add up."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from partway.catalogue.checks.graph import Flaw, first_cycle, openings_of, repeated, shape_flaws
from partway.catalogue.checks.masses import closes, sums
from partway.catalogue.reading.messages import at, suggestion
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.anatomy import Anatomy, Operation, Piece
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade


def check_grades(grades: Mapping[str, Grade], cautions: Collection[str], where: str) -> None:
    """Raises BadCatalogue on the first thing wrong with the grades; `cautions` holds the known ids."""
    _raise_first(grade_flaws(grades, cautions), where)


def check_anatomy(anatomy: Anatomy, grades: Mapping[str, Grade], cautions: Mapping[str, Caution], where: str) -> None:
    """Raises BadCatalogue on the first thing wrong with the anatomy.

    What only the shipped catalogue is held to (closure at the mean, hidden hazards) is in findings.
    """
    _raise_first(anatomy_flaws(anatomy, grades, cautions), where)


def _raise_first(flaws: Iterable[Flaw], where: str) -> None:
    for flaw in flaws:
        raise BadCatalogue(flaw.given, flaw.expected, at(where, flaw.place))


def grade_flaws(grades: Mapping[str, Grade], cautions: Collection[str]) -> Iterable[Flaw]:
    """Unknown names, grades that become themselves, hazards lost on the way down."""
    for grade in grades.values():
        place = f"grade[{grade.id}]"
        yield from _unknown_names(grade.hazards, cautions, "caution", f"{place}.hazards", grade.id)
        yield from _unknown_names(grade.downgrades, grades, "grade", f"{place}.downgrades", grade.id)
        for lower in grade.downgrades:
            lost = set(grade.hazards) - set(grades[lower].hazards) if lower in grades else set()
            if lost:
                expected = f"a grade that names the same hazard: {', '.join(sorted(lost))}"
                yield Flaw(shown(lower), expected, f"{place}.downgrades", grade.id)
    cycle = first_cycle({grade.id: grade.downgrades for grade in grades.values()})
    if cycle:
        expected = "downgrades that lead downwards only"
        yield Flaw(" -> ".join(cycle), expected, f"grade[{cycle[0]}].downgrades", cycle[0])


def anatomy_flaws(anatomy: Anatomy, grades: Collection[str], cautions: Collection[str]) -> Iterable[Flaw]:
    """Everything an anatomy of anybody is refused for, graph first, since the rest presumes it."""
    root = f"anatomy[{anatomy.kind}]"
    pieces = [piece.id for piece in anatomy.pieces]
    shape = list(shape_flaws(root, pieces, openings_of(anatomy.operations)))
    yield from shape
    yield from _unknown_names(anatomy.cautions, cautions, "caution", f"{root}.cautions", anatomy.whole.id)
    for piece in anatomy.pieces:
        yield from _piece_flaws(anatomy, piece, root, grades, cautions)
    for operation in anatomy.operations:
        place = f"{root}.operation[{operation.id}].cautions"
        yield from _unknown_names(operation.cautions, cautions, "caution", place, operation.on)
    yield from _published_flaws(anatomy, root)
    if not shape:
        yield from closure_flaws(anatomy, at_mean=False)


def _unknown_names(names: Iterable[str], known: Collection[str], what: str, place: str, piece: str) -> Iterable[Flaw]:
    for name in names:
        if name not in known:
            yield Flaw(shown(name), f"a known {what}{suggestion(name, known)}", place, piece)


def _piece_flaws(
    anatomy: Anatomy, piece: Piece, root: str, grades: Collection[str], cautions: Collection[str]
) -> Iterable[Flaw]:
    place = f"{root}.piece[{piece.id}]"
    sold = [sale.grade for sale in piece.sells]
    yield from _unknown_names(sold, grades, "grade", f"{place}.sells", piece.id)
    if twice := repeated(sold):
        yield Flaw(f"{shown(twice)} twice", "each grade once", f"{place}.sells", piece.id)
    if piece.stop is not None:
        yield from _unknown_names([piece.stop], cautions, "caution", f"{place}.stop", piece.id)
        for operation in anatomy.operations_on(piece.id):
            expected = f"no operation on a piece that stays shut (stop = {shown(piece.stop)})"
            yield Flaw(shown(operation.id), expected, f"{root}.operation[{operation.id}].on", piece.id)


def _published_flaws(anatomy: Anatomy, root: str) -> Iterable[Flaw]:
    mass = anatomy.whole.mass
    for published in anatomy.published:
        if mass.low <= published.mean_kg <= mass.high or published.why:
            continue
        outside = published.mean_kg - (mass.high if published.mean_kg > mass.high else mass.low)
        yield Flaw(
            f"a published mean of {published.mean_kg:g} kg ({outside:+.3g} kg outside)",
            f"a mean within {mass.low:g} to {mass.high:g} kg, or `why` to say why not",
            f"{root}.published[{published.source}]",
            anatomy.whole.id,
            outside,
        )


def closure_flaws(anatomy: Anatomy, *, at_mean: bool) -> Iterable[Flaw]:
    """Operations whose pieces do not add up to the piece opened.

    Compared at the likely masses or at their PERT means, in kg. One that asks takes nothing apart.
    """
    masses = {piece.id: piece.mass for piece in anatomy.pieces}
    for operation in anatomy.operations:
        if operation.asks:
            continue
        yield from _closure(anatomy.kind, operation, masses, at_mean)


def _closure(kind: str, operation: Operation, masses: Mapping[str, Estimate], at_mean: bool) -> Iterable[Flaw]:
    opened = masses[operation.on].mean if at_mean else masses[operation.on].likely
    total = sums(operation, masses)[1 if at_mean else 0]
    if closes(opened, total, operation.loss):
        return
    difference = total - opened
    basis = "PERT mean" if at_mean else "likely"
    yield Flaw(
        f"pieces that add up to {total:.4g} kg ({difference:+.4g} kg, {difference / opened:+.1%})",
        f"the {basis} mass of {shown(operation.on)}, {opened:.4g} kg, less at most {operation.loss:.1%} loss",
        f"anatomy[{kind}].operation[{operation.id}]",
        operation.on,
        difference,
    )
