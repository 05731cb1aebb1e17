"""One find at the bench: what to mind, what to do, its picture, its steps, and all that can be recorded of it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import ClassVar, cast, get_args

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.bench.benching import at_bench, bins_by_grade
from partway.catalogue import shipped
from partway.catalogue.named import hazards_of
from partway.errors import Refused
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.balance_typed import Balance
from partway.reports.bench.find import FindAtBench
from partway.reports.bench.queue import Puzzle
from partway.reports.bench.steps_rows import Row, weighing_rows
from partway.reports.books.conflicts import ConflictLine
from partway.reports.haul.plan import CautionLine
from partway.reports.what.cautions import caution_lines
from partway.web.bench.also import ALSO, Also
from partway.web.bench.forms import Opening, TestBlank, opening_of
from partway.web.blanks import Choice, Typed
from partway.web.desk import At, Desk
from partway.web.drawings.anatomy import By, Picture, anatomy_picture
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()
SUPPOSED = ("yes", "no")


@dataclass(frozen=True)
class Blanks:
    """The forms of the page; None for one that is fresh."""

    opening: Opening | None = None
    test: TestBlank | None = None
    also: Also | None = None
    balance: Balance | None = None


@dataclass(frozen=True, kw_only=True)
class FindPage(Page):
    """One find. `cautions` are its kind's, `others` those of all that it may come to. `here` is None where it cannot be
    reckoned with: `unknown` says why (kind, rest, currency). `conflicts` are what of it is in doubt.
    """

    template: ClassVar[str] = "bench/find.html"
    place: ClassVar[str] = "bench"
    styles: ClassVar[tuple[str, ...]] = ("bench.css", "bench-find.css")
    scripts: ClassVar[tuple[str, ...]] = ("bench.js",)
    find: FindNow
    conflicts: tuple[ConflictLine, ...]
    here: FindAtBench | None
    picture: Picture | None
    unknown: str
    by: By
    cautions: tuple[CautionLine, ...]
    others: tuple[CautionLine, ...]
    opening: Opening
    test: TestBlank
    also: tuple[Also, ...]
    balance: Balance | None


@dataclass(frozen=True, kw_only=True)
class GonePage(Page):
    """A find of which nothing is left; `typed` is what was about to be recorded of it."""

    template: ClassVar[str] = "bench/gone.html"
    place: ClassVar[str] = "bench"
    find: FindNow
    conflicts: tuple[ConflictLine, ...]
    problem: str
    typed: tuple[tuple[str, str], ...] = field(default=())


def find_now(desk: Desk, find_id: str) -> FindNow:
    """The find of an address, closed or not. Raises NotHere."""
    try:
        return standing.find(desk.book, find_id)
    except KeyError:
        raise NotHere(f'"{find_id[:80]}"', "a find of this workspace", "find") from None


def page_of(desk: Desk, find_id: str, blanks: Blanks | None = None) -> FindPage | GonePage:
    """The page of a find, with forms that were filled in already."""
    now, blanks = find_now(desk, find_id), blanks or Blanks()
    if now.closed:
        return _gone(desk, now, blanks)
    asked = desk.request.query_params
    by = cast(By, asked.get("by", "value") if asked.get("by") in get_args(By) else "value")
    here, unknown = _reckoned(desk, now, asked.get("works", ""))
    own, others = _cautions(desk, now, here)
    return FindPage(
        title=here.name if here else _name(now),
        find=now,
        conflicts=desk.conflicts_of(f"find:{now.id}"),
        here=here,
        picture=anatomy_picture(here.working, by) if here else None,
        unknown=unknown,
        by=by,
        cautions=own,
        others=others,
        opening=blanks.opening or fresh_opening(desk, now, here),
        test=blanks.test or TestBlank(prefix="test-"),
        also=tuple(_also(kind, now, blanks, asked.get("part", "")) for kind in ALSO),
        balance=blanks.balance,
    )


def _also(kind: type[Also], now: FindNow, blanks: Blanks, part: str) -> Also:
    """A form as it was filled in, or fresh; where it asks what of the find, with the find's pieces to choose from."""
    form = blanks.also if isinstance(blanks.also, kind) else kind(prefix=f"{kind.NAME}-", what=part)
    for f in form:
        if isinstance(f, Choice):
            f.choices = _pieces(now)
    return form


