"""What is told of a photograph."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partway.actions.recording.describe import Say
from partway.reports.called import Called


@dataclass(frozen=True, slots=True)
class PictureResult:
    """A photograph that was kept: of what (`sort` is find, bin, ticket or kind, `of` its name), and its pixels.

    `picture` is the SHA-256 of the photograph as it is kept.
    """

    sort: str
    of: str
    piece: str
    picture: str
    width: int
    height: int

    def words(self, say: Say) -> Iterator[str]:
        """Its line."""
        piece = f"{self.piece} of " if self.piece else ""
        yield f"photograph of {piece}{self.of}: {self.width} × {self.height}, without place or time"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Photograph kept: motor of the microwave"."""
        if self.sort == "kind":
            return f"Photograph kept: {self.piece.replace('-', ' ')} of a {called.kind(self.of)}"
        name = {"find": called.just, "bin": called.bin, "ticket": called.ticket}[self.sort](self.of)
        return f"Photograph kept: {called.piece(self.of, self.piece) if self.piece else name}"
