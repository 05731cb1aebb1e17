"""Pixels are known in web/drawings alone: what is reported is the same on paper, in JSON and on any screen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import partway

SOURCE = Path(partway.__file__).parent
DRAWINGS = SOURCE / "web" / "drawings"
# In names, comments and docstrings alike: the whole text of a file is looked through.
PIXEL = re.compile(r"pixel|(?<![a-z])px(?![a-z])|viewbox", re.IGNORECASE)


def mentions(folder: Path) -> Iterator[tuple[str, str]]:
    for file in sorted(folder.rglob("*.py")):
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1):
            if PIXEL.search(line):
                yield f"{file.relative_to(SOURCE)}:{number}", line.strip()


def test_no_report_page_or_figure_knows_a_pixel() -> None:
    rooms = (SOURCE / "reports", SOURCE / "web", SOURCE / "valuing")
    found = [(where, line) for room in rooms for where, line in mentions(room) if not where.startswith("web/drawings/")]
    assert not found


def test_the_drawings_know_them() -> None:
    """So that the test above looks for what it would find."""
    assert len({where.partition(":")[0] for where, _ in mentions(DRAWINGS)}) > 1