def _reckoned(desk: Desk, now: FindNow, works: str) -> tuple[FindAtBench | None, str]:
    supposed = works if works in SUPPOSED else None
    try:
        found = desk.kept(("bench", now.id, supposed), lambda: at_bench(desk.book, desk.prices, now, supposed))
    except Refused:
        return None, "currency"
    return (None, found.why) if isinstance(found, Puzzle) else (found, "")


def here_of(desk: Desk, now: FindNow) -> FindAtBench | None:
    """The find as it is known, for its forms."""
    return _reckoned(desk, now, "")[0]


def rows_of(desk: Desk, now: FindNow, here: FindAtBench | None) -> tuple[Row, ...]:
    """The rows to weigh its pieces in; none for a kind that is not in the catalogue."""
    if now.kind not in shipped().kinds:
        return ()
    bins = desk.kept("bins by grade", lambda: bins_by_grade(desk.book))
    steps, left = (here.steps, here.left) if here else ((), ())
    return weighing_rows(shipped().anatomy(now.kind), steps, left, bins, shipped().grades)


def fresh_opening(desk: Desk, now: FindNow, here: FindAtBench | None, typed: Typed | None = None) -> Opening:
    """The form of an opening of a find, as typed where something was."""
    steps = here.steps if here else ()
    known = shipped().anatomy(now.kind).operations if now.kind in shipped().kinds else ()
    chosen = {step.operation for step in steps}
    others = [op for op in known if op.id not in chosen]
    return opening_of(rows_of(desk, now, here), steps, others, typed)


def _cautions(
    desk: Desk, now: FindNow, here: FindAtBench | None
) -> tuple[tuple[CautionLine, ...], tuple[CautionLine, ...]]:
    """The cards of its kind, and those of all that it may come to: what is done first, then what could be."""
    if now.kind not in shipped().kinds:
        return (), ()
    anatomy = shipped().anatomy(now.kind)
    hazards = [*(card.id for card in (here.cautions if here else ())), *hazards_of(anatomy, shipped().grades)]
    scenario = replace(desk.prices, cautions=shipped().cautions)
    own = caution_lines(scenario, [(now.kind, anatomy.cautions)])
    return own, caution_lines(scenario, [(now.kind, [h for h in hazards if h not in anatomy.cautions])])


def _pieces(now: FindNow) -> list[tuple[str, str]]:
    if now.kind not in shipped().kinds:
        return [("", "all of it")]
    anatomy = shipped().anatomy(now.kind)
    return [("", f"{anatomy.name}, whole"), *((p.id, p.name) for p in anatomy.pieces[1:])]


def _name(now: FindNow) -> str:
    return shipped().anatomy(now.kind).name if now.kind in shipped().kinds else now.kind


def _gone(desk: Desk, now: FindNow, blanks: Blanks) -> GonePage:
    forms = [blanks.opening.form if blanks.opening else None, blanks.test, blanks.also]
    said = [form.problem or "; ".join(text for *_, text in form.wrong) for form in forms if form]
    typed = [(name, value) for name, value in desk.typed.multi_items() if value.strip() and name != "token"]
    return GonePage(
        title=_name(now),
        find=now,
        conflicts=desk.conflicts_of(f"find:{now.id}"),
        problem=" ".join(said),
        typed=tuple(typed),
    )


@router.get("/bench/{find_id}")
def find_page(desk: At, find_id: str) -> Response:
    """One find at the bench, or what became of it."""
    return render(desk, page_of(desk, find_id))
