"""A text taken apart into items: a name, a price, what it is per, from how much, or that the grade is refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Literal

from partway.pricelist.folding import folded
from partway.pricelist.joining import headed_as, joined, paid_to_take, priced_per, tiered, with_lot
from partway.pricelist.layout.asides import is_aside, is_aside_segment, row_at, without_asides
from partway.pricelist.layout.columns import with_cells, without_old
from partway.pricelist.layout.grouping import grouped
from partway.pricelist.layout.rows import Heading, columns_kept, heading_at, is_cell, is_row, named_heading_at
from partway.pricelist.layout.scanned import unscanned
from partway.pricelist.layout.sentences import STOPS, parted
from partway.pricelist.layout.sounds import full_stop_at, numbered_at, passing_end, sounded_at
from partway.pricelist.layout.terms import is_term, segment_at
from partway.pricelist.lines import Item, ListedLot, ListSheet
from partway.pricelist.measures import clause_at, limit_at, lot_at, one_weighs_at, span_at
from partway.pricelist.names import words_of
from partway.spoken.money import Heard, pays_before, pays_behind
from partway.spoken.numbers import phrase_end, word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.units import per_at

Last = Literal["", "name", "price", "refusal", "lot"]


def items_in(text: str, sheet: ListSheet) -> list[Item]:
    """What a text says, in order; pieces that only make sense together are joined."""
    table = text if sheet.comma else with_cells(text)
    plain, dated = without_asides(without_old(unscanned(table, sheet.lexicon), sheet.hearing.tongue))
    tokens = columns_kept(parted(folded(tokens_of(plain, sheet.shapes)), sheet.lexicon))
    return grouped(_Reader(tokens, sheet, dated).read(), sheet.lexicon)


def weight_in(text: str, sheet: ListSheet) -> ListedLot | None:
    """The mass that a text is, such as "40 lb"; None where it is anything else or has no unit."""
    tokens = tokens_of(text, sheet.shapes)
    found = lot_at(tokens, 0, sheet.hearing)
    return found[0] if found is not None and found[0].units and found[1] == len(tokens) else None


class _Reader:
    """Walks over the tokens once, from left to right; each step takes what it can use or leaves it to the next."""

    def __init__(self, tokens: Sequence[Token], sheet: ListSheet, dated: frozenset[int]) -> None:
        self.tokens, self.sheet, self.hearing, self.dated = tokens, sheet, sheet.hearing, dated
        self.done: list[Item] = []
        self.item = Item()
        self.last: Last = ""
        self.at = self.row = 0
        self.fresh = True  # no item since the last break
        self.stopped = self.cell = self.pays = self.hundredths = False
        self.units: tuple[str, ...] = ()  # what a heading says that prices are per
        self.over: Heading | None = None  # the row names what follows, and says what that is per
        self.passed: frozenset[int] = frozenset()

    def read(self) -> list[Item]:
        self._heading()
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            if token.kind == "break":
                self._break(token)
            elif self.at in self.passed:
                self.at += 1
            elif not (
                self._term() or self._limit() or self._shared() or self._refusal() or self._free() or self._lot()
                or self._bracketed(token) or self._passing() or self._number_name() or self._price()
            ):  # fmt: skip
                self._other(token)
        self._close()
        return self.done

    def _break(self, token: Token) -> None:
        self._close()
        self.fresh, self.cell, self.at = True, is_cell(token), self.at + 1
        self.stopped = token.text in STOPS
        if is_row(token):
            self.row += 1
            self._heading()

    def _heading(self) -> None:
        """A row that only heads a list says what prices below are per, and is nothing else."""
        row = row_at(self.tokens, self.at)
        if is_aside(row, self.hearing, self.sheet.lexicon, dated=self.row in self.dated):
            self._take(self.at + len(row), replace(self.item, words=(row[0].text,)), "name")
        found = heading_at(self.tokens, self.at, self.hearing)
        named = named_heading_at(self.tokens, self.at, self.hearing) if found is None else None
        self.over, self.passed = named or (None, frozenset())
        if found is not None:
            self.at, self.units = found.end, found.units or self.units
            self.hundredths = found.hundredths or (self.hundredths and not found.units)

    def _take(self, end: int, item: Item, last: Last) -> bool:
        """Makes the item what it is with the tokens up to `end`."""
        opens = self.item.end == 0
        start = self.tokens[self.at].start if opens else self.item.start
        item = replace(item, row=self.row, cell=self.cell, fresh=self.fresh, stopped=self.stopped) if opens else item
        self.item = replace(item, start=start, end=self.tokens[min(end, len(self.tokens)) - 1].end)
        self.at, self.last = end, last or self.last
        return True

    def _close(self) -> None:
        if self.item.end:
            item = headed_as(self.item, self.units, hundredths=self.hundredths)
            if self.over is not None and item.bare:
                item = replace(item, over_units=self.over.units, over_hundredths=self.over.hundredths)
            together = joined(self.done[-1], item) if self.done and self.fresh else None
            if together is None:
                self.done.append(item)
            else:
                self.done[-1:] = together
            self.fresh = False
        self.item, self.last, self.pays = Item(), "", False

    def _ends(self, at: int) -> bool:
        return at >= len(self.tokens) or self.tokens[at].kind == "break"

    def _term(self) -> bool:
        """Takes what is said of the whole ticket, or that a price is named when asked."""
        if not self.item.end and self.fresh:
            for said in (row_at(self.tokens, self.at), segment_at(self.tokens, self.at)):
                if is_term(said, self.hearing, self.sheet.lexicon):
                    return self._take(self.at + len(said), replace(self.item, words=(said[0].text,), term=True), "name")
            said = segment_at(self.tokens, self.at)
            if is_aside_segment(said, self.hearing, self.sheet.lexicon):
                return self._take(self.at + len(said), replace(self.item, words=(said[0].text,)), "name")
            if (end := phrase_end(self.tokens, self.at, self.hearing.tongue.unchanged)) is not None and not self._ends(end):
                return self._take(end, replace(self.item, open_price=True), "name")
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.unchanged)
        if end is not None and (self.item.named or self.item.prices):
            if self.item.prices and not self._ends(end):
                self._close()  # "cans are fifty cents no change on motors"
            return self._take(end, replace(self.item, open_price=not self.item.prices), "name")
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.open_prices)
        if end is None or self.item.prices or not self._ends(end) or not (self.item.named or self.cell):
            return False
        return self._take(end, replace(self.item, open_price=True), "")

    def _limit(self) -> bool:
        found = limit_at(self.tokens, self.at, self.hearing)
        if found is not None:
            return self._take(found[2], with_lot(self.item, found[0], found[1]), "lot")
        priced = self.item.prices or (self.done and self.fresh and not self.item.end and self.done[-1].prices)
        one = one_weighs_at(self.tokens, self.at, self.hearing) if priced else None
        if one is None:
            return False
        said = self.item if self.item.prices else self.done[-1]
        each = self.item.each or not (said.units or said.each)
        return self._take(one[1], replace(with_lot(self.item, "piece", one[0]), each=each), "lot")

    def _shared(self) -> bool:
        """Takes "all of these", or the "all" of "starters and alternators all 45c"."""
        tongue = self.hearing.tongue
        end = phrase_end(self.tokens, self.at, tongue.all)
        if end is None and self.item.named and word_at(self.tokens, self.at) in tongue.all_before_price:
            found = amount_at(self.tokens, self.at + 1, self.hearing)
            end = self.at + 1 if found is not None and word_at(self.tokens, found[1]) != "price" else None
        if end is None:
            return False
        return self._take(end, replace(self.item, shared="before" if self.item.named else "after"), "")

    def _refusal(self) -> bool:
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.refusals)
        if end is None and word_at(self.tokens, self.at) == "no":
            named = self.item.named and not self.item.prices  # "motors no": after the name; "no motors": before it
            end = self.at + 1 if self._ends(self.at + 1) == named else None
        if end is None:
            return False
        if self.item.prices or self.item.refuses:
            self._close()
        return self._take(end, replace(self.item, refuses=True, refuses_first=not self.item.named), "refusal")

    def _free(self) -> bool:
        """Takes "free" at the end of what is said about a grade; "PCB free" is a name."""
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.free)
        if end is None or not self._ends(end) or not self.item.named or self.item.prices:
            return False
        if self.item.words[-1:] == ("pcb",):
            return False
        return self._take(end, replace(self.item, prices=(Heard((Decimal(0),)),), sure=True), "price")

    def _lot(self) -> bool:
        if (span := span_at(self.tokens, self.at, self.hearing)) is not None:
            item = replace(self.item, from_lot=span[0] or self.item.from_lot, below=span[1])
            return self._take(span[2], item, "lot")
        if self._above():
            return True
        found = clause_at(self.tokens, self.at, self.hearing)
        if found is None:
            return False
        which, lot, end = found
        if self.item.prices and amount_at(self.tokens, end, self.hearing) is not None:
            name = Item(words=self.item.words, exact=self.item.exact)  # "4.10 over 100 lb 4.25": a tier of the same
            self._close()
            return self._take(end, with_lot(name, which, lot), "lot")
        before = tiered(self.item, which)
        if before is not None:  # "4.60 / 4.70 over 200 lb"
            self.done.append(headed_as(before, self.units, hundredths=self.hundredths))
            self.item = replace(self.item, prices=self.item.prices[1:])
        return self._take(end, with_lot(self.item, which, lot), "lot")

    def _above(self) -> bool:
        """Takes "over" that says no mass, behind a price for less than one: "2.45 under 100 lb, 2.55 over"."""
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.above)
        if end is None or not self.item.prices:
            return False
        if self._ends(end) or word_at(self.tokens, end) == ")":
            return self._take(end, replace(self.item, above=True), "lot")
        bounded = self.item.below or self.item.most
        lot = lot_at(self.tokens, end, self.hearing)
        if not bounded or (lot is not None and lot[0].units) or amount_at(self.tokens, end, self.hearing) is None:
            return False
        self._close()  # "55 cents up to 100 pounds then 60"
        self.fresh = True
        return self._take(end, replace(self.item, above=True), "lot")

    def _passing(self) -> bool:
        """Passes over what says when, over what a price was, and over the rest of a line that explains its price."""
        behind = self.fresh and not self.item.end and self.done and self.done[-1].row == self.row
        priced = self.item.prices or (behind and self.done[-1].prices)  # "cans .52, was .58"
        end = passing_end(self.tokens, self.at, self.hearing, priced=bool(priced))
        before = pays_before(self.tokens, self.at, self.hearing) if end is None else None
        if before is not None and amount_at(self.tokens, before, self.hearing) is not None:
            end, self.pays = before, True
        if end is None:
            return False
        if self.last == "name":
            self.item = replace(self.item, gaps=(*self.item.gaps, len(self.item.words)))
        self.at = end
        return True

    def _number_name(self) -> bool:
        """Takes a 1 or 2 that is part of the name: "copper 2 4.10", "2 copper 4.10"."""
        name = numbered_at(self.tokens, self.at, self.item.words if self.last == "name" else (), self.hearing)
        return bool(name) and self._add((name,))

    def _price(self) -> bool:
        found = amount_at(self.tokens, self.at, self.hearing) or sounded_at(
            self.tokens, self.at, self.hearing, named=self.last == "name"
        )
        if found is None:
            return False
        if self.item.prices and self.last == "name":
            self._close()  # "4.10 for no 2 copper 38c for motors": prices come first here
        heard, end = found
        heard, self.pays = heard.negative() if self.pays else heard, False
        if word_at(self.tokens, end) in self.hearing.tongue.relative and self._no_figure(end + 1):
            heard, end = replace(heard, fault="it is said against another price"), end + 1
        item = replace(self.item, prices=(*self.item.prices, heard))
        per = per_at(self.tokens, end, self.hearing)
        if per is not None:
            item, end = priced_per(item, per), per.end
        return self._take(end, item, "price")

    def _no_figure(self, at: int) -> bool:
        return at >= len(self.tokens) or not self.tokens[at].text[:1].isdigit()

    def _other(self, token: Token) -> None:
        per = per_at(self.tokens, self.at, self.hearing)
        column = per is not None and self.fresh and not self.item.end and self._ends(per.end)
        column = column and not (per is not None and per.each and self._goes_with_name(token))  # "motherboards, pc"
        after_price = self.item.prices and not self.item.units and not self.item.each and self.last != "name"
        taken = pays_behind(self.tokens, self.at, self.hearing) if self.item.prices else None
        if taken is not None:
            self._take(taken, paid_to_take(self.item), "price")
        elif per is not None and (column or after_price):
            self._take(per.end, priced_per(self.item, per), "")
        elif token.kind == "grade":
            self._add(words_of(token.text), self.sheet.ids.get(token.text, ""))
        elif token.among(self.hearing.tongue.speaks) and self._only_a_speaker():
            self.item, self.last, self.at = Item(), "", self.at + 1
        elif token.among(self.hearing.tongue.apart):
            if self.last == "name":
                close = token.text == "/" and self.at + 1 < len(self.tokens) and self.tokens[self.at + 1].start == token.end
                compound = self.item.compound or close
                self.item = replace(self.item, cuts=(*self.item.cuts, len(self.item.words)), compound=compound)
            self.at += 1
        elif token.kind == "mark" or token.text in self.hearing.tongue.noise:
            if self.last == "name" and (token.kind == "word" or full_stop_at(self.tokens, self.at)):
                self.item = replace(self.item, gaps=(*self.item.gaps, len(self.item.words)))
            if token.text in {":", "-", "="} and self.last == "name":
                self.item = replace(self.item, drawn=True)
            if token.text == ":" and self.last == "name" and not self.item.colon:
                self.item = replace(self.item, colon=len(self.item.words))
            self.at += 1
        else:
            self._add((token.text,))

    def _goes_with_name(self, token: Token) -> bool:
        """Whether a word that may be a unit is the rest of the name before it."""
        before = self.done[-1] if self.done and not self.cell else None
        named = before is not None and before.bare and before.row == self.row
        return named and bool(self.sheet.lexicon.surely((*self.done[-1].words, token.text)))

    def _bracketed(self, token: Token) -> bool:
        """Passes over a mass in brackets that describes a name whose price comes behind: "(20 lb size): $2 each"."""
        if token.text != "(" or self.last != "name" or self.item.prices:
            return False
        lot = lot_at(self.tokens, self.at + 1, self.hearing)
        shut = next((n for n in range(self.at, len(self.tokens)) if self.tokens[n].text == ")"), None)
        if lot is None or not lot[0].units or shut is None or self.tokens[lot[1]].text == ")":
            return False
        inner = self.at + 1
        if limit_at(self.tokens, inner, self.hearing) or clause_at(self.tokens, inner, self.hearing):
            return False
        self.at = shut + 1
        return True

    def _only_a_speaker(self) -> bool:
        """Whether the words so far are of no grade, as in "harbour says"."""
        name = self.item.named and not self.item.exact and self.last == "name" and not self.item.prices
        return name and not self.sheet.lexicon.match(self.item.words)[0]

    def _add(self, words: tuple[str, ...], exact: str = "") -> bool:
        """Adds to the name, or begins another item where a name comes again after a price or a refusal."""
        if self.item.named and self.last != "name":
            self._close()
        # A grade's name with more words around it is no longer that name alone.
        exact = "" if self.item.named else exact
        return self._take(self.at + 1, replace(self.item, words=(*self.item.words, *words), exact=exact), "name")
