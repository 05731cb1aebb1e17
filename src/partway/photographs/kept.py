"""Whether bytes are a photograph as this program writes them, and nothing else: asked of what comes from elsewhere.

A package or a backup may be made by anybody. What it brings is not written anew, as it is known by its digest; so it
has to be what `cleaning` would leave: no part that holds words, nothing after the end, within the bounds, whole.
"""

from __future__ import annotations

from partway.errors import Refused
from partway.photographs.bare import APP0, EOI, SOS, Broken, segment
from partway.photographs.cleaning import LIBRARY, TURN, opened
from partway.photographs.limits import KEPT_MOST, SIDE_MOST
from partway.photographs.photograph import DIGEST, digest_of

EXPECTED = "a photograph as partway writes it: JPEG without metadata, whole and within its bounds"
JFIF = b"JFIF\0"
JFIF_LENGTH = 18  # with its marker, and no picture within
TABLES = frozenset(
    {0xDB, 0xC0, 0xC1, 0xC2, 0xC4, 0xDD}
)  # quantization, frame (baseline, progressive), Huffman, restarts


def check_kept(content: bytes, digest: str, where: str) -> None:
    """Raises Refused unless the bytes are the photograph of this digest, with nothing beside the picture."""
    if len(content) > KEPT_MOST:
        raise Refused(f"more than {KEPT_MOST:,} bytes", EXPECTED, where)
    if not DIGEST.fullmatch(digest) or digest_of(content) != digest:
        raise Refused("a photograph that is not what its name says", EXPECTED, where)
    try:
        _check_parts(content)
        with TURN:
            image = opened(content)
            if max(image.size) > SIDE_MOST:
                raise Broken("too large")
            image.load()
    except LIBRARY as failure:
        raise Refused("a photograph that is damaged or carries more than a picture", EXPECTED, where) from failure


def _check_parts(content: bytes) -> None:
    """Raises Broken for a part that holds anything but the picture, and for what stands after its end."""
    if content[:2] != b"\xff\xd8":
        raise Broken("no JPEG")
    at = 2
    while True:
        marker, start, end = segment(content, at)
        if marker == EOI:
            if end != len(content):
                raise Broken("more after the end")
            return
        if marker == APP0:
            if at != 2 or end - start != JFIF_LENGTH or content[start + 4 : start + 9] != JFIF:
                raise Broken("an application's own part")
        elif marker not in TABLES and marker != SOS:
            raise Broken("a part that is no picture")
        at = _after_scan(content, end) if marker == SOS else end


def _after_scan(content: bytes, at: int) -> int:
    """Where the next part begins: in a scan 0xFF stands before a nought or a restart alone."""
    while True:
        at = content.find(b"\xff", at)
        if at < 0 or at + 1 >= len(content):
            raise Broken("no end")
        if content[at + 1] and content[at + 1] not in range(0xD0, 0xD8):
            return at
        at += 2
