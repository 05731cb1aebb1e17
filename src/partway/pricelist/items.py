"""A text taken apart into items: a name, a price, what it is per, from how much, or that the grade is refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Literal

from partway.pricelist.folding import FIRST_TWO, folded
from partway.pricelist.joining import joined, with_lot
from partway.pricelist.lexicon import words_of
from partway.pricelist.lines import Item, ListedLot, ListSheet
from partway.pricelist.measures import clause_at, limit_at, lot_at
from partway.spoken.money import Heard
from partway.spoken.numbers import phrase_end, word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.units import SaidUnit, per_at

_NOISE = """
    at is are was for we they you i pay pays paying buy buying get gets going today now currently still about around
    price prices please thanks thank hello hi hey and & also then some your my our the a an um uh er so ok okay yes
    yeah well it's its that's there
"""
NOISE = frozenset(_NOISE.split())
_REFUSALS = """
    no longer taking | no longer buying | no longer take | no longer | not taking any | not taking | not buying any
    | not buying | not accepting | not accepted | not wanted | not interested in | not interested | not today
    | not at the moment | don't take any | don't take | don't want any | don't want | don't buy | doesn't take
    | do not take | do not want | do not buy | won't take | won't buy | will not take | can't take | cannot take
    | stopped taking | stopped buying | stopped | refused | refuse | refusing | no bid | no thanks | no market
    | nothing for | n / a | none | nope | not
