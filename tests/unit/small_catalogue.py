"""A fan, a motor and a few grades: the small catalogue that tests of the reading change here and there."""

from __future__ import annotations

import tomllib

import pytest

from partway.catalogue import check_anatomy, read_anatomies
from partway.errors import BadCatalogue
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade

FILE = "mine.toml"
ONE = Estimate(0.5, 1.0, 2.0)
GRADES = {
    name: Grade(name, name, "any", ONE)
    for name in ("iron", "copper-1", "copper-2", "copper-light", "motors", "residue")
} | {"pack": Grade("pack", "pack", "batteries", ONE, hazards=("li-ion",))}
CAUTIONS = {
    name: Caution(name, name, "hurts", "first", out_first=name == "li-ion") for name in ("mains", "li-ion", "springs")
}

FAN = """
[[anatomy]]
kind = "fan"
note = "Mind the blades."
  [[anatomy.piece]]
  id = "whole"
  mass_kg = [2.0, 3.0, 5.0]
  sells = [ { grade = "iron" } ]
  [[anatomy.piece]]
  id = "motor"
  mass_kg = [0.8, 1.0, 1.4]
  sells = [ { grade = "motors" } ]
  [[anatomy.piece]]
  id = "shell"
  mass_kg = "rest"
  sells = [ { grade = "iron", share = 0.9 } ]
  [[anatomy.operation]]
  on = "whole"
  minutes = [3, 5, 8]
  gives = [ { piece = "motor" }, { piece = "shell" } ]
"""

MOTOR = """
[[anatomy]]
kind = "motor-small"
cautions = ["springs"]
  [[anatomy.piece]]
  id = "motor"
  name = "Motor, shut"
  mass_kg = [0.4, 0.8, 1.2]
  sells = [ { grade = "motors" } ]
  [[anatomy.piece]]
  id = "copper"
  mass_kg = [0.03, 0.08, 0.16]
  sells = [ { grade = "copper-2" } ]
  [[anatomy.piece]]
  id = "iron"
  mass_kg = "rest"
  sells = [ { grade = "iron" } ]
  [[anatomy.operation]]
  id = "open"
  on = "motor"
  minutes = 6
  tools = ["goggles"]
  cautions = ["mains"]
  gives = [ { piece = "copper" }, { piece = "iron" } ]
"""


class NoComponents:
    names = ("motor-small",)

    def __call__(self, name: str) -> Anatomy:
        raise KeyError(name)


class Components(NoComponents):
    def __call__(self, name: str) -> Anatomy:
        if name != "motor-small":
            raise KeyError(name)
        return read(MOTOR)["motor-small"]


def read(text: str, components: NoComponents | None = None) -> dict[str, Anatomy]:
    """What a file's anatomies are read as, and held to every rule."""
    found = read_anatomies(tomllib.loads(text)["anatomy"], FILE, components or NoComponents())
    for anatomy in found.values():
        check_anatomy(anatomy, GRADES, CAUTIONS, FILE)
    return found


def fan(*changes: tuple[str, str]) -> str:
    """The fan's file with some text replaced."""
    text = FAN
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    return text


def refusal(text: str, components: NoComponents | None = None) -> BadCatalogue:
    with pytest.raises(BadCatalogue) as refused:
        read(text, components)
    return refused.value
