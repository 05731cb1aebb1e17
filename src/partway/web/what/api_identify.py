"""What is it: the test key, the guides, what pieces turned out to be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Path, Query

from partway.actions.recording import reading
from partway.actions.recording.saved import Saved
from partway.actions.what.found_out import confirm
from partway.actions.what.identifying import DEFAULT_CONTEXT, context_named, guide, identify
from partway.actions.what.results import IdentifiedResult
from partway.catalogue import shipped
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.what.identify import GuideReport, Identify
from partway.web.api.bodies import LINE
from partway.web.api.reading import AT_NAME, named, reads
from partway.web.api.writing import record, writing
from partway.web.context import At
from partway.web.what import figures
from partway.web.what.bodies import IdentifiedBody

router = reads("identify")
posts = writing("identify")

OneGuide = Annotated[str, Path(max_length=LINE, examples=["boards"])]
Given = Annotated[
    list[Annotated[str, Query(max_length=LINE)]],
    Query(max_length=20, description="TEST=ANSWER, such as magnet=none or density=8.4+-0.2; again for more."),
]
Seen = Annotated[
    list[Annotated[str, Query(max_length=LINE)]],
    Query(max_length=50, description="What is seen, such as cpu-socket; again for more."),
]


@dataclass(frozen=True, slots=True)
class Named:
    """Something by its id and its name."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Whence:
    """Where a piece may come from, and what it may be made of there."""

    id: str
    name: str
    materials: tuple[Named, ...]


@dataclass(frozen=True, slots=True)
class Key:
    """What the test key and the guides may be asked about."""

    contexts: tuple[Whence, ...]
    guides: tuple[Named, ...]


@router.get("/identify")
def what_is_it(
    ctx: At,
    context: Annotated[str, Query(max_length=LINE, description="As /api/key lists them.")] = DEFAULT_CONTEXT,
    answer: Given = [],  # noqa: B006 (FastAPI copies it)
    mass: Annotated[str | None, Query(max_length=LINE, description="What it weighs, such as 2 lb.")] = None,
) -> Identify:
    """What a piece may be, the bin that leads to, and the test to ask next; what can hurt and what never first."""
    where = context_named(context).id
    kg = None if mass is None else reading.mass_mg(ctx.book, mass, "mass") / 1e6
    known = figures.confirmed(ctx, where)
    return identify(ctx.prices, where, answers_of(answer), kg, known)


def answers_of(given: list[str]) -> dict[str, str]:
    """Answers by test. Raises Refused."""
    found: dict[str, str] = {}
    for text in given:
        test, equals, said = text.partition("=")
        if not equals or not said.strip() or test.strip() in found:
            raise Refused(shown(text), "one TEST=ANSWER for each test, such as magnet=none", "answer")
        found[test.strip()] = said.strip()
    return found


@router.get("/key")
def key() -> Key:
    """Where pieces may come from, what they may be made of, and the guides there are."""
    known = shipped().key
    return Key(
        tuple(
            Whence(
                one.id,
                one.name,
                tuple(Named(m.id, m.name) for m in known.materials.values() if m.group == one.group),
            )
            for one in known.contexts.values()
        ),
        tuple(Named(one.id, one.name) for one in known.guides.values()),
    )


@router.get("/guides/{name}", responses=AT_NAME)
def one_guide(ctx: At, name: OneGuide, feature: Seen = []) -> GuideReport:  # noqa: B006 (FastAPI copies it)
    """The grades that agree with what is seen on a board or a wire, and what spoils them."""
    return guide(ctx.prices, named(shipped().key.guides, name, "guide").id, feature)


@posts.post("/identify")
def identified(ctx: At, body: IdentifiedBody) -> Saved[IdentifiedResult]:
    """Record what pieces turned out to be, known for sure: the next ones from there are judged by it."""
    return record(ctx, body, confirm)
