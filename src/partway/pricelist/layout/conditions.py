"""What is said of a thing besides its name: what is not on it, "brass no iron", and how it comes, "board on"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from partway.pricelist.copying import replace
from partway.pricelist.lexicon import Lexicon
from partway.pricelist.lines import Item
from partway.pricelist.names import plain_words, words_of
from partway.spoken.tongue import english
from partway.spoken.units import UNITS


def more_than_clean(words: Sequence[str]) -> Sequence[str]:
    """What words behind a name say besides what is not on the thing: nothing of "no paint"."""
    if words[0] not in english().without:
        return words
    plain = words[1:2] and words[1].isalpha() and words[1] not in UNITS and words[1] not in english().qualifies
    return [word for word in words[2 if plain else 1 :] if word not in english().fittings]


def clean_named(item: Item, lexicon: Lexicon) -> Item:
    """A name without what is said not to be on the thing: "brass no iron 4.30", "wheels no weights or tires".

    Only where the name is whole without it, nothing but fittings stand behind the "no", or what makes a metal dirty
    behind "without", and no other name has the same words: "lead no batteries" is asked about.
    """
    tongue, words = english(), item.words
    at = next((n for n, word in enumerate(words) if n and word in {"no", "without"}), 0)
    if not at or item.exact or item.refuses or not (item.prices or item.bare):
        return item
    name, fittings = words[:at], [word for word in words[at:] if word != words[at]]
    known = tongue.fittings if words[at] == "no" else tongue.dirt
    if not fittings or not known.issuperset(fittings) or lexicon.match(words)[1]:
        return item
    if not lexicon.match(name)[1] or lexicon.match((*name, *fittings))[1]:
        return item
    return replace(item, words=name, cuts=tuple(cut for cut in item.cuts if cut < at), gaps=())


def conditions(items: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    """The items, with the name before it what only says a condition: "extrusion, no paint 2.40, with paint 2.10", and
    "wires on .36, wires cut .20".
    """
    found: list[Item] = []
    named: Item | None = None  # the nearest before it in its row
    for item in items:
        named = named if named is not None and found[-1].row == item.row else None
        again = named is not None and bool(named.prices) and is_state(item.words)
        opens = item.words[:1] and item.words[0] in english().describes - {"no"} and not lexicon.match(item.words)[1]
        if named is not None and item.prices and not item.cell and (again or opens):
            item = replace(item, words=(*_words(named), *item.words), cuts=(), gaps=())  # noqa: PLW2901
        found.append(item)
        named = item if _names(item) else named
    return _with_states(found, lexicon)


def _names(item: Item) -> bool:
    """Whether it names a thing, and no condition."""
    return item.named and not (item.words[:1] and (item.words[0] in english().describes or is_state(item.words)))


def is_state(words: Sequence[str]) -> bool:
    """Whether words only say how the fittings of a thing are: "board on", "wires cut"."""
    tongue = english()
    states = tongue.fitted | tongue.altered
    return bool(states.intersection(words)) and (tongue.fittings | states).issuperset(words)


def altered_in(words: Sequence[str]) -> bool:
    """Whether words say that a thing is not as it mostly comes: "battery out", "iron attached"."""
    tongue = english()
    pairs = list(pairwise(words))
    off = any(word in tongue.altered and before in tongue.fittings for before, word in pairs)
    return off or any(word in tongue.fitted and before in tongue.dirt for before, word in pairs)


def _words(item: Item) -> tuple[str, ...]:
    return item.words or tuple(words_of(item.exact.replace("-", " ")))


def _with_states(items: Sequence[Item], lexicon: Lexicon) -> list[Item]:
    """The items, a state behind a price told of the thing before it: "tablets 2.10, battery out" are those without.

    How a thing mostly comes, "board on", says nothing more; what is taken off it is left to be asked about where the
    name has no grade for that.
    """
    found: list[Item] = []
    for item in items:
        before = found[-1] if found else None
        if before is None or not (item.bare and is_state(item.words) and not (item.cell or item.stopped)):
            found.append(item)
            continue
        if before.row != item.row or not before.prices or not before.named or before.refuses:
            found.append(item)
            continue
        together, altered = (*_words(before), *item.words), english().altered.intersection(item.words)
        if altered and all(map(lexicon.has, altered)) and lexicon.match(together)[1]:
            found[-1] = replace(before, words=together, exact="", cuts=(), gaps=(), end=item.end)
        else:
            clean = "dirty" not in plain_words(_words(before))  # of dirty things iron on them says nothing more
            left = item.words if altered_in(item.words) and clean else ()
            found[-1] = replace(before, left=(*before.left, *left, *item.left), end=item.end)
    return found
