"""Options that are numbers, heard as people say them: `--wage "twelve fifty"`, `--bench "six and a half"`."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import click


class _Said(click.ParamType):  # type: ignore[type-arg]  # not generic in older versions of click
    """A plain number at once; anything else by the reader of spoken numbers, which is imported only then."""

    reader = "number_said"

    def said(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        """The number. Fails with what was understood up to where."""
        from partway.actions.recording import said_amounts
        from partway.errors import BadQuantity

        try:
            number: Decimal = getattr(said_amounts, self.reader)(str(value), "number")
        except BadQuantity as refused:
            self.fail(f"got {refused.given}; expected {refused.expected}", param, ctx)
        return number


class SaidNumber(_Said, click.FloatRange):
    """A number within bounds."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it."""
        try:
            float(value)
        except ValueError:
            value = float(self.said(value, param, ctx))
        return click.FloatRange.convert(self, value, param, ctx)


class WageInWords(float):
    """What an hour is worth, with the words, in which money may be named: "12 pounds"."""

    words = ""


class SaidWage(SaidNumber):
    """What an hour is worth."""

    reader = "wage_said"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it, and keep its words until it is known what is counted in (`wage_in`)."""
        wage = WageInWords(super().convert(value, param, ctx))
        wage.words = str(value)
        return wage


def wage_in(currency: str, wage: float | None) -> float | None:
    """A wage as a number. Raises Refused where it was said in other money than the one that is counted in."""
    if not isinstance(wage, WageInWords):
        return wage
    if _is_number(wage.words):
        return float(wage)
    from partway.actions.recording.said_amounts import wage_said
    from partway.spoken import Hearing

    return float(wage_said(wage.words, "wage", Hearing(currency)))


def wage_words(wage: float | None) -> tuple[float | str | None, str]:
    """A wage as a calculator takes it, in words where it was said so, and then what the ledger counts in, if one is
    there.
    """
    if not isinstance(wage, WageInWords) or _is_number(wage.words):
        return wage, ""
    from partway.cli.context import CommandContext
    from partway.ledger.fold.standing import settings

    return wage.words, settings(CommandContext(None, as_json=False, makes=True).book_or_none).get("currency", "")


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


class SaidHours(SaidNumber):
    """Hours, also as a length of time."""

    reader = "hours_said"


class SaidCount(_Said, click.IntRange):
    """A whole number within bounds."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it."""
        try:
            int(value)
        except ValueError:
            said = self.said(value, param, ctx)
            if said % 1:
                self.fail(f"got {value!r}; expected a whole number", param, ctx)
            value = int(said)
        return click.IntRange.convert(self, value, param, ctx)
