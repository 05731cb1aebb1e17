"""One buyer: what it says, one price heard from it, its terms, what was delivered and is owed."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Any, ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.buyers.buyers import buyer
from partway.actions.buyers.quoting import quote
from partway.catalogue.cards import CautionCard, cards_of_grades
from partway.errors import Refused
from partway.ledger.events.kinds import Traded
from partway.reports.books.conflicts import ConflictLine
from partway.reports.buyers import one as report
from partway.reports.buyers.calls import GradeToAsk
from partway.spoken import Hearing, said_price_at, tokens_of
from partway.things.buyers import buyer_name, phone_address
from partway.things.units import MASS_UNITS
from partway.web.bins.page import grade_names
from partway.web.books.notes import NotesHere, notes_here
from partway.web.buyers import figures
from partway.web.buyers.new import KINDS, NAMES, TermsForm, as_typed, said_in, terms_of
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotHere

router = APIRouter()
WAS = "was-"
EACH = "each"
FEW = 2  # grades to ask about in sight
WORDS = 6  # so many are not folded by family
UNITS = [(unit, f"per {unit}") for unit in MASS_UNITS] + [(EACH, "by the piece")]


class QuoteForm(Form):
    """One price as it was heard."""

    grade = LineField("Grade", "begin to type its name or id")
    price = LineField("Price", "4.10 or 38c; -0.05 if you pay; or no")
    unit = ChoiceField("Per", choices=UNITS)
    from_lot = LineField("For lots from", "a tier, such as 60 lb; empty for any", mode="decimal")
    minimum = LineField("Smallest lot taken", "such as 10 lb; empty if none was said", mode="decimal")
    most = LineField("Most taken at one visit", "such as 200 kg or 5 pieces; empty for any")
    piece = LineField("One piece weighs", "only for a price by the piece or a number of pieces", mode="decimal")
    on = LineField("Heard when", "yesterday or 2026-03-14; empty for now")


@dataclass(frozen=True, kw_only=True)
class BuyerPage(Page):
    """One buyer. `was` are the terms that its form started from: only what differs from them is said anew.

    `conflicts` are what of it is in doubt, `doubts` by grade. `families` are its words by family of grades, `asks` what
    to ask it, `dialled` the address of a call, "" where no number is known.
    """

    template: ClassVar[str] = "buyers/buyer.html"
    place: ClassVar[str] = "buyers"
    styles: ClassVar[tuple[str, ...]] = ("buyers.css",)
    cautions: tuple[CautionCard, ...]
    buyer: report.OneBuyer
    families: tuple[WordsOfFamily, ...]
    asks: tuple[GradeToAsk, ...]
    dialled: str
    conflicts: tuple[ConflictLine, ...]
    doubts: dict[str, tuple[str, ...]]
    quote: QuoteForm
    terms: TermsForm
    was: tuple[tuple[str, str], ...]
    grades: tuple[tuple[str, str], ...]
    notes: NotesHere
    few: int = FEW
    most: int = WORDS


@dataclass(frozen=True, slots=True)
class WordsOfFamily:
    """What a buyer says of the grades of one family; `quoted` counts its prices."""

    name: str
    words: tuple[report.BuyersWord, ...]

    @property
    def quoted(self) -> int:
        """How many of them it quotes."""
        return sum(one.cell.state == "quoted" for one in self.words)


def known_buyer(ctx: RequestContext, buyer_id: str) -> Traded:
    """The terms of a buyer. Raises NotHere."""
    known = ctx.buyers
    if buyer_id not in known:
        raise NotHere(f'"{buyer_id[:80]}"', "a buyer of this workspace", "buyer")
    return known[buyer_id]


def _page(
    ctx: RequestContext, buyer_id: str, quote: QuoteForm | None = None, terms: TermsForm | None = None, grade: str = ""
) -> BuyerPage:
    known, units = known_buyer(ctx, buyer_id), ctx.show.say.units
    shown = figures.buyer(ctx, buyer_id)
    conflicts = ctx.conflicts_of(f"buyer:{buyer_id}")
    values: dict[str, Any] = {**as_typed(known, units)}
    was = _was(ctx) if terms else values
    terms = terms or TermsForm(prefix="terms-", **values)
    terms.kind.choices = list(KINDS)
    return BuyerPage(
        title=buyer_name(buyer_id, known.name),
        cautions=cards_of_grades(one.grade for one in shown.asked),
        buyer=shown,
        families=_families(shown),
        asks=next((row.asks for row in figures.calls(ctx) if row.buyer == buyer_id), ()),
        dialled=phone_address(known.phone),
        conflicts=conflicts,
        doubts=report.doubts_of(conflicts, buyer_id),
        quote=quote or QuoteForm(prefix="quote-", unit=units.mass, grade=grade[:80]),
        terms=terms,
        was=tuple((WAS + name, text) for name, text in was.items()),
        grades=grade_names(),
        notes=notes_here(ctx, f"buyer:{buyer_id}"),
    )


def _families(of: report.OneBuyer) -> tuple[WordsOfFamily, ...]:
    """Its words, what it quotes before what it turns away."""
    said = [one for one in of.asked if one.cell.state != "unquoted"]
    said.sort(key=lambda one: (one.family, one.cell.state != "quoted"))
    return tuple(WordsOfFamily(name, tuple(words)) for name, words in groupby(said, key=lambda one: one.family))


@router.get("/buyers/{buyer_id}")
def buyer_page(ctx: At, buyer_id: str, grade: str = "") -> Response:
    """One buyer; `grade` is filled in for a price to be typed."""
    return render(ctx, _page(ctx, buyer_id, grade=grade))


@router.post("/buyers/{buyer_id}/quote")
def quote_heard(ctx: At, buyer_id: str) -> Response:
    """One price heard."""
    known_buyer(ctx, buyer_id)
    form = QuoteForm(ctx.typed, prefix="quote-")

    def act() -> FormSaved:
        recorded = quote(
            ctx.book,
            ctx.context(form.on.text),
            buyer_id,
            form.grade.text,
            _price(form.price.text, form.unit.text),
            form.from_lot.text or None,
            form.minimum.text or None,
            form.piece.text or None,
            form.most.text or None,
        )
        return FormSaved.of(ctx, recorded, f"/buyers/{buyer_id}")

    return save_form(ctx, form, act, lambda: _page(ctx, buyer_id, quote=form), {"from": "from_lot"})


def _price(text: str, unit: str) -> str:
    """The price with what it is per, unless that was typed or it is no price but a refusal."""
    plain = text.lower()
    if not plain.strip():
        return text
    said = said_price_at(tokens_of(text), 0, Hearing())
    if "/" in text or " per " in plain or EACH in plain or said is None or said.per is not None:
        return text
    if not any(said.heard.readings):
        return text
    return f"{text} {EACH}" if unit == EACH else f"{text} /{unit}"


@router.post("/buyers/{buyer_id}/terms")
def new_terms(ctx: At, buyer_id: str) -> Response:
    """Change what differs from the terms that the form started from; nothing else, whatever was changed meanwhile."""
    known_buyer(ctx, buyer_id)
    form = TermsForm(ctx.typed, prefix="terms-")

    def act() -> FormSaved:
        was = _was(ctx)
        said = {name: text for name, text in said_in(form).items() if _even(text) != _even(was.get(name, ""))}
        if not said:
            raise Refused("the terms as they were", "something changed", "terms")
        return FormSaved.of(ctx, buyer(ctx.book, ctx.context(), buyer_id, terms_of(said)), f"/buyers/{buyer_id}")

    return save_form(ctx, form, act, lambda: _page(ctx, buyer_id, terms=form), NAMES)


def _was(ctx: RequestContext) -> dict[str, str]:
    """The terms that a form says it started from."""
    return {name[len(WAS) :]: str(text) for name, text in ctx.typed.multi_items() if name.startswith(WAS)}


def _even(text: str) -> str:
    """Browsers send line ends of their own."""
    return "\n".join(line.strip() for line in text.strip().splitlines())
