"""A whole price list of a buyer, pasted or dictated: looked at line by line, then saved as a whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends
from fastapi.responses import Response

from partway.actions.buyers.price_lists import read_list, save_list
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard, cards_of_grades, shipped_cards
from partway.errors import Refused
from partway.ledger.events.kinds import Traded
from partway.photographs.reading import INSTALL, can_read, text_in
from partway.pricelist import PreviewRow, all_understood, answer, preview
from partway.pricelist import PriceLine as Said
from partway.pricelist.lines import GradeChoice as Answer
from partway.things.buyers import buyer_name
from partway.web.buyers.one import known_buyer
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField, TextField, TickField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.sending import SentFile, sent_photograph
from partway.web.serving.tokens import content_of
from partway.web.wording import beside_field

router = APIRouter()
ASK = "ask-"  # the answer to a line's question, followed by the line's number
NAME = "name-"  # another reading of one of the names that are asked about together
OTHER = "other-"  # the same in words of one's own
ANSWERED = "answered"  # number=answer, for each answer given before, in their order
MOST = 500  # answers
QUOTES = {"quotes": "text"}  # what an action calls the list
CHANGED = "The list is read otherwise than when you looked at it: something was recorded since. Look it over again."
RECORDED = ("grade", "price", "unit", "ends", "from_mg", "minimum_mg", "most_mg", "most_pieces", "piece_mg", "refuses")


class ListForm(Form):
    """A list as it was said."""

    text = TextField(
        "What they said",
        "paste it, or tap the microphone of your keyboard: no 2 copper 4.10, motors 38c, 304 stainless not taking",
        most=10_000,
    )
    comma = TickField("Decimals come after a comma: 4,10")
    on = LineField("Heard when", "yesterday or 2026-03-14; empty for now")


@dataclass(frozen=True, slots=True)
class ListName:
    """One of several names that are asked about together: how it would be read, and what it may be instead."""

    position: int
    text: str
    reading: str
    others: tuple[Answer, ...]


@dataclass(frozen=True, slots=True)
class ListLine:
    """A line as it was understood, or the question it raises.

    `change` is the new price over the last, less one; `careful` names what can hurt about the
    grade, `wrong` is what was wrong with the answer to the question. `names` are
    those that its question is about, where it is about several.
    """

    row: PreviewRow
    asks: str
    choices: tuple[Answer, ...]
    refuses: bool
    change: float | None
    careful: tuple[str, ...]
    wrong: str = ""
    names: tuple[ListName, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ListPage(Page):
    """A price list to type, or to look at before it is saved; `saves` counts the lines that would be recorded, `asked`
    names the draft of the answers given now, `shown` stands for what would be recorded. `copied`: the text is what was
    read in a photograph; `reads`: whether photographs are read here, else `install` is what it takes.
    """

    template: ClassVar[str] = "buyers/list.html"
    place: ClassVar[str] = "buyers"
    styles: ClassVar[tuple[str, ...]] = ("buyers.css",)
    of: Traded
    called: str
    form: ListForm
    lines: tuple[ListLine, ...] = ()
    cautions: tuple[CautionCard, ...] = ()
    given: tuple[str, ...] = ()
    shown: str = ""
    ready: bool = False
    saves: int = 0
    asked: str = ""
    copied: bool = False
    reads: bool = False
    install: str = INSTALL


Understood = tuple[list[Said], list[str], dict[int, str]]


@dataclass
class ListTyped:
    """A list that was sent, read once: by what saves it, within that transaction, or by whoever asks before."""

    ctx: RequestContext
    of: Traded
    form: ListForm
    _read: Understood | None = None

    def understood(self) -> Understood:
        """The list as it was typed, with its answers. Raises Refused."""
        if self._read is None:
            comma, who = self.form.comma.data, self.ctx.who
            lines = read_list(self.ctx.book, self.of.buyer, self.form.text.text, comma=comma, who=who)
            self._read = _answered(lines, _answers(self.ctx))
        return self._read


@router.get("/buyers/{buyer_id}/list")
def list_page(ctx: At, buyer_id: str) -> Response:
    """A price list to type."""
    return render(ctx, _page(known_buyer(ctx, buyer_id), ListForm()))


@router.post("/buyers/{buyer_id}/list/photograph")
def list_photographed(given: Annotated[SentFile, Depends(sent_photograph)], buyer_id: str) -> Response:
    """The text in a photograph, put into the field of a list: to be read over, and looked at like any other."""
    ctx, form = given.ctx, ListForm(given.ctx.typed)
    of = known_buyer(ctx, buyer_id)
    try:
        if not given.content:
            raise Refused("no photograph", "one from the camera, or a file", "file")
        form.text.data = text_in(given.content)
    except Refused as refused:
        form.refuse(refused)
        return render(ctx, _page(of, form), 422)
    return render(ctx, replace(_page(of, form), copied=True))


@router.post("/buyers/{buyer_id}/list")
def list_typed(ctx: At, buyer_id: str) -> Response:
    """Look at what was typed, or, with `step` save, save it. Looking writes nothing."""
    typed = ListTyped(ctx, known_buyer(ctx, buyer_id), ListForm(ctx.typed))
    if ctx.typed.get("step") == "save":
        return save_form(
            ctx, typed.form, lambda: _saved(typed), lambda: _looked(typed)[0], QUOTES, content=lambda: _meant(typed)
        )
    if not typed.form.validate():
        return render(ctx, _page(typed.of, typed.form), 422)
    page, status = _looked(typed)
    return render(ctx, page, status)


def _page(of: Traded, form: ListForm) -> ListPage:
    called = buyer_name(of.buyer, of.name)
    return ListPage(title=f"What {called} pays", of=of, called=called, form=form, reads=can_read())


def _looked(typed: ListTyped) -> tuple[ListPage, int]:
    """The list as it is understood with the answers given so far; an answer that will not do is asked for again."""
    ctx, of, form = typed.ctx, typed.of, typed.form
    try:
        ctx.context(form.on.text)
        lines, given, wrong = typed.understood()
    except Refused as refused:
        form.refuse(refused, QUOTES)
        return _page(of, form), 422
    names = _names(lines)
    shown = tuple(_shown(line, row, wrong, names) for line, row in zip(lines, preview(lines), strict=True))
    cautions = cards_of_grades(line.shown_as for line in lines)
    page = replace(
        _page(of, form),
        lines=shown,
        cautions=cautions,
        given=tuple(given),
        shown=_digest(typed),
        ready=all_understood(lines),
        saves=sum(line.status == "understood" for line in lines),
        asked=_draft_of_answers(ctx, of, form, given),
    )
    return page, 422 if wrong else 200


def _draft_of_answers(ctx: RequestContext, of: Traded, form: ListForm, given: Sequence[str]) -> str:
    """One for each round of questions, so that what was chosen is there again wherever the same is asked again."""
    said = [("text", form.text.text), ("comma", str(form.comma.data)), ("on", form.on.text)]
    asked = content_of(ctx.request.url.path, [*said, *((str(n), one) for n, one in enumerate(given))])
    return f"list:{of.buyer}:{asked[:16]}"


def _names(lines: Sequence[Said]) -> tuple[ListName, ...]:
    """The names that are asked about together."""
    told = ((line, line.offers) for line in lines if line.offers)
    return tuple(
        ListName(line.position, " ".join(line.text.split()), first.label, tuple(others))
        for line, (first, *others) in told
    )


def _shown(line: Said, row: PreviewRow, wrong: dict[int, str], names: tuple[ListName, ...]) -> ListLine:
    change = None if row.change is None else float(row.change)
    grade = shipped().grades.get(line.grade or "")
    asks_of = names if any(choice.together for choice in line.choices) else ()
    careful = tuple(card.name for card in shipped_cards(grade.hazards if grade else ()))
    return ListLine(row, line.asks, line.choices, line.refuses, change, careful, wrong.get(line.position, ""), asks_of)


def _answers(ctx: RequestContext) -> list[str]:
    """Every answer in its order, as number=answer; other readings of names come first, words of one's own before a
    choice.
    """
    given = [str(text) for text in ctx.typed.getlist(ANSWERED)]
    fields = [(str(name), str(text)) for name, text in ctx.typed.multi_items()]
    own = {name[len(OTHER) :]: text.strip() for name, text in fields if name.startswith(OTHER) and text.strip()}
    chosen = {name[len(ASK) :]: text for name, text in fields if name.startswith(ASK)}
    names = [f"{name[len(NAME) :]}={text}" for name, text in fields if name.startswith(NAME) and text]
    return [*given, *names, *(f"{number}={text}" for number, text in {**chosen, **own}.items())][:MOST]


def _answered(lines: list[Said], answers: Sequence[str]) -> tuple[list[Said], list[str], dict[int, str]]:
    """The lines with the answers that will do, those answers, and what is wrong with the others, by line."""
    given, wrong = [], {}
    for one in answers:
        number, _, choice = one.partition("=")
        position = int(number) if number.isdecimal() and len(number) < 6 else 0
        try:
            lines = answer(lines, position, choice)
        except Refused as refused:
            if any(line.position == position and line.question for line in lines):
                wrong[position] = beside_field(refused)
        else:
            given.append(one)
    return lines, given, wrong


def _meant(typed: ListTyped) -> list[tuple[str, str]] | None:
    """What saving would record: an answer that is known by now, and so not asked for, makes no other list of it."""
    with suppress(Refused):
        lines, _, _ = typed.understood()
        said = (("line", repr([getattr(line, name) for name in RECORDED])) for line in lines)
        return [("on", typed.form.on.text), *said]
    return None


def _digest(typed: ListTyped) -> str:
    """Stands for what saving would record."""
    return content_of(typed.of.buyer, _meant(typed) or [])[:16]


def _saved(typed: ListTyped) -> FormSaved:
    ctx, of = typed.ctx, typed.of
    context = ctx.context(typed.form.on.text)
    lines, _, wrong = typed.understood()
    if all_understood(lines) and ctx.typed.get("shown", now := _digest(typed)) != now:
        raise Refused("what was shown before", "a look at it as it is now", "quotes", says=CHANGED)
    if wrong:
        raise Refused(next(iter(wrong.values())), "an answer to each question", "quotes")
    recorded = save_list(ctx.book, context, of.buyer, lines)
    return FormSaved.of(ctx, recorded, f"/buyers/{of.buyer}")
