"""Wrong keys are counted by where they come from, and slowed: nobody waits, the next are not looked at for a while.

It is the 128 bits of a key that keep it from being guessed. This keeps a guesser from filling the log and from using
up the app's time.
"""

from __future__ import annotations

import ipaddress
import logging
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

FREE = 10  # wrong keys at once from one place before it is slowed (our own choice)
EACH = 6.0  # seconds until a slowed place may try one more
PLACES_MOST = 1000  # kept apart; the one that was quiet longest is forgotten
log = logging.getLogger("partway.web")


@dataclass
class _Place:
    tokens: float
    at: float
    wrong: int = 0


@dataclass
class Tries:
    """Wrong keys by the network they come from. `clock` is in seconds and never goes back."""

    clock: Callable[[], float] = time.monotonic
    _places: OrderedDict[str, _Place] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def wait(self, address: str) -> float:
        """Seconds until a key from this address is looked at; 0 where it is at once."""
        with self._lock:
            place = self._places.get(_network(address))
            if place is None:
                return 0.0
            missing = 1.0 - self._refilled(place)
            return missing * EACH if missing > 0 else 0.0

    def wrong(self, address: str) -> None:
        """Count a wrong key, and say so in the log: the first of a place, then ever fewer of them."""
        name = _network(address)
        with self._lock:
            place = self._places.setdefault(name, _Place(FREE, self.clock()))
            place.tokens, place.at = max(0.0, self._refilled(place) - 1.0), self.clock()
            place.wrong += 1
            count = place.wrong
            self._places.move_to_end(name)
            while len(self._places) > PLACES_MOST:
                self._places.popitem(last=False)
        if count & (count - 1) == 0:  # 1, 2, 4, 8, ...
            log.warning("a wrong key from %s, the %d. since the app was started", name, count)

    def _refilled(self, place: _Place) -> float:
        return min(float(FREE), place.tokens + (self.clock() - place.at) / EACH)


def _network(address: str) -> str:
    """What is counted as one place: an address, or the /64 that one household has of IPv6 (RFC 6177)."""
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return "an unknown place"
    if known.version == 4:
        return str(known)
    mapped = known.ipv4_mapped
    return str(mapped or ipaddress.ip_network((int(known) >> 64 << 64, 64)))
