"""The price sheet buyer by buyer, each price with the day it was heard."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from partway.catalogue import shipped
from partway.ledger.events.kinds import Traded
from partway.reports.buyers.sheet import BuyerColumn, Cell, GradeRow, PriceSheet
from partway.reports.called import running
from partway.reports.pocket.shape import PocketColumn, PocketItem, PocketPrice
from partway.valuing.price_book import QuotedPrice
from partway.web.show import Show

KINDS = {"yard": "yard", "mail-in": "mail-in buyer", "drop-off": "drop-off", "tip": "tip"}


def pocket_sheet(sheet: PriceSheet, buyers: Mapping[str, Traded], show: Show) -> tuple[PocketColumn, ...]:
    """One column a buyer, its grades in the order of the sheet."""
    return tuple(
        PocketColumn(one.buyer, one.name, tuple(_about(one, buyers[one.buyer], show)), _lines(sheet, at, show))
        for at, one in enumerate(sheet.columns)
    )


def pocket_buyers(columns: tuple[PocketColumn, ...]) -> tuple[PocketItem, ...]:
    """The buyers to choose from."""
    return tuple(PocketItem(one.buyer, one.name, ", ".join(one.about)) for one in columns)


def _about(one: BuyerColumn, terms: Traded, show: Show) -> Iterator[str]:
    yield KINDS[one.kind]
    if terms.km is not None:
        yield f"{show.km(terms.km)}{f', {show.km(terms.back_km)} back' if terms.back_km is not None else ''}"
    yield from terms.open
    if terms.phone:
        yield f"telephone {terms.phone}"
    if one.postage_per_kg:
        yield f"postage in full parcels {show.price(one.postage_per_kg)}"
    if fees := show.fees(one):
        yield fees
    if terms.note:
        yield terms.note


def _lines(sheet: PriceSheet, at: int, show: Show) -> tuple[PocketPrice, ...]:
    return tuple(line for row in sheet.rows for line in _cell(row, row.cells[at], show))


def _cell(row: GradeRow, cell: Cell, show: Show) -> Iterator[PocketPrice]:
    careful = f"; careful: {', '.join(row.careful)}" if row.careful else ""
    if cell.state == "refused":
        refused = [_named(name, show) for name in cell.because]
        because, hurts = ", ".join(refused), [name for name in row.careful if running(name) not in refused]
        careful = f"; careful: {', '.join(hurts)}" if hurts else ""
        yield PocketPrice(row.grade, row.name, f"refused: {because}{careful}", "", "")
    elif cell.state == "not taken":
        yield PocketPrice(row.grade, row.name, f"not taken any more{careful}", show.day(cell.on), cell.on)
    for nth, price in enumerate(cell.prices if cell.state == "quoted" else ()):
        best = ", best" if cell.best == nth else ""
        words = f"{price_words(price, show)}{best}{careful}"
        yield PocketPrice(row.grade, row.name, words, show.day(price.on), price.on)


def _named(refused: str, show: Show) -> str:
    """What a buyer refuses, which may be a hazard, a family or a grade, by its name."""
    known = shipped()
    if refused in known.cautions:
        return running(known.cautions[refused].name)
    return show.grade(refused) if refused in known.grades else show.family(refused)


def price_words(price: QuotedPrice, show: Show) -> str:
    """A price as it was said, with what it holds for."""
    said = [show.as_said(price.price, price.unit)]
    if price.ends:
        said.append(f"said as {show.price(price.ends[0])} to {show.price(price.ends[1])}")
    if price.each is not None:
        said.append(f"{show.money(price.each)} each")
    if price.from_kg:
        said.append(f"from {show.kg(price.from_kg)}")
    if price.minimum_kg:
        said.append(f"{show.kg(price.minimum_kg)} at least")
    if price.most_kg or price.most_pieces:
        said.append(f"at most {show.kg(price.most_kg) if price.most_kg else price.most_pieces}")
    return ", ".join(said)
