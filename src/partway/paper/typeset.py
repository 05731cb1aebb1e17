"""Data and a template become a PDF. What people typed goes in as data, so nothing of it is ever read as markup."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from partway.errors import Refused
from partway.paper.covered import STANDARD, covered, said_lacking

if TYPE_CHECKING:
    import typst

PAPERS = {"a4": "a4", "letter": "us-letter"}  # as the typesetter calls them: ISO 216, and ANSI Y14.1 size A
PICTURE_PPI = 80.0
Template = Literal[
    "load", "labels", "curb", "prices", "origin", "month", "year"
]  # a paper more: its name, and NAME.typ


@dataclass(frozen=True, slots=True)
class Typeset:
    """A finished paper. `lacking` says in one line which characters its fonts have not, "" where they have all."""

    pdf: bytes
    lacking: str
    pictures: tuple[bytes, ...] = ()


def typeset(
    template: Template, data: Mapping[str, Any], paper: str, on: dt.date, *, pictures: bool = False, times: float = 1.0
) -> Typeset:
    """The paper of a template, dated `on`, on Letter or a4; `pictures` asks for each page as a PNG, too,
    with `times` as many dots each way as usual.

    Raises Refused for another paper.
    """
    if paper not in PAPERS:
        raise Refused(f'"{paper}"', f"one of {', '.join(PAPERS)}", "paper")
    written, lacking = covered(data)
    said = said_lacking(lacking)
    given = {**written, "paper": PAPERS[paper], "lacking": said, "on": [on.year, on.month, on.day]}
    compiler = _compiler(template, json.dumps(given, allow_nan=False))
    moment = dt.datetime.combine(on, dt.time(), dt.UTC)  # the same paper of the same figures, to the byte
    pdf = compiler.compile(format="pdf", pdf_standards=STANDARD, timestamp=moment)
    shown = compiler.compile(format="png", ppi=PICTURE_PPI * times) if pictures else []
    return Typeset(_whole(pdf), said, (shown,) if isinstance(shown, bytes) else tuple(shown or ()))


def _compiler(template: Template, given: str) -> typst.Compiler:
    import typst

    folder = _templates()
    return typst.Compiler(folder / f"{template}.typ", root=folder, ignore_system_fonts=True, sys_inputs={"data": given})


def _whole(made: bytes | list[bytes] | None) -> bytes:
    if not isinstance(made, bytes):
        raise TypeError("a PDF in one piece was expected of the typesetter")
    return made


@cache
def _templates() -> Path:
    """The folder of the templates: they come as files in the package."""
    return Path(str(resources.files("partway.paper") / "templates"))
