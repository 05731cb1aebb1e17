"""What may be recorded in the pocket: the forms, each with the fields of the body that it sends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Look = Literal[
    "line",
    "number",
    "count",
    "choice",
    "kind",
    "find",
    "buyer",
    "grade",
    "haul",
    "bin",
    "lines",
    "text",
    "photo",
    "thing",
]
Recorded = Literal[
    "found",
    "tested",
    "weighed",
    "pictured",
    "quoted",
    "refused",
    "ticketed",
    "sold",
    "spent",
    "worked",
    "noted",
    "said",
]


@dataclass(frozen=True, slots=True)
class PocketChoice:
    """One answer to choose: what is sent, and what it is called."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class PocketField:
    """One field of a form. `name` is the field of the body, `sort` how it is asked for, `need` that it has to be there.

    `fixed` is sent as it is and not shown. A `thing` is a find, a bin or a ticket, sent under the name of its sort.
    `of` are the fields of each line of a table; `more` puts it in the fold.
    """

    name: str
    label: str
    sort: Look
    hint: str = ""
    need: bool = False
    more: bool = False
    fixed: str = ""
    choices: tuple[PocketChoice, ...] = ()
    of: tuple[PocketField, ...] = ()


@dataclass(frozen=True, slots=True)
class PocketForm:
    """One thing that may be recorded: `title` is what stands on the button that leads there."""

    what: Recorded
    title: str
    fields: tuple[PocketField, ...]
    note: str = ""
