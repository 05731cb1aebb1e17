"""Events as JSON Lines (jsonlines.org): UTF-8, one JSON value a line, each line ended by a line feed.

The first line says what the file is and how many events follow; every other line is one event in its canonical form
(`ledger.events.codec`) with one field more, `crc32`: the CRC-32 (ISO 3309, as zlib has it) of that form without the
field, in eight hexadecimal digits. So each line stands for itself: files may be joined, lines shuffled, and a part
picked out by any tool. Where a first line is there, the events must be as many as it says, so a file cut short between
two lines is noticed; without one, or without `crc32`, what another program wrote is taken as it is.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import IO, Any

from partway.errors import BadEvent, Refused
from partway.ledger.events.codec import LONGEST, from_json, to_json
from partway.ledger.events.event import Event
from partway.ledger.events.shapes import canonical
from partway.quantities import shown
from partway.storage.exchange.atomic_files import new_file
from partway.storage.exchange.union import Read

FORMAT, VERSION = "partway-events", 2  # 1 held events of schema 1 alone
CHECK = "crc32"
LINE_MOST = 4 * LONGEST + 100  # bytes: four for a character, and the check


class BadLines(Refused):
    """A file of events that is damaged, cut short or of another sort."""


def write_lines(events: Iterable[Event], target: Path) -> int:
    """Write events to a new file. Returns how many. Raises Refused if `target` exists or cannot be written."""
    count = 0
    with new_file(target) as part, part.open("xb") as out:
        out.write(_heading(0))
        for event in events:
            out.write(_line(event))
            count += 1
        out.seek(0)
        out.write(_heading(count))
    return count


def read_lines(source: Path) -> Iterator[Read]:
    """The events of a file one by one, each with its place in it. Raises BadLines naming the line.

    A file with fewer or more events than its first line says is refused only at the end.
    """
    try:
        with source.open("rb") as lines:
            yield from _events(lines, str(source))
    except OSError as error:
        raise BadLines((error.strerror or str(error)).lower(), "a file that can be read", str(source)) from error


def _heading(count: int) -> bytes:
    """The first line, padded to a fixed length so that it can be rewritten once the count is known."""
    start = f'{{"format":"{FORMAT}","version":{VERSION},"events":'
    return f"{start}{count:<12d}}}\n".encode()


def _line(event: Event) -> bytes:
    data = to_json(event)
    return (canonical({**data, CHECK: _check(data)}) + "\n").encode()


def _check(data: dict[str, Any]) -> str:
    return f"{zlib.crc32(canonical(data).encode()):08x}"


def _events(lines: IO[bytes], file: str) -> Iterator[Read]:
    promised: int | None = None
    number = count = 0
    while raw := lines.readline(LINE_MOST + 1):
        number += 1
        where = f"{file}, line {number}"
        if not raw.strip():
            continue
        data = _loaded(raw, where)
        if "format" in data:
            promised = (promised or 0) + _promise(data, where)
            continue
        yield where, _event(data, where)
        count += 1
    if promised not in {None, count}:
        raise BadLines(
            f"{count} events where its first line says {promised}",
            "a whole file; where lines were taken out on purpose, take out the first line too",
            f"{file}, line {number}",
        )
    if number == 0:
        raise BadLines("an empty file", "events, one a line", file)


def _loaded(raw: bytes, where: str) -> dict[str, Any]:
    """The JSON object of a line."""
    if len(raw) > LINE_MOST:
        raise BadLines(f"a line of more than {LINE_MOST} bytes", "one event a line", where)
    try:
        data = json.loads(raw.decode("utf-8"), object_pairs_hook=_once)
    except UnicodeDecodeError as error:
        raise BadLines("bytes that are not UTF-8", "text in UTF-8", where) from error
    except (ValueError, RecursionError) as error:
        why = getattr(error, "msg", error)
        raise BadLines(f"a line that is no event, is damaged or cut short ({why})", "one JSON object", where) from error
    if type(data) is not dict:
        raise BadLines(f"a line that is a {type(data).__name__}", "one JSON object", where)
    return data


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data = dict(pairs)
    if len(data) < len(pairs):
        raise ValueError("the same field twice")
    return data


def _promise(data: dict[str, Any], where: str) -> int:
    """The number of events that a first line promises."""
    if data.keys() != {"format", "version", "events"} or data["format"] != FORMAT:
        raise BadLines(f"format {shown(data['format'])}", f'format "{FORMAT}" with version and events', where)
    if type(data["version"]) is not int or not 1 <= data["version"] <= VERSION:
        raise BadLines(
            f"version {shown(data['version'])}", f"version 1 to {VERSION}; a later one needs a later partway", where
        )
    if type(data["events"]) is not int or data["events"] < 0:
        raise BadLines(f"events {shown(data['events'])}", "how many events there are", where)
    count: int = data["events"]
    return count


def _event(data: dict[str, Any], where: str) -> Event:
    check = data.pop(CHECK, None)
    try:
        if check is not None and check != _check(data):
            raise BadLines("an event that is not what was written (its check differs)", "an unchanged line", where)
        return from_json(data, where)
    except (ValueError, RecursionError) as error:  # NaN, half a surrogate pair, nesting
        raise BadLines(f"a line that is damaged ({error})", "one event", where) from error
    except BadEvent as error:
        raise BadLines(error.given, error.expected, error.where) from error
