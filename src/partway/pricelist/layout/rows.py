"""The rows of a pasted text before its prices are read: tables, and headings that say what all prices below are per."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.pricelist.copying import replace
from partway.pricelist.lines import ListedLot, SaidOver
from partway.pricelist.measures import clause_at
from partway.spoken.money import SIGNS
from partway.spoken.numbers import word_at
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.spoken.units import SaidUnit, per_at, unit_name_at

ROW = frozenset(["\n", "\r"])
LONGEST = 60  # tokens of a heading
CELL = frozenset(["|", "\t"])


@dataclass(frozen=True, slots=True)
class Heading:
    """A row that names no grade and no price: "Item | Price per kg". Where it ends, and what it says of those below."""

    end: int
    says: SaidOver


def is_row(token: Token) -> bool:
    """Whether a row ends there."""
    return token.kind == "break" and token.text in ROW


def is_cell(token: Token) -> bool:
    """Whether a cell of a table ends there."""
    return token.kind == "break" and token.text in CELL


def columns_kept(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without the commas inside of cells: in a table only its lines and tabs part things."""
    found: list[Token] = []
    row: list[Token] = []
    for token in (*tokens, None):
        if token is not None:
            row.append(token)
        if token is None or is_row(token):
            table = any(is_cell(one) for one in row)
            found += [one for one in row if not (table and one.kind == "break" and not (is_cell(one) or is_row(one)))]
            row = []
    return found


def heading_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> Heading | None:
    """The heading that a row is, where it is one: only words that head a list, marks, and units."""
    tongue = hearing.tongue
    says, words, first = SaidOver(), 0, at
    while at < len(tokens) and not is_row(tokens[at]):
        per = per_at(tokens, at, hearing)
        word = word_at(tokens, at)
        if (behind := _hundredths_of(tokens, at, hearing)) is not None:
            says, at = replace(says, hundredths=True), behind  # "P / KG", "(c/kg)", "pence per kilo"
            continue
        if per is not None and (per.units or (per.each and _each_alone(tokens, first, per, hearing))):
            said = replace(says, units=per.units, count=per.count, each=per.each)
            table = any(is_cell(token) for token in tokens[first:at])
            says = (
                _both(says, said) if says.units and not table else says if says.units else said
            )  # of columns the first
            at, words = per.end, words + 1
            continue
        if word == "(" and (bound := _bound_at(tokens, at, hearing)) is not None:
            says, at = replace(says, minimum=bound[0]), bound[1]
            continue
        if tokens[at].kind in {"number", "grade"}:
            return None
        pence = word in tongue.pence and hearing.currency == "GBP"
        if (word in tongue.hundredths and word != "c") or pence:
            says = replace(says, hundredths=True)
        elif tokens[at].kind == "word" and word not in tongue.header | tongue.noise:
            return None
        words += tokens[at].kind == "word"
        at += 1
    return Heading(at, says) if words else None


def _hundredths_of(tokens: Sequence[Token], at: int, hearing: Hearing) -> int | None:
    """Behind a word for hundredths that what they are per follows."""
    tongue = hearing.tongue
    word = word_at(tokens, at) in tongue.hundredths | (tongue.pence if hearing.currency == "GBP" else frozenset())
    opened = word and word_at(tokens, at + 1) in tongue.per - {"a", "an", "the", "each"}
    return at + 1 if opened and per_at(tokens, at + 1, hearing) is not None else None


def _both(says: SaidOver, again: SaidOver) -> SaidOver:
    """What two units in one heading, "per tonne (per lb)", leave open."""
    units = tuple(dict.fromkeys((*says.units, *again.units)))
    return says if len(units) == 1 else replace(says, units=units, count=Decimal(1))


def _each_alone(tokens: Sequence[Token], first: int, per: SaidUnit, hearing: Hearing) -> bool:
    """Whether a row says nothing but that prices are by the piece: "EACH", "priced per piece"; no "Item | Unit"."""
    end = next((n for n in range(first, len(tokens)) if is_row(tokens[n])), len(tokens))
    own = tokens[per.end - 1].text in hearing.tongue.each - {"unit", "piece", "pieces", "pc", "pcs"}
    opened = per.end >= 2 and tokens[per.end - 2].text in hearing.tongue.per
    return (own or opened) and not any(is_cell(token) for token in tokens[first:end])


