"""Hostile and broken files are refused with one message, or come out as a picture and nothing else."""

from __future__ import annotations

import tracemalloc
from io import BytesIO

import pytest
from photographs import SCRIPT, SECRET, exif, hostile, jpeg_of, parts_of, png_of, saved, scene, segment, with_everything
from PIL import Image

from partway.errors import Refused
from partway.photographs import limits
from partway.photographs.cleaning import cleaned, small
from partway.photographs.kept import check_kept
from partway.photographs.photograph import Photograph, digest_of

HOSTILE = dict(hostile())
ALLOWED = {0xD8, 0xE0, 0xDB, 0xC0, 0xC2, 0xC4, 0xDD, 0xDA, 0xD9}  # no Exif or XMP, IPTC, colour profile, comment
REFUSED = ("cut at", "PNG of", "JPEG of", "thousand passes", "more bytes", "animated WebP", "SVG", "TIFF", "nothing")
KEPT = ("everything", "held so", "Exif broken", "script in part", "behind", "PNG with words", "PNG in", "for a press")


def test_there_are_enough_of_them_and_no_two_alike() -> None:
    assert len(HOSTILE) == len(list(hostile())) >= 200
    assert len({digest_of(content) for content in HOSTILE.values()}) >= 200


@pytest.mark.parametrize("name", HOSTILE)
def test_refused_with_one_message_or_nothing_is_left_but_a_picture(name: str) -> None:
    try:
        kept = cleaned(HOSTILE[name], "file")
    except Refused as refused:
        assert not any(start in name for start in KEPT), str(refused)
        assert str(refused).count("\n") == 0
        assert refused.where == "file"
        assert refused.given and refused.expected
        return
    if name not in ("JPEG cut at 25/26", "progressive cut at 10/11"):
        assert not any(part in name for part in REFUSED)
    is_a_picture_alone(kept)


def is_a_picture_alone(kept: Photograph) -> None:
    """By our own reading of the bytes, by the library, and by what a package from elsewhere is held to."""
    assert set(parts_of(kept.content)) <= ALLOWED
    for words in (SECRET, SCRIPT, b"Exif", b"xmpmeta", b"8BIM", b"ICC_PROFILE", b"script"):
        assert words not in kept.content
    image = Image.open(BytesIO(kept.content))
    assert image.format == "JPEG" and image.size == (kept.width, kept.height)
    assert not image.getexif() and set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert max(image.size) <= limits.SIDE_MOST and len(kept.content) <= limits.KEPT_MOST
    check_kept(kept.content, kept.digest, "file")


def test_a_picture_with_a_place_comes_back_without() -> None:
    sent = with_everything()
    assert {0xE1, 0xE2, 0xED, 0xFE} <= set(_all_markers(sent)) and SECRET in sent
    assert Image.open(BytesIO(sent)).getexif().get_ifd(0x8825)  # the library finds the place in what was sent
    kept = cleaned(sent)
    is_a_picture_alone(kept)
    assert not Image.open(BytesIO(kept.content)).getexif().get_ifd(0x8825)


def _all_markers(jpeg: bytes) -> list[int]:
    return parts_of(jpeg[: jpeg.rindex(b"\xff\xd9") + 2])


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_is_turned_upright(orientation: int) -> None:
    """As Exif 3.0, 4.6.5.1.6, has the eight: here laid out by hand, where the camera's first row and column belong."""
    laid = {
        1: scene(),
        2: scene().transpose(Image.Transpose.FLIP_LEFT_RIGHT),
        3: scene().transpose(Image.Transpose.ROTATE_180),
        4: scene().transpose(Image.Transpose.FLIP_TOP_BOTTOM),
        5: scene().transpose(Image.Transpose.TRANSPOSE),
        6: scene().transpose(Image.Transpose.ROTATE_90),
        7: scene().transpose(Image.Transpose.TRANSVERSE),
        8: scene().transpose(Image.Transpose.ROTATE_270),
    }
    for sort in ("JPEG", "PNG"):
        kept = Image.open(BytesIO(cleaned(saved(laid[orientation], sort, exif=exif(orientation))).content))
        assert kept.size == (320, 200)
        for at, colour in (((40, 40), "red"), ((280, 40), "green"), ((40, 160), "blue"), ((280, 160), "white")):
            assert _near(kept.getpixel(at), colour), (sort, at, colour)


def _near(pixel: object, colour: str) -> bool:
    said = Image.new("RGB", (1, 1), colour).getpixel((0, 0))
    assert isinstance(said, tuple) and isinstance(pixel, tuple)
    return all(abs(one - other) < 30 for one, other in zip(said, pixel, strict=True))


def test_what_shows_through_is_white() -> None:
    kept = Image.open(BytesIO(cleaned(saved(Image.new("RGBA", (20, 20), (0, 0, 0, 0)), "PNG")).content))
    assert kept.getpixel((10, 10)) == (255, 255, 255)


def test_a_large_one_is_made_small_and_the_same_twice() -> None:
    sent = saved(Image.effect_noise((2400, 1200), 60).convert("RGB"), exif=exif())
    one, other = cleaned(sent), cleaned(sent)
    assert (one.width, one.height) == (1600, 800)
    assert one == other
    shown = Image.open(BytesIO(small(one.content)))
    assert shown.size == (limits.SIDE_SMALL, 160)
    assert set(parts_of(small(one.content))) <= ALLOWED


def test_a_bomb_is_turned_away_before_it_is_unpacked() -> None:
    """400 million pixels in a few kilobytes, and a header that says as much: little memory is taken to say no."""
    for bomb in (png_of(20_000, 20_000, b"\0" * 5_000_000), jpeg_of(20_000, 20_000)):
        tracemalloc.start()
        with pytest.raises(Refused, match="20,000 × 20,000"):
            cleaned(bomb)
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert most < 3_000_000


def test_what_comes_from_elsewhere_is_a_picture_and_nothing_else() -> None:
    kept = cleaned(saved(scene()))
    body = kept.content
    comment, place = segment(0xFE, SECRET), segment(0xE1, b"Exif\0\0" + SECRET)
    bad = {
        "a comment": body[:2] + comment + body[2:],
        "Exif": body[:2] + place + body[2:],
        "a comment before the scan": body[: (at := body.index(b"\xff\xda"))] + comment + body[at:],
        "a ZIP behind": body + b"PK\x03\x04",
        "cut short": body[:-100],
        "no end": body[:-2],
        "another sort": saved(scene(), "PNG"),
        "too large": saved(Image.new("RGB", (1601, 4))),
        "two starts": b"\xff\xd8" + body,
        "nothing": b"",
        "text": b"hello",
    }
    for name, content in bad.items():
        with pytest.raises(Refused, match="photograph as partway writes it"):
            check_kept(content, digest_of(content), name)
    with pytest.raises(Refused, match="not what its name says"):
        check_kept(body, digest_of(body + b"1"), "x")
    check_kept(body, kept.digest, "x")
