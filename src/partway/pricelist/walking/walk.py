"""Where a walk over the tokens of a list stands: what was taken, the item that is open, what headings said."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Literal

from partway.pricelist.copying import replace
from partway.pricelist.joining import headed_as, joined
from partway.pricelist.layout.asides import is_aside, row_at
from partway.pricelist.layout.rows import (
    Heading,
    doubted_at,
    heading_at,
    is_cell,
    is_row,
    named_heading_at,
    said_over_at,
)
from partway.pricelist.layout.sentences import STOPS
from partway.pricelist.lines import Item, ListSheet, SaidOver
from partway.pricelist.measures import clause_at, limit_at, lot_at
from partway.spoken.money import SIGNS
from partway.spoken.numbers import phrase_end
from partway.spoken.tokens import Token
from partway.spoken.units import per_at

Last = Literal["", "name", "price", "refusal", "lot"]


class Walk:
    """A place among the tokens, with the item that is being put together there."""

    def __init__(
        self, tokens: Sequence[Token], sheet: ListSheet, dated: frozenset[int], notes: frozenset[int] = frozenset()
    ) -> None:
        self.tokens, self.sheet, self.hearing, self.dated, self.notes = tokens, sheet, sheet.hearing, dated, notes
        self.done: list[Item] = []
        self.item = Item()
        self.last: Last = ""
        self.at = self.row = 0
        self.fresh = True  # no item since the last break
        self.stopped = self.cell = self.pays = self.corrects = self.behind = False
        self.run = False  # names come behind their prices, until a row ends
        self.head = SaidOver()  # what a heading says that prices are per
        self.over: Heading | None = None  # the row names what follows, and says what that is per
        self.passed: frozenset[int] = frozenset()

    def break_row(self, token: Token) -> None:
        """Ends the item and goes on behind the break."""
        self.close()
        self.fresh, self.cell, self.at = True, is_cell(token), self.at + 1
        self.stopped = token.text in STOPS
        if is_row(token) or token.text in STOPS:
            self.run = False
        if is_row(token):
            self.row += 1
            self.read_heading()

    def read_heading(self) -> None:
        """A row that only heads a list says what prices below are per, and is nothing else."""
        row = row_at(self.tokens, self.at)
        if row and self.row in self.notes:
            words = tuple(one.text for one in row if one.kind == "word")
            self.take(self.at + len(row), replace(self.item, words=words, note=True), "name")
            return
        if is_aside(row, self.hearing, self.sheet.lexicon, dated=self.row in self.dated):
            self.take(self.at + len(row), replace(self.item, words=(row[0].text,)), "name")
        found = heading_at(self.tokens, self.at, self.hearing) or said_over_at(
            self.tokens, self.at, self.hearing, lambda word: self.sheet.lexicon.match((word,))[1]
        )
        named = named_heading_at(self.tokens, self.at, self.hearing) if found is None else None
        if named is not None and not self._names_a_sort(named):
            found, named = named[0], None  # "BACK TO CENTS/LB"
        self.over, self.passed = named or (None, frozenset())
        if found is None and named is None:
            self.head = doubted_at(self.tokens, self.at, self.head, self.hearing) or self.head
        if found is not None:
            self.at, said = found.end, found.says
            kept = said if said.units or said.each else self.head
            self.head = replace(kept, hundredths=said.hundredths or kept.hundredths)

    def _names_a_sort(self, named: tuple[Heading, frozenset[int]]) -> bool:
        """Whether the words of a heading that says a unit may name what stands below it."""
        row = ((n, self.tokens[n]) for n in range(self.at, named[0].end))
        left = [one for n, one in row if n not in named[1] and one.kind in {"word", "grade"}]
        plain = [one.text for one in left if one.kind == "word" and one.text not in self.hearing.tongue.to]
        return any(one.kind == "grade" for one in left) or any(self.sheet.lexicon.has(word) for word in plain)

    def take(self, end: int, item: Item, last: Last) -> bool:
        """Makes the item what it is with the tokens up to `end`."""
        opens = self.item.end == 0
        start = self.tokens[self.at].start if opens else self.item.start
        if opens:
            item = replace(item, row=self.row, cell=self.cell, fresh=self.fresh, stopped=self.stopped)
            item, self.corrects = replace(item, corrects=self.corrects), False
        self.item = replace(item, start=start, end=self.tokens[min(end, len(self.tokens)) - 1].end)
        self.at, self.last = end, last or self.last
        return True

    def close(self) -> None:
        """Ends the item; one that only makes sense with the one before it is joined to that."""
        if self.item.end:
            item = headed_as(self.item, self.head)
            if self.over is not None and item.bare:
                item = replace(item, over=self.over.says, left=())
            together = joined(self.done[-1], item) if self.done and self.fresh else None
            if together is None:
                self.done.append(item)
            else:
                self.done[-1:] = together
            self.fresh = False
        self.item, self.last, self.pays, self.behind = Item(), "", False, False

    def leave(self, words: tuple[str, ...]) -> None:
        """Puts words aside that a rule has no use for; whether they say something of the price is looked at last."""
        self.item = replace(self.item, left=(*self.item.left, *words))

    def ends(self, at: int) -> bool:
        """Whether nothing more stands before the next break."""
        return at >= len(self.tokens) or self.tokens[at].kind == "break"

    def only_a_speaker(self) -> bool:
        """Whether the words so far are of no grade, as in "harbour says"."""
        name = self.item.named and not self.item.exact and self.last == "name" and not self.item.prices
        return name and not self.sheet.lexicon.match(self.item.words)[0]

    def add(self, words: tuple[str, ...], exact: str = "") -> bool:
        """Adds to the name, or begins another item where a name comes again after a price or a refusal."""
        if self.item.named and self.last != "name":
            self.close()
        # A grade's name with more words around it is no longer that name alone.
        exact = "" if self.item.named else exact
        return self.take(self.at + 1, replace(self.item, words=(*self.item.words, *words), exact=exact), "name")

    def goes_with_name(self, token: Token) -> bool:
        """Whether a word that may be a unit is the rest of the name before it."""
        before = self.done[-1] if self.done and not self.cell else None
        named = before is not None and before.bare and before.row == self.row
        return named and bool(self.sheet.lexicon.surely((*self.done[-1].words, token.text)))

    def bracketed(self, token: Token) -> bool:
        """Passes over what only describes a name whose price comes behind: "(20 lb size): $2 each", "(no tyres)"."""
        if token.text == "(" and self.item.prices and self.last != "name":
            return self._named_behind()
        if token.text != "(" or self.last != "name" or self.item.prices:
            return False
        lot = lot_at(self.tokens, self.at + 1, self.hearing)
        shut = self.shut_from[self.at]
        if shut is not None and self._says_clean(shut):
            said = self.tokens[self.at + 1 : shut]
            known = self._also_called(said) or said[0].among(self.hearing.tongue.without)
            self.leave(() if known else tuple(one.text for one in said))
            self.at = shut + 1
            return True
        if lot is None or not lot[0].units or shut is None or self.tokens[lot[1]].text == ")":
            return False
        inner = self.at + 1
        if limit_at(self.tokens, inner, self.hearing) or clause_at(self.tokens, inner, self.hearing):
            return False
        self.at = shut + 1
        return True

    @cached_property
    def shut_from(self) -> Sequence[int | None]:
        """Of each token the place of the next bracket that shuts."""
        found: list[int | None] = [None]
        for n in range(len(self.tokens) - 1, -1, -1):
            found.append(n if self.tokens[n].text == ")" else found[-1])
        return found[:0:-1]

    def _named_behind(self) -> bool:
        """Takes words in brackets behind a price, which say what it is for, "10.40 (bright)", or are an aside."""
        shut = self.shut_from[self.at]
        inner = self.tokens[self.at + 1 : shut] if shut is not None else []
        phrases = (*self.hearing.tongue.refusals, *self.hearing.tongue.minimum, *self.hearing.tongue.maximum)
        limits = any(phrase_end(inner, n, phrases) for n in range(len(inner)))
        if not inner or limits or shut is None or any(one.kind in {"number", "break", "grade"} for one in inner):
            return False
        if any(one.text in {"%", *SIGNS} or one.among(self.hearing.tongue.per) for one in inner):
            return False
        if per_at(inner, 0, self.hearing) is not None or any(one.among(self.hearing.tongue.ones) for one in inner):
            return False
        words = (*self.item.words, *(one.text for one in inner if one.kind == "word"))
        if self.sheet.lexicon.match(words)[1]:
            self.item = replace(self.item, words=words, exact="")
        elif not self.item.named or self.sheet.lexicon.match(tuple(one.text for one in inner))[1]:
            return False
        return self.take(shut + 1, self.item, "")

    def _says_clean(self, shut: int) -> bool:
        """Whether brackets only say what may not be there, "(no tyres)", and the name is whole without them."""
        inner = self.tokens[self.at + 1 : shut]
        if inner and self._also_called(inner):
            return True
        if not inner or self.item.exact or any(one.kind in {"number", "break", "grade"} for one in inner):
            return False
        unknown = not self.sheet.lexicon.knows(one.text for one in inner) and per_at(inner, 0, self.hearing) is None
        if not (unknown or inner[0].among(self.hearing.tongue.without)):
            return False
        match, more = self.sheet.lexicon.match, (*self.item.words, *(one.text for one in inner if one.kind == "word"))
        return match(self.item.words)[1] and not match(more)[1]

    def _also_called(self, inner: Sequence[Token]) -> bool:
        """Whether brackets only say another name of what is surely named before them: "Red brass (gunmetal)"."""
        grade = self.item.exact or self.sheet.lexicon.surely(self.item.words)
        scores, whole = self.sheet.lexicon.match(one.text for one in inner if one.kind == "word")
        return bool(grade) and whole and grade in {other for other, _ in scores}

    def cut(self, token: Token) -> None:
        """Passes over what stands between two names that share what follows; close to both it makes them one."""
        behind = self.tokens[self.at + 1] if self.at + 1 < len(self.tokens) else None
        close = token.text == "/" and behind is not None and behind.start == token.end
        if self.last == "name":
            cuts = (*self.item.cuts, len(self.item.words))
            self.item = replace(self.item, cuts=cuts, compound=self.item.compound or close)
        self.at += 1