def named_heading_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heading, frozenset[int]] | None:
    """The heading that a row with a name and a unit is, "STEEL per tonne", and the places of what is not its name."""
    end = next((n for n in range(at, len(tokens)) if is_row(tokens[n])), len(tokens))
    row, tongue = range(at, end), hearing.tongue
    if len(row) > LONGEST:
        return None
    says, taken = SaidOver(), set[int]()
    for n in row:
        per = per_at(tokens, n, hearing) if word_at(tokens, n) in tongue.per | {"(", "-", "$"} or n == at else None
        opened = per_at(tokens, n + 1, hearing) if per is None and word_at(tokens, n) in {"(", "-", *SIGNS} else None
        small = _hundredths_of(tokens, n, hearing) if n not in taken else None
        if small is not None:
            says, taken = replace(says, hundredths=True), taken | {n}
            per = opened = per_at(tokens, small, hearing)
        found = per or opened
        apiece = found is not None and found.each and word_at(tokens, n) == "(" and word_at(tokens, found.end) == ")"
        sort = found is not None and (apiece or (found.units and not found.each and found.count >= 1))
        if found is not None and sort and found.end <= end and n > at:
            again = replace(says, units=found.units, count=found.count, each=found.each)
            says = _both(says, again) if says.units and again.units else again
            taken |= set(range(n, found.end))
        elif word_at(tokens, n) in tongue.hundredths - {"c"}:
            says, taken = replace(says, hundredths=True), taken | {n}
        elif word_at(tokens, n) == "(" and (bound := _bound_at(tokens, n, hearing)) is not None:
            says, taken = replace(says, minimum=bound[0]), taken | set(range(n, bound[1]))
    left = [n for n in row if n not in taken]
    if any(tokens[n].kind == "number" or is_cell(tokens[n]) or amount_at(tokens, n, hearing) for n in left):
        return None
    named = any(tokens[n].kind in {"word", "grade"} for n in left)
    return (Heading(end, says), frozenset(taken)) if (says.units or says.each) and named else None


def _bound_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[ListedLot, int] | None:
    """The least lot that brackets say, and where they end: "(5 ton min)"."""
    clause = clause_at(tokens, at + 1, hearing)
    if clause is None or clause[0] == "below" or word_at(tokens, clause[2]) != ")":
        return None
    return clause[1], clause[2] + 1


def said_over_at(tokens: Sequence[Token], at: int, hearing: Hearing, knows: Callable[[str], bool]) -> Heading | None:
    """The heading that a row in sentences is, "Price list no. 48, all prices in EUR per 100 kg, net": it speaks of
    prices, says what they are per, and has neither a name nor an amount.
    """
    end = next((n for n in range(at, len(tokens)) if is_row(tokens[n])), len(tokens))
    says, speaks, n = SaidOver(), False, at
    plain = hearing.tongue.over_words | hearing.tongue.header | hearing.tongue.noise | {"no"}
    while n < end:
        speaks = speaks or word_at(tokens, n) in hearing.tongue.over_words
        small = _hundredths_of(tokens, n, hearing)
        opened = small is not None or word_at(tokens, n) in hearing.tongue.over_prices
        per = per_at(tokens, n if small is None else small, hearing) if opened else None
        if per is not None and (per.units or per.each) and not per.fault:
            if (says.units or says.each) and (says.units, says.each) != (per.units, per.each):
                return None
            cents = says.hundredths or small is not None
            says = replace(says, units=per.units, count=per.count, each=per.each, hundredths=cents)
            n = per.end
            continue
        pointed = tokens[n].kind == "number" and not tokens[n].text.isdecimal()
        name = tokens[n].kind == "word" and tokens[n].text not in plain and knows(tokens[n].text)
        if pointed or name or tokens[n].kind == "grade":
            return None
        n += 1
    speaks = speaks or word_at(tokens, end - 1) == ":"
    return Heading(end, says) if speaks and (says.units or says.each) else None


def doubted_at(tokens: Sequence[Token], at: int, head: SaidOver, hearing: Hearing) -> SaidOver | None:
    """What a row that names one unit, and is no heading that could be read, leaves open: that unit, or the one before.

    Never where an amount stands in it, or where both are the same.
    """
    end = next((n for n in range(at, len(tokens)) if is_row(tokens[n])), len(tokens))
    found = {named[0] for n in range(at, end) if (named := unit_name_at(tokens, n, hearing)) is not None}
    said = found.pop() if len(found) == 1 else ()
    if not said or any(tokens[n].kind in {"number", "grade"} or amount_at(tokens, n, hearing) for n in range(at, end)):
        return None
    before = head.units or ((hearing.unit,) if not head.each else ())
    per = any(word_at(tokens, n) in hearing.tongue.over_prices for n in range(at, end))
    if not said or not per or said == before or set(before) > set(said):
        return None
    return SaidOver(units=tuple(dict.fromkeys((*said, *before))), each=head.each and not before)
