"""A new buyer, and a buyer's terms as they are typed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.recording import reading
from partway.distances import distance_number
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.events.kinds import Traded
from partway.quantities import mg_text, plain_text
from partway.things.buyers import share_text
from partway.things.units import ShownUnits
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, DistanceField, Form, LineField, TextField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
KINDS = (
    ("yard", "yard: you drive there, it weighs and pays"),
    ("mail-in", "mail-in: you send parcels"),
    ("drop-off", "drop-off: takes things, often without pay"),
    ("tip", "tip: takes residue for a fee"),
)
NAMES = {"shipping": "parcels"}  # what the action calls a field, and its name here
HOURS = "such as mon-fri 08:00-16:30; sat 08:00-12:00"


class TermsForm(Form):
    """What a buyer is and asks for."""

    name = LineField("Name", "as you call it")
    kind = ChoiceField("What it is", look="buttons")
    km = DistanceField("Road {far} from home, one way", "such as 14; not for mail-in", mode="decimal")
    back_km = DistanceField("Road {far} back", "only where it is not the way there", mode="decimal")
    at = LineField("Or where it lies", "latitude, longitude in degrees, such as 30.65, -40.57")
    minutes = LineField("Time on site", "at each visit, such as 20 or 1:15")
    open = LineField("Opening hours", HOURS, most=400)
    phone = LineField("Phone", "such as 555-0142; the page of the buyer then calls it", mode="tel")
    note = LineField("Note", "whom to ask for, holidays")
    refuses = LineField(
        "Turns away", "grades, families or hazards, such as li-ion, copper-light; a comma between", most=2000
    )
    ticket_fee = LineField("Fee a ticket", "kept back of each ticket that pays, such as 5", mode="decimal")
    ticket_share = LineField("Share of a ticket", "kept back of what its lines pay, such as 2 %")
    parcels = TextField(
        "Parcels", "mail-in only, a line each: up to which mass = what it costs, such as 10 lb = 14", most=2000
    )


class NewBuyerForm(TermsForm):
    """A buyer to add."""

    id = LineField("Short name", "letters, digits and hyphens; empty to make one from the name")


@dataclass(frozen=True, kw_only=True)
class NewBuyerPage(Page):
    """A buyer to add."""

    template: ClassVar[str] = "buyers/new.html"
    place: ClassVar[str] = "buyers"
    form: NewBuyerForm


@router.get("/buyers/new")
def new_buyer_page(ctx: At, kind: str = "") -> Response:
    """A buyer to fill in; of a kind that was chosen before."""
    return render(ctx, _new(NewBuyerForm(None, kind=kind if kind in dict(KINDS) else "")))


@router.post("/buyers/new")
def new_buyer(ctx: At) -> Response:
    """Add a buyer."""
    form = NewBuyerForm(ctx.typed)
    return save_form(ctx, form, lambda: _added(ctx, form), lambda: _new(form), {**NAMES, "buyer": "id"})


def _new(form: NewBuyerForm) -> NewBuyerPage:
    form.kind.choices = list(KINDS)
    return NewBuyerPage(title="A new buyer", form=form)


def _added(ctx: RequestContext, form: NewBuyerForm) -> FormSaved:
    short = reading.slug(form.id.text or form.name.text, "buyer")
    if short in trading.buyers(ctx.book) or short == "new":
        raise Refused(f'"{short}"', "another short name: this one is taken", "buyer")
    if not form.kind.text:
        raise Refused("nothing", "what sort of buyer it is", "kind")
    recorded = buyer(
        ctx.book, ctx.context(), short, terms_of({name: text for name, text in said_in(form).items() if text})
    )
    return FormSaved.of(ctx, recorded, f"/buyers/{short}")


def said_in(form: Form) -> dict[str, str]:
    """What stands in each field, by its name."""
    return {f.short_name: str(f.data or "").strip() for f in form}


def as_typed(of: Traded, units: ShownUnits) -> dict[str, str]:
    """What stands, as it would be typed."""
    return {
        "name": of.name,
        "kind": of.kind,
        "km": "" if of.km is None else distance_number(of.km, units.distance),
        "back_km": "" if of.back_km is None else distance_number(of.back_km, units.distance),
        "at": "" if of.at is None else f"{plain_text(of.at[0])}, {plain_text(of.at[1])}",
        "minutes": str(of.minutes),
        "open": "; ".join(of.open),
        "phone": of.phone,
        "note": of.note,
        "refuses": ", ".join(of.refuses),
        "ticket_fee": plain_text(of.ticket_fee) if of.ticket_fee else "",
        "ticket_share": share_text(of.ticket_share) if of.ticket_share else "",
        "parcels": "\n".join(f"{mg_text(step.up_to_mg, units.mass)} = {plain_text(step.cost)}" for step in of.shipping),
    }


def terms_of(said: Mapping[str, str]) -> Terms:
    """Terms with those fields only that are said. Raises Refused."""
    return Terms(
        kind=said.get("kind"),
        name=said.get("name"),
        km=said.get("km"),
        back_km=said.get("back_km"),
        at=said.get("at"),
        minutes=said.get("minutes"),
        phone=said.get("phone"),
        note=said.get("note"),
        ticket_fee=said.get("ticket_fee"),
        ticket_share=said.get("ticket_share"),
        open=re.split(r"[;\n]", said["open"]) if "open" in said else None,
        refuses=_names(said["refuses"]) if "refuses" in said else None,
        shipping=_parcels(said["parcels"]) if "parcels" in said else None,
    )


def _names(text: str) -> list[str]:
    return [name.strip() for name in re.split(r"[,;\n]", text) if name.strip()]


def _parcels(text: str) -> list[tuple[str, str]]:
    steps = []
    for line in filter(None, (line.strip() for line in text.splitlines())):
        mass, equals, cost = line.partition("=")
        if not equals:
            raise Refused(f'"{line[:60]}"', "a mass and what a parcel of it costs, such as 10 lb = 14", "shipping")
        steps.append((mass.strip(), cost.strip()))
    return steps
