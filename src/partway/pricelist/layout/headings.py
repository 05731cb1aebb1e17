"""A name over several rows: "BRASS", and below it "yellow 2.48" and "red 3.05"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from partway.pricelist.copying import replace
from partway.pricelist.joining import headed_as
from partway.pricelist.lexicon import Lexicon
from partway.pricelist.lines import Item, SaidOver
from partway.pricelist.names import listed, plain_words
from partway.spoken.tokens import tokens_of
from partway.spoken.tongue import Hearing
from partway.spoken.units import per_at

BRACKETS = re.compile(r"(?P<name>[^()|\t]{2,60})\((?P<unit>[^(),;]{2,20})[,;][ ]*(?P<more>[^()]{3,80})\)[ :]*")


def units_over_rows(text: str, hearing: Hearing) -> str:
    """The text with a unit at the begin of a row in a row of its own: "per ton: shred 135, cast 160" is a heading; so
    with what brackets behind a heading say besides its unit, "FERROUS (per net ton, $10 fee per load)".
    """
    return "\n".join(_brackets_apart(_unit_apart(row, hearing), hearing) for row in text.split("\n"))


def _brackets_apart(row: str, hearing: Hearing) -> str:
    """A heading that says in brackets what prices below are per, then more: that in a row of its own below."""
    found = BRACKETS.fullmatch(row)
    if found is None or any(char.isdigit() for char in found["name"]):
        return row
    unit = tokens_of(found["unit"])
    per = per_at(unit, 0, hearing) if unit else None
    if per is None or not (per.units or per.each) or per.end < len(unit):
        return row
    return f"{found['name']}({found['unit']})\n{found['more']}"


def _unit_apart(row: str, hearing: Hearing) -> str:
    head, _, rest = row.partition(":")
    if any(char.isdigit() for char in head) or not rest.strip()[:1].isalpha() or not any(map(str.isdigit, rest)):
        return row
    said = tokens_of(head)
    units = (per_at(said, at, hearing) for at, one in enumerate(said) if one.among(hearing.tongue.per))
    return f"{head}\n{rest}" if any(per is not None and (per.units or per.each) for per in units) else row


def headed(items: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    """The items, those below a heading with its words where only so their name is one; headings say nothing more."""
    found: list[Item] = []
    over: Item | None = None
    beside: Item | None = None  # what stands before a colon, over the rest of its own row: "Boards: low .40, mid 1.20"
    for at, item in enumerate(of_one_material(items, lexicon)):
        if 0 < item.colon < len(item.words):
            beside = replace(item, words=item.words[: item.colon], exact="")
        elif beside is not None and beside.row == item.row:
            found.append(_below(item, beside, lexicon))
            continue
        if item.over and not item.bare:  # its price stood in the row below
            item = replace(headed_as(item, item.over), over=SaidOver())  # noqa: PLW2901
        if _may_head(items, at) or item.over:
            over = item
            heads = bool(item.over) or _is_over(items[at + 1 :], item, lexicon)
            found.append(replace(item, heads=heads))
        else:
            over = None if over is not None and _ends_it(item, over, lexicon) else over
            found.append(_below(item, over, lexicon) if over is not None else item)
    return found


def of_one_material(items: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    """The items, those of a row with the material of the one before where only so their name is one: "alum ext 1.05
    cast .80 sheet .75". Another material, and the end of a sentence, end that.
    """
    found: list[Item] = []
    material = ""
    for item in items:
        if (item.stopped and item.fresh) or (found and item.row != found[-1].row):
            material = ""
        plain = tuple(plain_words(item.words))
        if plain[:1] and plain[0] in listed("materials"):
            material = plain[0]
        elif material and plain and item.prices and not item.exact and _of_any_material(item, lexicon):
            more = (material, *item.words)
            item = replace(item, words=more, cuts=()) if lexicon.surely(more) else item  # noqa: PLW2901
        elif plain or item.exact:
            material = material if _is_of(item, material, lexicon) else ""
        found.append(item)
    return found


def _of_any_material(item: Item, lexicon: Lexicon) -> bool:
    """Whether a name is none by itself, "sheet", or one of several sorts, "cast"; transformers stay as they are."""
    scores, whole = lexicon.match(item.words)
    return not whole or len({lexicon.families[grade] for grade, _ in scores}) > 1


def _is_of(item: Item, material: str, lexicon: Lexicon) -> bool:
    """Whether a name that is sure is of that material's grades."""
    grade = item.exact or lexicon.surely(item.words)
    return lexicon.families.get(grade, "") == material


def _ends_it(item: Item, over: Item, lexicon: Lexicon) -> bool:
    """Whether a row surely is of another sort than its heading: what follows has nothing to do with that either."""
    near, surely = lexicon.match(over.words)
    if not (surely or over.exact):
        return False  # "HARBOUR METALS PRICE SHEET (per kg)" is of no sort
    grades = {grade for grade, _ in near} | ({over.exact} if over.exact else set())
    scores, whole = lexicon.match(item.words)
    meant = item.exact or (scores[0][0] if whole and len(scores) == 1 else "")
    return bool(meant) and lexicon.families[meant] not in {lexicon.families[grade] for grade in grades}


def _may_head(items: Sequence[Item], at: int) -> bool:
    """Whether a name alone in its row stands over another row that begins with a name."""
    item = items[at]
    if not item.bare or at + 1 >= len(items) or (at and items[at - 1].row == item.row):
        return False
    return items[at + 1].row > item.row and items[at + 1].named


def _is_over(below: Sequence[Item], item: Item, lexicon: Lexicon) -> bool:
    """Whether what follows is of the same sort as an open name, or needs its words."""
    scores, whole = lexicon.match(item.words)
    if item.exact or (whole and len(scores) == 1):
        return _below(below[0], item, lexicon) is not below[0]
    if not whole:
        return False
    if item.fresh and below[0].prices and not (below[0].exact or lexicon.surely(below[0].words)):
        return True  # "INSULATED COPPER WIRE" over "- heavy 2.95"
    of, first = {grade for grade, _ in scores}, lexicon.match(below[0].words)[0]
    families = {lexicon.families[grade] for grade in of}
    meant = {below[0].exact} if below[0].exact else {grade for grade, _ in first}
    same = any(lexicon.families[grade] in families for grade in meant)
    return same or _below(below[0], item, lexicon) is not below[0]


def _below(item: Item, over: Item, lexicon: Lexicon) -> Item:
    """The item per what its heading says, with the words of that before its own if they make its name a sure one."""
    item = headed_as(item, over.over)
    if item.exact or not item.named:
        return item
    scores, whole = lexicon.match(item.words)
    if whole and len(scores) == 1:
        return item
    together = (*over.words, *item.words)
    more, all_of_it = lexicon.match(together)
    better = all_of_it and (len(more) == 1 or (whole and len(more) < len(scores)))
    if better:
        return replace(item, words=together, cuts=())
    of, sure = lexicon.match(over.words)
    families = {lexicon.families[grade] for grade, _ in of} if sure else set()
    left = [grade for grade, _ in scores if lexicon.families[grade] in families]
    return replace(item, exact=left[0], called=item.words) if whole and len(left) == 1 else item
