"""A text taken apart into items: a name, a price, what it is per, from how much, or that the grade is refused."""

from __future__ import annotations

import re
from collections.abc import Container, Sequence
from functools import cached_property

from partway.pricelist.copying import replace
from partway.pricelist.folding import FIRST_TWO, folded
from partway.pricelist.joining import headed_as, tiered, with_lot
from partway.pricelist.layout.asides import is_aside_segment, without_asides, without_marks
from partway.pricelist.layout.grouping import grouped
from partway.pricelist.layout.rows import columns_kept
from partway.pricelist.layout.scanned import unscanned
from partway.pricelist.layout.sentences import parted
from partway.pricelist.layout.sounds import full_stop_at
from partway.pricelist.layout.terms import is_of_consignment, is_term, segment_at, term_length
from partway.pricelist.layout.ticket_fees import ticket_fee_of
from partway.pricelist.lines import Item, ListedLot, ListSheet
from partway.pricelist.measures import clause_at, limit_at, lot_at, one_weighs_at, span_at
from partway.pricelist.names import words_of
from partway.pricelist.tables.columns import with_cells, without_former, without_old
from partway.pricelist.walking.prices import PriceWalk
from partway.spoken.numbers import phrase_end, word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token, tokens_of
from partway.things.currencies import CURRENCIES

CODES = frozenset(code.lower() for code in CURRENCIES)
AGAIN = re.compile(r"(?<=[!?])[!?]+")  # "NO!!"


def items_in(text: str, sheet: ListSheet) -> list[Item]:
    """What a text says, in order; pieces that only make sense together are joined."""
    text, notes = without_marks(text)
    table = without_former(text if sheet.comma else with_cells(text))
    plain, dated = without_asides(without_old(unscanned(table, sheet.lexicon), sheet.hearing.tongue))
    plain = AGAIN.sub(lambda found: " " * len(found[0]), plain)
    tokens = columns_kept(parted(folded(tokens_of(plain, sheet.shapes)), sheet.lexicon, plain))
    return grouped(_Reader(tokens, sheet, dated, notes).read(), sheet.lexicon)


def weight_in(text: str, sheet: ListSheet) -> ListedLot | None:
    """The mass that a text is, such as "40 lb"; None where it is anything else or has no unit."""
    tokens = tokens_of(text, sheet.shapes)
    found = lot_at(tokens, 0, sheet.hearing)
    return found[0] if found is not None and found[0].units and found[1] == len(tokens) else None


