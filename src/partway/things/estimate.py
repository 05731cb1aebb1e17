"""An estimated quantity: low, likely, high."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """Three points of one quantity, `low <= likely <= high`.

    `mean` is the PERT mean (low + 4 likely + high) / 6 (Malcolm, Roseboom, Clark and Fazar,
    "Application of a technique for research and development program evaluation",
    Operations Research 7, 1959); every plan uses it.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"low {self.low}, likely {self.likely}, high {self.high} not in order")

    @classmethod
    def exact(cls, value: float) -> Estimate:
        """A quantity known without a range, such as a price heard today."""
        return cls(value, value, value)

    @property
    def mean(self) -> float:
        """PERT mean, in the quantity's own unit."""
        return (self.low + 4.0 * self.likely + self.high) / 6.0

    @property
    def is_exact(self) -> bool:
        """Whether there is no range to speak of."""
        return self.low == self.high

    def scaled(self, factor: float) -> Estimate:
        """All three points times a factor >= 0."""
        return Estimate(self.low * factor, self.likely * factor, self.high * factor)
