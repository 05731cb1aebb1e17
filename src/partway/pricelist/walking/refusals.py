"""The steps of the walk that take what is refused, and what is taken for nothing."""

from __future__ import annotations

from decimal import Decimal

from partway.pricelist.copying import replace
from partway.pricelist.layout.rows import is_row
from partway.pricelist.layout.terms import segment_at
from partway.pricelist.lines import Item
from partway.pricelist.walking.changes import ChangeWalk
from partway.spoken.money import Heard
from partway.spoken.numbers import phrase_end, word_at
from partway.spoken.ranges import amount_at

SORTS = 4  # things in a row that are not on another, and then its price


class RefusalWalk(ChangeWalk):
    """The steps of the walk that are about what is refused or free."""

    def refusal(self) -> bool:
        """Takes that something is refused, before or behind its name."""
        if word_at(self.tokens, self.at) == "not" and self.item.prices:
            wrong = amount_at(self.tokens, self.at + 1, self.hearing)  # "2.90 not 2.95"
            if wrong is not None and wrong[0].readings != self.item.prices[-1].readings:
                self.at = wrong[1]
                return True
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.refusals)
        if end is None and word_at(self.tokens, self.at) == "no":
            named = self.item.named and not self.item.prices  # "motors no": after the name; "no motors": before it
            end = self.at + 1 if self.ends(self.at + 1) == named else None
        if self.item.refuses_first and self.item.named and word_at(self.tokens, self.at) == "no":
            end = end or self.at + 1  # "no tires no propane tanks"
        if end is None or self._describes(end):
            return False
        self._drop_talk(end)
        if self._refuses_what_follows(end):
            self.close()
        if self.item.prices and self._without_fitting(end):
            return self.take(end + 1, self.item, "")  # "laptops 1.10 no battery": as they pay for it, not a refusal
        bounds = not self.item.named and (self.item.minimum or self.item.most)  # "minimum 20 lb, no tires"
        if self.item.prices or self.item.refuses or bounds:
            self.close()
        return self.take(end, replace(self.item, refuses=True, refuses_first=not self.item.named), "refusal")

    def _refuses_what_follows(self, end: int) -> bool:
        """Whether a refusal behind a name is of what comes behind it: "150 for light gauge we don't do fridges"."""
        plain = self.item.named and not (self.item.prices or self.item.refuses) and end > self.at + 1
        if not plain:  # before the rest is looked through: "no no no ..." would cost the square of its length
            return False
        said = segment_at(self.tokens, end)
        amounts = any(amount_at(said, n, self.hearing) is not None for n in range(len(said)))
        known = self.sheet.lexicon.knows(one.text for one in said if one.kind == "word")
        return not amounts and (known or any(one.kind == "grade" for one in said))

    def _drop_talk(self, end: int) -> None:
        """Drops words of no grade before a refusal whose things come behind it: "Reminder we can not take tires"."""
        lexicon = self.sheet.lexicon
        talk = self.item.named and not (self.item.prices or self.item.exact) and not lexicon.knows(self.item.words)
        if talk and not lexicon.untraded(self.item.words) and not self.ends(end) and end > self.at + 1:
            self.item = Item(left=self.item.words)

    def _without_fitting(self, at: int) -> bool:
        """Whether "no" is of one word, and no more, that names what may be on another thing or in it."""
        name, word = self.item.words, word_at(self.tokens, at)
        bare = at == self.at + 1 and word_at(self.tokens, self.at) == "no"
        return bare and self.ends(at + 1) and word in self.hearing.tongue.fittings and word not in name

    def _describes(self, end: int) -> bool:
        """Whether "no" says what is not on a name before it, whose price comes: "extrusion, no paint 2.40"."""
        before = self.done[-1] if self.done and self.fresh and not self.item.end and not self.cell else None
        if before is None or not (before.bare or before.prices) or before.row != self.row or self.stopped:
            return False
        if word_at(self.tokens, self.at) != "no" or end != self.at + 1:
            return False
        return self._price_comes(end) or (before.bare and self._price_is_below(end))

    def _price_comes(self, at: int) -> bool:
        """Whether a price comes in this part of the row, or behind more of what is not on a thing: "no heatsinks, no
        batteries: 3.15".
        """
        for _ in range(SORTS):
            last = at + len(segment_at(self.tokens, at))
            if any(amount_at(self.tokens, n, self.hearing) is not None for n in range(at, last)):
                return True
            if (
                self.ends(last + 1)
                or self.tokens[last].text != ","
                or word_at(self.tokens, last + 1) not in self.hearing.tongue.without
            ):
                return False
            at = last + 2
        return False

    def _price_is_below(self, at: int) -> bool:
        """Whether the row below this part is a price and no more, as where each cell of a page became a row."""
        row = at + len(segment_at(self.tokens, at))
        below = amount_at(self.tokens, row + 1, self.hearing) if row < len(self.tokens) else None
        return below is not None and is_row(self.tokens[row]) and self.ends(below[1])

    def free(self) -> bool:
        """Takes "free" at the end of what is said about a grade; "PCB free" is a name."""
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.free)
        if end is not None and word_at(self.tokens, end) == ":" and not self.sheet.lexicon.knows(self.item.words):
            before = self.item  # "free of charge: oil"
            self.item = replace(Item(), start=before.start, row=self.row, fresh=self.fresh, left=before.words)
            said = replace(self.item, prices=(Heard((Decimal(0),)),), sure=True, shared="after")
            return self.take(end + 1, said, "")
        if end is None or not self.ends(end) or not self.item.named or self.item.prices:
            return False
        if self.item.words[-1:] == ("pcb",):
            return False
        return self.take(end, replace(self.item, prices=(Heard((Decimal(0),)),), sure=True), "price")
