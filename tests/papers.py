"""What is on a paper, read by libraries other than the one that set it: its text, where it stands, its pixels."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
from app_client import Visitor
from click.testing import CliRunner
from numpy.typing import NDArray
from pypdf import PdfReader

from partway.cli.app import cli

# Letter is 8.5 x 11 in (ANSI Y14.1, A), A4 is 210 x 297 mm (ISO 216); points of 1/72 inch.
SIZES = {"letter": (8.5 * 72, 11 * 72), "a4": (210 / 25.4 * 72, 297 / 25.4 * 72)}
# Markup in a name, a sign that no font here has, and a word that is read from the right (Hebrew: "yard").
HOSTILE = '#import "a" $x$ *b* <c> @d \\ // e \U0001f525 \u05d7\u05e6\u05e8'
WRITTEN = '#import "a" $x$ *b* <c> @d \\ // e [?]'
FIRE = "[?] stands for them: fire (U+1F525)."
YARD = ("\u05d7\u05e6\u05e8", "\u05e8\u05e6\u05d7")  # readers differ in the order


def pages_of(pdf: bytes) -> list[str]:
    """The text of each page, with single blanks."""
    return [re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(io.BytesIO(pdf)).pages]


def text_of(pdf: bytes) -> str:
    """The text of all pages."""
    return " ".join(pages_of(pdf))


def size_of(pdf: bytes) -> tuple[float, ...]:
    """Width and height of the first page in points."""
    return tuple(float(side) for side in PdfReader(io.BytesIO(pdf)).pages[0].mediabox[2:])


def pixels_of(pdf: bytes, dpi: int) -> list[NDArray[np.uint8]]:
    """Each page as a printer of so many dots per inch sees it, 0 for black."""
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        seen = page.render(scale=dpi / 72, grayscale=True)
        found.append(seen.to_numpy().reshape(seen.height, seen.width).copy())
    return found


def letters_of(pdf: bytes) -> list[tuple[str, float, float]]:
    """Each letter of the first page with where it stands from the left and from below, in points."""
    text = pypdfium2.PdfDocument(pdf)[0].get_textpage()
    boxes = [(text.get_text_range(n, 1), text.get_charbox(n)) for n in range(text.count_chars())]
    return [(sign, box[0], box[1]) for sign, box in boxes if sign.strip(" \r\n\u200e")]


def colours_of(pdf: bytes) -> int:
    """The most by which a pixel's red, green and blue differ: 0 on a paper in black and white."""
    most = 0
    for page in pypdfium2.PdfDocument(pdf):
        seen = page.render(scale=1).to_numpy()[..., :3].astype(int)
        most = max(most, int((seen.max(axis=2) - seen.min(axis=2)).max()))
    return most


def asked(town: Visitor, *arguments: str) -> tuple[int, str]:
    """The exit status of `partway paper ...` at a visitor's workspace, and what it says."""
    given = ["paper", *arguments, "--workspace", str(Path(town.book.where).parent)]
    done: Any = CliRunner().invoke(cli, given, prog_name="partway")
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        return getattr(done.exception, "exit_status", 1), str(done.exception)
    return done.exit_code, done.output
