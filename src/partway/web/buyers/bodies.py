"""What is sent to record the trade: buyers, what they quote, hauls, tickets and what was paid."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from partway.actions.buyers.buyers import Terms
from partway.actions.haul.tickets import LineGiven
from partway.web.api.bodies import (
    Agreed,
    Body,
    BodyTable,
    Count,
    Km,
    Line,
    Mass,
    Money,
    Price,
    Text,
    Time,
    agreed,
    example,
)


class PostageTable(BodyTable):
    """A parcel of at most this mass."""

    up_to: Mass = Field(description="Its most mass.")
    cost: Money = Field(description="What it costs.")


class BuyerBody(Body, json_schema_extra=example({"buyer": "ridge-yard", "minutes": "25", "refuses": ["li-ion"]})):
    """A buyer is added, which needs its kind, or its terms change; what is not said stays as it was."""

    buyer: Line = Field(description="Its short name.")
    kind: Literal["yard", "mail-in", "drop-off", "tip"] | None = Field(None, description="What it is.")
    name: Line | None = Field(None, description="Its name for people to read.")
    km: Km | None = Field(None, description="By road from home, one way; a number alone is in km.")
    back_km: Km | None = Field(None, description="By road home, where that is another way; empty: the same.")
    at: Line | None = Field(None, description="Instead of a distance: degrees.", examples=["30.65, -40.57"])
    minutes: Time | None = Field(None, description="On site at each visit.")
    refuses: list[Line] | None = Field(None, max_length=100, description="Grades, families or hazards turned away.")
    shipping: list[PostageTable] | None = Field(None, max_length=50, description="Parcels, for a mail-in buyer.")
    note: Line | None = Field(None, description="Whom to ask for.")
    phone: Line | None = Field(None, description="Its telephone number; empty for none.", examples=["555-0142"])
    ticket_fee: Money | None = Field(None, description="What it keeps back of each ticket that pays; 0 for none.")
    ticket_share: Line | None = Field(
        None, description="The same as a share of what its lines pay, in percent; 0 for none.", examples=["2 %"]
    )
    open: list[Line] | None = Field(
        None, max_length=20, description="Its opening hours.", examples=[["mon-fri 08:00-16:30", "sat 08:00-12:00"]]
    )

    def terms(self) -> Terms:
        """The terms as the action takes them."""
        said = {name: value for name, value in self.given().items() if name not in {"buyer", "shipping"}}
        steps = None if self.shipping is None else [(step.up_to, step.cost) for step in self.shipping]
        return Terms(**said, shipping=steps)


class QuoteBody(Body, json_schema_extra=example({"buyer": "harbour-yard", "grade": "copper-2", "price": "4.10 /lb"})):
    """A price was heard."""

    buyer: Line = Field(description="From whom.")
    grade: Line = Field(description="For which grade.")
    price: Price = Field(description="The price; no ends it.")
    from_lot: Mass | None = Field(None, alias="from", description="A tier: the price of lots from this mass.")
    minimum: Mass | None = Field(None, description="The smallest lot.")
    piece: Mass | None = Field(None, description="What one piece weighs, for a price by the piece.")
    most: Line | None = Field(
        None, description="The most of it taken at one visit: a mass or pieces.", examples=["200 kg", "5 pieces"]
    )


class AnswerTable(BodyTable):
    """An answer to what a line of a price list asks."""

    position: Count = Field(description="The line.")
    answer: Line = Field(description="The answer of one of its choices, or another grade or price where it asks that.")


class ListBody(
    Body,
    json_schema_extra=example(
        {"buyer": "harbour-yard", "text": "no 2 copper 4.10, motors 38c, 304 stainless not taking"}
    ),
):
    """A price list, as it was dictated or pasted."""

    buyer: Line = Field(description="Whose it is.")
    text: Text = Field(description="What it says.", examples=["no 2 copper 4.10, motors 38c, 304 stainless not taking"])
    comma: bool = Field(False, description="Decimals come after a comma: 4,10.")
    answers: list[AnswerTable] = Field([], max_length=500, description="What its lines asked, in order.")


class StartBody(Body, json_schema_extra=example({"stops": ["harbour-yard", "ridge-yard"]})):
    """A haul sets out."""

    stops: list[Line] = Field(max_length=50, description="The buyers, in their order.")
    note: Line = Field("", description="Anything else.")


class FinishBody(Body, json_schema_extra=example({"km": "61", "minutes": "2 h 10"})):
    """A haul is over."""

    haul: Line | None = Field(None, description="Which; default the one under way.")
    km: Km | None = Field(None, description="Of the whole trip; a number alone is in km.")
    minutes: Time | None = Field(None, description="From setting out to the end.")
    note: Line = Field("", description="Anything else.")


class TicketLineTable(BodyTable):
    """A line as it is printed."""

    grade: Line = Field(description="The grade the yard paid.")
    mass: Mass = Field(description="The yard's net mass.")
    price: Price = Field(description="The price, with what it is per.")
    amount: Money | None = Field(None, description="The amount, where it is printed.")
    own: Mass | None = Field(None, description="Your own mass; all for the whole bin, yard for what the yard says.")
    bin: Line = Field("", description="The bin it came out of, where its grade is another.")


class DeductionTable(BodyTable):
    """Something taken off."""

    what: Line = Field(description="What it is.", examples=["dirt"])
    amount: Money = Field(description="How much.")


class TicketBody(
    Body,
    json_schema_extra=example(
        {"buyer": "harbour-yard", "lines": [{"grade": "motors-al", "mass": "13.1 lb", "price": "0.22 /lb"}]}
    ),
):
    """A ticket is recorded."""

    buyer: Line = Field(description="Who printed it.")
    lines: list[TicketLineTable] = Field(max_length=200, description="Its lines.")
    total: Money | None = Field(None, description="As printed; default what the lines make, its fee by the terms off.")
    deductions: list[DeductionTable] = Field([], max_length=50, description="What was taken off.")
    haul: Line | None = Field(None, description="On which haul.")
    number: Line = Field("", description="The number on it.")
    as_printed: Agreed = None

    def given(self) -> dict[str, Any]:
        """Lines as the action takes them."""
        lines = [LineGiven(**line.model_dump()) for line in self.lines]
        taken = [(one.what, one.amount) for one in self.deductions]
        answer = {"as_printed": agreed(self.as_printed)}
        return {**super().given(), "lines": lines, "deductions": taken, **answer}


class PaidBody(Body, json_schema_extra=example({"buyer": "harbour-yard", "amount": "9.33", "ticket": "ticket-16"})):
    """Money came in."""

    buyer: Line = Field(description="From whom.")
    amount: Money = Field(description="How much.")
    ticket: Line | None = Field(None, description="For which ticket; default the only open one.")
    how: Line = Field("", description="Cash, cheque, transfer.")
    as_printed: Agreed = None

    def given(self) -> dict[str, Any]:
        """The answer as yes or no."""
        return {**super().given(), "as_printed": agreed(self.as_printed)}
