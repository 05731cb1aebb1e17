"""A property worked out once for each object, without making other objects wait.

Up to Python 3.11 `functools.cached_property` has one lock for the property of all objects of a class (Python 3.12,
"What's New", functools): whoever asked the ledger inside one held up every other request that came to the same one.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, Self, TypeVar, overload

T = TypeVar("T")


class lazily(Generic[T]):  # noqa: N801  read as a decorator
    """Two threads that ask one object at the same moment may both work it out, which costs time and nothing else."""

    def __init__(self, work_out: Callable[[Any], T]) -> None:
        self.work_out = work_out
        self.__doc__ = work_out.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    @overload
    def __get__(self, of: None, owner: type) -> Self: ...
    @overload
    def __get__(self, of: object, owner: type) -> T: ...
    def __get__(self, of: object | None, owner: type) -> T | Self:
        """What was worked out. The next time it is found in the object itself, and this is not asked."""
        if of is None:
            return self
        found = self.work_out(of)
        of.__dict__[self.name] = found
        return found
