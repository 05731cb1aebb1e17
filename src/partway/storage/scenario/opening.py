"""Reads the tables of a TOML file; each way a file can be unreadable has one refusal."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from partway.catalogue.reading.long_keys import long_key
from partway.errors import BadScenario
from partway.quantities import shown

BYTES_MOST = 5_000_000
DEPTH_MOST = 12
NAME_MOST = 100
_DEEP = "tables or arrays nested too deep"
_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|(end of document))\)$")


def read_text(path: Path) -> str:
    """The text of a UTF-8 file of at most 5 MB; BadScenario for anything else."""
    where = str(path)
    try:
        with path.open("rb") as file:
            raw = file.read(BYTES_MOST + 1)
    except IsADirectoryError:
        raise BadScenario("a directory", "a TOML file", where) from None
    except FileNotFoundError:
        raise BadScenario("no such file", "the path of a TOML file", where) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "a path that cannot be opened"
        raise BadScenario(reason.lower(), "a TOML file that can be read", where) from None
    if len(raw) > BYTES_MOST:
        raise BadScenario("a file of more than 5 MB", "a TOML file of at most 5 MB", where)
    return _decoded(raw, where)


def _decoded(raw: bytes, where: str) -> str:
    """Text of the bytes; a byte order mark in front is let pass, as some editors write one."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise BadScenario(
            f"byte 0x{raw[error.start]:02x}, which is not UTF-8",
            "a TOML file saved as UTF-8",
            f"{where}, line {line}",
        ) from None
    if "\0" in text:
        raise BadScenario("a binary file", "a TOML file saved as UTF-8", where)
    return text


def read_tables(text: str, where: str) -> dict[str, Any]:
    """The tables of a TOML text; BadScenario with the line where it breaks."""
    if not text.strip():
        raise BadScenario("an empty file", "a TOML file with a [scenario] table", where)
    if line := long_key(text, DEPTH_MOST):
        expected = f"at most {DEPTH_MOST} levels of tables and arrays"
        raise BadScenario(f"a key of more than {DEPTH_MOST} names joined by dots", expected, f"{where}, line {line}")
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _broken(str(error), text, where) from None
    except RecursionError:
        raise BadScenario(_DEEP, f"at most {DEPTH_MOST} levels of tables and arrays", where) from None
    except ValueError:  # Python's own limit on the digits of one number
        raise BadScenario("a number of thousands of digits", "numbers as people write them", where) from None
    check_shape(tables, where)
    return tables


def check_shape(tables: dict[str, Any], where: str) -> None:
    """Refuse what no field can hold, so that no later code has to: endless nesting, unprintable names."""
    level: list[Any] = [tables]
    for _ in range(DEPTH_MOST):
        names = [name for outer in level if isinstance(outer, dict) for name in outer]
        if bad := next((n for n in names if len(n) > NAME_MOST or not n.isprintable()), None):
            expected = f"names of fields of at most {NAME_MOST} printable characters"
            raise BadScenario(f"a field named {shown(bad)}", expected, where)
        level = [inner for outer in level for inner in (outer.values() if isinstance(outer, dict) else outer)]
        level = [inner for inner in level if isinstance(inner, dict | list)]
    if level:
        raise BadScenario(_DEEP, f"at most {DEPTH_MOST} levels of tables and arrays", where)


def _broken(message: str, text: str, where: str) -> BadScenario:
    place = _PLACE.search(message)
    if place is None:
        return BadScenario(f"broken TOML: {message}", "valid TOML", where)
    line = place[1] or str(text.count("\n") + 1)
    complaint = message[: place.start()]
    return BadScenario(f"broken TOML: {complaint[:120]}", "valid TOML 1.0", f"{where}, line {line}")
