"""The steps of the walk that take a price, with what it is per, and the name that may stand behind it."""

from __future__ import annotations

from partway.pricelist.copying import replace
from partway.pricelist.folding import FIRST_TWO
from partway.pricelist.joining import paid_to_take, priced_per
from partway.pricelist.layout.sounds import numbered_at, sounded_at
from partway.pricelist.lines import Item
from partway.pricelist.walking.refusals import RefusalWalk
from partway.spoken.money import SIGNS, pays_behind
from partway.spoken.numbers import number_at, word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token
from partway.spoken.units import SaidUnit, per_at, unit_name_at, unknown_unit_at


class PriceWalk(RefusalWalk):
    """The steps of the walk that are about prices."""

    def number_name(self) -> bool:
        """Takes a 1 or 2 that is part of the name: "copper 2 4.10", "2 copper 4.10"."""
        if self.behind and self.last == "name" and self._only_a_number():
            return self.add((FIRST_TWO[self.tokens[self.at].text],))
        name = numbered_at(self.tokens, self.at, self.item.words if self.last == "name" else (), self.hearing)
        return bool(name) and self.add((name,))

    def _only_a_number(self) -> bool:
        """Whether a 1 or 2 behind "for" is the name of a price, "ten sixty for two", and counts nothing."""
        token, behind = self.tokens[self.at], word_at(self.tokens, self.at + 1)
        opened = self.at > 0 and self.tokens[self.at - 1].among(self.hearing.tongue.names_behind)
        if not opened or token.text not in FIRST_TWO or token.kind not in {"number", "word"}:
            return False
        number = number_at(self.tokens, self.at, self.hearing)
        alone = number is None or number[2] == self.at + 1
        money = {*self.hearing.tongue.hundredths, *self.hearing.tongue.money, *self.hearing.tongue.pieces}
        return alone and behind not in money and unit_name_at(self.tokens, self.at + 1, self.hearing) is None

    def price(self) -> bool:
        """Takes an amount with what it is per."""
        found = amount_at(self.tokens, self.at, self.hearing) or sounded_at(
            self.tokens, self.at, self.hearing, named=self.last == "name"
        )
        if found is None or self._of_time(found[1]):
            return False
        if self.item.prices and self.last == "name":
            self._begins_anew(found[1])  # "4.10 for no 2 copper 38c for motors": prices come first here
        heard, end = found
        charged, self.pays = self.pays, False
        heard = heard.negative() if charged else heard
        if word_at(self.tokens, end) in self.hearing.tongue.relative and self._no_figure(end + 1):
            heard, end = replace(heard, fault="it is said against another price"), end + 1
        per = per_at(self.tokens, end, self.hearing)
        if per is not None and self.otherwise(per):
            name = Item(words=self.item.words, exact=self.item.exact, cuts=self.item.cuts)
            self.close()  # "9 each or 24c/lb": two prices, of which one counts
            self.item = name
        before = self.tokens[self.at - 1]
        beside = self.item.prices and self.last == "price" and (before.kind != "mark" or before.text in SIGNS)
        item = replace(self.item, prices=(*self.item.prices, heard), per_open=self.item.per_open or charged)
        item = replace(item, columns=item.columns or bool(beside))
        if per is not None:
            item, end = priced_per(item, per), per.end
        elif (unknown := unknown_unit_at(self.tokens, end, self.hearing)) and not self.sheet.lexicon.knows((unknown,)):
            item, end = replace(item, fault=unknown), end + 2  # "4.34/b"
        return self.take(end, item, "price")

    def per(self, token: Token) -> bool:
        """Takes what the price before is per, or who pays it, where that stands by itself."""
        per = per_at(self.tokens, self.at, self.hearing)
        if self.item.prices and (taken := pays_behind(self.tokens, self.at, self.hearing)) is not None:
            return self.take(taken, paid_to_take(self.item), "price")
        if per is None or self._other_unit(token):
            return per is not None
        if self.item.prices and self.last == "price" and self.item.units and not per.each and self.otherwise(per):
            both = tuple(dict.fromkeys((*self.item.units, *per.units)))
            return self.take(per.end, replace(self.item, units=both), "price")  # "26 cents /kg a pound"
        column = self.fresh and not self.item.end and self.ends(per.end)
        column = column and not (per.each and self.goes_with_name(token))  # "motherboards, pc"
        after_price = self.item.prices and not self.item.units and not self.item.each and self.last != "name"
        return bool(column or after_price) and self.take(per.end, priced_per(self.item, per), "")

    def _other_unit(self, token: Token) -> bool:
        """Puts a second unit aside, to be asked about: "$0.85/lb cwt"."""
        bare = word_at(self.tokens, self.at) in self.hearing.tongue.hundredweight
        bare = bare or (self.item.each and token.text == "per")  # "165 each per tonne"
        if not (bare and self.item.prices and self.last == "price" and (self.item.units or self.item.each)):
            return False
        self.leave((token.text,))
        self.at += 1
        return True

    def otherwise(self, per: SaidUnit) -> bool:
        """Whether a second price is per something else than the first of the same name."""
        said = self.item.units or self.item.each
        other = per.each != self.item.each or (per.units and per.units != self.item.units)
        return bool(self.item.prices and said and not self.item.headed and (per.units or per.each) and other)

    def named_behind_price(self) -> bool:
        """Whether the name of a price comes behind it, "ten fifty for bright, nine ninety for clean": what stood
        before it is talk, or its sort.
        """
        if not self.item.prices or self.last != "price":
            return False
        self.behind = True
        if not (self.run or self._followed_by_name(self._next_price(self.at + 1))):
            return False
        self.run = True
        if self.item.words and not self.sheet.lexicon.match(self.item.words)[1]:
            self.leave(self.item.words)
            self.item = replace(self.item, words=(), cuts=(), gaps=())
        self.last = "name"
        return True

    def _next_price(self, at: int) -> int:
        """Behind the next amount in the row, with what it is per; -1 where none comes."""
        while not self.ends(at):
            found = amount_at(self.tokens, at, self.hearing) if self.tokens[at].kind != "grade" else None
            if found is not None and not numbered_at(self.tokens, at, (), self.hearing):
                per = per_at(self.tokens, found[1], self.hearing)
                return per.end if per is not None else found[1]
            at += 1
        return -1

    def _followed_by_name(self, end: int) -> bool:
        return end > 0 and word_at(self.tokens, end) in self.hearing.tongue.names_behind

    def _begins_anew(self, end: int) -> None:
        """Ends an item whose price came before its name, where another price stands behind that. A name of that price
        may stand at its end: "two sixty for the yellow aluminum cast has come down".
        """
        words = self.item.words
        name: tuple[str, ...] = ()
        if self.behind and not self._followed_by_name(end) and not self.item.exact:
            splits = (n for n in range(1, len(words)) if self.sheet.lexicon.match(words[n:])[1])
            first = next(splits, 0)
            self.item, name = replace(self.item, words=words[:first] or words), words[first:] if first else ()
            self.item = self.item if first else replace(self.item, fault=" ".join(words))
        self.close()
        self.item = Item(words=name)

    def _of_time(self, end: int) -> bool:
        """Whether a number is one of days or hours: "payment within 3 days", "5 business days"."""
        tongue = self.hearing.tongue
        end += word_at(self.tokens, end) in tongue.workdays
        return word_at(self.tokens, end) in tongue.days | tongue.weeks | (tongue.hours - {"h"})

    def _no_figure(self, at: int) -> bool:
        return at >= len(self.tokens) or not self.tokens[at].text[:1].isdigit()
