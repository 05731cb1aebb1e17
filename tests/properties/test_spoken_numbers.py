"""Numbers, masses, money, prices, times and days: written in any of their forms and read back, the same value.

The forms are put together here, by other rules than those that read them. How people write them: common practice, no
source.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable
from decimal import Decimal
from types import FrameType
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st

from partway.catalogue import shipped
from partway.errors import Refused
from partway.pricelist import read_price_list
from partway.spoken import Hearing, read_day, read_mass, read_minutes, read_moment, read_money, read_price

HERE = Hearing("CAD", "lb")
LB = Decimal("0.45359237")  # kg, exactly: the yard and pound agreement of 1959
OZ = LB / 16
TODAY = dt.date(2026, 11, 30)  # a Monday
ONES = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen".split()  # noqa: SIM905
ONES += ["sixteen", "seventeen", "eighteen", "nineteen"]
TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
MONTHS = "January February March April May June July August September October November December".split()  # noqa: SIM905
DAYS = "monday tuesday wednesday thursday friday saturday sunday".split()  # noqa: SIM905
HALVES = {Decimal(0): ("", ""), Decimal("0.5"): (" 1/2", " and a half"), Decimal("0.25"): ("¼", " and a quarter"),
          Decimal("0.75"): (" 3/4", " and three quarters")}  # fmt: skip
MOST_STEPS = 60_000  # lines of our own code for one line of a list: about a hundredth of a second


def words(number: int, dash: str = " ") -> str:
    """A whole number below 10,000 in English."""
    if number < 20:
        return ONES[number]
    if number < 100:
        return TENS[number // 10] + (f"{dash}{ONES[number % 10]}" if number % 10 else "")
    large, name = (100, "hundred") if number < 1000 else (1000, "thousand")
    rest = f" and {words(number % large, dash)}" if number % large else ""
    return (
        f"{words(number // large, dash)} {name}{rest}"
        if large == 100
        else f"{words(number // 1000)} thousand" + (f" {words(number % 1000, dash)}" if number % 1000 else "")
    )


@given(
    st.integers(0, 99), st.sampled_from(sorted(HALVES)), st.integers(0, 15), st.sampled_from(["lb", "kg"]), st.data()
)
def test_a_mass_in_any_of_its_forms(whole: int, part: Decimal, ounces: int, unit: str, data: st.DataObject) -> None:
    kg = LB if unit == "lb" else Decimal(1)
    names = {"lb": ("lb", "lbs", "pounds", "lb."), "kg": ("kg", "kilos", "kilograms")}[unit]
    of, space = data.draw(st.sampled_from(names)), data.draw(st.sampled_from(["", " "]))
    written, said = HALVES[part]
    forms = [(f"{whole}{written} {of}", whole + part), (f"{words(whole)}{said} {of}", whole + part)]
    forms.append((f"{whole + part:f}{space}{of}", whole + part))
    for text, amount in forms:
        assert read_mass(text, HERE, "mass") == amount * kg, text
    assert read_mass(f"{whole}{written}", Hearing("CAD", unit), "mass") == (whole + part) * kg
    if unit == "lb":
        for text in (
            f"{whole}lb{ounces}oz",
            f"{whole} lb {ounces} oz",
            f"{words(whole)} pounds {words(ounces)} ounces",
        ):
            assert read_mass(text, HERE, "mass") == whole * LB + ounces * OZ, text


@given(st.decimals(Decimal("0.01"), Decimal(9999), places=2))
def test_a_decimal_comma_is_one_where_the_writer_has_it(amount: Decimal) -> None:
    comma = Hearing("EUR", "kg", comma=True)
    assert read_mass(f"{amount}".replace(".", ",") + " kg", comma, "mass") == amount
    assert read_money(f"{amount}".replace(".", ",") + " €", comma, "amount") == amount


@given(st.integers(1, 9999))
def test_money_in_any_of_its_forms(cents: int) -> None:
    whole, rest = divmod(cents, 100)
    forms = [f"${whole}.{rest:02}", f"{whole}.{rest:02}", f"CAD {whole}.{rest:02}", f"{whole}.{rest:02} bucks"]
    forms += [
        f"{cents}c",
        f"{cents} ¢",
        f"{words(cents)} cents",
        f"{words(whole)} point {ONES[rest // 10]} {ONES[rest % 10]}",
    ]
    if whole and rest:
        forms += [f"{words(whole)} dollars and {words(rest)} cents", f"{whole} dollars {rest:02}"]
    if whole and rest > 9:
        forms.append(f"{'a buck' if whole == 1 else f'{words(whole)} bucks'} {words(rest, '-')}")
    if not rest:
        forms += [f"{whole} bucks", f"{words(whole)} dollars", f"${whole}", f"{words(whole)}"]
    if rest == 50 and whole:
        forms += [f"{words(whole)} and a half bucks", "a buck and a half" if whole == 1 else f"{whole} 1/2 bucks"]
    for text in forms:
        assert read_money(text, HERE, "amount") == Decimal(cents) / 100, text


PER: dict[str, tuple[str | None, int]]
PER = {"/lb": ("lb", 1), " a pound": ("lb", 1), " per kg": ("kg", 1), "/cwt": ("lb", 100), " per 100 lb": ("lb", 100),
       " a hundredweight": ("lb", 100), " a hundred pounds": ("lb", 100), " a short ton": ("short ton", 1),
       "/tonne": ("tonne", 1),
       " each": ("", 1), " apiece": ("", 1), "": (None, 1)}  # fmt: skip


@given(st.integers(1, 9999), st.sampled_from(sorted(PER)), st.integers(0, 3))
def test_a_price_in_any_of_its_forms(cents: int, per: str, way: int) -> None:
    unit, count = PER[per]
    amount = [f"${cents / 100:.2f}", f"{cents}c", f"{words(cents)} cents", f"{cents / 100:.2f} bucks"][way]
    for text, sign in ((f"{amount}{per}", 1), (f"you pay {amount}{per}", -1), (f"{amount}{per} to take them", -1)):
        said = read_price(text, HERE, "price")
        assert said.heard.readings == (sign * Decimal(cents) / 100,) and said.pays == (sign < 0), text
        if unit is None:
            assert said.per is None, text
        else:
            assert said.per is not None and said.per.each == (unit == ""), text
            assert (list(said.per.units), int(said.per.count)) == ([unit] if unit else [], count), text


@given(st.integers(1, 900), st.integers(1, 900), st.integers(0, 5))
def test_a_range_is_kept_as_one(low: int, more: int, way: int) -> None:
    high = low + min(more, 3 * low)
    if high == low:
        return
    texts = [
        f"{low} to {high} cents", f"{low}-{high}c", f"{low}c to {high}c", f"between {low} and {high} cents",
        f"${low / 100:.2f} to ${high / 100:.2f}", f"{words(low)} to {words(high)} cents a pound",
    ]  # fmt: skip
    said = read_price(texts[way], HERE, "price").heard
    assert said.ends_at(said.readings[0]) == (Decimal(low) / 100, Decimal(high) / 100), texts[way]
    assert said.readings[0] == Decimal(low + high) / 200


@given(st.integers(0, 12), st.integers(0, 59))
def test_a_time_in_any_of_its_forms(hours: int, minutes: int) -> None:
    total = 60 * hours + minutes
    texts = [f"{total}", f"{total} min", f"{words(total)} minutes", f"{hours}:{minutes:02}"]
    if hours:
        texts += [f"{hours} h {minutes}", f"{hours}h{minutes:02}", f"{words(hours)} hours and {words(minutes)} minutes"]
    if minutes == 30:
        texts += [f"{hours}.5 h", f"{words(hours)} and a half hours"] if hours else ["half an hour"]
    for text in texts:
        assert read_minutes(text, Hearing(), "minutes") == total, text


@given(st.integers(0, 364))
def test_a_day_in_any_of_its_forms(ago: int) -> None:
    day = TODAY - dt.timedelta(days=ago)
    month = MONTHS[day.month - 1]
    texts = [day.isoformat(), f"{month[:3].lower()} {day.day}", f"{day.day} {month}", f"the {day.day}th of {month}"]
    texts += [f"{month} {day.day}, {day.year}"]
    if 0 < ago < 7:
        texts += [DAYS[day.weekday()], f"{words(ago)} days ago", f"on {DAYS[day.weekday()][:3]}"]
    texts += {0: ["today"], 1: ["yesterday"], 7: ["a week ago", "last monday"], 14: ["two weeks ago"]}.get(ago, [])
    for text in texts:
        assert read_day(text, TODAY, Hearing(), "on") == day, text


@given(st.integers(1, 300), st.integers(0, 23), st.integers(0, 59))
def test_a_time_of_day_in_any_of_its_forms(ago: int, hour: int, minute: int) -> None:
    day, now = TODAY - dt.timedelta(days=ago), dt.datetime.combine(TODAY, dt.time(14))
    half, of_twelve = ("am", "pm")[hour >= 12], (hour - 1) % 12 + 1
    times = [f"{of_twelve}:{minute:02} {half}", f"at {of_twelve}:{minute:02}{half[0]}.m."]
    times += [f"at {hour:02}:{minute:02}"] if hour == 0 or hour > 12 else []
    times += [f"at {of_twelve} {half}", f"{words(of_twelve)} {half}", f"{of_twelve}{half}"] if not minute else []
    times += [f"half past {words(of_twelve)} {half}"] if minute == 30 else []
    times += [f"{words(minute)} past {words(of_twelve)} {half}"] if 0 < minute < 20 else []
    for time in times:
        for text in (f"{day.isoformat()} {time}", f"{time} {MONTHS[day.month - 1]} {day.day} {day.year}"):
            assert read_moment(text, now, Hearing(), "on") == (day, dt.time(hour, minute)), text


# --- any text ---

PARTS = [
    "6", "lb", "8", "oz", "half", "a", "and", "quarter", "1/2", "½", "18/8", "ton", "cwt", "per", "/", "100", "hundred",
    "$", "¢", "c", "bucks", "buck", "dime", "to", "between", "-", "4.10", "4,10", "1,250", "point", "oh", "each",
    "free", "you pay", "to take them", "monday", "last", "week", "nov", "20", "th", "ago", "h", "min", ":", "30",
    "thousand", "no", "twenty", "at", "pm", "noon", "past", "o'clock", "morning", "15",
]  # fmt: skip
TEXTS = st.one_of(st.text(max_size=60), st.lists(st.sampled_from(PARTS), max_size=12).map(" ".join))
READERS: list[Callable[[str], object]] = [
    lambda text: read_mass(text, HERE, "mass"), lambda text: read_money(text, HERE, "amount"),
    lambda text: read_price(text, HERE, "price"), lambda text: read_minutes(text, HERE, "minutes"),
    lambda text: read_day(text, TODAY, HERE, "on"),
    lambda text: read_moment(text, dt.datetime.combine(TODAY, dt.time(14)), HERE, "on"),
]  # fmt: skip


@given(TEXTS)
@example("half a hundred thousand lb")
@example("feb 30")
@example("0 weeks ago")
@example("/" * 60)
@settings(max_examples=250, deadline=None)
def test_any_text_is_read_or_refused_with_words(text: str) -> None:
    for read in READERS:
        try:
            read(text)
        except Refused as refused:
            assert refused.given and refused.expected and "\n" not in str(refused)


def steps(work: Callable[[], object]) -> int:
    """How many lines of our own code some work takes."""
    count = 0

    def line(frame: FrameType, event: str, _: object) -> Any:
        nonlocal count
        count += event == "line"
        return line if "partway" in frame.f_code.co_filename else None

    before = sys.gettrace()
    sys.settrace(line)
    try:
        work()
    finally:
        sys.settrace(before)
    return count


HARD = [
    "a half " * 41, "half a " * 41, "between " * 41, "1 to " * 41, "12-" * 41, "$" * 83, "and " * 41 + "a half",
    "copper and brass and lead and " * 8, "all of these " * 16, "| " * 83, "no " * 41, "you pay " * 25,
    "cwt " * 41,     "one hundred thousand " * 25, "a a a " * 25, "motors 12 to 18 cents or " * 6, "1 1/2 " * 25,
    "not taking\n" * 16,
]  # fmt: skip


def test_no_text_makes_it_hang() -> None:
    """Work grows with the length, not with its square: twice the text takes about twice the steps."""
    grades = shipped().grades
    read_price_list("motors 38c", grades, "CAD", "lb", {})  # what is read once is read
    for text in HARD:
        once, twice = (steps(lambda t=t: read_price_list(t, grades, "CAD", "lb", {})) for t in (text, text * 2))  # type: ignore[misc]
        assert twice < 2.6 * once + MOST_STEPS, (text[:20], once, twice)


@given(st.lists(st.sampled_from(PARTS), min_size=1, max_size=14).map(" ".join))
@settings(max_examples=40, deadline=None)
def test_a_line_takes_few_steps(text: str) -> None:
    grades = shipped().grades
    assert steps(lambda: read_price_list(text, grades, "CAD", "lb", {})) < 10 * MOST_STEPS
