"""Grades and anatomies of a scenario: the shipped catalogue under the file's own overlays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from partway.catalogue import Catalogue, check_anatomy, check_grades, read_anatomies, read_grades, shipped
from partway.storage.scenario.file_locations import Spot
from partway.storage.scenario.forms import FindTable, ScenarioFile
from partway.things.anatomy import Anatomy
from partway.things.material import Grade


@dataclass(frozen=True)
class Materials:
    """All grades known to one file, and its own anatomies."""

    catalogue: Catalogue
    grades: Mapping[str, Grade]
    own: Mapping[str, Anatomy]
    where: str
    own_grades: bool

    def anatomies(self, finds: Sequence[FindTable], spot: Spot) -> dict[str, Anatomy]:
        """The file's own anatomies and those that its finds name. Raises BadScenario for an unknown kind."""
        found = dict(self.own)
        for i, find in enumerate(finds):
            if find.kind not in found:
                found[find.kind] = self._shipped(find.kind, i, spot)
        return found

    def _shipped(self, kind: str, i: int, spot: Spot) -> Anatomy:
        if not self.catalogue.knows(kind):
            raise spot.unknown(kind, "kind", {*self.catalogue.kinds, *self.own}, "find", i, "kind")
        anatomy = self.catalogue.anatomy(kind)
        if self.own_grades:  # an overlaid grade may hide a hazard that ours names
            check_anatomy(anatomy, self.grades, self.catalogue.cautions, f"{self.where}, [[grade]]")
        return anatomy


def read_materials(
    grades: Sequence[Mapping[str, Any]],
    anatomies: Sequence[Mapping[str, Any]],
    where: str,
    defaults: Mapping[str, Any],
) -> Materials:
    """Read and check the overlays. Raises BadCatalogue on the first thing that is wrong."""
    catalogue = shipped()
    known = read_grades(grades, where, catalogue.grades, defaults)
    if grades:
        check_grades(known, catalogue.cautions, where)
    own = read_anatomies(anatomies, where, catalogue.component)
    for anatomy in own.values():
        check_anatomy(anatomy, known, catalogue.cautions, where)
    return Materials(catalogue, known, own, where, bool(grades))


def materials_of(form: ScenarioFile, where: str) -> Materials:
    """The materials of a scenario file."""
    return read_materials(form.grade, form.anatomy, where, {})
