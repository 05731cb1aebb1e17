"""Our own TOML files, read or refused."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from partway.errors import BadCatalogue


def load(path: Path) -> dict[str, Any]:
    """The tables of a TOML file of ours; raises BadCatalogue when it is not TOML."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadCatalogue(str(error), "a TOML file in UTF-8", path.name) from None
