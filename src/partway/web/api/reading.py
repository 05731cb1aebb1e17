"""Routers for addresses that only read, and names in addresses that lead nowhere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from fastapi import APIRouter

from partway.quantities import shown
from partway.web.api.problems import NAMED, READING, may
from partway.web.serving.failures import NotHere

T = TypeVar("T")
AT_NAME = may(*NAMED)
AT_KIND = may(*NAMED, 409)  # a name of no one kind, or of a thing nobody knows, is asked about


def reads(tag: str) -> APIRouter:
    """A router for addresses that read."""
    return APIRouter(prefix="/api", tags=[tag], responses=may(*READING))


def named(known: Mapping[str, T], name: str, what: str) -> T:
    """What goes by a name. Raises NotHere."""
    if name not in known:
        raise NotHere(shown(name), f"a {what} that is there", what)
    return known[name]
