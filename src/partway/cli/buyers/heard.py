"""A price as it is said in a price list, where a command takes one: "four ten", "38c", 410."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import click

from partway.cli.context import CommandContext

if TYPE_CHECKING:
    from partway.ledger.book import Book

BELOW_ZERO = re.compile(r"-\s*[0-9.,]+")


def price_heard(ctx: CommandContext, buyer: str, grade: str, given: str, *, printed: bool = False) -> str:
    """The price of a grade as an action takes it. Raises Refused, Asked where nobody is there to say which it is.

    What is written whole stays as it is, and so does a bare number that is `printed` or below zero: it is per one of
    the workspace's unit. Anything else is read, and asked about, as a line of a price list.
    """
    from partway.actions.buyers.quoting import NOT_TAKEN

    text = given.strip()
    bare = printed or bool(BELOW_ZERO.fullmatch(text))
    if text.lower() in NOT_TAKEN or _whole(ctx.book_or_none, text, bare=bare):
        return text
    return _as_a_line(ctx, buyer, grade, text)


def with_unit(book: Book, given: str) -> str:
    """A bare price per one of the workspace's unit; anything else as it is."""
    from partway.actions.recording import reading

    return reading.price(book, given, "price")


def _whole(book: Book, text: str, *, bare: bool) -> bool:
    """Whether the action takes it as it is written."""
    from partway.actions.recording import reading
    from partway.actions.recording.heard import is_plain
    from partway.errors import Refused

    try:
        return is_plain(with_unit(book, text) if bare else reading.pointed(book, text, "price"), reading.currency(book))
    except Refused:
        return False


def _as_a_line(ctx: CommandContext, buyer: str, grade: str, text: str) -> str:
    from partway.actions.buyers.heard import asked_of, price_line
    from partway.actions.buyers.price_lists import price_of
    from partway.cli.buyers.list_page import asked_all

    line = price_line(ctx.book_or_none, buyer, grade, text)
    if line.question:
        if not ctx.may_ask:
            raise asked_of(line, text)
        lines = asked_all([line])
        if not lines:
            raise click.Abort
        line = lines[0]
    return price_of(line)
