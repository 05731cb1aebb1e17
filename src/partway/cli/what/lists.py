"""`partway kinds` and `partway grades`: the catalogue, to read at the bench."""

from __future__ import annotations

from dataclasses import asdict
from difflib import get_close_matches
from pathlib import Path

import click

from partway.catalogue import Catalogue, shipped
from partway.cli.common import json_option, page, write_json
from partway.cli.context import CommandContext, recording
from partway.errors import Refused


@click.command("kinds")
@click.argument("kind", required=False)
@click.option("--own", is_flag=True, help="Only kinds of your own.")
@click.option("--toml", is_flag=True, help="As TOML, as --add reads it; with --own all of yours.")
@click.option("--add", type=click.Path(path_type=Path), metavar="FILE", help="Make the anatomies of FILE yours.")
@click.option("--replace", is_flag=True, help="Also in place of a kind that ships.")
@click.option("--remove", metavar="KIND", help="Give up a kind of your own.")
@click.option("--from", "find", metavar="FIND", help="Make what came out of a find a kind of your own.")
@click.option("--hazards", metavar="CARDS", help="With --from: what can hurt, such as mains,sharp-edges; or none.")
@click.option("--name", default="", metavar="TEXT", help="With --from: what it is called.")
@click.option("--names", default="", metavar="TEXT", help="With --from: what else people say, joined by commas.")
@recording
def kinds_command(
    ctx: CommandContext,
    kind: str | None,
    own: bool,
    toml: bool,
    add: Path | None,
    replace: bool,
    remove: str | None,
    find: str | None,
    hazards: str | None,
    name: str,
    names: str,
) -> None:
    """The kinds of finds partway knows; with KIND, what it is made of and how it comes apart.

    Masses and minutes are estimates, low to high, from memory unless a source is named.
    Kinds of your own are in your ledger, and known wherever those that ship are.

    \b
      partway kinds foot-spa --toml > foot-spa.toml
      partway kinds --add foot-spa.toml
      partway kinds --from foot-spa-1 --hazards mains
      partway kinds my-oven --from microwave-3 --hazards mains,hv-capacitor
      partway kinds --remove foot-spa
    """
    _one_way(own or toml or (kind is not None and find is None), (add, remove, find), replace)
    if own and kind is not None:
        raise Refused(f'"{kind}" and all of your own', "one of them", "own")
    if find is None and (hazards is not None or name or names):
        raise Refused("something of a find without the find", "the find that was opened", "from")
    if find is not None:
        from partway.actions.what.own_kinds import kind_from

        ctx.record(kind_from, find, hazards, name, names, kind or "", True if replace else None)
    elif add is not None:
        _add(ctx, add, replace)
    elif remove is not None:
        from partway.actions.what.own_kinds import give_up_kind

        ctx.record(give_up_kind, remove)
    else:
        _look(ctx, kind, own, toml)


def _one_way(looks: bool, does: tuple[object, ...], replace: bool) -> None:
    """Refuses what cannot be meant together: nothing that was said is dropped in silence."""
    said = sum(one is not None for one in does)
    if said + looks > 1:
        raise Refused("several things at once", "one of them: to look, to add, to make or to remove", "kinds")
    if replace and not said:
        raise Refused("nothing to replace with", "a file of anatomies to add, or a find", "replace")


def _add(ctx: CommandContext, file: Path, replace: bool) -> None:
    from partway.actions.what.own_kinds import add_kinds
    from partway.storage.scenario.opening import read_tables, read_text

    text = read_text(file)
    read_tables(text, str(file))  # what is no TOML is refused with its line
    ctx.record(add_kinds, text, True if replace else None, str(file))


def _look(ctx: CommandContext, kind: str | None, own: bool, toml: bool) -> None:
    catalogue = _catalogue(ctx)
    if toml and kind is None and not own:
        raise Refused("no kind", "a kind, or all of your own, to write as TOML", "toml")
    if kind is not None and not catalogue.knows(kind):
        _known(kind, catalogue.kinds, "partway kinds")
    chosen = catalogue.own if own else catalogue.kinds
    if toml:
        from partway.catalogue.writing import anatomies_text

        if not chosen:
            raise Refused("no kind of your own", "one to write as TOML", "own")
        click.echo(anatomies_text(catalogue.anatomy(one) for one in ([kind] if kind else chosen)), nl=False)
    elif kind is None:
        _all_kinds(catalogue, tuple(chosen), ctx.as_json)
    else:
        _one_kind(catalogue, kind, ctx.as_json)


def _catalogue(ctx: CommandContext) -> Catalogue:
    """The kinds of the ledger, those that ship where there is none."""
    from partway.storage.refusals import NoLedger
    from partway.valuing.known import catalogue_of

    ctx.makes = False  # looking makes no ledger
    try:
        return catalogue_of(ctx.book)
    except NoLedger:
        return shipped()


def _one_kind(catalogue: Catalogue, kind: str, as_json: bool) -> None:
    anatomy = catalogue.anatomy(kind)
    if as_json:
        write_json(_plain(anatomy))
        return
    from partway.cli.what.anatomy_page import show_anatomy

    show_anatomy(page(), anatomy, catalogue)


def _all_kinds(catalogue: Catalogue, kinds: tuple[str, ...], as_json: bool) -> None:
    anatomies = [catalogue.anatomy(kind) for kind in kinds]
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
