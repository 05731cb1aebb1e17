"""What a phone carries where there is no signal, in the shape of `/pocket/data.json`.

Every text is ready to be shown and every figure is in words already: a phone shows, filters names, counts days and
keeps what is recorded. It works out no price, no mass and no chance. What it counts days from are the fields named `on`
(2026-11-30); no other day is meant to be read by a program.
"""

from __future__ import annotations

from dataclasses import dataclass

from partway.reports.pocket.forms import PocketForm
from partway.things.scenario import Works
from partway.valuing.finds.verdict import Verdict

SCHEMA = 1  # of data.json and key.json; a page that knows another one says so instead of showing what it cannot read


@dataclass(frozen=True, slots=True)
class PocketVerdict:
    """The verdict on a kind in one `condition`, whose name is `words`. `says` is the verdict, `brings` what one brings
    on average and `range` where it mostly lies, "" where nothing in it is quoted; `hour` what an hour of it brings.

    `notes` are what it hangs on and what is estimated: a sentence each.
    """

    condition: Works
    words: str
    verdict: Verdict
    says: str
    brings: str
    range: str
    hour: str
    minutes: str
    mass: str
    litres: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PocketKind:
    """A kind. `folded` are its names without case, accents and marks, words apart by a space: what is typed is folded
    in the same way and looked for at the beginning of any word. `hazards` are ids of `cards`, what keeps it shut first.
    """

    id: str
    name: str
    names: tuple[str, ...]
    folded: tuple[str, ...]
    hazards: tuple[str, ...]
    conditions: tuple[PocketVerdict, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class PocketGuess:
    """A thing that no kind is, mostly of one material: the verdict at each of the table's masses, in their order."""

    id: str
    name: str
    hazards: tuple[str, ...]
    cells: tuple[PocketVerdict, ...]


@dataclass(frozen=True, slots=True)
class PocketGuesses:
    """Things that no kind is, by what they mostly are and what they weigh. `note` says how far to trust them."""

    note: str
    masses: tuple[str, ...]
    rows: tuple[PocketGuess, ...]


@dataclass(frozen=True, slots=True)
class PocketPrice:
    """One price as it was said: "$4.10/lb, from 50 lb". `on` is the day it was heard, `day` the same in words, both ""
    for a refusal, which no day belongs to.
    """

    grade: str
    name: str
    words: str
    day: str
    on: str


@dataclass(frozen=True, slots=True)
class PocketColumn:
    """What one buyer says, grade by grade; `about` is what kind of place it is and how to reach it."""

    buyer: str
    name: str
    about: tuple[str, ...]
    lines: tuple[PocketPrice, ...]


@dataclass(frozen=True, slots=True)
class PocketCard:
    """A caution card: what comes `first`, then the rest by title and sentence."""

    id: str
    title: str
    first: str
    more: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PocketItem:
    """Something to choose: what it is called, and one sentence about it. `hazards` are ids of `cards`."""

    id: str
    name: str
    words: str
    hazards: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PocketGrade:
    """A grade to choose; `folded` as of a kind."""

    id: str
    name: str
    folded: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PocketBin:
    """A bin to choose; `grade` is the grade's id."""

    id: str
    name: str
    grade: str
    words: str
    hazards: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PocketLot:
    """A lot to tick off as it is handed over. `id` is its own within the haul."""

    id: str
    words: str


@dataclass(frozen=True, slots=True)
class PocketStop:
    """A stop of a haul with what is handed over there."""

    buyer: str
    name: str
    words: str
    lines: tuple[PocketLot, ...]
    phone: str = ""
    geo: str = ""


@dataclass(frozen=True, slots=True)
class PocketHaul:
    """A haul under way, its stops in the order they are driven to. `hazards` are of what it carries."""

    id: str
    name: str
    words: str
    hazards: tuple[str, ...]
    stops: tuple[PocketStop, ...]


@dataclass(frozen=True, slots=True)
class PocketTable:
    """A table to look something up in. `first` is what comes before any figure of it, `notes` where it holds."""

    id: str
    title: str
    first: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pocket:
    """All of it. `made` is when it was worked out (UTC), `on` the day its prices are read as of, `day` that in words.

    `workspace` tells one ledger from another; what was recorded for one is not handed back to another. `state` is what
    it was worked out from: another one after every change of the ledger, on another day, and of another version.
    """

    schema: int
    workspace: str
    state: str
    name: str
    made: str
    on: str
    day: str
    currency: str
    unit: str
    cards: tuple[PocketCard, ...]
    kinds: tuple[PocketKind, ...]
    unknown: PocketGuesses
    sheet: tuple[PocketColumn, ...]
    finds: tuple[PocketItem, ...]
    bins: tuple[PocketBin, ...]
    buyers: tuple[PocketItem, ...]
    grades: tuple[PocketGrade, ...]
    hauls: tuple[PocketHaul, ...]
    tables: tuple[PocketTable, ...]
    forms: tuple[PocketForm, ...]
