"""Days and times of the workspace: the one place that knows which day a moment falls on and where a day begins.

A moment is kept in UTC. Which day it belongs to is read with the offset that the workspace's zone had at that moment:
fuel bought on 31 December at 23:30 stays in its year, also when it is looked at in July.
"""

from __future__ import annotations

import datetime as dt
import re
from zoneinfo import ZoneInfo

from partway.ledger.book import Book

SETTING = "zone"
FIXED = re.compile(r"UTC([+-])(\d\d):(\d\d)")
MOST = dt.timedelta(hours=14)  # Kiribati; the other way nobody is further than 12 hours from UTC (tz database)


def zone_named(name: str) -> dt.tzinfo:
    """The zone of a name of the tz database (America/Halifax), or a fixed offset (UTC-04:00). Raises ValueError."""
    fixed = FIXED.fullmatch(name)
    if fixed:
        offset = dt.timedelta(hours=int(fixed[2]), minutes=int(fixed[3])) * (-1 if fixed[1] == "-" else 1)
        if abs(offset) > MOST or int(fixed[3]) > 59:
            raise ValueError(name)
        return dt.timezone(offset, name)
    try:
        return ZoneInfo(name)
    except (KeyError, OSError):  # a name that is not there, or a folder of names
        raise ValueError(name) from None


def zone_said(book: Book) -> str | None:
    """The name of the zone that the workspace is set to."""
    return book.facts(f"setting:{SETTING}", "value").get((f"setting:{SETTING}", "value"))


def zone_of(book: Book) -> dt.tzinfo | None:
    """The zone that the workspace is set to; None where none is, or one that this machine has never heard of."""
    said = zone_said(book)
    try:
        return None if said is None else zone_named(said)
    except ValueError:
        return None


def local(moment: dt.datetime, zone: dt.tzinfo | None) -> dt.datetime:
    """A moment by the clock of a zone; None for the machine's."""
    return moment.astimezone(zone)


def day_of(moment: dt.datetime, zone: dt.tzinfo | None) -> dt.date:
    """The day that a moment falls on."""
    return local(moment, zone).date()


def days_between(earlier: dt.datetime, later: dt.datetime, zone: dt.tzinfo | None) -> int:
    """How many midnights lie between two moments."""
    return (day_of(later, zone) - day_of(earlier, zone)).days


def start_of(day: dt.date, zone: dt.tzinfo | None) -> dt.datetime:
    """The first moment of a day, in UTC; where the clock skips midnight, the moment at which it does."""
    return dt.datetime.combine(day, dt.time(), zone).astimezone(dt.UTC)


def moments(shown: dt.datetime, zone: dt.tzinfo | None) -> tuple[dt.datetime, ...]:
    """The moments, in UTC, at which the clock shows a time: none where it skips it, two where it goes back."""
    found = []
    for fold in (0, 1):
        moment = shown.replace(tzinfo=zone, fold=fold).astimezone(dt.UTC)
        if local(moment, zone).replace(tzinfo=None, fold=0) == shown.replace(tzinfo=None, fold=0):
            found.append(moment)
    return tuple(dict.fromkeys(found))


def clock_text(moment: dt.datetime, zone: dt.tzinfo | None) -> str:
    """A moment as people write it; with its offset where the clock shows that time twice."""
    here = local(moment, zone)
    text = f"{here:%Y-%m-%d %H:%M}"
    twice = len(moments(here.replace(tzinfo=None, fold=0), here.tzinfo)) > 1
    return text + offset_text(here) if twice else text


def offset_text(here: dt.datetime) -> str:
    """The offset of a local time, such as -04:00."""
    return here.isoformat(timespec="minutes")[len("2026-03-14T15:30") :]
