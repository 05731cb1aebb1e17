"""Buyers and prices as pages: whom to call, the sheet in lines, one grade over time, one buyer."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from partway.actions.recording.describe import Say, capital
from partway.catalogue.cards import cards_of_grades
from partway.cli.careful import Careful
from partway.cli.words import few
from partway.reports.buyers.calls import BuyerRow, GradeToAsk
from partway.reports.buyers.fee_words import fee_words
from partway.reports.buyers.one import BuyersWord, OneBuyer
from partway.reports.buyers.price_history import PriceHistory, QuoteSaid, SaidPriceLine
from partway.reports.buyers.sheet import Cell, GradeRow, PriceSheet
from partway.reports.called import date_said
from partway.valuing.price_book import QuotedPrice

ASKS = 3  # grades named in a buyer's line
WORDS = 8  # of a grade's history


def show_buyers(console: Console, rows: Iterable[BuyerRow], say: Say, careful: Careful) -> None:
    """A line or two a buyer, what can hurt of what it is asked about before all."""
    there = list(rows)
    _cautions(console, careful, (ask.grade for row in there for ask in row.asks[:ASKS]))
    for row in there:
        phone = f", {row.phone}" if row.phone else ""
        old = f", {row.stale} of its prices old" if row.stale else ""
        console.print(Text.assemble((row.name, "bold"), f" ({row.kind}{phone}): {heard(row.heard)}{old}"))
        if row.asks:
            stake = f"; {say.about(row.at_stake)} hang on it" if row.at_stake else ""
            more = f" and {len(row.asks) - ASKS} more" if len(row.asks) > ASKS else ""
            _line(console, f"Ask: {', '.join(_ask(ask, say) for ask in row.asks[:ASKS])}{more}{stake}")
    if not there:
        console.print(f"No buyer yet: partway buyer ID --kind yard|mail-in|drop-off|tip --{say.distance} 10")


def _ask(ask: GradeToAsk, say: Say) -> str:
    when = "never said" if ask.days is None else ago(ask.days)
    return f"{ask.name} ({say.kg(ask.kg)}, {when})"


def heard(days: int | None) -> str:
    """When a buyer last named a price."""
    return "never heard" if days is None else f"heard {ago(days)}"


def ago(days: int) -> str:
    """How long ago."""
    return "today" if days == 0 else "yesterday" if days == 1 else f"{days} days ago"


def show_sheet(console: Console, sheet: PriceSheet, say: Say, careful: Careful) -> None:
    """A line a grade, the best price first; those that nobody quotes by name."""
    _cautions(console, careful, (row.grade for row in sheet.rows if row.is_quoted))
    names = {column.buyer: column.name for column in sheet.columns}
    for family in sheet.families:
        quoted = [row for row in family.rows if row.is_quoted]
        if quoted:
            console.print(Text((family.name or "not in the catalogue").upper(), style="bold"))
        for row in quoted:
            _line(console, f"{row.name}{_stock(row, say)}: {_who_pays(row, names, say)}")
    unquoted = [row.name for row in sheet.rows if not row.is_quoted and row.stock_kg > 0]
    if unquoted:
        console.print(f"In a bin and not quoted, which is not worth nothing: {', '.join(unquoted)}.")
    if not sheet.rows:
        console.print('No prices yet: partway quotes BUYER "no 2 copper 4.10, motors 38c"')


def _stock(row: GradeRow, say: Say) -> str:
    return f" ({say.kg(row.stock_kg)} there)" if row.stock_kg else ""


def _who_pays(row: GradeRow, names: dict[str, str], say: Say) -> str:
    """Whoever pays best, then the others."""
    quoted = [cell for cell in row.cells if cell.state == "quoted"]
    ranked = sorted(quoted, key=lambda cell: (cell.buyer not in row.best, -max(p.net_per_kg for p in cell.prices)))
    return "; ".join(f"{names[cell.buyer]} {prices(cell, say)}" for cell in ranked)


def prices(cell: Cell, say: Say) -> str:
    """What a buyer pays, with its tiers and how long ago it said so."""
    return " or ".join(_price(price, say) for price in cell.prices)


def _price(price: QuotedPrice, say: Say) -> str:
    said = say.as_said(price.price, price.unit)
    if price.each is not None:
        said = f"{say.money(round(Decimal(price.each), 4).quantize(Decimal('0.01')))} each"
    lot = f" from {say.kg(price.least_kg)}" if price.least_kg else ""
    most = (
        f" up to {say.kg(price.most_kg)}"
        if price.most_kg
        else f" up to {price.most_pieces} pieces"
        if price.most_pieces
        else ""
    )
    return f"{said}{lot}{most} ({ago(price.days)}{', old' if price.age == 'old' else ''})"


def show_history(console: Console, history: PriceHistory, say: Say, careful: Careful) -> None:
    """What each buyer pays now and the range that held; then what was said last."""
    _cautions(console, careful, [history.grade])
    console.print(Text(history.name, style="bold"))
    if history.note:
        _line(console, history.note)
    if not history.lines:
        console.print("Nobody named a price in these days.")
    for line in history.lines:
        _line(console, _steps(line, history.unit, say))
    if history.words:
        console.print()
        console.print(Text("WHAT WAS SAID", style="bold"))
    for word in history.words[:WORDS]:
        _line(console, _word(word, say, history.on))
    if history.heard > WORDS:
        _line(console, f"and {history.heard - WORDS} more before; --json has them")


def _steps(line: SaidPriceLine, unit: str, say: Say) -> str:
    lot = f" from {say.kg(line.from_kg)}" if line.from_kg else ""
    now = "not taken any more" if line.now is None else f"{_per(line.now, unit, say)} now"
    held = ""
    if line.low is not None and line.high is not None and line.low != line.high:
        held = f", {_per(line.low, unit, say)} to {_per(line.high, unit, say)} in these days"
    return f"{capital(line.name)}{lot}: {now}{held}, said {line.heard} time{'' if line.heard == 1 else 's'}"


def _per(price: float, unit: str, say: Say) -> str:
    return say.as_said(round(Decimal(price), 4), unit)


def _word(word: QuoteSaid, say: Say, today: str) -> str:
    import datetime as dt

    day = date_said(dt.date.fromisoformat(word.on), dt.date.fromisoformat(today))
    lot = f" from {say.kg(word.from_kg)}" if word.from_kg else ""
    price = "not taking it" if word.price is None else say.as_said(word.price, word.unit)
    change = "" if word.change is None or not round(word.change, 3) else f" ({word.change:+.0%})"
    return f"{day}, {word.name}{lot}: {price}{change}"


def show_buyer(console: Console, one: OneBuyer, say: Say, careful: Careful) -> None:
    """One buyer: terms, what it turns away, its prices, what was delivered and is owed."""
    _cautions(console, careful, (word.grade for word in one.asked))
    name = one.name or one.id.replace("-", " ")
    console.print(Text.assemble((name, "bold"), f" ({one.id}, {one.kind}): {heard(one.heard)}"))
    for text in _terms(one, say):
        _line(console, text)
    quoted = [word for word in one.asked if word.cell.state == "quoted"]
    if quoted:
        console.print()
        console.print(Text("PAYS", style="bold"))
    for word in quoted:
        _line(console, _says(word, say))
    not_quoted = [word.name for word in one.asked if word.cell.state == "unquoted" and word.stock_kg > 0]
    if not_quoted:
        _line(console, f"Never asked about what is in your bins: {few(not_quoted)}.")
    if one.delivered:
        console.print()
        console.print(Text("TICKETS", style="bold"))
        all_of_it = (
            f"{one.tickets} ticket{'' if one.tickets == 1 else 's'}, {say.kg(one.kg)}; {say.money(one.paid)} came in"
        )
        _line(console, f"{all_of_it}{f', {say.money(one.owed)} owed' if one.owed else ''}")
    if one.bias_words:
        _line(console, one.bias_words)


def _terms(one: OneBuyer, say: Say) -> Iterable[str]:
    if one.phone or one.note:
        yield ", ".join(filter(None, (one.phone, one.note)))
    if one.km is not None or one.back_km is not None or one.minutes:
        way = f"{say.km(one.km)} from home, " if one.km is not None else ""
        way += f"{say.km(one.back_km)} back, " if one.back_km is not None else ""
        yield f"{way}{one.minutes} min on site"
    if not one.way:
        yield f"No way known: partway buyer {one.id} --{say.distance} {say.distance.upper()}"
    if one.open:
        yield f"Open {', '.join(one.open)}"
    if one.parcels:
        yield f"Postage: {', '.join(f'{say.kg(step.up_to_kg)} {say.money(step.cost)}' for step in one.parcels)}"
    if fees := fee_words(one, say.money):
        yield capital(fees)
    if one.refuses:
        yield f"Turns away: {', '.join(refused.name for refused in one.refuses)}"


def _says(word: BuyersWord, say: Say) -> str:
    stock = f" ({say.kg(word.stock_kg)} there)" if word.stock_kg else ""
    better = (
        f"; {few(word.elsewhere)} {'pays' if len(word.elsewhere) == 1 else 'pay'} more"
        if word.elsewhere and word.cell.best is None
        else ""
    )
    return f"{word.name}{stock}: {prices(word.cell, say)}{better}"


def _cautions(console: Console, careful: Careful, grades: Iterable[str]) -> None:
    """What can hurt about the grades on a page, before its money."""
    for text in careful.lines(cards_of_grades(grades)):
        console.print(Text(text))


def _line(console: Console, text: str) -> None:
    console.print(Padding(Text(text), (0, 0, 0, 2), expand=False))