"""
REFUSALS = tuple(tuple(words.split()) for words in _REFUSALS.split("|"))
FREE = (("for", "nothing"), ("for", "free"), ("no", "charge"), ("free",))
# Names that go by number: "copper 2", "heavy melt 1". The stems a dictated or mistyped number may follow.
NUMBERED = frozenset(["copper", "coper", "coppers", "cu", "melt", "hms"])
OPENS_NUMBERED = NUMBERED | {"heavy"}


def items_in(text: str, sheet: ListSheet) -> list[Item]:
    """What a text says, in order; pieces that only make sense together are joined."""
    return _Reader(folded(tokens_of(text, sheet.shapes)), sheet).read()


def weight_in(text: str, sheet: ListSheet) -> ListedLot | None:
    """The mass that a text is, such as "40 lb"; None where it is anything else or has no unit."""
    tokens = tokens_of(text, sheet.shapes)
    found = lot_at(tokens, 0, sheet.hearing)
    return found[0] if found is not None and found[0].units and found[1] == len(tokens) else None


class _Reader:
    """Walks over the tokens once, from left to right; each step takes what it can use or leaves it to the next."""

    def __init__(self, tokens: Sequence[Token], sheet: ListSheet) -> None:
        self.tokens, self.sheet, self.hearing = tokens, sheet, sheet.hearing
        self.done: list[Item] = []
        self.item = Item()
        self.last: Literal["", "name", "price", "refusal", "lot"] = ""
        self.at = 0
        self.fresh = True  # no item since the last break

    def read(self) -> list[Item]:
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            if token.kind == "break":
                self._close()
                self.fresh, self.at = True, self.at + 1
            elif not (
                self._limit() or self._refusal() or self._free() or self._lot() or self._number_name() or self._price()
            ):
                self._other(token)
        self._close()
        return self.done

    def _take(self, end: int, item: Item, last: Literal["", "name", "price", "refusal", "lot"]) -> bool:
        """Makes the item what it is with the tokens up to `end`."""
        start = self.tokens[self.at].start if self.item.end == 0 else self.item.start
        self.item = replace(item, start=start, end=self.tokens[min(end, len(self.tokens)) - 1].end)
        self.at, self.last = end, last or self.last
        return True

    def _close(self) -> None:
        if self.item.end:
            together = joined(self.done[-1], self.item) if self.done and self.fresh else None
            if together is None:
                self.done.append(self.item)
            else:
                self.done[-1:] = together
            self.fresh = False
        self.item, self.last = Item(), ""

    def _ends(self, at: int) -> bool:
        return at >= len(self.tokens) or self.tokens[at].kind == "break"

    def _limit(self) -> bool:
        found = limit_at(self.tokens, self.at, self.hearing)
        return found is not None and self._take(found[2], with_lot(self.item, found[0], found[1]), "lot")

    def _refusal(self) -> bool:
        end = phrase_end(self.tokens, self.at, REFUSALS)
        if end is None and word_at(self.tokens, self.at) == "no":
            named = self.item.named and not self.item.prices  # "motors no": after the name; "no motors": before it
            end = self.at + 1 if self._ends(self.at + 1) == named else None
        if end is None:
            return False
        if self.item.prices or self.item.refuses:
            self._close()
        return self._take(end, replace(self.item, refuses=True), "refusal")

    def _free(self) -> bool:
        """Takes "free" at the end of what is said about a grade; "PCB free" is a name."""
        end = phrase_end(self.tokens, self.at, FREE)
        if end is None or not self._ends(end) or not self.item.named or self.item.prices:
            return False
        if self.item.words[-1:] == ("pcb",):
            return False
        return self._take(end, replace(self.item, prices=(Heard((Decimal(0),)),), sure=True), "price")

    def _lot(self) -> bool:
        found = clause_at(self.tokens, self.at, self.hearing)
        if found is None:
            return False
        which, lot, end = found
        if self.item.prices and amount_at(self.tokens, end, self.hearing) is not None:
            name = Item(words=self.item.words, exact=self.item.exact)  # "4.10 over 100 lb 4.25": a tier of the same
            self._close()
            return self._take(end, with_lot(name, which, lot), "lot")
        return self._take(end, with_lot(self.item, which, lot), "lot")

    def _number_name(self) -> bool:
        """Takes a 1 or 2 that is part of the name: "copper 2 4.10", "2 copper 4.10"."""
        token = self.tokens[self.at]
        if token.kind not in {"number", "word"} or token.text not in FIRST_TWO:
            return False
        if word_at(self.tokens, self.at + 1) in OPENS_NUMBERED and self.last != "name":
            return self._add((FIRST_TWO[token.text],))
        if self.last != "name" or self.item.words[-1] not in NUMBERED or word_at(self.tokens, self.at + 1) == "point":
            return False
        alone, together = (amount_at(self.tokens, at, self.hearing) for at in (self.at + 1, self.at))
        if alone is None or (together is not None and together[1] == alone[1] and alone[0].style == "bare"):
            return False  # "copper two ten" is 2.10 for a copper that has to be asked about
        return self._add((FIRST_TWO[token.text],))

    def _price(self) -> bool:
        found = amount_at(self.tokens, self.at, self.hearing)
        if found is None:
            return False
        if self.item.prices and self.last == "name":
            self._close()  # "4.10 for no 2 copper 38c for motors": prices come first here
        heard, end = found
        item = replace(self.item, prices=(*self.item.prices, heard))
        per = per_at(self.tokens, end, self.hearing)
        if per is not None:
            item, end = _per(item, per), per.end
        return self._take(end, item, "price")

    def _other(self, token: Token) -> None:
        per = per_at(self.tokens, self.at, self.hearing)
        column = per is not None and self.fresh and not self.item.end and self._ends(per.end)
        after_price = self.item.prices and not self.item.units and not self.item.each and self.last != "name"
        if per is not None and (column or after_price):
            self._take(per.end, _per(self.item, per), "")
        elif token.kind == "grade":
            self._add(words_of(token.text), self.sheet.ids.get(token.text, ""))
        elif token.kind == "mark" or token.text in NOISE:
            self.at += 1
        else:
            self._add((token.text,))

    def _add(self, words: tuple[str, ...], exact: str = "") -> bool:
        """Adds to the name, or begins another item where a name comes again after a price or a refusal."""
        if self.item.named and self.last != "name":
            self._close()
        # A grade's name with more words around it is no longer that name alone.
        exact = "" if self.item.named else exact
        return self._take(self.at + 1, replace(self.item, words=(*self.item.words, *words), exact=exact), "name")


def _per(item: Item, per: SaidUnit) -> Item:
    """The item with what its price is per; of a price for a hundred pounds a hundredth is that for one."""
    if per.each:
        return replace(item, each=True, fault="")
    prices = item.prices if per.count == 1 else tuple(heard.times(1 / per.count) for heard in item.prices)
    return replace(item, prices=prices, units=per.units or item.units, fault=per.fault)
