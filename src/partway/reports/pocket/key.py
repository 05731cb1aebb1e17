"""The test key as a phone carries it, in the shape of `/pocket/key.json`: a tree of questions, equal parts once."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KeyStart:
    """Where the tree begins for a piece of so much (`words`): the number of a node."""

    id: str
    words: str
    node: int


@dataclass(frozen=True, slots=True)
class KeyWhence:
    """Where pieces come from, with a beginning for each mass."""

    id: str
    name: str
    masses: tuple[KeyStart, ...]


@dataclass(frozen=True, slots=True)
class KeyQuestion:
    """A test: its name, what to do (`ask`), and after each answer the number of the node that follows.

    `careful` are ids of caution cards that come before it.
    """

    name: str
    ask: str
    careful: tuple[str, ...]
    answers: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class KeyEnd:
    """Where it ends: the bin it goes into or what else to do (`end`), what it most likely is, and the cards of that."""

    end: str
    more: tuple[str, ...]
    careful: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PocketTree:
    """All of it. `never` is what is never done to find out; it comes first. `state` is another one
    after every change of prices, wage, bins and confirmed pieces that the answers go by.
    """

    schema: int
    workspace: str
    state: str
    on: str
    day: str
    never: tuple[str, ...]
    whence: tuple[KeyWhence, ...]
    nodes: tuple[KeyQuestion | KeyEnd, ...]
