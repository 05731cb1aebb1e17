"""What a walk over a list takes or passes over of how prices moved, and of when they hold."""

from __future__ import annotations

from decimal import Decimal

from partway.pricelist.copying import replace
from partway.pricelist.layout.sounds import change_at, passing_end
from partway.pricelist.walking.walk import Walk
from partway.spoken.money import Heard, pays_before
from partway.spoken.numbers import phrase_end
from partway.spoken.ranges import amount_at


class ChangeWalk(Walk):
    """The steps of the walk that are about a change."""

    def unchanged(self) -> bool:
        """Takes that a price has not changed, before or behind the name: "no change on motors"."""
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.unchanged)
        opens = not self.item.end and self.fresh and end is not None and not self.ends(end)
        if end is None or not (opens or self.item.named or self.item.prices):
            return False
        if self.item.prices and not self.ends(end):
            self.close()  # "cans are fifty cents no change on motors"
        same = None if self.item.prices else Heard((Decimal(0),))
        return self.take(end, replace(self.item, open_price=same is not None, moved=same), "name")

    def moved(self) -> bool:
        """Takes by how much a price moved where no price is said: "No. 2 is up a nickel"."""
        found = change_at(self.tokens, self.at, self.hearing) if self.item.named and not self.item.prices else None
        if found is None:
            return False
        heard, per, end = found
        every = phrase_end(self.tokens, end, self.hearing.tongue.on_all)
        if not (self.ends(every or end) or self.ends(end - 1)):
            return False  # its end lies behind a comma: "down 2c, sheet unchanged"
        if every is not None:
            end = every
            self.item = replace(self.item, words=(*self.item.words, "every"), exact="", gaps=())
        units = per.units if per is not None else self.item.units
        return self.take(end, replace(self.item, moved=heard, units=units), "price")

    def corrected(self) -> bool:
        """Passes over what says that the next price takes the place of an earlier one, "sorry, 19", "edit: 2.90", or of
        the one just said, "forty two no wait forty four".
        """
        end = phrase_end(self.tokens, self.at, self.hearing.tongue.corrects)
        if end is None or (self.item.end and not self.item.prices):
            return False
        if self.item.end:
            said = amount_at(self.tokens, end, self.hearing)
            if said is None or self.last != "price":
                return False
            self.item = replace(self.item, prices=())
            self.at = end
            return True
        self.at, self.corrects = end, True
        return True

    def passing(self) -> bool:
        """Passes over what says when, over what a price was, and over the rest of a line that explains its price."""
        behind = self.fresh and not self.item.end and self.done and self.done[-1].row == self.row
        priced = self.item.prices or (behind and self.done[-1].prices)  # "cans .52, was .58"
        end = passing_end(self.tokens, self.at, self.hearing, priced=bool(priced))
        before = pays_before(self.tokens, self.at, self.hearing) if end is None else None
        if before is not None and amount_at(self.tokens, before, self.hearing) is not None:
            end, self.pays = before, True
        they = phrase_end(self.tokens, self.at, self.hearing.tongue.they_pay) if end is None else None
        if they is not None and self.item.named and not self.item.prices:
            end, self.item = they, replace(self.item, payer_known=True)
        if end is None:
            return False
        if self.tokens[self.at].among(self.hearing.tongue.tails):
            self.leave(tuple(token.text for token in self.tokens[self.at + 1 : end]))
        if self.last == "name":
            self.item = replace(self.item, gaps=(*self.item.gaps, len(self.item.words)))
        self.at = end
        return True
