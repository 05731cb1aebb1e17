"""Where a ledger keeps its photographs: a protocol, and the one that lies in memory."""

from __future__ import annotations

from typing import Protocol


class Photographs(Protocol):
    """The photographs of a ledger, each by the digest that events name it by. They lie beside the events."""

    def keep(self, digest: str, content: bytes) -> None:
        """Keep one, on the disk before this returns; one that is there stays. Raises Refused where there is no room."""
        ...

    def content(self, digest: str) -> bytes | None:
        """One of them; None where it is not here, which a ledger from elsewhere may come without."""
        ...


class PhotographsInMemory:
    """Implements Photographs, for tests and for trying things out."""

    def __init__(self) -> None:
        self._kept: dict[str, bytes] = {}

    def keep(self, digest: str, content: bytes) -> None:
        """Keep one."""
        self._kept.setdefault(digest, content)

    def content(self, digest: str) -> bytes | None:
        """One of them."""
        return self._kept.get(digest)
