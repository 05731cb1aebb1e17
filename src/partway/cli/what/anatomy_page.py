"""Kinds and grades as pages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text
from rich.tree import Tree

from partway.catalogue import Catalogue
from partway.catalogue.cards import shipped_cards
from partway.catalogue.named import hazards_of
from partway.cli.words import MORE
from partway.quantities import out_of
from partway.things.anatomy import Anatomy, Operation, Piece
from partway.things.estimate import Estimate
from partway.things.learned import Learned
from partway.things.material import Grade

WHAT_FIRST = "What to do first about each hazard: partway cautions NAME, or partway kinds and partway grades of one."


def spread(estimate: Estimate) -> str:
    """Low, likely and high, or the one number."""
    if estimate.is_exact:
        return f"{estimate.likely:g}"
    return f"{estimate.low:.3g} / {estimate.likely:.3g} / {estimate.high:.3g}"


def _table(*columns: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for column in columns:
        right = column in ("kg", "minutes", "× No. 2", "kg per L")
        least = 16 if column == "what can hurt" else None  # no name of a card is broken within a word
        table.add_column(column, justify="right" if right else "left", no_wrap=right or column == "id", min_width=least)
    return table


def show_cautions(console: Console, hazards: Iterable[str]) -> None:
    """What can hurt, what first and what never, before all else."""
    found = shipped_cards(hazards)
    for card in found:
        console.print(Text.assemble((card.name, "bold"), f": {card.first_and_never}"))
    if found:
        console.print(MORE)
        console.print()


def _names(hazards: Iterable[str], catalogue: Catalogue) -> str:
    known = catalogue.cautions
    return ", ".join(known[h].name if h in known else h for h in hazards)


def show_kinds(console: Console, anatomies: Iterable[Anatomy], catalogue: Catalogue) -> None:
    """One row a kind."""
    console.print(WHAT_FIRST)
    console.print()
    table = _table("id", "kind", "kg", "what can hurt")
    for anatomy in anatomies:
        hurts = _names(hazards_of(anatomy, catalogue.grades), catalogue)
        name = f"{anatomy.name} (yours)" if anatomy.kind in catalogue.own else anatomy.name
        table.add_row(anatomy.kind, name, spread(anatomy.whole.mass), hurts)
    console.print(table)


def show_anatomy(console: Console, anatomy: Anatomy, catalogue: Catalogue) -> None:
    """Cautions, then the kind taken apart as a tree: pieces, and under each the ways to open it."""
    show_cautions(console, hazards_of(anatomy, catalogue.grades))
    works = "" if anatomy.works is None else f", works {anatomy.works:.0%} of the time"
    kg = f"  {spread(anatomy.whole.mass)} kg{_seen(anatomy.learned_of('mass', anatomy.whole.id))}{works}"
    tree = Tree(Text.assemble((anatomy.name, "bold"), kg), guide_style="dim")
    _ways(tree, anatomy, anatomy.whole, catalogue)
    if anatomy.note:
        console.print(anatomy.note)
        console.print()
    console.print(tree)
    console.print(f"Source: {anatomy.source}; kg and minutes are low / likely / high.")


def _ways(branch: Tree, anatomy: Anatomy, piece: Piece, catalogue: Catalogue) -> None:
    for op in anatomy.operations_on(piece.id):
        way = branch.add(_noted(Text(_operation(op, anatomy), style="italic"), op.note))
        for give in op.gives:
            child = anatomy.piece(give.piece)
            count = "" if give.count == 1 else f"{give.count} × "
            said = Text(count + _piece(child, catalogue, anatomy))
            _ways(way.add(_noted(said, child.note)), anatomy, child, catalogue)


def _noted(text: Text, note: str) -> Text:
    """With what decides below it."""
    return Text.assemble(text, (f"\n{note}", "dim")) if note else text


def _seen(learned: Learned | None) -> str:
    """How many of one's own a figure is from, and what it was taken as before."""
    if learned is None:
        return ""
    done = {"minutes": "timed", "share": "looked at"}.get(learned.what, "weighed")
    out = f", {learned.left_out} left out as a slip" if learned.left_out else ""
    was = out_of(learned.was.likely) if learned.what == "share" else f"{learned.was.likely:.3g}"
    return f" ({learned.count} {done} by you{out}; we thought {was})"


def _operation(op: Operation, anatomy: Anatomy) -> str:
    must = ", has to come first" if op.required else ""
    return f"{op.name} ({spread(op.minutes)} min{_seen(anatomy.learned_of('minutes', op.id))}{must})"


def _piece(piece: Piece, catalogue: Catalogue, anatomy: Anatomy) -> str:
    sells = ", ".join(sale.grade if sale.share == 1.0 else f"{sale.share:.0%} {sale.grade}" for sale in piece.sells)
    stop = f"; stays shut: {catalogue.cautions[piece.stop].name.lower()}" if piece.stop else ""
    part = "; sells as a part" if piece.parts else ""
    if piece.answer_to is not None:
        chance = piece.share / anatomy.piece(piece.answer_to).share
        seen = _seen(anatomy.learned_of("share", piece.id))
        return f"if {piece.answer} ({out_of(chance)}){seen}  {sells}{part}{stop}"
    seen = _seen(anatomy.learned_of("mass", piece.id))
    return f"{piece.name}  {spread(piece.mass)} kg{seen}  {sells}{part}{stop}"


def show_grades(console: Console, grades: Sequence[Grade], catalogue: Catalogue) -> None:
    """One row a grade."""
    console.print(WHAT_FIRST)
    console.print()
    table = _table("id", "grade", "what can hurt", "magnet", "× No. 2", "kg per L")
    for grade in grades:
        ratio = spread(grade.ratio) if grade.ratio else "not known"
        hurts = _names(grade.hazards, catalogue)
        table.add_row(grade.id, grade.name, hurts, grade.magnet or "", ratio, spread(grade.density))
    console.print(table)


def show_grade(console: Console, grade: Grade, catalogue: Catalogue) -> None:
    """One grade with its hazards first."""
    show_cautions(console, grade.hazards)
    console.print(Text.assemble((grade.name, "bold"), f" ({grade.id}, {grade.family})"))
    if grade.note:
        console.print(f"  {grade.note}")
    rows = {
        "qualifies": grade.qualifies,
        "spoiled by": ", ".join(grade.spoilers),
        "clues": ", ".join(grade.clues),
        "magnet": grade.magnet or "",
        "bulk density": f"{spread(grade.density)} kg/L",
        "ratio to No. 2 copper": spread(grade.ratio) if grade.ratio else "not known",
        "may be sold as": ", ".join(grade.downgrades),
        "source": grade.source,
    }
    table = _table("", "")
    table.show_header = False
    for name, text in rows.items():
        if text:
            table.add_row(f"  {name}", text)
    console.print(table)
