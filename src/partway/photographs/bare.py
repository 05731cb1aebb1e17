"""The picture alone out of a file: whatever else it carries is left behind before a library reads it.

Metadata are where hostile files keep their tricks, and where telephones keep the place. So of JPEG and PNG only the
parts that hold the picture are handed on (ISO/IEC 10918-1, annex B; PNG, third edition, 11.2). Which way up a camera
was held is read beforehand (Exif 3.0, tag 0x0112).
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

JPEG, PNG = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
SOS, EOI, APP0, APP1, APP14, COM = 0xDA, 0xD9, 0xE0, 0xE1, 0xEE, 0xFE
APPLICATION = range(0xE0, 0xF0)
ALONE = (0x01, *range(0xD0, 0xD8))  # markers without a length
OF_PICTURE = (b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND")
EXIF, ORIENTATION = b"Exif\0\0", 0x0112
UPRIGHT = 1


class Broken(ValueError):
    """A file whose parts do not follow one another as its sort has them."""


@dataclass(frozen=True, slots=True)
class Bare:
    """A file without what does not belong to the picture, and which way up it is (1 to 8)."""

    content: bytes
    orientation: int = UPRIGHT


def bare(content: bytes) -> Bare:
    """The picture alone. Raises Broken; a sort that is not taken apart here is handed on as it is."""
    if content.startswith(JPEG):
        return _jpeg(content)
    return _png(content) if content.startswith(PNG) else Bare(content)


def _jpeg(content: bytes) -> Bare:
    """All up to the first scan without applications' parts and comments, but the one that says how colours are kept."""
    kept, orientation, at = [content[:2]], UPRIGHT, 2
    while True:
        marker, start, end = segment(content, at)
        if marker == APP1 and content[start + 4 : end].startswith(EXIF):
            orientation = orientation_in(content[start + 4 + len(EXIF) : end])
        if marker == APP14 or not (marker in APPLICATION or marker == COM):
            kept.append(content[start:end])
        if marker == SOS:
            return Bare(b"".join([*kept, content[end:]]), orientation)
        at = end


def segment(content: bytes, at: int) -> tuple[int, int, int]:
    """The marker of a JPEG at a place, where its part begins (fill bytes left out) and where it ends."""
    while content[at : at + 2] == b"\xff\xff":
        at += 1
    if len(content) < at + 2 or content[at] != 0xFF or content[at + 1] == 0:
        raise Broken("no marker")
    marker = content[at + 1]
    if marker in ALONE or marker == EOI:
        return marker, at, at + 2
    length = int.from_bytes(content[at + 2 : at + 4], "big")
    if length < 2 or at + 2 + length > len(content):
        raise Broken("a part that is cut short")
    return marker, at, at + 2 + length


def _png(content: bytes) -> Bare:
    kept, orientation, at = [PNG], UPRIGHT, len(PNG)
    while at < len(content):
        length, sort = struct.unpack(">I4s", content[at : at + 8].ljust(8, b"\0"))
        end = at + 12 + length
        if end > len(content):
            raise Broken("a part that is cut short")
        if sort == b"eXIf":
            orientation = orientation_in(content[at + 8 : end - 4])
        if sort in OF_PICTURE:
            kept.append(content[at:end])
        if sort == b"IEND":
            return Bare(b"".join(kept), orientation)
        at = end
    raise Broken("no end")


def orientation_in(exif: bytes) -> int:
    """Which way up, from the first directory of Exif data; upright where it does not say, or says it wrongly."""
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(exif[:4])
    if order is None:
        return UPRIGHT
    try:
        (at,) = struct.unpack_from(f"{order}I", exif, 4)
        (entries,) = struct.unpack_from(f"{order}H", exif, at)
        for n in range(entries):
            tag, sort, count, value = struct.unpack_from(f"{order}HHIH", exif, at + 2 + 12 * n)
            if (tag, sort, count) == (ORIENTATION, 3, 1):
                return value if 1 <= value <= 8 else UPRIGHT
    except struct.error:
        pass
    return UPRIGHT
