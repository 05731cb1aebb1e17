"""Kinds of one's own: read from the TOML that a ledger keeps of each, and held to what `partway check` asks."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from typing import Any

from partway.catalogue.checks.anatomy import check_anatomy
from partway.catalogue.reading.long_keys import long_key
from partway.catalogue.reading.read import read_anatomies
from partway.catalogue.shipped import only_table, shipped
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.anatomy import Anatomy

NAMES_MOST = 12  # of a key, joined by dots
REMEMBERED = 2048  # texts: a ledger is asked for its kinds again and again, and one more than this reads all anew


def own_kind(text: str, kind: str) -> Anatomy:
    """The anatomy of a kind from its text. Raises BadCatalogue where today's catalogue would not take it."""
    where = f"your own kind {shown(kind)}"
    found = _read(text, where)
    if isinstance(found, BadCatalogue):
        raise found
    if found.kind != kind:
        raise BadCatalogue(shown(found.kind), f"an anatomy of {shown(kind)}", where)
    return found


def summary(text: str) -> str:
    """What an anatomy is of, in a few words; also of a text that is none."""
    found = _read(text, "")
    if isinstance(found, BadCatalogue):
        return "an anatomy that cannot be used here"
    pieces, ways = len(found.pieces) - 1, sum(not op.asks for op in found.operations)
    opened = f"{pieces} piece{'' if pieces == 1 else 's'} in {ways} operation{'' if ways == 1 else 's'}"
    mass = found.whole.mass
    return f"{found.name}, {mass.low:.3g} to {mass.high:.3g} kg, {opened if pieces else 'not opened'}"


def anatomies_in(text: str, where: str) -> tuple[Anatomy, ...]:
    """The sound anatomies of a TOML text, at least one. Raises BadCatalogue with the message of `partway check`."""
    tables = _tables(text, where)
    only_table(tables, "anatomy", where)
    if not isinstance(tables["anatomy"], list):
        raise BadCatalogue("anatomy as one value", "[[anatomy]] and nothing else", where)
    try:
        found = tuple(read_anatomies(tables["anatomy"], where, shipped().component).values())
    except RecursionError:
        raise BadCatalogue("tables nested too deep", "an [[anatomy]] as TOML", where) from None
    if not found:
        raise BadCatalogue("no anatomy", "at least one [[anatomy]]", where)
    for anatomy in found:
        check_anatomy(anatomy, shipped().grades, shipped().cautions, where)
    return found


@lru_cache(maxsize=REMEMBERED)
def _read(text: str, where: str) -> Anatomy | BadCatalogue:
    """An anatomy, or why it is none: both are remembered."""
    try:
        found = anatomies_in(text, where)
    except BadCatalogue as bad:
        return bad
    return found[0] if len(found) == 1 else BadCatalogue(f"{len(found)} anatomies", "one [[anatomy]]", where)


def _tables(text: str, where: str) -> dict[str, Any]:
    if long_key(text, NAMES_MOST):
        raise BadCatalogue(f"a key of more than {NAMES_MOST} names joined by dots", "an [[anatomy]] as TOML", where)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise BadCatalogue("tables nested too deep", "an [[anatomy]] as TOML", where) from None
    except ValueError as error:
        raise BadCatalogue(f"broken TOML ({str(error)[:120]})", "an [[anatomy]] as TOML", where) from None
