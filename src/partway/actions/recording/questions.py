"""A question that has to be answered before anything is recorded."""

from __future__ import annotations

from dataclasses import dataclass

from partway.errors import Refused


@dataclass
class Asked(Refused):
    """A refusal that an answer would settle: run the same action again with `option` set to one of `choices`.

    `choices` are (answer, what it means); `likely` is the answer that most would give, "" where that is not known.
    `entry` is what is to be typed where that is no matter of choosing, such as "how much".
    """

    option: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    likely: str = ""
    entry: str = ""
