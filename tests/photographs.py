"""Files that somebody may send as a photograph, made here: good ones, and hundreds that are broken or hostile.

And a reader of JPEG files of its own, which shares no code with the product: what a file carries besides its picture.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from PIL import Image
from PIL.PngImagePlugin import PngInfo

SECRET = b"44.6488 N 63.5752 W secret-place"
SCRIPT = b"<script>alert(1)</script><?php system($_GET[0]); ?>"
Named = tuple[str, bytes]


def scene(width: int = 320, height: int = 200) -> Image.Image:
    """Four fields of colour, so that it is seen which way up it is: red, green over blue, white."""
    image = Image.new("RGB", (width, height), "red")
    image.paste("green", (width // 2, 0, width, height // 2))
    image.paste("blue", (0, height // 2, width // 2, height))
    image.paste("white", (width // 2, height // 2, width, height))
    return image


def exif(orientation: int = 1) -> Image.Exif:
    """What a telephone writes: maker, time, the place, and which way up."""
    data = Image.Exif()
    data[0x010F], data[0x0132], data[0x0112] = "a telephone", "2026:03:14 15:09:26", orientation
    data[0x010E] = SECRET.decode()
    data[0x8825] = {1: "N", 2: (44.0, 38.0, 55.6), 3: "W", 4: (63.0, 34.0, 30.7)}
    return data


def saved(image: Image.Image, sort: str = "JPEG", **more: Any) -> bytes:
    out = BytesIO()
    image.save(out, sort, **more)
    return out.getvalue()


def segment(marker: int, content: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(content) + 2) + content


def jpeg_with(*segments: bytes, end: bytes = b"") -> bytes:
    """A JPEG with more parts after its first marker, and more after its end."""
    plain = saved(scene(), quality=80)
    return plain[:2] + b"".join(segments) + plain[2:] + end


def chunk(sort: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + sort + content + struct.pack(">I", zlib.crc32(sort + content))


def png_with(*chunks: bytes) -> bytes:
    """A PNG with more parts after its header."""
    plain = saved(scene(), "PNG")
    return plain[:33] + b"".join(chunks) + plain[33:]


def with_everything() -> bytes:
    """A telephone's photograph with the place in Exif, XMP, IPTC, a colour profile and a comment."""
    xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>" + SECRET + SCRIPT + b"</x:xmpmeta>"
    iptc = b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x20" + SECRET
    icc = b"ICC_PROFILE\0\x01\x01" + SECRET * 10
    body = saved(scene(), exif=exif(), quality=80)
    more = segment(0xE1, xmp) + segment(0xED, iptc) + segment(0xE2, icc) + segment(0xFE, SECRET)
    return body[:2] + more + body[2:] + SECRET


def png_of(width: int, height: int, rows: bytes = b"", depth: int = 8, colour: int = 2) -> bytes:
    """A PNG that says it is so large, whatever is in it."""
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


