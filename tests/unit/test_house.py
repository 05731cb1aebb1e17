"""How the house is kept: a class is named once, a room is small and says what belongs in it."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from pathlib import Path

import pytest

import partway

SRC = Path(partway.__file__).parent
# Named twice on purpose, and why.
TWICE = {
    "Postage": "what an event says of a buyer's parcels is what a scenario says of them",
}
MOST, MOST_OF_REPORTS = 15, 12  # modules in a room, beside its __init__
FREE = {"storage/migrations/versions"}  # one module a step, for ever


def _rooms() -> list[str]:
    found = {file.parent.relative_to(SRC).as_posix() for file in SRC.rglob("*.py")}
    return sorted(found - {"."} - FREE)


def test_a_public_class_is_named_once() -> None:
    where = defaultdict(list)
    for file in SRC.rglob("*.py"):
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                where[node.name].append(file.relative_to(SRC).as_posix())
    assert {name: files for name, files in where.items() if len(files) > 1 and name not in TWICE} == {}
    assert all(len(where[name]) == 2 for name in TWICE)
    assert len(where) > 500


@pytest.mark.parametrize("room", _rooms())
def test_a_room_is_small_and_says_what_belongs_in_it(room: str) -> None:
    modules = [file.name for file in (SRC / room).glob("*.py") if file.name != "__init__.py"]
    most = MOST_OF_REPORTS if room.startswith("reports") else MOST
    assert len(modules) <= most, (room, sorted(modules))
    said = ast.get_docstring(ast.parse((SRC / room / "__init__.py").read_text(encoding="utf-8"))) or ""
    assert len(said.split()) >= 3 and said.partition("\n")[0].endswith((".", "?", ":", ",")), (room, said)


def test_every_field_of_a_page_says_its_type() -> None:
    """Style goes by the type: a field without one was 21 pixels high under a thumb."""
    pages = (SRC / "web" / "templates").rglob("*.html")
    fields = [field for page in pages for field in re.findall(r"<input [^>]*>", page.read_text(encoding="utf-8"))]
    assert len(fields) > 40 and not [field for field in fields if "type=" not in field]
