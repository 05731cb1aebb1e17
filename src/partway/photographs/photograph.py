"""A photograph as it is kept: JPEG and nothing but the picture, known by the digest of its bytes."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass

from partway.photographs.limits import SIDE_SMALL

DIGEST = re.compile("[0-9a-f]{64}")
ENDING = ".jpg"
MEDIA_TYPE = "image/jpeg"


@dataclass(frozen=True, slots=True)
class Photograph:
    """What is kept of a picture; `digest` is the SHA-256 of `content`, by which it is known everywhere."""

    digest: str
    content: bytes
    width: int
    height: int


def digest_of(content: bytes) -> str:
    """What a photograph of these bytes is known by."""
    return hashlib.sha256(content).hexdigest()


def small_size(width: int, height: int) -> tuple[int, int]:
    """The pixels of a photograph as it stands among others."""
    scale = min(1.0, SIDE_SMALL / max(width, height))
    return max(1, round(width * scale)), max(1, round(height * scale))
