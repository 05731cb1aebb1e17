"""The zone of this machine, which a workspace takes at its first use, and the time there."""

from __future__ import annotations

import datetime as dt
import warnings

from partway.ledger.book import Book
from partway.ledger.days import local, offset_text, zone_named, zone_of


def machine_zone() -> str:
    """The zone of this machine: its name in the tz database where that can be told, else the offset it has now."""
    import tzlocal

    here = dt.datetime.now().astimezone()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # that it found nothing, or two that contradict: then the offset is taken
            name = str(tzlocal.get_localzone_name())
        if local(here, zone_named(name)).utcoffset() == here.utcoffset():
            return name
    except (LookupError, ValueError, OSError):
        pass
    return f"UTC{offset_text(here)}"


def zone_here(book: Book | None) -> dt.tzinfo:
    """The zone of the workspace; the machine's where the workspace has none yet."""
    said = zone_of(book) if book is not None else None
    return said or zone_named(machine_zone())


def now_of(book: Book | None) -> dt.datetime:
    """The time now in that zone."""
    return local(dt.datetime.now(dt.UTC), zone_here(book))
