"""`partway kinds` and `partway grades`: the catalogue, to read at the bench."""

from __future__ import annotations

from dataclasses import asdict
from difflib import get_close_matches

import click

from partway.catalogue import Catalogue, shipped
from partway.cli.common import json_option, page, write_json
from partway.errors import Refused


@click.command("kinds")
@click.argument("kind", required=False)
@json_option
def kinds_command(kind: str | None, as_json: bool) -> None:
    """The kinds of finds partway knows; with KIND, what it is made of and how it comes apart.

    Masses and minutes are estimates, low to high, from memory unless a source is named.
    """
    catalogue = shipped()
    if kind is None:
        _all_kinds(catalogue, as_json)
        return
    if not catalogue.knows(kind):
        _known(kind, catalogue.kinds, "partway kinds")
    anatomy = catalogue.anatomy(kind)
    if as_json:
        write_json(_plain(anatomy))
        return
    from partway.cli.what.anatomy_page import show_anatomy

    show_anatomy(page(), anatomy, catalogue)


def _all_kinds(catalogue: Catalogue, as_json: bool) -> None:
    anatomies = catalogue.all_anatomies()
    if as_json:
        write_json([_plain(anatomy) for anatomy in anatomies])
        return
    from partway.cli.what.anatomy_page import show_kinds

    show_kinds(page(), anatomies, catalogue)


@click.command("grades")
@click.argument("grade", required=False)
@click.option("--family", help="Only one family, such as copper.", metavar="FAMILY")
@json_option
def grades_command(grade: str | None, family: str | None, as_json: bool) -> None:
    """The grades buyers price; with GRADE, what qualifies, what spoils it and what it may be sold as instead.

    Ratios are to No. 2 copper at the same yard on the same day: a prior, never a price.
    """
    catalogue = shipped()
    from partway.cli.what.anatomy_page import show_grade, show_grades

    if grade is not None:
        _known(grade, tuple(catalogue.grades), "partway grades")
        chosen = catalogue.grades[grade]
        write_json(_plain(chosen)) if as_json else show_grade(page(), chosen, catalogue)
        return
    families = tuple(dict.fromkeys(g.family for g in catalogue.grades.values()))
    if family is not None:
        _known(family, families, "partway grades")
    grades = [g for g in catalogue.grades.values() if family in (None, g.family)]
    write_json([_plain(g) for g in grades]) if as_json else show_grades(page(), grades, catalogue)


def _known(name: str, known: tuple[str, ...], where: str) -> None:
    if name not in known:
        closest = get_close_matches(name, known, n=1)
        hint = f', such as "{closest[0]}"' if closest else ""
        raise Refused(f'"{name}"', f"one that `{where}` lists{hint}", where)


def _plain(thing: object) -> dict[str, object]:
    data = asdict(thing)  # type: ignore[call-overload]
    on = data.get("on")
    return {**data, "on": on.isoformat() if on is not None else None}
