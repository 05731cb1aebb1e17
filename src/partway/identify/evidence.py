"""What an answer says about a material: rows of the key, smoothed, and densities with their uncertainty."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from partway.things.testkey import KeyTest, Material, MaterialKey

NOT_SURE = "not sure"
SMOOTHING = 0.01  # a hundredth of every row is spread over all answers: nobody's table is that certain
LEAST, MOST = 0.2, 25.0  # g/cm3: foam to osmium, with room
RULED_OUT = 0.01  # an answer that comes from one piece in a hundred, or fewer, of a material


@dataclass(frozen=True, slots=True)
class Measured:
    """A density in g/cm3 and its standard uncertainty."""

    density: float
    off: float


Answer = str | Measured
Answers = Mapping[str, Answer]


def table(test: KeyTest, material: Material) -> tuple[float, ...]:
    """The share of pieces of a material that give each answer; the same for all where nothing is known.

    A hand's judgement of weight follows from the density: log-normal around it, cut at the test's edges.
    """
    if test.id in material.rows:
        return material.rows[test.id]
    if not test.edges or material.density is None:
        return (1.0 / len(test.answers),) * len(test.answers)
    spread = math.hypot(test.spread, material.spread)
    below = [phi(math.log(edge / material.density) / spread) for edge in test.edges]
    return tuple(high - low for low, high in zip([0.0, *below], [*below, 1.0], strict=True))


def likelihood(test: KeyTest, material: Material, answer: Answer) -> float:
    """How likely an answer is from a piece of the material, smoothed; a density per g/cm3. Not sure says nothing."""
    if answer == NOT_SURE:
        return 1.0
    if isinstance(answer, Measured):
        return _density_likelihood(material, answer)
    index = [name for name, _ in test.answers].index(answer)
    return smoothed(table(test, material)[index], 1.0 / len(test.answers))


def smoothed(share: float, flat: float) -> float:
    """A share with a hundredth of it handed to what any material might give."""
    return (1.0 - SMOOTHING) * share + SMOOTHING * flat


def _density_likelihood(material: Material, measured: Measured) -> float:
    flat = 1.0 / (MOST - LEAST)
    if material.density is None:
        return flat
    spread = math.hypot(material.spread * material.density, measured.off)
    z = (measured.density - material.density) / spread
    return smoothed(math.exp(-0.5 * z * z) / (spread * math.sqrt(2.0 * math.pi)), flat)


def phi(z: float) -> float:
    """The standard normal distribution function."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def needs_met(test: KeyTest, answers: Answers) -> bool:
    """Whether the answers a test depends on are there."""
    return all(answers.get(needed) == answer for needed, answer in test.needs.items())


def barred_by(test: KeyTest, key: MaterialKey, answers: Answers) -> tuple[str, ...]:
    """Materials that the test must not be tried on and that no answer has ruled out yet.

    This looks at the rows of the key alone, never at how common a material is: a thousand confirmed pieces of steel do
    not make the next ceramic safe to file.
    """
    return tuple(name for name in test.bars if not ruled_out(key, key.materials[name], answers))


def ruled_out(key: MaterialKey, material: Material, answers: Answers) -> bool:
    """Whether some answer hardly ever comes from the material. What a hand or a scale judges does not count here."""
    for name, answer in answers.items():
        row = material.rows.get(name)
        if row is None or isinstance(answer, Measured) or answer == NOT_SURE:
            continue
        index = [known for known, _ in key.tests[name].answers].index(answer)
        if row[index] <= RULED_OUT:
            return True
    return False
