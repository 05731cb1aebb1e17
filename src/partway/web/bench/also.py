"""What else is recorded of a find, each with its form: `ALSO` lists them as they stand on its page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from partway.actions.bench import finds, selling
from partway.actions.bench.counts import counted
from partway.actions.recording.context import Recorded
from partway.web.bench.forms import WHEN
from partway.web.context import RequestContext
from partway.web.forms import ChoiceField, Form, LineField


class Also(Form):
    """A form on the page of a find. `NAME` ends its address, `TITLE` opens it, `ROWS` are its fields side by side.

    `NAMES` maps what the action calls a field to its name here.
    """

    NAME: ClassVar[str]
    TITLE: ClassVar[str]
    BUTTON: ClassVar[str]
    ROWS: ClassVar[tuple[tuple[str, ...], ...]] = (("mass",),)
    TEXT: ClassVar[str] = ""
    NAMES: ClassVar[Mapping[str, str]] = {}

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """Record what was typed."""
        raise NotImplementedError

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


class DiscardForm(Also):
    """A find given up."""

    NAME, TITLE, BUTTON = "discard", "Give up what is left", "Give it up"
    TEXT = "All that is left becomes residue. What can hurt in it still has to go where it is taken."

    mass = LineField("What it weighs", "where it was never weighed", mode="decimal")

    def record(self, ctx: RequestContext, find_id: str) -> Recorded[Any]:
        """Given up: what is left becomes residue."""
        return selling.discard(ctx.book, ctx.context(), find_id, self.mass.text or None)


ALSO: tuple[type[Also], ...] = (WeighForm, SellForm, DiscardForm)
