"""What is sent to record the work at the bench: finds, what comes out of them, bins."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from partway.actions.bench.answering import AnswerGiven
from partway.actions.bench.pieces import PieceGiven
from partway.web.api.bodies import (
    Agreed,
    Body,
    BodyTable,
    Count,
    Line,
    Mass,
    Money,
    Time,
    Works,
    agreed,
    example,
)

Has = Literal["", "yes", "no", "unknown"]


class FindBody(Body, json_schema_extra=example({"kind": "microwave", "mass": "13.2 kg", "source": "maple street"})):
    """A find comes in."""

    kind: Line = Field(
        description="A kind, as /api/kinds lists them, or a name that is its alone; any other is asked about."
    )
    count: Count = Field(1, description="How many alike.")
    mass: Mass | None = Field(None, description="What all of them weigh together.")
    works: Works = Field("unknown", description="Does it work.")
    source: Line = Field("", description="Where it comes from.")
    note: Line = Field("", description="Anything else.")
    photo: Line = Field("", description="Where its photo lies.")
    model: Line = Field("", description="The maker's model number, as printed on it.")
    mostly: Line = Field("", description="What a thing that no kind is mostly is: steel, plastic-motor, screws ...")
    cord: Has = Field("", description="Whether such a thing has a cord.")
    motor: Has = Field("", description="Whether it has a motor.")
    battery: Has = Field("", description="Whether it has a battery.")
    own: bool = Field(False, description="It is none of the kinds whose names are near.")
    sure: Agreed = None
    signs: Line = Field("", description="What shows of whether it works, such as cord-cut -boxed (not boxed).")
    round: Line | None = Field(None, description="The collecting round; default the one that whoever says so is on.")

    def given(self) -> dict[str, Any]:
        """The answer as yes or no."""
        return {**super().given(), "sure": agreed(self.sure)}


class TestBody(Body, json_schema_extra=example({"find": "microwave-13", "works": "no"})):
    """A find is tested."""

    __test__ = False  # no test of pytest's

    find: Line = Field(description="The find, such as microwave-3.")
    works: Works = Field(description="Does it work.")


class WeighBody(Body, json_schema_extra=example({"find": "router-9", "mass": "640 g"})):
    """A find is put on the scale."""

    find: Line = Field(description="The find.")
    mass: Mass = Field(description="What all that is left of it weighs.")
    sure: Agreed = None

    def given(self) -> dict[str, Any]:
        """The answer as yes or no."""
        return {**super().given(), "sure": agreed(self.sure)}


class PieceTable(BodyTable):
    """Pieces of one sort, weighed together."""

    piece: Line = Field(
        description="The piece, as /api/kinds/{kind} names it; whole for the find as it is. An answer to the question "
        "about a piece is a name of that piece, too: it chooses the grade."
    )
    mass: Mass = Field(description="What they weigh together.")
    count: Count = Field(1, description="How many.")
    grade: Line = Field("", description="The grade; default the only one it sells as. residue: nobody takes it.")
    bin: Line = Field("", description="The bin; default the one of the grade.")


class SeenTable(BodyTable):
    """What so many of a piece turned out to be."""

    piece: Line = Field(description="A piece that is asked about, as /api/kinds/{kind} names it.")
    answer: Line = Field(description="The answer: its id, or as it is said in words.")
    count: Count = Field(1, description="How many.")


class OpenBody(
    Body,
    json_schema_extra=example(
        {
            "find": "stereo-receiver-2",
            "operations": ["cover-off"],
            "minutes": "9",
            "pieces": [{"piece": "cord", "mass": "0.3 kg"}],
            "gap": "left",
        }
    ),
):
    """A find is opened."""

    find: Line = Field(description="The find.")
    pieces: list[PieceTable] = Field([], max_length=200, description="What came out of it, weighed.")
    operations: list[Line] = Field([], max_length=200, description="The operations that were run.")
    minutes: Time = Field("0", description="How long it took.")
    residue: Mass | None = Field(None, description="What nobody takes.")
    loss: Mass | None = Field(None, description="What is gone.")
    gap: Literal["loss", "residue", "left", "scale"] | None = Field(
        None, description="What the mass is that does not add up; the answer to a question that was asked."
    )
    count: Count | None = Field(
        None, description="How many of several alike; default as many as the masses fit, asked where that is not plain."
    )
    answers: list[SeenTable] = Field(
        [], max_length=200, description="What pieces turned out to be that are asked about; learned from."
    )
    sure: Agreed = None
    instead: Line = Field("", description="The id of an opening that this one puts right; that one no longer counts.")

    def given(self) -> dict[str, Any]:
        """Pieces and answers as the action takes them."""
        pieces = [PieceGiven(**piece.model_dump()) for piece in self.pieces]
        answers = [AnswerGiven(**one.model_dump()) for one in self.answers]
        return {**super().given(), "pieces": pieces, "answers": answers, "sure": agreed(self.sure)}


class SellBody(Body, json_schema_extra=example({"find": "speaker-8", "price": "25.00", "minutes": "15"})):
    """A find, or a part of it, is sold by the unit."""

    find: Line = Field(description="The find.")
    price: Money = Field(description="The price of each.")
    what: Line = Field("", alias="part", description="The piece that was sold; default the whole find.")
    count: Count = Field(1, description="How many.")
    mass: Mass | None = Field(None, description="What they weigh together.")
    fee: Money = Field("0", description="What the place of sale took, of all together.")
    postage: Money = Field("0", description="What sending cost, of all together.")
    minutes: Time = Field("0", description="To list and pack.")
    listing: Line = Field("", description="The offer it was sold by; default its oldest.")


class OfferBody(Body, json_schema_extra=example({"find": "microwave-13", "asking": "35.00", "where": "the board"})):
    """A find, or a piece of it, is put on offer by the unit."""

    find: Line = Field(description="The find.")
    asking: Money = Field(description="What is asked for each.")
    what: Line = Field("", alias="piece", description="The piece on offer; default the whole find.")
    count: Count = Field(1, description="How many.")
    where: Line = Field("", description="Where it is offered, in your own words.")
    part: Line = Field("", alias="as", description="By which name of the catalogue, where the piece has several.")
    bin_id: Line = Field("", alias="bin", description="Where a piece lies that was taken out before.")
    minutes: Time = Field("0", description="To photograph it and write the offer.")
    note: Line = Field("", description="Anything else.")


class RepriceBody(Body, json_schema_extra=example({"listing": "microwave-13-offer-1", "asking": "28.00"})):
    """Another price is asked for what is on offer."""

    listing: Line = Field(description="The listing, or its find where that has one alone.")
    asking: Money = Field(description="What is asked for each from now on.")


class TakeDownBody(Body, json_schema_extra=example({"listing": "microwave-13-offer-1"})):
    """What did not sell is taken down."""

    listing: Line = Field(description="The listing, or its find where that has one alone.")
    count: Count | None = Field(None, description="How many; default all that are left.")
    note: Line = Field("", description="Why.")


class ReturnBody(Body, json_schema_extra=example({"sale": "speaker-8", "refund": "25.00"})):
    """Something sold comes back."""

    sale: Line = Field(description="Its listing, its find or the id of its entry.")
    refund: Money | None = Field(None, description="All the money that went back; default what it was sold for.")
    count: Count | None = Field(None, description="How many; default all of the sale.")
    postage: Money = Field("0", description="What sending it back cost.")
    bin_id: Line = Field("", alias="bin", description="Where it lies now; default in its find.")
    again: bool = Field(False, description="It is on offer again, by the listing it was sold by.")


class DiscardBody(Body, json_schema_extra=example({"find": "fan-13"})):
    """What is left of a find is given up."""

    find: Line = Field(description="The find.")
    mass: Mass | None = Field(None, description="What it weighs, where it was not weighed before.")


class BinBody(Body, json_schema_extra=example({"grade": "copper-2", "bin": "copper-2-shed", "capacity": "20 L"})):
    """A bin is added or changed."""

    grade: Line = Field(description="The grade it holds.")
    bin_id: Line = Field("", alias="bin", description="Its short name; default the grade.")
    name: Line = Field("", description="What is written on it.")
    capacity: Line | None = Field(None, description="What goes into it.", examples=["60 L", "5 US gal"])
    holds: Mass | None = Field(None, description="What was in it before this ledger began.")


class RecountBody(Body, json_schema_extra=example({"bin": "motors", "mass": "4.6 lb"})):
    """A bin is put on the scale."""

    bin_id: Line = Field(alias="bin", description="The bin.")
    mass: Mass = Field(description="What it holds, without the bin itself.")


class MoveBody(
    Body, json_schema_extra=example({"bin": "brass-taps", "to": "copper-2-shed", "mass": "0.1 kg", "regrade": "yes"})
):
    """Material goes from one bin to another."""

    bin_id: Line = Field(alias="bin", description="The bin it leaves.")
    to_bin: Line = Field(alias="to", description="The bin it goes to, or a grade, which makes a bin.")
    mass: Mass | None = Field(None, description="How much; default all.")
    regrade: Agreed = None

    def given(self) -> dict[str, Any]:
        """The answer as yes or no."""
        return {**super().given(), "regrade": agreed(self.regrade)}
