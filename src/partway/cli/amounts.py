"""Commands that take amounts: one below zero is an amount and no option, without `--` before it."""

from __future__ import annotations

import re
from typing import Any

import click

NEGATIVE = re.compile(r"-[$€£¥]?[0-9.,]")  # no option of a command begins so


class AmountCommand(click.Command):
    """A command of which an argument may be below zero: `partway quote harbour tube-whole -5`."""

    def make_parser(self, ctx: click.Context) -> Any:
        """The parser, which hands on what begins like a negative number as it does any other argument."""
        parser: Any = super().make_parser(ctx)
        options = parser._process_opts

        def arguments_too(arg: str, state: Any) -> None:
            if NEGATIVE.match(arg):
                state.largs.append(arg)
            else:
                options(arg, state)

        parser._process_opts = arguments_too
        return parser
