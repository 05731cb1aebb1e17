"""The form of a kind of one's own: what it is called, what it comes apart into, what can hurt when it does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from partway.actions.bench.counts import counted
from partway.actions.recording import reading
from partway.actions.what.own_kinds import hazards_said, listed
from partway.catalogue import shipped
from partway.catalogue.plain import PlainKind, PlainPiece
from partway.catalogue.reading.forms import NOTE
from partway.catalogue.seen import LEAST_MINUTES, MINUTES_SPREAD, SPREAD, pooled
from partway.errors import Refused
from partway.things.anatomy import SaleAs
from partway.things.estimate import Estimate
from partway.things.traits import plain_name
from partway.web.context import RequestContext
from partway.web.forms import ChoiceField, Form, LineField, TickField, Typed

FREE_ROWS = 4
AS_BEFORE = "as before"
KG = 1e-6  # of a milligram
# What can hurt about many things and shows in no grade: asked of whoever opened one. Others are typed by their names.
ASKED = ("mains", "capacitor", "live-on-battery", "springs", "sharp-edges", "glass", "heavy-lift")


class KindForm(Form):
    """What is said of the whole; rows of pieces and ticks of cautions are added to it."""

    name = LineField("Name")
    names = LineField("What else people say", "joined by commas; none a brand")
    note = LineField("What decides", "a sentence to read with one in the hand; may be left empty", most=NOTE)
    minutes = LineField("Minutes to open one", "such as 12; an hour and five is 65", mode="numeric")
    sells = ChoiceField("Sold whole as")
    others = LineField("What else can hurt", "cards by their ids, joined by commas")


@dataclass(frozen=True)
class KindRow:
    """One piece in the form; `known` is what it was called before, empty for one more."""

    known: str
    name: LineField
    count: LineField
    mass: LineField
    grade: ChoiceField


@dataclass(frozen=True)
class KindFilled:
    """The form with its rows and ticks, and the kind that it was filled in from."""

    form: KindForm
    rows: tuple[KindRow, ...]
    ticks: tuple[tuple[str, TickField], ...]
    was: PlainKind

    @property
    def more(self) -> bool:
        """Whether a piece was added, or tried to be."""
        return any(not row.known and (row.name.text or row.mass.text or row.mass.errors) for row in self.rows)


def kind_form(ctx: RequestContext, was: PlainKind, typed: Typed | None = None) -> KindFilled:
    """The form of a kind, as it stands or as typed."""
    grades = [(grade.id, grade.name) for grade in sorted(shipped().grades.values(), key=lambda grade: grade.name)]
    fields: dict[str, Any] = {}
    rows = range(1, len(was.pieces) + FREE_ROWS + 1)
    pieces: Mapping[int, PlainPiece] = dict(enumerate(was.pieces, start=1))
    for n in rows:
        fields[f"piece.{n}"] = LineField("Piece", default=pieces[n].name if n in pieces else "")
        fields[f"count.{n}"] = LineField(
            "How many", default=str(pieces[n].count) if n in pieces else "", mode="numeric"
        )
        said = _mass(ctx, pieces[n].mass) if n in pieces else ""
        fields[f"mass.{n}"] = LineField("Mass of one", default=said, mode="decimal")
        default = pieces[n].grade if n in pieces else ""
        fields[f"grade.{n}"] = ChoiceField("Sells as", choices=[("", "not known"), *grades], default=default)
    asked = tuple(dict.fromkeys((*was.hazards, *(one for one in ASKED if one in shipped().cautions))))
    for hazard in asked:
        fields[f"hurts.{hazard}"] = TickField(shipped().cautions[hazard].name, default=hazard in was.hazards)
    made: type[KindForm] = type("KindRows", (KindForm,), fields)
    form = made(
        typed, name=was.name, names=", ".join(was.names), note=was.note, minutes=f"{round(was.minutes.likely)}",
        sells=AS_BEFORE if was.sells else "",
    )  # fmt: skip
    before = [(AS_BEFORE, f"as before: {', '.join(sale.grade for sale in was.sells)}")] if was.sells else []
    form.sells.choices = [*before, ("", "not sold whole"), *grades]
    own: dict[str, Any] = {name: form[name] for name in fields}
    return KindFilled(
        form,
        tuple(
            KindRow(
                pieces[n].name if n in pieces else "",
                *(own[f"{name}.{n}"] for name in ("piece", "count", "mass", "grade")),
            )
            for n in rows
        ),
        tuple((hazard, own[f"hurts.{hazard}"]) for hazard in asked),
        was,
    )


def kind_said(ctx: RequestContext, filled: KindFilled) -> PlainKind:
    """The kind as it was filled in; what was not touched keeps its range. Raises Refused."""
    form, was = filled.form, filled.was
    ticked = [hazard for hazard, tick in filled.ticks if tick.data]
    return PlainKind(
        kind=was.kind,
        name=reading.text(form.name.text, "name") or was.name,
        pieces=_pieces(ctx, filled),
        minutes=_minutes(form.minutes.text, was.minutes),
        hazards=tuple(dict.fromkeys((*ticked, *hazards_said(form.others.text)))),
        names=listed(form.names.text, "names"),
        note=reading.text(form.note.text, "note", NOTE),
        sells=_sells(form.sells.text, was),
        lost=was.lost,
    )


def _pieces(ctx: RequestContext, filled: KindFilled) -> tuple[PlainPiece, ...]:
    found: dict[str, PlainPiece] = {}
    for n, row in enumerate(filled.rows):
        was = filled.was.pieces[n] if n < len(filled.was.pieces) else None
        piece = _piece(ctx, row, was, f"piece.{n + 1}", f"mass.{n + 1}", f"count.{n + 1}")
        if piece is not None and piece.id in found:
            raise Refused(f'"{piece.name}" twice', "each piece once, with how many there are", f"piece.{n + 1}")
        if piece is not None:
            found[piece.id] = piece
    return tuple(found.values())


def _piece(
    ctx: RequestContext, row: KindRow, was: PlainPiece | None, name: str, mass: str, count: str
) -> PlainPiece | None:
    """A piece as it was filled in; None for a row that is empty."""
    if not row.name.text and not row.mass.text:
        return None
    if not plain_name(row.name.text):
        raise Refused(f'"{row.name.text}"', "what the piece is, such as pump", name)
    if was is not None and row.mass.text == _mass(ctx, was.mass):
        weighs = was.mass
    else:
        weighs = pooled([reading.mass_mg(ctx.book, row.mass.text, mass) * KG], SPREAD)
    many = row.count.text or "1"
    named = was.id if was is not None and row.name.text == was.name else plain_name(row.name.text)
    grade = reading.grade(row.grade.text, "grade") if row.grade.text else ""
    return PlainPiece(named, reading.text(row.name.text, name), counted(many, count), weighs, grade)


def _minutes(text: str, was: Estimate) -> Estimate:
    if text == f"{round(was.likely)}":
        return was
    return pooled([max(reading.minutes(text, "minutes"), LEAST_MINUTES)], MINUTES_SPREAD)


def _sells(text: str, was: PlainKind) -> tuple[SaleAs, ...]:
    if text == AS_BEFORE:
        return was.sells
    return (SaleAs(reading.grade(text, "sells")),) if text else ()


def _mass(ctx: RequestContext, mass: Estimate) -> str:
    return ctx.show.say.kg(mass.likely)
