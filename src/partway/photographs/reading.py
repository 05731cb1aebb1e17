"""What is written in a photograph, as lines of text, where the engine that reads it is installed.

It is an extra, as it takes some 300 MB of disk and 450 MB of memory; its models come inside its package, and it asks no
other machine. What it reads is never more than a proposal: somebody looks at it before anything is saved.
"""

from __future__ import annotations

import re
import threading
from functools import cache
from importlib.util import find_spec
from io import BytesIO
from typing import Any

from partway.errors import Refused
from partway.photographs.cleaning import cleaned
from partway.photographs.written import Point, WrittenWord, lines_of

ENGINE = "rapidocr_onnxruntime"
INSTALL = 'pip install "partway[reading]"'
SURE_LEAST = 0.8  # a figure read with less is marked as one that nobody could read, so that it is asked about
UNREAD = str.maketrans("0123456789", "??????????")
AMOUNT, NO_PRICE = re.compile(r"\s*[$£€]?[.,]?[0-9]"), "????"  # a line with a name and this is asked about
LOST = re.compile(r"(?<=[0-9 ])/b(?!\w)")  # 4.34/b: the letter next to the stroke is taken for a part of it
TURN = threading.Lock()


def can_read() -> bool:
    """Whether the engine is installed. It is not loaded to find out."""
    return find_spec(ENGINE) is not None


def text_in(content: bytes, where: str = "file") -> str:
    """The lines of text in a file that somebody sent. Raises Refused where it is no photograph, has none, or the engine
    is not installed.
    """
    if not can_read():
        says = f"Reading photographs needs a part that is not installed on this machine: {INSTALL}."
        raise Refused("a photograph", "the text in it", where, says=says)
    lines = lines_of([_doubted(word) for word in _words(cleaned(content, where).content)])
    if not lines:
        raise Refused("a photograph without a word that could be read", "a price list, near and in good light", where)
    return "\n".join(lines)


def _doubted(word: WrittenWord) -> WrittenWord:
    """The word with a lost letter of its unit; where the engine is not sure of it, its figures are marked as unread."""
    text = LOST.sub("/lb", word.text)
    if word.sure < SURE_LEAST:
        text = NO_PRICE if AMOUNT.match(text) else text.translate(UNREAD)
    return WrittenWord(text, word.corners, word.sure)


def _words(content: bytes) -> list[WrittenWord]:
    import numpy as np
    from PIL import Image

    with TURN, Image.open(BytesIO(content)) as image:
        found, _ = _engine()(np.asarray(image.convert("RGB"))[:, :, ::-1])
    return [WrittenWord(str(text), _corners(corners), float(sure)) for corners, text, sure in found or ()]


def _corners(of: Any) -> tuple[Point, Point, Point, Point]:
    a, b, c, d = ((float(x), float(y)) for x, y in of)
    return a, b, c, d


@cache
def _engine() -> Any:
    from rapidocr_onnxruntime import RapidOCR

    return RapidOCR()
