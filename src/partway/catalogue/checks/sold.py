"""Every grade is sold as by some piece of some kind, or says why not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from partway.catalogue.checks.graph import Flaw
from partway.quantities import shown
from partway.things.anatomy import Anatomy
from partway.things.material import Grade


def unsold_flaws(grades: Mapping[str, Grade], anatomies: Iterable[Anatomy]) -> Iterable[Flaw]:
    """Grades that nothing is sold as and that do not say why, and reasons that no longer hold."""
    sold = {sale.grade: anatomy.kind for anatomy in anatomies for piece in anatomy.pieces for sale in piece.sells}
    for grade in grades.values():
        place = f"grade[{grade.id}].unsold"
        if grade.id not in sold and not grade.unsold:
            expected = "a piece of some kind that is sold as it, or why there is none"
            yield Flaw("nothing", expected, place, grade.id)
        if grade.id in sold and grade.unsold:
            expected = f"no reason, since a piece of {shown(sold[grade.id])} is sold as it"
            yield Flaw(shown(grade.unsold), expected, place, grade.id)
