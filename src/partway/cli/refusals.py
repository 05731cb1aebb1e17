"""A refusal in the words of the command line: its field by option or argument, what helps first as a command."""

from __future__ import annotations

import click

from partway.actions.recording.questions import Asked
from partway.errors import HintName, Refused

HINTS: dict[HintName, str] = {
    "set": "first: partway set {of} ...",
    "recount": "first: partway recount {of} MASS",
    "refuses": "first: partway buyer {of} --refuses ...",
    "new-buyer": "first: partway buyer ID --kind yard|mail-in|drop-off|tip",
    "start-haul": "first: partway haul start BUYER ...",
    "start-round": 'first: partway round start --where "west streets"',
    "weigh": "if that is wrong: partway weigh {of} MASS",
    "finds": "partway today lists them",
    "events": "partway ledger lists them",
    "kinds": "partway kinds lists them",
    "grades": "partway grades lists them",
    "new-bin": "first: partway bin GRADE",
    "grade-of-piece": "write {of}=MASS:GRADE",
    "name-bin": "write @BIN behind it",
    "overwrite": "or --overwrite: the ledger that is there is kept beside the new one",
    "own-kind": "or --unknown, which says that it is a thing of its own",
    "own-mass": "write it behind a tilde: ~MASS, ~all or ~yard",
}
# What an action calls a field where no parameter of a command goes by that name.
OTHERWISE = {"from": "source", "shipping": "postage", "air": "in_air", "hanging": "in_water"}


def in_words(refused: Refused, command: click.Command) -> str:
    """The message of a refusal, as somebody who typed that command reads it."""
    parameter = _parameter(command, refused.field)
    text = str(refused)
    if parameter is not None:
        text = f"{_spelled(parameter)}{text.removeprefix(refused.field)}"
    more = [hint for hint in (_answer(refused, command), _hint(refused)) if hint]
    return "; ".join([text.removesuffix("."), *more]) if more else text


def command_of(group: click.Group, arguments: list[str]) -> click.Command:
    """The command that arguments name; the group itself where they name none."""
    found: click.Command = group
    for word in arguments:
        if not isinstance(found, click.Group):
            break
        inner = None if word.startswith("-") else found.get_command(click.Context(found), word)
        if inner is None:
            break
        found = inner
    return found


def _hint(refused: Refused) -> str:
    return HINTS[refused.hint.name].format(of=refused.hint.of) if refused.hint else ""


def _answer(refused: Refused, command: click.Command) -> str:
    """The option that answers a question, where it is another than that of the field asked about."""
    if not isinstance(refused, Asked) or not refused.choices or refused.option == refused.field:
        return ""
    option = _parameter(command, refused.option)
    if not isinstance(option, click.Option):
        return ""
    answers = "" if option.is_flag else f" {'|'.join(answer for answer, _ in refused.choices)}"
    return f"or {_spelled(option)}{answers}"


def _parameter(command: click.Command, field: str) -> click.Parameter | None:
    """The option or argument of a field: by the name of either, else by what another field is called here."""
    for name in (field, OTHERWISE.get(field, field)):
        for parameter in command.params:
            if name in _names(parameter):
                return parameter
    return None


def _names(parameter: click.Parameter) -> set[str]:
    """What fields it may stand for; none for an argument that is shown as a list or a choice, not by a name."""
    if isinstance(parameter, click.Option):
        return {str(parameter.name), *(option.lstrip("-").replace("-", "_") for option in parameter.opts)}
    shown = parameter.human_readable_name
    return {str(parameter.name), shown.lower()} if shown.isidentifier() else set()


def _spelled(parameter: click.Parameter) -> str:
    """As the help page has it: --mass, or MASS for an argument."""
    return max(parameter.opts, key=len) if isinstance(parameter, click.Option) else parameter.human_readable_name
