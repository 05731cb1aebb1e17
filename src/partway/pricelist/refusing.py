"""What one word says of several grades: "no lithium" refuses all called so, "all copper up a dime" moves them all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from partway.pricelist.copying import replace
from partway.pricelist.lines import Item, ListSheet
from partway.pricelist.names import listed, meant, plain_words

HEAPS = frozenset({"careful", "other", "inert"})  # families of what has no more in common than how it is handled


def each_refused(items: Iterable[Item], sheet: ListSheet) -> Iterator[Item]:
    """The items, with a line for each grade of a family that is refused by one word.

    A price for such a word is still asked about: the grades of a family bring different prices, and a refusal holds
    for all of them alike.
    """
    for item in items:
        grades = _family_of(item, sheet)
        yield from (replace(item, exact=grade, words=()) for grade in grades) if grades else (item,)


def each_moved(items: Iterable[Item], sheet: ListSheet) -> Iterator[Item]:
    """The items, with a line for each grade of a family that the buyer has a price of, where all of them moved."""
    for item in items:
        grades = _moved_together(item, sheet)
        yield from (replace(item, exact=grade, words=(), called=item.words) for grade in grades) if grades else (item,)


def _moved_together(item: Item, sheet: ListSheet) -> tuple[str, ...]:
    said = set(plain_words(item.words))
    family = said - listed("every")
    if item.moved is None or item.exact or not said & listed("every") or len(family) != 1:
        return ()
    return tuple(grade for grade in sheet.known if grade in sheet.grades and sheet.grades[grade].family in family)


def _family_of(item: Item, sheet: ListSheet) -> tuple[str, ...]:
    """The grades that a refusal means together; none where it means one, or may mean things of several sorts."""
    if not item.refuses or item.prices or item.exact or not item.words:
        return ()
    said = frozenset(plain_words(item.words))
    surely = meant("refused").get(said - listed("untraded") - listed("idle"), "")  # "no fridges or tires"
    if surely in sheet.grades:
        return (surely,)
    scores, whole = sheet.lexicon.match(item.words)
    families = {sheet.grades[grade].family for grade, _ in scores}
    if not whole or len(scores) < 2 or len(families) > 1 or families & HEAPS or any(score < 1 for _, score in scores):
        return ()
    (family,) = families
    if frozenset(plain_words(item.words)) <= listed("families", family):
        return tuple(grade.id for grade in sheet.grades.values() if grade.family == family)
    return tuple(grade for grade, _ in scores)
