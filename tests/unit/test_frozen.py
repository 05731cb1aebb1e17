"""What is passed about cannot be changed behind anybody's back: dataclasses are frozen, but for a few named here."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from collections.abc import Iterator

import partway

RIM = ("actions", "cli", "reports", "storage", "web")
# What is filled as it is worked on, and seen by nobody else before it is done.
FILLED = {
    "Candidate": "tours under search, in a heap by their bound",
    "Columns": "the programme's columns, as they are made",
    "Draft": "an anatomy that is a guess, as it is made",
    "LoadLimit": "what a measure of the load has to do with each place, as it is gathered",
    "Linear": "rows and columns of a programme, as they are added",
    "Model": "a programme with what its columns mean",
    "Attempt": "one attempt at a sentence, with what was tried already",
    "Chunks": "the chunks of one sentence, as they are asked for",
    "Framed": "the frames of one sentence, as they are tried",
    "GapReading": "one sentence read with gaps, with what was tried already",
    "Branch": "a part of the search tree, in a heap by its bound",
    "PartRecord": "sales and offers of one part, as they are read",
    "Pooled": "the programme of all trips together, as it is made",
    "Stamp": "counts the events that one action makes",
    "Sums": "what is added up as events come in",
    "_After": "answers of the test key, as they are worked out",
    "_Reading": "an anatomy of the catalogue, as it is read",
}


def modules() -> Iterator[str]:
    """The names of the core's modules."""
    for top in pkgutil.iter_modules(partway.__path__, "partway."):
        if top.name.removeprefix("partway.") not in RIM:
            yield top.name
            if top.ispkg:
                inside = importlib.import_module(top.name).__path__
                yield from (found.name for found in pkgutil.walk_packages(inside, f"{top.name}."))


def test_the_dataclasses_of_the_core_are_frozen_but_for_those_named_here() -> None:
    found = {it for name in modules() for it in vars(importlib.import_module(name)).values() if isinstance(it, type)}
    ours = {it for it in found if dataclasses.is_dataclass(it) and it.__module__.startswith("partway.")}
    loose = {it.__name__ for it in ours if not it.__dataclass_params__.frozen}  # type: ignore[attr-defined]
    errors = {it.__name__ for it in ours if issubclass(it, Exception)}  # Python writes a traceback into each
    assert len(ours) > 100
    assert loose - errors == set(FILLED)
