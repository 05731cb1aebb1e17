"""A distance as an option: its name says the unit of a number alone, so that a script means the same everywhere."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


def distance_options(said: str) -> Callable[[F], F]:
    """Adds `--km` and `--mi`, of which one may be given; the command gets `km`, a text that names its unit."""

    def add(command: F) -> F:
        @functools.wraps(command)
        def with_one(*args: Any, km: str | None, mi: str | None, **values: Any) -> Any:
            if km is not None and mi is not None:
                raise click.UsageError(f'--km "{km}" and --mi "{mi}": give one of them')
            return command(*args, km=_named(km, "km") if mi is None else _named(mi, "mi"), **values)

        wrapped: Any = with_one
        wrapped = click.option("--mi", metavar="MI", help="The same in miles.")(wrapped)
        result: F = click.option("--km", metavar="KM", help=f'{said} A unit may be said: "12 mi".')(wrapped)
        return result

    return add


def _named(text: str | None, unit: str) -> str | None:
    from partway.actions.home.distances import in_unit

    return None if text is None or not text.strip() else in_unit(text, unit)
