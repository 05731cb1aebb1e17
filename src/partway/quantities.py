"""Masses, volumes and prices as people write them, in exact decimals.

What a unit is comes from things.units; this module only splits a text into a number and a unit name.
Nothing is rounded beyond the 28 digits of a Decimal division, except by `to_mg`, which says how.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import ROUND_HALF_EVEN, Decimal
from typing import NoReturn

from partway.errors import BadQuantity
from partway.things.currencies import decimals, has_hundredths
from partway.things.units import AMBIGUOUS, BY_NAME

EXAMPLES = {"mass": '"450 kg" or "10 lb"', "volume": '"1800 L" or "50 cu ft"', "distance": '"14 km" or "9 mi"'}
LARGEST = dict.fromkeys(EXAMPLES, Decimal("1e7"))  # kg, L, km: beyond any scrapper's year
LARGEST_PRICE = Decimal("1e6")  # currency units per kg: gold costs less
LONGEST_TEXT = 60  # characters; a longer one is a mistake, not a quantity

NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:e[+-]?[0-9]{1,3})?"
QUANTITY = re.compile(rf"({NUMBER})\s*([a-z][a-z0-9_ .]*)", re.IGNORECASE)
AMOUNT = re.compile(rf"([a-z]{{3}}\s*)?({NUMBER})\s*([a-z¢]+)?", re.IGNORECASE)
COMMA_NUMBER = re.compile(r"[0-9],[0-9]")
EACH = re.compile(r"(.*?\S)\s*(?:each|ea|apiece|(?:/|\ba\s|\bper\s)?\s*(?:piece|pc|pcs))\.?", re.IGNORECASE)
MG_PER_KG = 1_000_000
# Numerals with marks between their digits: thousands, then perhaps decimals.
COMMA_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")
POINT_GROUPS = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]+)?")
SIGNS = "$£€¥₹"


def parse_mass(text: object, where: str, *, positive: bool = False) -> Decimal:
    """A mass in kg from a text such as "10 lb"; `positive` refuses zero. Raises BadQuantity."""
    return _parse(text, "mass", where, positive)


def parse_volume(text: object, where: str, *, positive: bool = False) -> Decimal:
    """A volume in litres from a text such as "50 cu ft"; `positive` refuses zero. Raises BadQuantity."""
    return _parse(text, "volume", where, positive)


def parse_distance(text: object, where: str) -> Decimal:
    """A distance in km from a text such as "9 mi". Raises BadQuantity."""
    return _parse(text, "distance", where, positive=False)


def parse_price(text: object, currency: str, where: str) -> Decimal:
    """A price in units of `currency` per kg from a text such as "4.10 /lb" or "38 ¢/lb".

    Negative means the seller pays. Raises BadQuantity, also for any other currency than the one given.
    """
    example = '"4.10 /lb", "38 ¢/lb" or "120 /short ton"'
    plain = typed(text, f"a price with its unit in quotes, such as {example}", where)
    amount, slash, unit = re.sub(r"\s+per\s+", "/", plain, count=1, flags=re.IGNORECASE).partition("/")
    if not slash:
        _refuse(text, f"a price for a unit of mass, such as {example}", where)
    match = AMOUNT.fullmatch(amount.strip())
    if match is None:
        _refuse(text, f"a number, a slash and a unit of mass, such as {example}", where)
    code, number, mark = match.groups()
    share = _money_share(text, (code or "").strip(), mark or "", currency, where)
    value = number_typed(number, text, where) * share / _factor(text, unit, "mass", where)
    if abs(value) > LARGEST_PRICE:
        _refuse(text, f"a price of at most {LARGEST_PRICE:,.0f} per kg", where)
    return value


def to_mg(mass: str | Decimal, where: str) -> int:
    """Whole milligrams of a mass: a text such as "10 lb", or kg.

    Rounded to the nearest milligram, halves to the even one: 1 oz, 28,349.523125 mg, becomes 28,350 mg, and nothing
    is ever off by more than half a milligram. Raises BadQuantity.
    """
    kg = parse_mass(mass, where) if isinstance(mass, str) else mass
    if not kg.is_finite() or abs(kg) > LARGEST["mass"]:
        _refuse(mass, f"a mass of at most {LARGEST['mass']:,.0f} kg", where)
    return int((kg * MG_PER_KG).to_integral_value(ROUND_HALF_EVEN))


def mg_text(mg: int, unit: str) -> str:
    """Milligrams in a unit with the fewest decimals that tell them from the next milligram: "100 lb", "0.5 kg".

    `to_mg` of the text is the same `mg` again.
    """
    mg_per = kg_per(unit) * MG_PER_KG
    digits = 0
    while True:
        number = round(Decimal(mg) / mg_per, digits)
        if (number * mg_per).to_integral_value(ROUND_HALF_EVEN) == mg:
            return f"{plain_text(number)} {unit}"
        digits += 1


def plain_text(number: Decimal) -> str:
    """A number without exponent and without needless zeros: "100", "0.5"."""
    text = f"{number:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in {"-0", ""} else text


def number_readings(numeral: str, *, comma: bool) -> tuple[Decimal, ...]:
    """What a numeral without a sign may mean; one reading is sure, several are to be asked about, none is no number.

    `comma`: decimals come after a comma where the writer is. A comma decides nothing elsewhere: "4,10" is 4.10 or 410.
    Thousands are told by the writer's mark and groups of three; where that mark is the point, "1.250" is 1250 or
    1.250, since files and command lines everywhere write decimals with a point.
    """
    plain, pointed = numeral.replace(",", ""), numeral.replace(".", "").replace(",", ".")
    if not re.fullmatch(r"[0-9]*[.,]?[0-9]+|[0-9]+\.|[0-9]+(?:[.,][0-9]+)+", numeral):
        return ()
    if numeral.count(",") + numeral.count(".") > 1:  # both marks, or one of them repeated: groups of three, or nonsense
        if COMMA_GROUPS.fullmatch(numeral):
            return (Decimal(plain),)
        return (Decimal(pointed),) if POINT_GROUPS.fullmatch(numeral) else ()
    if "," in numeral:
        if comma:
            return (Decimal(pointed),)
        return (Decimal(plain),) if COMMA_GROUPS.fullmatch(numeral) else (Decimal(pointed), Decimal(plain))
    if comma and POINT_GROUPS.fullmatch(numeral):
        return (Decimal(pointed), Decimal(numeral))
    return (Decimal(numeral),)


def kg_per(unit: str) -> Decimal:
    """How many kg one of a unit of mass is, exactly; `unit` as in a scenario ("lb", "short ton")."""
    return _factor(unit, unit, "mass", "kg_per")


def format_mass_in(kg: float, unit: str) -> str:
    """A mass in pounds or in metric units: "12.4 lb", "350 g", "5.6 kg"."""
    if unit == "kg":
        return format_mass(kg)
    amount = kg / float(kg_per(unit))
    return f"{amount:.0f} {unit}" if abs(amount) >= 99.5 else f"{amount:.{1 if abs(amount) >= 1 else 2}f} {unit}"


def format_price_in(per_kg: float, unit: str) -> str:
    """A price per unit of mass without its currency: "4.20 /lb", "-0.110 /kg"."""
    price = per_kg * float(kg_per(unit))
    return f"{price + 0.0:.{2 if abs(price) >= 0.995 else 3}f} /{unit}"


def format_least_in(kg: float, unit: str) -> str:
    """A least mass as people say it: "22 lb", "3.2 lb", "300 g"."""
    amount = kg / float(kg_per(unit))
    whole = round(amount)
    return f"{whole} {unit}" if whole and abs(amount - whole) < 1e-4 else format_mass_in(kg, unit)


def format_rate_in(per_kg: float, unit: str) -> str:
    """A price per unit of mass as a sentence has it, without its currency: "0.05 a lb", "0.113 a kg"."""
    price = round(per_kg * float(kg_per(unit)), 4) + 0.0
    return f"{price:.{2 if abs(price) >= 0.995 or round(price, 2) == price else 3}f} a {unit}"


def format_mass(kg: float) -> str:
    """A mass for people: grams below 1 kg, one decimal below 100 kg, whole kg above."""
    if abs(kg) < 0.9995:
        return f"{round(kg * 1000.0) + 0} g"
    return f"{kg:.1f} kg" if abs(kg) < 99.95 else f"{kg:.0f} kg"


def format_money(amount: float, currency: str) -> str:
    """An amount with its currency code: "GBP 12.30", "GBP -0.50", "JPY 1200"."""
    digits = decimals(currency)
    return f"{currency} {round(amount, digits) + 0.0:.{digits}f}"


def _refuse(text: object, expected: str, where: str) -> NoReturn:
    raise BadQuantity(shown(text), expected, where)


def shown(value: object) -> str:
    """What was given, as the file has it and short enough for one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        inside = ", ".join(shown(item) for item in value[:4])
        return f"[{inside}, ...]" if len(value) > 4 else f"[{inside}]"
    if isinstance(value, int) and abs(value) >= 10**LONGEST_TEXT:
        return "a number of more than 60 digits"
    if isinstance(value, str):
        visible = "".join(c if c.isprintable() else "?" for c in value[: LONGEST_TEXT + 1])
        return f'"{visible[:LONGEST_TEXT]}..."' if len(value) > LONGEST_TEXT else f'"{visible}"'
    return str(value)