def jpeg_of(width: int, height: int) -> bytes:
    """A JPEG whose header says it is so large."""
    plain = bytearray(saved(scene()))
    at = plain.index(b"\xff\xc0")
    plain[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(plain)


def hostile() -> Iterator[Named]:
    """Each with a name. Some are damaged, some are no photographs, some are ones with something else in or behind."""
    yield from _cut()
    yield from _bombs()
    yield from _other_sorts()
    yield from _with_passengers()
    yield from _moving()
    yield from _scrambled()


def _cut() -> Iterator[Named]:
    """Cut short at many points, from the first byte on."""
    for sort in ("JPEG", "PNG", "WEBP"):
        whole = saved(scene(), sort)
        for n in range(1, 26):
            yield f"{sort} cut at {n}/26", whole[: len(whole) * n // 26]
        yield f"{sort} of its first bytes", whole[:12]
    progressive = saved(scene(), progressive=True)
    for n in range(1, 11):
        yield f"progressive cut at {n}/11", progressive[: len(progressive) * n // 11]


def _bombs() -> Iterator[Named]:
    """Small files that would unpack to much."""
    for width, height in (
        (65_535, 65_535),
        (60_000, 2_000),
        (8_001, 8_001),
        (20_001, 10),
        (10, 30_000),
        (2**31 - 1, 1),
    ):
        yield f"PNG of {width} × {height}", png_of(width, height, b"\0" * 100_000)
        if max(width, height) <= 65_535:
            yield f"JPEG of {width} × {height}", jpeg_of(width, height)
    yield "PNG of nothing", png_of(0, 0)
    yield "PNG of no height", png_of(10, 0)
    yield "PNG of black, as large as can be", png_of(20_000, 20_000, b"\0" * 10_000_000)
    yield "PNG with words that unpack to 60 MB", png_with(chunk(b"zTXt", b"a\0\0" + zlib.compress(b"a" * 60_000_000)))
    yield "PNG with a profile of 60 MB", png_with(chunk(b"iCCP", b"a\0\0" + zlib.compress(b"a" * 60_000_000)))
    yield "JPEG of a thousand passes", _many_passes(1000)
    yield "more bytes than are taken", saved(scene()) + b"\0" * 15_000_000


def _many_passes(count: int) -> bytes:
    whole = saved(scene(), progressive=True)
    at = whole.rindex(b"\xff\xda")
    return whole[:at] + whole[at:-2] * count + whole[-2:]


def _other_sorts() -> Iterator[Named]:
    """Files of another sort, some under a picture's first bytes."""
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"><script>alert(1)</script></svg>'
    yield "nothing", b""
    yield "SVG", svg
    yield "SVG after a declaration", b'<?xml version="1.0"?>' + svg
    yield "HTML", b"<!doctype html><img src=x onerror=alert(1)>"
    yield "a PDF", b"%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj"
    yield "a ZIP", b"PK\x03\x04" + b"\0" * 200
    yield "a program", b"\x7fELF" + b"\0" * 200
    yield "another program", b"MZ" + b"\0" * 200
    yield "a script", b"#!/bin/sh\nrm -rf /\n"
    yield "PostScript", b"%!PS-Adobe-3.0\n(secret) show\n"
    yield "text", b"a microwave with a cut cord"
    yield "noughts", b"\0" * 5000
    for sort in ("GIF", "BMP", "TIFF", "ICO", "PPM", "TGA", "JPEG2000", "PCX"):
        yield sort, saved(scene(64, 64).convert("P" if sort == "GIF" else "RGB"), sort)
    for start in (b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"RIFF\0\0\0\0WEBPVP8 ", b"RIFF\x24\0\0\0WAVEfmt "):
        for rest in (b"", svg, SCRIPT, b"\0" * 300, b"\xff" * 300, b"PK\x03\x04" + b"a" * 300):
            yield f"{start!r} with {rest[:6]!r} {len(rest)}", start + rest


def _with_passengers() -> Iterator[Named]:
    """Good pictures with something in them or behind them: written anew, none of it is left."""
    yield "everything a telephone knows", with_everything()
    for marker in (*range(0xE1, 0xF0), 0xFE):
        yield f"JPEG with a script in part {marker:#x}", jpeg_with(segment(marker, b"Exif\0\0" + SECRET + SCRIPT))
        yield f"JPEG with a longest part {marker:#x}", jpeg_with(segment(marker, (SECRET * 3000)[:65_000]))
    for n in range(1, 9):
        yield f"held so: {n}", saved(scene(), exif=exif(n))
    for broken in (
        b"II*\0\xff\xff\xff\xff",
        b"MM\0*\0\0\0\x08\xff\xff",
        b"II*\0\x08\0\0\0",
        b"II*\0",
        b"",
        b"II*\0\0\0\0\0",
    ):
        yield f"Exif broken: {broken!r}", jpeg_with(segment(0xE1, b"Exif\0\0" + broken + SECRET))
    for behind in (b"PK\x03\x04" + SECRET, SCRIPT + SECRET, b"%PDF-1.7" + SECRET, saved(scene(), comment=SECRET)):
        yield f"JPEG with {behind[:5]!r} behind", jpeg_with(end=behind)
        yield f"PNG with {behind[:5]!r} behind", saved(scene(), "PNG") + behind
    words = PngInfo()
    words.add_text("Comment", (SECRET + SCRIPT).decode())
    words.add_itxt("XML:com.adobe.xmp", SECRET.decode())
    yield "PNG with words", saved(scene(), "PNG", pnginfo=words, exif=exif(6))
    for sort in (b"tEXt", b"iTXt", b"eXIf", b"iCCP", b"zTXt", b"acTL", b"fcTL", b"prVt"):
        yield f"PNG with {sort!r}", png_with(chunk(sort, b"a\0\0" + SECRET + SCRIPT))
    yield "WebP with words", saved(scene(), "WEBP", exif=exif(), xmp=SECRET, icc_profile=SECRET)
    for mode in ("1", "L", "LA", "P", "RGBA", "I;16"):
        yield f"PNG in {mode}", saved(Image.new(mode, (60, 40)), "PNG")
    yield "JPEG for a press", saved(scene().convert("CMYK"))


def _moving() -> Iterator[Named]:
    frames = [scene(60, 40).rotate(30 * n) for n in range(5)]
    yield "animated GIF", saved(frames[0], "GIF", save_all=True, append_images=frames[1:])
    yield "animated PNG", saved(frames[0], "PNG", save_all=True, append_images=frames[1:])
    yield "animated WebP", saved(frames[0], "WEBP", save_all=True, append_images=frames[1:])
    yield "several in one", saved(frames[0], "MPO", save_all=True, append_images=frames[1:])


def _scrambled() -> Iterator[Named]:
    """A byte changed at many places."""
    for sort in ("JPEG", "PNG", "WEBP"):
        whole = saved(scene(), sort)
        for n in range(20):
            at = 8 + (len(whole) - 8) * n // 20
            yield f"{sort} with byte {at} turned", whole[:at] + bytes([whole[at] ^ 0xFF]) + whole[at + 1 :]


def parts_of(jpeg: bytes) -> list[int]:
    """The markers of a JPEG in their order, read here from the bytes alone (ISO/IEC 10918-1, B.1.1): what a file
    carries besides its picture would be among them. Nothing may stand behind its end.
    """
    assert jpeg[:2] == b"\xff\xd8"
    found, at = [0xD8], 2
    while at < len(jpeg):
        assert jpeg[at] == 0xFF, f"no marker at {at}"
        marker = jpeg[at + 1]
        found.append(marker)
        if marker == 0xD9:
            assert at + 2 == len(jpeg), "more behind the end"
            return found
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
        while marker == 0xDA and not (jpeg[at] == 0xFF and jpeg[at + 1] not in (0, *range(0xD0, 0xD8))):
            at += 1
    raise AssertionError("no end")
