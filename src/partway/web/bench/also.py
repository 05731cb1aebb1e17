"""What else is recorded of a find, each with its form: `ALSO` lists them as they stand on its page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from partway.actions.bench import finds, listing, selling
from partway.actions.bench.counts import counted
from partway.actions.recording.context import Recorded
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.offers import asking_words
from partway.valuing.learned.offers import expected_of
from partway.web.bench.forms import WHEN
from partway.web.context import RequestContext
from partway.web.forms import ChoiceField, Form, LineField


class Also(Form):
    """A form on the page of a find. `NAME` ends its address, `TITLE` opens it, `ROWS` are its fields side by side.

    `NAMES` maps what the action calls a field to its name here. One that is `OFFERED` is about what is on offer: it
    stands there where something is.
    """

    NAME: ClassVar[str]
    TITLE: ClassVar[str]
    BUTTON: ClassVar[str]
    ROWS: ClassVar[tuple[tuple[str, ...], ...]] = (("mass",),)
    TEXT: ClassVar[str] = ""
    OFFERED: ClassVar[bool] = False
    NAMES: ClassVar[Mapping[str, str]] = {}

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """Record what was typed."""
        raise NotImplementedError

    def advise(self, ctx: RequestContext, now: FindNow) -> str:
        """What to know before it is filled in."""
        return self.TEXT

    @property
    def rows(self) -> list[list[Any]]:
        """Its fields."""
        return [[self[name] for name in row] for row in self.ROWS]

    @property
    def begun(self) -> bool:
        """Whether somebody came here to fill it in."""
        return bool(self.problem or self.wrong or self.question)


class WeighForm(Also):
    """A find on the scale."""

    NAME, TITLE, BUTTON = "weigh", "Put it on the scale", "Weighed"

    mass = LineField("On the scale now", "all that is left of it, such as 28.4 lb", mode="decimal")

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """What all that is left of it weighs."""
        return finds.weigh(ctx.book, ctx.context(), find_id, self.mass.text, self.agreed("sure"))


class SellForm(Also):
    """A part, or all of it, sold to somebody who is not among the buyers."""

    NAME, TITLE, BUTTON = "sell", "Sold as a part", "Sold"
    ROWS = (("what",), ("price", "count"), ("fee", "postage"), ("minutes", "mass"), ("on",))
    NAMES: ClassVar[Mapping[str, str]] = {"part": "what"}

    what = ChoiceField("What")
    count = LineField("How many", mode="numeric")
    price = LineField("Price each", mode="decimal")
    fee = LineField("Fee of all", "what the place it sold at keeps", mode="decimal")
    postage = LineField("Postage of all", mode="decimal")
    mass = LineField("What it weighs", "needed while more is left of a weighed find", mode="decimal")
    minutes = LineField("Minutes", "to list, pack and hand over", mode="numeric")
    on = LineField("When", WHEN)

    @property
    def begun(self) -> bool:
        """Also where a part was chosen."""
        return super().begun or bool(self.what.data)

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """A part of it, or all of it, sold by the unit."""
        return selling.sell(
            ctx.book,
            ctx.context(self.on.text),
            find_id,
            self.price.text,
            self.what.text,
            counted(self.count.text or "1", "count"),
            self.mass.text or None,
            self.fee.text or "0",
            self.postage.text or "0",
            self.minutes.text or 0,
        )


class OfferForm(Also):
    """A part, or all of it, put on offer."""

    NAME, TITLE, BUTTON = "list", "Put it on offer", "List it"
    ROWS = (("what",), ("asking", "count"), ("where", "minutes"), ("on",))
    NAMES: ClassVar[Mapping[str, str]] = {"part": "what"}

    what = ChoiceField("What")
    count = LineField("How many", mode="numeric")
    asking = LineField("Asking, each", mode="decimal")
    where = LineField("Where", "in your own words")
    minutes = LineField("Minutes", "to photograph it and write the offer", mode="numeric")
    on = LineField("When", WHEN)

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """On offer from now on."""
        count = counted(self.count.text or "1", "count")
        said = self.where.text, "", "", self.minutes.text or 0
        return listing.put_on_offer(
            ctx.book, ctx.context(self.on.text), find_id, self.asking.text, self.what.text, count, *said
        )

    def advise(self, ctx: RequestContext, now: FindNow) -> str:
        """What to ask, by what one got before."""
        known = ctx.catalogue.anatomy(now.kind) if ctx.catalogue.knows(now.kind) else None
        found = expected_of(ctx.book, now.kind, known.whole.id, now.works, ctx.now) if known else None
        return "" if found is None else f"Whole: {asking_words(found, ctx.show.money)}"


class RepriceForm(Also):
    """Less asked for what is on offer."""

    NAME, TITLE, BUTTON, OFFERED = "reprice", "Ask another price", "Ask this", True
    ROWS = (("listing",), ("asking",))

    listing = ChoiceField("Which")
    asking = LineField("Asking now, each", mode="decimal")

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """Another price from now on."""
        return listing.reprice(ctx.book, ctx.context(), self.listing.text, self.asking.text)


class TakeDownForm(Also):
    """What did not sell is taken down."""

    NAME, TITLE, BUTTON, OFFERED = "take-down", "Take it down", "Take it down", True
    ROWS = (("listing",),)

    listing = ChoiceField("Which")

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """On offer no longer."""
        return listing.take_down(ctx.book, ctx.context(), self.listing.text)


class DiscardForm(Also):
    """A find given up."""

    NAME, TITLE, BUTTON = "discard", "Give up what is left", "Give it up"
    TEXT = "All that is left becomes residue. What can hurt in it still has to go where it is taken."

    mass = LineField("What it weighs", "where it was never weighed", mode="decimal")

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """Given up: what is left becomes residue."""
        return selling.discard(ctx.book, ctx.context(), find_id, self.mass.text or None)


ALSO: tuple[type[Also], ...] = (WeighForm, OfferForm, RepriceForm, TakeDownForm, SellForm, DiscardForm)