def typed(text: object, expected: str, where: str) -> str:
    """The text without typographic variants; the reasons a text can be no quantity at all."""
    if not isinstance(text, str):
        _refuse(text, expected, where)
    plain = unicodedata.normalize("NFKC", text[: LONGEST_TEXT + 1]).replace("\N{MINUS SIGN}", "-").strip()
    if len(text) > LONGEST_TEXT or not plain:
        _refuse(text, expected, where)
    if COMMA_NUMBER.search(plain):
        _refuse(text, "a point before the decimals and nothing between thousands: 4.10, 1000", where)
    if any(sign in plain for sign in SIGNS):
        _refuse(text, 'no currency sign: the number alone or with its ISO code, "GBP 4.10 /lb"', where)
    return plain


def _parse(text: object, dimension: str, where: str, positive: bool) -> Decimal:
    example = EXAMPLES[dimension]
    plain = typed(text, f"a {dimension} with its unit in quotes, such as {example}", where)
    match = QUANTITY.fullmatch(plain)
    if match is None:
        _refuse(text, f"a number and a unit of {dimension}, such as {example}", where)
    number = number_typed(match[1], text, where)
    value = number * _factor(text, match[2], dimension, where)
    if number < 0 or (positive and number == 0):
        _refuse(text, f"a {dimension} {'above' if positive else 'of at least'} 0", where)
    if value > LARGEST[dimension]:
        largest = f"{LARGEST[dimension]:,.0f} {'kg' if dimension == 'mass' else 'L'}"
        _refuse(text, f"a {dimension} of at most {largest}", where)
    return value


