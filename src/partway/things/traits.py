"""What somebody says of a thing that no catalogue has: mostly what, and whether a cord, a motor, a battery is in it.

A name and these together are a kind of their own, written as one text: foot-spa~plastic-motor~cord-yes~1-3kg. So two
things of one name that were said to be different stay two kinds, and one that was said twice is one.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

MARK = "~"
MAY_HAVE = ("cord", "motor", "battery")
ANSWERS = ("yes", "no")  # "" where nobody knows
NAME_MOST = 40
# Half decades of kilograms, by the largest each takes; fixed for good, since events hold them.
SIZES = (
    ("under-0.1kg", 0.1),
    ("0.1-0.3kg", 0.3),
    ("0.3-1kg", 1.0),
    ("1-3kg", 3.0),
    ("3-10kg", 10.0),
    ("10-30kg", 30.0),
    ("30-100kg", 100.0),
    ("over-100kg", 1000.0),
)
SIZE_NAMES = tuple(name for name, _ in SIZES)


@dataclass(frozen=True, slots=True)
class Traits:
    """What was said of a thing: `mostly` is an id of the table of guesses; "" is what nobody said."""

    mostly: str
    cord: str = ""
    motor: str = ""
    battery: str = ""
    size: str = ""

    def kind(self, name: str) -> str:
        """The kind that a thing of this name is."""
        said = [f"{what}-{answer}" for what in MAY_HAVE if (answer := getattr(self, what))]
        return MARK.join([name, self.mostly, *said, *([self.size] if self.size else [])])


def traits_in(kind: str) -> tuple[str, Traits] | None:
    """The name and the traits that a kind is made of; None for a kind of a catalogue."""
    name, *said = kind.split(MARK)
    if not name or name != plain_name(name) or not said or not said[0]:
        return None
    known = {f"{what}-{answer}": (what, answer) for what in MAY_HAVE for answer in ANSWERS}
    known |= {size: ("size", size) for size in SIZE_NAMES}
    if not all(one in known for one in said[1:]):
        return None
    found = Traits(said[0], **dict(known[one] for one in said[1:]))
    return (name, found) if found.kind(name) == kind else None


def said_kind(kind: str) -> str:
    """A kind as it was called, without what was said of it."""
    found = traits_in(kind)
    return found[0] if found else kind


def size_of(kg: float) -> str:
    """The size of a thing of a mass."""
    return next((name for name, most in SIZES if kg < most), SIZES[-1][0])


def plain_name(text: str) -> str:
    """A name as it becomes part of an id: small letters and digits of any script, joined by hyphens; "" for none.

    A name that is plain already stays as it is.
    """
    plain = unicodedata.normalize("NFC", unicodedata.normalize("NFC", text).casefold())
    marked = "".join(letter if letter.isalnum() or _is_mark(letter) else " " for letter in plain)
    words = (word.lstrip("".join(filter(_is_mark, word))) for word in marked.split())
    return "-".join(filter(None, words))[:NAME_MOST].rstrip("-")


def _is_mark(letter: str) -> bool:
    """Whether it belongs to the letter before it, as vowel signs do: such a word is not cut there."""
    return unicodedata.category(letter).startswith("M")


def shown_name(name: str) -> str:
    """A name for people, from an id or a plain name."""
    return name[:1].upper() + name[1:].replace("-", " ")
