"""One question about prices of a list that are unlikely by the same factor: all a hundredth, or all for a ton."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from partway.pricelist.asking.columns import is_column, is_payer, named_all
from partway.pricelist.asking.questions import per_text
from partway.pricelist.lines import GradeChoice, Item, ListSheet, PriceLine
from partway.pricelist.pricing import Priced, Reading
from partway.quantities import plain_text

LEAST = 2  # readings to choose from
Key = tuple[str, str]  # how many times what was said, and per what


def key_of(reading: Reading, said: Decimal) -> Key:
    """What a reading makes of what was said: ("0.01", "lb") of "420" read as 4.20 /lb."""
    return plain_text(reading[0] / said), reading[1]


def readings_of(line: PriceLine) -> dict[Key, Reading]:
    """The readings that a line has to choose from, the first as it was said."""
    items = [choice.becomes for choice in line.choices if choice.becomes is not None and choice.becomes.sure]
    found = [(one.prices[0].readings[0], one.units[0]) for one in items if len(one.units) == 1 and one.prices]
    said = line.item.prices[0].readings[0] if line.item.prices else Decimal(0)
    return {key_of(reading, said): reading for reading in found} if said else {}


def is_scaled(line: PriceLine) -> bool:
    """Whether a line asks by what factor a price is meant, or what it is per."""
    open_ = line.asks == "price" and line.status in {"ambiguous", "unlikely"} and len(line.item.prices) == 1
    sure = (open_ and line.item.prices[0].style == "exact") or (open_ and len(line.choices) > LEAST + 1)
    return bool(sure) and not (is_column(line) or is_payer(line)) and len(readings_of(line)) >= LEAST


def of_one_scale(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """Those that share a reading other than as it was said, the one that most of them have."""
    keys = [list(readings_of(line)) for line in lines]
    counts = Counter(key for one in keys for key in one[1:])
    most = max(counts.items(), key=lambda pair: pair[1], default=None)
    return [line for line, one in zip(lines, keys, strict=True) if most is not None and most[0] in one[1:]]


def ask_scale(lines: Sequence[PriceLine], sheet: ListSheet) -> tuple[str, tuple[GradeChoice, ...]]:
    """The question how all of them are meant, and its answers: those that each of them has."""
    readings = [readings_of(line) for line in lines]
    shared = [key for key in readings[0] if all(key in one for one in readings)]
    labels = {key: f"{_label(key)}: {_prices(readings, key, sheet)}" for key in shared}
    choices = tuple(GradeChoice(_label(key), labels[key], lines[0].item, settles=_settles(key)) for key in shared)
    names = named_all([sheet.grades[line.grade].name for line in lines if line.grade])
    said = "; ".join(choice.label for choice in choices)
    return f"The prices of {names} are unlikely as they stand; how are all of them meant: {said}?", choices


def _settles(key: Key) -> tuple[str, str]:
    return "scale", " ".join(key)


def _label(key: Key) -> str:
    times, unit = key
    return f"per {unit}" if times == "1" else f"{times} times that per {unit}"


def _prices(readings: Sequence[dict[Key, Reading]], key: Key, sheet: ListSheet) -> str:
    return ", ".join(per_text(*one[key], sheet.currency) for one in readings)


def scaled(item: Item, found: Priced, sheet: ListSheet) -> Reading | None:
    """The reading of a price that was answered for the list, where it has that and is not sure otherwise."""
    times, _, unit = sheet.scale.partition(" ")
    if not unit or found.status == "understood" or len(item.prices) != 1 or not item.prices[0].readings[0]:
        return None
    said = item.prices[0].readings[0]
    return next((option for option in found.options if key_of(option, said) == (times, unit)), None)