def number_typed(digits: str, text: object, where: str) -> Decimal:
    """The number of a text's digits; refused where it is too large or too small for anything at a bench."""
    number = Decimal(digits)
    if number and not -15 <= number.adjusted() <= 15:
        _refuse(text, "a number between 1e-15 and 1e15", where)
    return number


def _money_share(text: object, code: str, mark: str, currency: str, where: str) -> Decimal:
    """1 for whole currency units, 1/100 for hundredths; refuses any other currency."""
    hundredth = mark.casefold() in {"¢", "c", "ct", "cent", "cents"} or (mark == "p" and currency == "GBP")
    if hundredth and not has_hundredths(currency):
        _refuse(text, f"a price in {currency}, which has no hundredths", where)
    for given in (code, "" if hundredth else mark):
        if given and given.upper() != currency:
            _refuse(text, f"a price in {currency}, the scenario's currency", where)
    return Decimal("0.01") if hundredth else Decimal(1)


def _factor(text: object, unit: str, dimension: str, where: str) -> Decimal:
    """How many base units (kg or L) one `unit` is."""
    name = " ".join(unit.replace("_", " ").strip().rstrip(".").split())
    if name in {"Mg", "MG"}:  # a megagram, which lower case would turn into a billionth of itself
        _refuse(text, '"mg" for milligrams or "tonne" for 1000 kg', where)
    name = name.casefold()
    if name in AMBIGUOUS:
        _refuse(text, AMBIGUOUS[name], where)
    factor = BY_NAME[dimension].get(name)
    if factor is None:
        known = {"mass": "kg, g, mg, lb, oz, short ton, long ton or tonne", "distance": "km or mi"}
        units = known.get(dimension, "L, mL, m3, cu ft, US gal or imperial gal")
        _refuse(text, f"a unit of {dimension}: {units}", where)
    return factor


def out_of(share: float) -> str:
    """A share of many things as people count: "6 of 10", "35 of 100", "under 1 of 100"."""
    many = next((n for n in (10, 100) if abs(share * n - round(share * n)) < 1e-9), 100)
    return f"{round(share * many)} of {many}" if share * many >= 0.5 else f"under 1 of {many}"
