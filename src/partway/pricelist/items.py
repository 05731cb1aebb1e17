"""A text taken apart into items: a name, a price, what it is per, from how much, or that the grade is refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cached_property

from partway.pricelist.folding import folded
from partway.pricelist.joining import headed_as, paid_to_take, priced_per, tiered, with_lot
from partway.pricelist.layout.asides import is_aside_segment, without_asides
from partway.pricelist.layout.changes import ChangeWalk
from partway.pricelist.layout.columns import with_cells, without_old
from partway.pricelist.layout.grouping import grouped
from partway.pricelist.layout.rows import columns_kept
from partway.pricelist.layout.scanned import unscanned
from partway.pricelist.layout.sentences import parted
from partway.pricelist.layout.sounds import full_stop_at, numbered_at, sounded_at
from partway.pricelist.layout.terms import is_of_consignment, is_term, segment_at, term_length
from partway.pricelist.layout.ticket_fees import ticket_fee_of
from partway.pricelist.lines import Item, ListedLot, ListSheet
from partway.pricelist.measures import clause_at, limit_at, lot_at, one_weighs_at, span_at
from partway.pricelist.names import words_of
from partway.spoken.money import Heard, pays_behind
from partway.spoken.numbers import phrase_end, word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.units import SaidUnit, per_at, unknown_unit_at

CELLS = {"batteries", "careful"}  # the families of all batteries


def items_in(text: str, sheet: ListSheet) -> list[Item]:
    """What a text says, in order; pieces that only make sense together are joined."""
    table = text if sheet.comma else with_cells(text)
    plain, dated = without_asides(without_old(unscanned(table, sheet.lexicon), sheet.hearing.tongue))
    tokens = columns_kept(parted(folded(tokens_of(plain, sheet.shapes)), sheet.lexicon, plain))
    return grouped(_Reader(tokens, sheet, dated).read(), sheet.lexicon)


def weight_in(text: str, sheet: ListSheet) -> ListedLot | None:
    """The mass that a text is, such as "40 lb"; None where it is anything else or has no unit."""
    tokens = tokens_of(text, sheet.shapes)
    found = lot_at(tokens, 0, sheet.hearing)
    return found[0] if found is not None and found[0].units and found[1] == len(tokens) else None


class _Reader(ChangeWalk):
    """Walks over the tokens once, from left to right; each step takes what it can use or leaves it to the next."""

    def read(self) -> list[Item]:
        self.read_heading()
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            if token.kind == "break":
                self.break_row(token)
            elif self.at in self.passed:
                self.at += 1
            elif not (
                self._term() or self._limit() or self._shared() or self._refusal() or self._free() or self._lot()
                or self.bracketed(token) or self.moved() or self.corrected() or self.passing() or self._number_name() or self._price()
            ):  # fmt: skip
                self._other(token)
        self.close()
        return self.done

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
            said = segment_at(self.tokens, self.at)
            opens = self.stopped or not self.done or self.done[-1].row != self.row  # behind a price it is of its grade
            if opens and follows and is_of_consignment(said, self.hearing, self.sheet.lexicon):
                return self.take(self.at + len(said), replace(self.item, words=(said[0].text,), term=True), "name")
            if is_aside_segment(said, self.hearing, self.sheet.lexicon):
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
        tongue, follows = self.hearing.tongue, [False]
        words = {*tongue.fees, *tongue.fee_names, *tongue.of_ticket, *tongue.consignments, "off", "less"}
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

    def _refusal(self) -> bool:
        if word_at(self.tokens, self.at) == "not" and self.item.prices:
            wrong = amount_at(self.tokens, self.at + 1, self.hearing)  # "2.90 not 2.95"
            if wrong is not None:
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
        if self.item.prices and self._without_cells(end):
            return self.take(end + 1, self.item, "")  # "laptops 1.10 no battery": as they pay for it, not a refusal
        bounds = not self.item.named and (self.item.minimum or self.item.most)  # "minimum 20 lb, no tires"
        if self.item.prices or self.item.refuses or bounds:
            self.close()
        return self.take(end, replace(self.item, refuses=True, refuses_first=not self.item.named), "refusal")

    def _refuses_what_follows(self, end: int) -> bool:
        """Whether a refusal behind a name is of what comes behind it: "150 for light gauge we don't do fridges"."""
        said = segment_at(self.tokens, end)
        plain = self.item.named and not (self.item.prices or self.item.refuses) and end > self.at + 1
        amounts = any(amount_at(said, n, self.hearing) is not None for n in range(len(said)))
        return plain and not amounts and self.sheet.lexicon.knows(one.text for one in said if one.kind == "word")

    def _drop_talk(self, end: int) -> None:
        """Drops words of no grade before a refusal whose things come behind it: "Reminder we can not take tires"."""
        lexicon = self.sheet.lexicon
        talk = self.item.named and not (self.item.prices or self.item.exact) and not lexicon.knows(self.item.words)
        if talk and not lexicon.untraded(self.item.words) and not self.ends(end) and end > self.at + 1:
            self.item = Item()

    def _without_cells(self, at: int) -> bool:
        """Whether one word, and nothing more, stands there that means batteries of any sort, behind another thing."""
        lexicon = self.sheet.lexicon
        of = {lexicon.families[grade] for grade, _ in lexicon.match((word_at(self.tokens, at),))[0]}
        own = {lexicon.families[grade] for grade, _ in lexicon.match(self.item.words)[0]}
        return self.ends(at + 1) and bool(of) and of <= CELLS and not own & CELLS

    def _describes(self, end: int) -> bool:
        """Whether "no" says what is not on a name before it, whose price comes: "extrusion, no paint 2.40"."""
        before = self.done[-1] if self.done and self.fresh and not self.item.end and not self.cell else None
        if before is None or not before.bare or before.row != self.row or self.stopped:
            return False
        if word_at(self.tokens, self.at) != "no" or end != self.at + 1:
            return False
        said = range(end, self.at + len(segment_at(self.tokens, self.at)))
        return any(amount_at(self.tokens, n, self.hearing) is not None for n in said)

    def _free(self) -> bool:
        """Takes "free" at the end of what is said about a grade; "PCB free" is a name."""
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.free)
        if end is not None and word_at(self.tokens, end) == ":" and not self.sheet.lexicon.knows(self.item.words):
            self.item = replace(Item(), start=self.item.start, row=self.row, fresh=self.fresh)  # "free of charge: oil"
            said = replace(self.item, prices=(Heard((Decimal(0),)),), sure=True, shared="after")
            return self.take(end + 1, said, "")
        if end is None or not self.ends(end) or not self.item.named or self.item.prices:
            return False
        if self.item.words[-1:] == ("pcb",):
            return False
        return self.take(end, replace(self.item, prices=(Heard((Decimal(0),)),), sure=True), "price")

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

    def _number_name(self) -> bool:
        """Takes a 1 or 2 that is part of the name: "copper 2 4.10", "2 copper 4.10"."""
        name = numbered_at(self.tokens, self.at, self.item.words if self.last == "name" else (), self.hearing)
        return bool(name) and self.add((name,))

    def _price(self) -> bool:
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
        if per is not None and self._otherwise(per):
            name = Item(words=self.item.words, exact=self.item.exact, cuts=self.item.cuts)
            self.close()  # "9 each or 24c/lb": two prices, of which one counts
            self.item = name
        item = replace(self.item, prices=(*self.item.prices, heard), per_open=self.item.per_open or charged)
        if per is not None:
            item, end = priced_per(item, per), per.end
        elif (unknown := unknown_unit_at(self.tokens, end, self.hearing)) and not self.sheet.lexicon.knows((unknown,)):
            item, end = replace(item, fault=unknown), end + 2  # "4.34/b"
        return self.take(end, item, "price")

    def _otherwise(self, per: SaidUnit) -> bool:
        """Whether a second price is per something else than the first of the same name."""
        said = self.item.units or self.item.each
        other = per.each != self.item.each or (per.units and per.units != self.item.units)
        return bool(self.item.prices and said and not self.item.headed and (per.units or per.each) and other)

    def _named_behind_price(self) -> bool:
        """Whether the name of a price comes behind it, "ten fifty for bright, nine ninety for clean": what stood before it
        is talk, or its sort.
        """
        if not self.item.prices or self.last != "price":
            return False
        self.behind = True
        if not self._followed_by_name(self._next_price(self.at + 1)):
            return False
        if self.item.words and not self.sheet.lexicon.match(self.item.words)[1]:
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
        """Ends an item whose price came before its name, where another price stands behind that. A name of that price may
        stand at its end: "two sixty for the yellow aluminum cast has come down".
        """
        words, name = self.item.words, ()
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

    def _other(self, token: Token) -> None:
        per = per_at(self.tokens, self.at, self.hearing)
        column = per is not None and self.fresh and not self.item.end and self.ends(per.end)
        column = column and not (per is not None and per.each and self.goes_with_name(token))  # "motherboards, pc"
        after_price = self.item.prices and not self.item.units and not self.item.each and self.last != "name"
        again = per is not None and self.item.prices and self.last == "price" and self._otherwise(per)
        taken = pays_behind(self.tokens, self.at, self.hearing) if self.item.prices else None
        if taken is not None:
            self.take(taken, paid_to_take(self.item), "price")
        elif per is not None and again and not per.each and self.item.units:
            both = tuple(dict.fromkeys((*self.item.units, *per.units)))
            self.take(per.end, replace(self.item, units=both), "price")  # "26 cents /kg a pound"
        elif per is not None and (column or after_price):
            self.take(per.end, priced_per(self.item, per), "")
        elif token.kind == "grade":
            self.add(words_of(token.text), self.sheet.ids.get(token.text, ""))
        elif token.among(self.hearing.tongue.speaks) and self.only_a_speaker():
            self.item, self.last, self.at = Item(), "", self.at + 1
        elif token.among(self.hearing.tongue.names_behind) and self._named_behind_price():
            self.at += 1
        elif token.among(self.hearing.tongue.apart):
            self.cut(token)
        elif token.kind == "mark" or token.text in self.hearing.tongue.noise:
            if self.last == "name" and (token.kind == "word" or full_stop_at(self.tokens, self.at)):
                self.item = replace(self.item, gaps=(*self.item.gaps, len(self.item.words)))
            if token.text in {":", "-", "="} and self.last == "name":
                self.item = replace(self.item, drawn=True)
            if token.text == ":" and self.last == "name" and not self.item.colon:
                self.item = replace(self.item, colon=len(self.item.words))
            self.at += 1
        elif token.text.isdigit() and word_at(self.tokens, self.at + 1) in {"%", "percent", "pct"}:
            self.add((f"{token.text}%",))  # "insulated wire 85 %"
            self.at += 1
        else:
            self.add((token.text,))
