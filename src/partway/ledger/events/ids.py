"""Version 7 UUIDs (RFC 9562, section 5.7), each greater than the one before within a process.

48 bits of Unix time in milliseconds, then 74 random bits around the fixed version and variant bits. Two ids of one
millisecond, or a clock set back, add a random step to the last id instead (section 6.2, method 2).
"""

from __future__ import annotations

import datetime as dt
import secrets
import threading
import time
from collections.abc import Callable
from uuid import UUID

RANDOM_BITS = 74
STEP_BITS = 32
LARGEST_MS = 2**48 - 1
EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)


class IdMaker:
    """Makes ids that strictly increase, from any thread; a clock (Unix ms) and a source of bits may be given."""

    def __init__(
        self,
        clock: Callable[[], int] = lambda: time.time_ns() // 1_000_000,
        bits: Callable[[int], int] = secrets.randbits,
    ) -> None:
        self._clock, self._bits = clock, bits
        self._lock = threading.Lock()
        self._last = -1

    def __call__(self, after: UUID | None = None) -> UUID:
        """The next id; also greater than `after`, for an event that refers to one typed where the clock is ahead."""
        with self._lock:
            least = self._last if after is None else max(self._last, _packed(after))
            number = self._clock() << RANDOM_BITS | self._bits(RANDOM_BITS)
            if number <= least:
                number = least + 1 + self._bits(STEP_BITS)
            self._last = number
        return built(number >> RANDOM_BITS, number & (1 << RANDOM_BITS) - 1)


new_id = IdMaker()


def built(ms: int, low: int) -> UUID:
    """The id of a Unix time in ms and 74 further bits. Raises ValueError for what does not fit."""
    if not (0 <= ms <= LARGEST_MS and 0 <= low < 1 << RANDOM_BITS):
        raise ValueError(f"no version 7 UUID of {ms} ms and {low}")
    return UUID(int=ms << 80 | 0x7 << 76 | low >> 62 << 64 | 0b10 << 62 | low & (1 << 62) - 1)


def is_event_id(given: UUID) -> bool:
    """Whether a UUID is of version 7 and of the variant of RFC 9562."""
    return given.int >> 76 & 0xF == 0x7 and given.int >> 62 & 0b11 == 0b10


def time_of(event_id: UUID) -> dt.datetime:
    """The time an id was made at, in UTC to the millisecond. Raises ValueError for another version."""
    if not is_event_id(event_id):
        raise ValueError(f"{event_id} is not a version 7 UUID")
    return EPOCH + dt.timedelta(milliseconds=event_id.int >> 80)


def _packed(event_id: UUID) -> int:
    """Time and random bits without version and variant: the same order as the ids, room to count in."""
    return (event_id.int >> 80 << RANDOM_BITS) | (event_id.int >> 64 & 0xFFF) << 62 | event_id.int & (1 << 62) - 1
