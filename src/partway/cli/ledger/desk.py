"""What the ledger's commands share: whose book, who says so, when, and how the answer is written."""

from __future__ import annotations

import datetime as dt
import functools
import json
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, TypeVar

import click

from partway.cli.common import json_option, workspace_option
from partway.errors import Refused

if TYPE_CHECKING:
    from partway.actions.ledger.context import Context, Recorded
    from partway.storage.store import SqlBook

F = TypeVar("F", bound=Callable[..., Any])

who_option = click.option("--who", metavar="NAME", help="Who says so; default $PARTWAY_WHO or your user name.")
on_option = click.option("--on", metavar="WHEN", help='When it happened: yesterday, 2026-03-14, "2026-03-14 15:30".')
yes_option = click.option("--yes", is_flag=True, help="Ask nothing: what is not clear is refused with the question.")


@dataclass
class Desk:
    """One command at work on one book."""

    workspace: str | None
    as_json: bool
    who: str | None = None
    on: str | None = None
    yes: bool = False
    makes: bool = False

    @functools.cached_property
    def book(self) -> SqlBook:
        """The workspace's book; made where there is none only to record something in it."""
        from partway.storage.workspace import open_workspace

        if not self.makes:
            _check_there(self.workspace)
        book = open_workspace(self.workspace)
        click.get_current_context().call_on_close(book.close)
        return book

    @functools.cached_property
    def context(self) -> Context:
        """Who, when and the ids of new events."""
        from partway.actions.ledger.context import Context, when
        from partway.ledger.ids import new_id

        now = dt.datetime.now().astimezone()
        return Context(
            who=self.who or os.environ.get("PARTWAY_WHO") or user_name(),
            clock=lambda: dt.datetime.now().astimezone(),
            new_id=new_id,
            happened=None if self.on is None else when(self.on, now),
            mark=os.environ.get("PARTWAY_MARK", ""),
        )

    @property
    def may_ask(self) -> bool:
        """Whether somebody is there to answer."""
        return not self.yes and not self.as_json and sys.stdin.isatty()

    def record(self, action: Callable[..., Recorded[Any]], *args: Any, **options: Any) -> None:
        """Run an action, asking what it asks where somebody is there, and tell what was recorded."""
        self.tell(self.answered(action, args, options))

    def answered(
        self, action: Callable[..., Recorded[Any]], args: tuple[Any, ...], options: dict[str, Any], **more: Any
    ) -> Recorded[Any]:
        """What an action recorded, its questions asked where somebody is there; answers are kept in `options`."""
        from partway.actions.ledger.asked import Asked

        while True:
            try:
                return action(self.book, self.context, *args, **options, **more)
            except Asked as question:
                if not self.may_ask or not question.choices:
                    raise
                options[question.option] = answered(question.given, question.choices)

    def tell(self, recorded: Recorded[Any]) -> None:
        """What was recorded, and how to take it back."""
        if self.as_json:
            from partway.actions.ledger.saved import saved

            as_json(asdict(saved(recorded)))
            return
        self.show(recorded)
        if recorded.undo:
            click.echo(f"  take it back: partway correct {' '.join(str(i)[-8:] for i in recorded.undo)}")

    def show(self, recorded: Recorded[Any], *, err: bool = False) -> None:
        """What was recorded, or would be, in lines."""
        from partway.actions.ledger.said import Say, said

        for line in said(recorded.told, Say.of(self.book)):
            click.echo(line, err=err)


def answered(given: str, choices: tuple[tuple[str, str], ...]) -> str | bool:
    """The answer of somebody at the terminal; one choice is a yes or no."""
    click.echo(given, err=True)
    if len(choices) == 1:
        answer, means = choices[0]
        if not click.confirm(f"  {means}?", err=True):
            raise click.Abort
        return True if answer == "yes" else answer
    for answer, means in choices:
        click.echo(f"  {answer:8} {means}", err=True)
    chosen: str = click.prompt("  which", type=click.Choice([answer for answer, _ in choices]), err=True)
    return chosen


def as_json(data: Mapping[str, Any] | list[Any]) -> None:
    """JSON on stdout; money as exact text."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False, default=str))


def recording(command: F) -> F:
    """Adds the options of a command that records something; it gets a Desk as `desk`."""
    return _desked(command, (json_option, yes_option, on_option, who_option, workspace_option), makes=True)


def looking(command: F) -> F:
    """Adds the options of a command that only looks; it gets a Desk as `desk`."""
    return _desked(command, (json_option, workspace_option), makes=False)


def _desked(command: F, options: tuple[Callable[[Any], Any], ...], *, makes: bool) -> F:
    @functools.wraps(command)
    def with_desk(*args: Any, **values: Any) -> Any:
        named = {name: values.pop(name) for name in ("workspace", "as_json", "who", "on", "yes") if name in values}
        return command(*args, desk=Desk(**named, makes=makes), **values)

    wrapped: Any = with_desk
    for option in options:
        wrapped = option(wrapped)
    result: F = wrapped
    return result


def _check_there(workspace: str | None) -> None:
    """Refuses to look into a folder that holds no ledger; a server says itself what it has."""
    from partway.storage.refusals import BadLedger
    from partway.storage.workspace import ledger_file

    try:
        file = ledger_file(workspace)
    except BadLedger:
        return
    if not file.exists():
        expected = f"a {file.name} in it; partway find KIND begins one, partway demo --workspace DIR makes one up"
        raise Refused("a workspace without a ledger", expected, str(file.parent))


def user_name() -> str:
    """What the system calls whoever runs this."""
    import getpass

    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # a user without a name
        return "somebody"