class _Reader(PriceWalk):
    """Walks over the tokens once, from left to right; each step takes what it can use or leaves it to the next."""

    def read(self) -> list[Item]:
        self.read_heading()
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            if token.kind == "break":
                self.break_row(token)
            elif self.at in self.passed:
                self.leave((token.text,))
                self.at += 1
            elif self._is_plain(token) or not (
                self._term() or self._limit() or self._shared() or self.corrected() or self.refusal() or self.free()
                or self._lot() or self.bracketed(token) or self.moved() or self.passing()
                or self.number_name() or self.price()
            ):  # fmt: skip
                self._other(token)
        self.close()
        return self.done

    def _is_plain(self, token: Token) -> bool:
        """Whether a word can only be one of a name, or what a price is per: no other step is tried for it."""
        if (
            token.kind != "word"
            or not token.text.isalpha()
            or self.terms_follow[self.at]
            or self.asides_follow[self.at]
        ):
            return False
        return not (token.text in self.hearing.tongue.opens or token.text in FIRST_TWO or token.text in CODES)

    def _term(self) -> bool:
        """Takes what is said of the whole ticket, or that a price is named when asked."""
        follows = self.terms_follow[self.at]
        behind = follows and self._fee_behind()
        if (self.item.prices or self.item.refuses) and behind:
            self.close()  # "no 2 copper 4.10 less 3% admin"
        fresh = self.fresh or behind
        if not self.item.end and fresh:
            length = term_length(self.tokens, self.at, self.hearing, self.sheet.lexicon) if follows else 0
            if length:
                term = replace(self.item, words=(self.tokens[self.at].text,), term=True)
                return self.take(self.at + length, term, "name")
            said = segment_at(self.tokens, self.at) if follows or self.asides_follow[self.at] else ()
            opens = self.stopped or not self.done or self.done[-1].row != self.row  # behind a price it is of its grade
            if opens and follows and is_of_consignment(said, self.hearing, self.sheet.lexicon):
                return self.take(self.at + len(said), replace(self.item, words=(said[0].text,), term=True), "name")
            if self.asides_follow[self.at] and is_aside_segment(said, self.hearing, self.sheet.lexicon):
                return self.take(self.at + len(said), replace(self.item, words=(said[0].text,)), "name")
        if self.unchanged():
            return True
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.open_prices)
        end = (phrase_end(self.tokens, end, self.hearing.tongue.passing) or end) if end is not None else None
        if end is None or self.item.prices or not self.ends(end) or not (self.item.named or self.cell):
            return False
        return self.take(end, replace(self.item, open_price=True), "")

    @cached_property
    def terms_follow(self) -> Sequence[bool]:
        """Of each token, whether a word that a ticket's terms have stands there or behind it, up to the next break."""
        tongue = self.hearing.tongue
        return self._follow(
            {*tongue.fees, *tongue.fee_names, *tongue.of_ticket, *tongue.consignments, *tongue.off, *tongue.less}
        )

    @cached_property
    def asides_follow(self) -> Sequence[bool]:
        """The same of a word that an aside has: nothing else is looked at as one from each of a thousand dashes."""
        tongue = self.hearing.tongue
        return self._follow({*tongue.payments, *tongue.weekdays, *tongue.asides})

    def _follow(self, words: Container[str]) -> Sequence[bool]:
        follows = [False]
        for token in reversed(self.tokens):
            follows.append(token.kind != "break" and (follows[-1] or token.text in words))
        return follows[:0:-1]

    def _fee_behind(self) -> bool:
        """Whether the rest says a fee of the ticket, or, behind a stop, what else holds for all of it."""
        said = segment_at(self.tokens, self.at)
        before = self.tokens[self.at - 1] if self.at else None
        stopped = before is not None and (before.text == "." or before.kind == "break")
        return ticket_fee_of(said, self.hearing) is not None or (
            stopped and is_term(said, self.hearing, self.sheet.lexicon)
        )

    def _limit(self) -> bool:
        found = limit_at(self.tokens, self.at, self.hearing)
        if found is not None:
            return self.take(found[2], with_lot(self.item, found[0], found[1]), "lot")
        priced = self.item.prices or (self.done and self.fresh and not self.item.end and self.done[-1].prices)
        one = one_weighs_at(self.tokens, self.at, self.hearing) if priced else None
        if one is None:
            return False
        said = self.item if self.item.prices else self.done[-1]
        each = self.item.each or not (said.units or said.each)
        return self.take(one[1], replace(with_lot(self.item, "piece", one[0]), each=each), "lot")

    def _shared(self) -> bool:
        """Takes "all of these", or the "all" of "starters and alternators all 45c"."""
        tongue = self.hearing.tongue
        end = phrase_end(self.tokens, self.at, tongue.all)
        if end is None and self.item.named and word_at(self.tokens, self.at) in tongue.all_before_price:
            found = amount_at(self.tokens, self.at + 1, self.hearing)
            end = self.at + 1 if found is not None and word_at(self.tokens, found[1]) != "price" else None
        if end is None:
            return False
        return self.take(end, replace(self.item, shared="before" if self.item.named else "after"), "")

    def _lot(self) -> bool:
        if (span := span_at(self.tokens, self.at, self.hearing)) is not None:
            item = replace(self.item, from_lot=span[0] or self.item.from_lot, below=span[1])
            return self.take(span[2], item, "lot")
        if self._above():
            return True
        found = clause_at(self.tokens, self.at, self.hearing)
        if found is None:
            return False
        which, lot, end = found
        if getattr(self.item, which) not in {None, lot}:
            self.leave(tuple(token.text for token in self.tokens[self.at : end]))  # "min 200 lb min 50 lb"
            self.at = end
            return True
        if self.item.prices and amount_at(self.tokens, end, self.hearing) is not None:
            name = Item(words=self.item.words, exact=self.item.exact)  # "4.10 over 100 lb 4.25": a tier of the same
            self.close()
            return self.take(end, with_lot(name, which, lot), "lot")
        before = tiered(self.item, which)
        if before is not None:  # "4.60 / 4.70 over 200 lb"
            self.done.append(headed_as(before, self.head))
            self.item = replace(self.item, prices=self.item.prices[1:])
        return self.take(end, with_lot(self.item, which, lot), "lot")

    def _above(self) -> bool:
        """Takes "over" that says no mass, behind a price for less than one: "2.45 under 100 lb, 2.55 over"."""
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.above)
        if end is None or not self.item.prices:
            return False
        if self.ends(end) or word_at(self.tokens, end) == ")":
            return self.take(end, replace(self.item, above=True), "lot")
        bounded = self.item.below or self.item.most
        lot = lot_at(self.tokens, end, self.hearing)
        if not bounded or (lot is not None and lot[0].units) or amount_at(self.tokens, end, self.hearing) is None:
            return False
        self.close()  # "55 cents up to 100 pounds then 60"
        self.fresh = True
        return self.take(end, replace(self.item, above=True), "lot")

    def _other(self, token: Token) -> None:
        if self.per(token):
            return
        if token.kind == "grade":
            self.add(words_of(token.text), self.sheet.ids.get(token.text, ""))
        elif token.among(self.hearing.tongue.speaks) and self.only_a_speaker():
            self.item, self.last, self.at = Item(left=self.item.words), "", self.at + 1
        elif token.among(self.hearing.tongue.names_behind) and self.named_behind_price():
            self.at += 1
        elif token.among(self.hearing.tongue.apart):
            self.cut(token)
        elif token.kind == "mark" or token.text in self.hearing.tongue.noise:
            self._passed_mark(token)
        elif token.text.isdigit() and word_at(self.tokens, self.at + 1) in self.hearing.tongue.shares:
            self.add((f"{token.text}%",))  # "insulated wire 85 %"
            self.take(self.at + 1, self.item, "name")
        else:
            self.add((token.text,))

    def _passed_mark(self, token: Token) -> None:
        """Passes over a mark, or a word that carries nothing; that it stood in a name is kept."""
        if self.last == "name":
            if token.kind == "word" or full_stop_at(self.tokens, self.at):
                self.item = replace(self.item, gaps=(*self.item.gaps, len(self.item.words)))
            if token.text in {":", "-", "="}:
                self.item = replace(self.item, drawn=True)
            if token.text == ":" and not self.item.colon:
                self.item = replace(self.item, colon=len(self.item.words))
        self.at += 1
