"""The made-up harbour town: its streets, what is put out in them, its buyers. All of it is invented."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np

from partway.actions.recording.context import Context
from partway.catalogue.reading.toml import load
from partway.catalogue.shipped import DATA
from partway.ledger.events.ids import IdMaker
from partway.ledger.memory import MemoryBook

T = TypeVar("T")
WHO, DEVICE = "demo", "0decade0"
STREETS = (
    "capstan row", "net loft lane", "lower quay", "ropewalk", "gull steps", "tar yard corner", "chandler street",
    "old slipway", "lantern hill", "the flats behind the cannery",
)  # fmt: skip
# kind: how often it is found, to the others
KINDS = {
    "microwave": 12, "bread-machine": 7, "fan": 12, "toaster": 8, "kettle": 8, "coffee-maker": 8, "desktop-pc": 8,
    "inkjet-printer": 7, "speaker": 5, "stereo-receiver": 5, "cordless-drill": 4, "upright-vacuum": 8, "router": 6,
    "game-console": 2, "extension-cord": 5, "tap": 4, "adapter": 6, "hair-dryer": 4, "fan-heater": 4, "disc-player": 5,
    "car-battery": 3, "washer-top": 3, "dryer": 2, "stand-mixer": 2, "laptop": 3,
}  # fmt: skip


@dataclass
class Town:
    """The town on one simulated day: a book in memory, a clock, and the seed's draws.

    What is put out and when does not hang on the catalogue: how a kind comes apart, how many lines a ticket has and how
    many events that makes is drawn `apart` from it, so that a find keeps its name when its kind is mended.
    """

    rng: np.random.Generator
    now: dt.datetime
    book: MemoryBook = field(default_factory=lambda: MemoryBook(device=DEVICE))

    def __post_init__(self) -> None:
        self._other, self._ids = self.rng.spawn(2)
        self.new_id = IdMaker(lambda: int(self.now.timestamp() * 1000), self._bits)
        self.other_id = IdMaker(lambda: int(self.now.timestamp() * 1000), lambda count: 0)

    def _bits(self, count: int) -> int:
        return int.from_bytes(self._ids.bytes((count + 7) // 8)) & ((1 << count) - 1)

    @contextmanager
    def apart(self) -> Iterator[None]:
        """Draws that leave those after them as they are, however many there are."""
        self.rng, self._other = self._other, self.rng
        try:
            yield
        finally:
            self.rng, self._other = self._other, self.rng

    def context(self) -> Context:
        """The present moment; each thing typed takes a minute."""
        self.now += dt.timedelta(minutes=1)
        return Context(WHO, lambda: self.now, self.new_id)

    def aside(self) -> Context:
        """The same moment without a draw, for what came into the demo later: the draws after it stay as they are."""
        return Context(WHO, lambda: self.now, self.other_id)

    def chance(self, share: float) -> bool:
        """True in that share of draws."""
        return bool(self.rng.random() < share)

    def one_of(self, items: Mapping[T, float] | tuple[T, ...] | list[T]) -> T:
        """One of some things, by weight where they have one."""
        names = list(items)
        weights = np.array(list(items.values()) if isinstance(items, Mapping) else [1.0] * len(names))
        return names[int(self.rng.choice(len(names), p=weights / weights.sum()))]

    def around(self, low: float, likely: float, high: float) -> float:
        """A draw from low to high, most often near the likely value."""
        return float(self.rng.triangular(low, likely, high)) if low < high else likely

    def scale(self, kg: float, division_g: int = 10) -> int:
        """What a scale of that division shows, in milligrams; never less than one division."""
        return max(1, round(kg * 1000 / division_g)) * division_g * 1000


def buyer_tables() -> list[dict[str, Any]]:
    """The buyers of the demo week, with their price lists."""
    tables: list[dict[str, Any]] = load(DATA.parent / "demo" / "harbour-week.toml")["buyer"]
    return tables
