"""What a list spreads over cells, over an "and" or over a row: "all of these 12 cents: starters, relays"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from partway.pricelist.copying import replace
from partway.pricelist.layout.conditions import clean_named, conditions
from partway.pricelist.layout.headings import headed
from partway.pricelist.layout.row_lists import listed
from partway.pricelist.lexicon import Lexicon
from partway.pricelist.lines import Item
from partway.pricelist.names import listed as names_of
from partway.pricelist.names import meant, plain_words
from partway.spoken.tongue import english


def grouped(items: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    """The items with each name given what is said for several of them."""
    items = conditions([clean_named(item, lexicon) for item in items], lexicon)
    items = listed(headed([without_talk(item, lexicon) for item in items], lexicon), lexicon)
    found = _shared(_celled(_trailing(items, lexicon), lexicon))
    return [part for item in found for part in _apart(item, lexicon)]


def without_talk(item: Item, lexicon: Lexicon) -> Item:
    """A name without what was said before or behind it: "calling you back about prices um number one copper".

    Only words that no grade has are left out, and only where words that carry nothing, or a full stop, part them from
    a name that is whole: "greasy copper" stays to be asked about.
    """
    if not item.exact and item.fresh and (name := _behind_yard(item, lexicon)):
        cut = len(item.words) - len(name)
        cuts = tuple(place - cut for place in item.cuts if place > cut)
        return replace(item, words=name, cuts=cuts, gaps=(), left=(*item.left, *item.words[:cut]))
    if item.exact or not item.gaps or lexicon.match(item.words)[1]:
        return item
    for gap in reversed(item.gaps):
        before, behind = item.words[:gap], item.words[gap:]
        for talk, name in ((before, behind), (behind, before)):
            if talk and name and not lexicon.knows(talk) and lexicon.match(name)[1]:
                cuts = tuple(cut - gap for cut in item.cuts if cut > gap) if name is behind else item.cuts
                return replace(item, words=name, cuts=cuts, gaps=(), left=(*item.left, *talk))
    return item


def _behind_yard(item: Item, lexicon: Lexicon) -> tuple[str, ...]:
    """A whole name behind the name of a yard, "harbour yard number two"; nothing where there is none."""
    at = next((n for n, word in enumerate(item.words[:4], 1) if word in english().sellers), 0)
    rest = item.words[at:]
    alone = at and rest and not lexicon.match(item.words)[1] and not any(map(lexicon.has, item.words[: at - 1]))
    return rest if alone and lexicon.match(rest)[1] else ()


def _grade(item: Item, lexicon: Lexicon) -> str:
    """The grade that a name surely is."""
    return item.exact or lexicon.surely(item.words)


def _trailing(items: list[Item], lexicon: Lexicon) -> list[Item]:
    """A name whose rest comes behind the price: "number one four thirty five copper". What is no name at all behind a
    price, "0.62 bis 0.70", leaves two prices to choose from.
    """
    found: list[Item] = []
    for item in items:
        before = found[-1] if found else None
        if before is None or item.fresh or not (before.named and before.prices and item.named):
            found.append(item)
            continue
        if item.bare and item.words[:1] and item.words[0] in english().describes:
            found[-1] = replace(before, words=(*before.words, *item.words), exact="", end=item.end)
            continue
        if item.bare and not lexicon.knows(before.words) and lexicon.match(item.words)[1]:
            left = (*before.left, *before.words, *item.left)
            found[-1] = replace(before, words=item.words, exact=item.exact, gaps=(), cuts=(), end=item.end, left=left)
            continue  # "today's numbers 4.60 bare bright"
        moved = _moved(before, item, lexicon)
        if moved is not None:
            found[-1:] = moved
        elif item.prices and not item.refuses and not lexicon.match(item.words)[0]:
            both, left = (*before.prices, *item.prices), (*before.left, *item.words, *item.left)
            found[-1] = replace(before, prices=both, end=item.end, sure=False, left=left)
        else:
            found.append(item)
    return found


def _moved(before: Item, item: Item, lexicon: Lexicon) -> list[Item] | None:
    """Both items with the first words of the second given to the first, where only so both are names."""
    if _grade(before, lexicon) or item.exact:
        return None
    bare = item.bare
    for count in range(1, len(item.words) + bare):
        words, rest = (*before.words, *item.words[:count]), item.words[count:]
        if lexicon.surely(words) and (not rest or lexicon.surely(rest)):
            named = replace(before, words=words, end=item.end if not rest else before.end)
            return [named, replace(item, words=rest)] if rest else [named]
    return None


def _celled(items: list[Item], lexicon: Lexicon) -> list[Item]:
    """A name in two cells of a table: "Brass | Yellow | 2.45"; a heading cell before a whole name is left out."""
    found: list[Item] = []
    for item in items:
        before = found[-1] if found else None
        if before is None or not (item.cell and item.named and before.bare and before.row == item.row):
            found.append(item)
            continue
        words = (*before.words, *item.words)
        if lexicon.surely(words) or not _grade(item, lexicon):
            found[-1] = replace(item, words=words, exact="", cuts=(), start=before.start, cell=before.cell)
        else:
            found[-1] = replace(item, cell=before.cell, left=(*before.left, *before.words, *item.left))
    return found


def _shared(items: list[Item]) -> list[Item]:
    """What is said once for the names of a row, before or behind it."""
    found: list[Item] = []
    over: Item | None = None  # what holds for the names that follow
    for item in items:
        if item.shared == "before" and item.prices:
            at = len(found)
            while at and found[at - 1].bare and found[at - 1].row == item.row:
                at -= 1
            found[at:] = [_as(one, item) for one in found[at:]]
        over = None if item.stopped else over
        if over is not None and item.bare and (item.row == over.row or not over.named):
            found.append(_as(item, over))
            continue
        holds = (item.shared == "after" and item.prices) or (item.refuses_first and not item.prices)
        over = item if holds else None
        found.append(item)
    return [item for item, behind in zip(found, (*found[1:], None), strict=False) if not _heads(item, behind)]


def _heads(item: Item, behind: Item | None) -> bool:
    """Whether an item without a name only said what holds for those behind it."""
    holds = item.shared == "after" or item.refuses_first
    return holds and not item.named and behind is not None and behind.shared == "after"


def _as(item: Item, said: Item) -> Item:
    """A name with what is said of another one."""
    what = replace(said, words=item.words, exact=item.exact, cuts=item.cuts, row=item.row)
    return replace(what, start=item.start, end=item.end, shared="after")


def _apart(item: Item, lexicon: Lexicon) -> Iterator[Item]:
    """Two names with an "and" between them: "relays and ballasts 20c", and "starters and motors", no starter motors."""
    if item.compound and lexicon.match(item.words)[1] and not _each_named(item, lexicon):
        yield item  # "alu/cu radiators" are one thing
        return
    parts = list(_parts(item, lexicon))
    if item.refuses and not item.prices and len(parts) > 1:  # "propane cylinders or tires"
        parts = [part for part in parts if not lexicon.untraded(part)] or parts
        item = replace(item, words=parts[0], cuts=()) if len(parts) == 1 else item
    refused = meant("refused") if item.refuses else {}  # "fridges and gas bottles we do not accept"
    sure = [lexicon.surely(part) or refused.get(frozenset(plain_words(part)), "") for part in parts]
    grades = _in_one_family(sure, parts, item, lexicon)
    if len(parts) < 2 or not all(grades) or item.exact or (_grade(item, lexicon) and len(set(grades)) == 1):
        yield item
        return
    each = item.prices if len(item.prices) == len(parts) and not item.columns else ()  # "304/316 stainless .48/.72"
    for n, words in enumerate(parts):
        exact = "" if lexicon.surely(words) else grades[n]
        part = replace(item, words=words, exact=exact, cuts=(), prices=each[n : n + 1] or item.prices)
        yield replace(part, called=words) if exact else part


def _in_one_family(grades: list[str], parts: Sequence[tuple[str, ...]], item: Item, lexicon: Lexicon) -> list[str]:
    """The grades, an open one as what it is in the family of the others: "cast/sheet/extr .55/.60/.84"."""
    families = {lexicon.families[grade] for grade in grades if grade}
    if len(families) != 1 or len(item.prices) != len(parts) or item.columns or all(grades):
        return grades

    def told(words: tuple[str, ...]) -> str:
        scores, whole = lexicon.match(words)
        left = [grade for grade, score in scores if score == 1.0 and lexicon.families[grade] in families]
        if whole and len(left) == 1:
            return left[0]
        material = next((family for family in families if family in names_of("materials")), "")
        return lexicon.surely((material, *words)) if material else ""

    return [grade or told(words) for grade, words in zip(grades, parts, strict=True)]


def _each_named(item: Item, lexicon: Lexicon) -> bool:
    """Whether each side of a stroke is a whole name, and all of it may be just these: "alternators/starters 31"."""
    edges = [0, *(cut for cut in item.cuts if 0 < cut < len(item.words)), len(item.words)]
    sides = {lexicon.surely(item.words[start:end]) for start, end in pairwise(edges)}
    return len(sides) > 1 and sides == {grade for grade, _ in lexicon.match(item.words)[0]}


def _parts(item: Item, lexicon: Lexicon) -> Iterator[tuple[str, ...]]:
    """The names between the cuts; a last word may be shared: "yellow and red brass"."""
    edges = [0, *(cut for cut in item.cuts if 0 < cut < len(item.words)), len(item.words)]
    for start, end in pairwise(edges):
        words = item.words[start:end]
        yield words if lexicon.surely(words) or not words else _completed(words, item.words, lexicon)


def _completed(words: tuple[str, ...], all_words: tuple[str, ...], lexicon: Lexicon) -> tuple[str, ...]:
    more, under = (*words, all_words[-1]), (all_words[0], *words)
    if lexicon.surely(more):
        return more
    first = lexicon.surely(all_words[:1])  # "bb" is bright by itself, "copper" of "copper #1 / #2" is none
    return under if not first and lexicon.surely(under) else words
