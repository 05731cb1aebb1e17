"""A file that somebody sent becomes a photograph that can be kept, or is refused with one message.

One at a time, however many telephones send one at once: unpacked and being made small the largest takes 0.6 GB
(measured: PNG, 8,000 × 8,000, with transparency).
"""

from __future__ import annotations

import struct
import threading
import zlib
from io import BytesIO
from typing import TYPE_CHECKING, Any

from partway.errors import Refused
from partway.photographs.bare import Bare, Broken, bare
from partway.photographs.limits import (
    KEPT_MOST,
    PIXELS_MOST,
    QUALITIES,
    SCANS_MOST,
    SENT_MOST,
    SIDE_MOST,
    SIDE_SENT_MOST,
    SIDE_SMALL,
)
from partway.photographs.photograph import Photograph, digest_of

if TYPE_CHECKING:
    from PIL.Image import Image

EXPECTED = "a photograph: JPEG, PNG or WebP, such as a telephone's camera makes"
TURN = threading.Lock()
# What a library raises of a file that is not what it says. None of it is a fault of ours.
LIBRARY = (
    Broken, OSError, SyntaxError, ValueError, TypeError, LookupError, ArithmeticError, AttributeError, EOFError,
    RuntimeError, MemoryError, struct.error, zlib.error,
)  # fmt: skip


def cleaned(content: bytes, where: str = "file") -> Photograph:
    """The picture alone, upright, at most SIDE_MOST wide and high, as JPEG without a word about where and with what it
    was taken. Raises Refused.
    """
    if not content:
        raise Refused("an empty file", EXPECTED, where)
    if len(content) > SENT_MOST:
        raise Refused(f"{len(content):,} bytes", f"a photograph of at most {SENT_MOST:,}", where)
    with TURN:
        try:
            return _anew(bare(content), where)
        except LIBRARY as failure:
            raise Refused("a file that is damaged, cut short or of another sort", EXPECTED, where) from failure


def small(content: bytes) -> bytes:
    """A photograph that is kept, as it stands among others."""
    with TURN:
        image = opened(content)
        image.draft("RGB", (SIDE_SMALL, SIDE_SMALL))
        image.load()
        image.thumbnail((SIDE_SMALL, SIDE_SMALL))
        return _jpeg(image, QUALITIES[1])


def _anew(sent: Bare, where: str) -> Photograph:
    image = opened(sent.content)
    _check_size(image.size, sent.content, where)
    if getattr(image, "is_animated", False):
        raise Refused("a moving picture", "one photograph, which stands still", where)
    image.draft("RGB", (SIDE_MOST, SIDE_MOST))  # a JPEG is unpacked no larger than it takes
    image.load()
    image.thumbnail((SIDE_MOST, SIDE_MOST))
    upright = _turned(_opaque(image), sent.orientation)
    written = next(
        (kept for quality in QUALITIES if len(kept := _jpeg(upright, quality)) <= KEPT_MOST),
        None,
    )
    if written is None:
        raise Refused("a picture that stays too large", f"one that is kept in at most {KEPT_MOST:,} bytes", where)
    return Photograph(digest_of(written), written, *upright.size)


def opened(content: bytes) -> Image:
    """An image of which only the header was read. Raises whatever the library does for what is no such image.

    The three sorts are asked for by name: what else the library can read, nobody's telephone sends.
    """
    from PIL.JpegImagePlugin import JpegImageFile
    from PIL.PngImagePlugin import PngImageFile
    from PIL.WebPImagePlugin import WebPImageFile

    sorts: tuple[tuple[bytes, type[Any]], ...] = (
        (b"\xff\xd8\xff", JpegImageFile),
        (b"\x89PNG\r\n\x1a\n", PngImageFile),
        (b"RIFF", WebPImageFile),
    )
    for start, sort in sorts:
        if content.startswith(start):
            image: Image = sort(BytesIO(content))
            return image
    raise Broken("another sort")


def _check_size(size: tuple[int, int], content: bytes, where: str) -> None:
    width, height = size
    if max(size) > SIDE_SENT_MOST or width * height > PIXELS_MOST:
        most = f"at most {PIXELS_MOST:,} pixels and {SIDE_SENT_MOST:,} on a side"
        raise Refused(f"a picture of {width:,} × {height:,} pixels", most, where)
    if content.startswith(b"\xff\xd8") and content.count(b"\xff\xda") > SCANS_MOST:
        raise Refused("a picture drawn in too many passes", f"at most {SCANS_MOST}", where)


def _opaque(image: Image) -> Image:
    """In red, green and blue; what shows through is white."""
    from PIL.Image import new

    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        over = image.convert("RGBA")
        ground = new("RGB", image.size, "white")
        ground.paste(over, mask=over.getchannel("A"))
        return ground
    return image.convert("RGB")


def _turned(image: Image, orientation: int) -> Image:
    """Upright, by what the camera said of how it was held (Exif 3.0, 4.6.5.1.6)."""
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    return image.transpose(turns[orientation]) if orientation in turns else image


def _jpeg(image: Image, quality: int) -> bytes:
    """Written with nothing beside it: what the library read along is dropped first."""
    image.info = {}
    out = BytesIO()
    image.convert("RGB").save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()
