"""Where the fields of an event end: the last value that is taken and the first that is not, and what is left unsaid.

The limits are the ledger's own, written out again here; ids of version 7 are RFC 9562, section 5.7.
"""

from __future__ import annotations

import contextlib
import dataclasses
from decimal import Decimal
from typing import Any

import pytest

from partway.ledger.events import fields, shapes, sorts
from partway.ledger.events import kinds as p
from partway.ledger.events.fields import Bad

ID = "0190b6e0-0000-7000-8000-00000000000{}"
TAKEN_REFUSED: list[tuple[fields.Read, Any, Any]] = [
    (shapes.reader_of(sorts.Mass), 0, -1),
    (shapes.reader_of(sorts.Mass), 10**13, 10**13 + 1),
    (shapes.reader_of(sorts.MassBefore), -(10**13), -(10**13) - 1),
    (shapes.reader_of(sorts.MassBefore), 10**13, 10**13 + 1),
    (shapes.reader_of(sorts.Count), 1, 0),
    (shapes.reader_of(sorts.Count), 1_000_000, 1_000_001),
    (shapes.reader_of(sorts.Minutes), 0, -1),
    (shapes.reader_of(sorts.Minutes), 1_000_000, 1_000_001),
    (shapes.reader_of(sorts.Count), 1, True),
    (fields.identifier, "x" * 80, "x" * 81),
    (fields.identifier, "x", ""),
    (fields.person, "x" * 80, "x" * 81),
    (fields.person, "x", " "),
    (fields.prose, "x" * 2000, "x" * 2001),
    (fields.prose, "", "\x1b"),
    (fields.prose, "a\tb\nc\u200d", "a\u202eb"),
    (fields.words, " x", " \n"),
    (fields.several(shapes.reader_of(sorts.Count)), [1] * 1000, [1] * 1001),
    (fields.refs, {f"find:{n}": ID.format(1) for n in range(2000)}, {f"find:{n}": ID.format(1) for n in range(2001)}),
    (fields.moment, "1970-01-01T00:00:00Z", "1969-12-31T23:59:59Z"),
    (fields.moment, "2199-12-31T23:59:59Z", "2200-01-01T00:00:00Z"),
    (fields.moment, "2026-03-14T09:30:00.123456Z", "2026-03-14T09:30:00.1234567Z"),
    (fields.day, "1970-01-01", "1969-12-31"),
    (fields.day, "2199-12-31", "2200-01-01"),
    (fields.place, ["90", "180"], ["90.000001", "180"]),
    (fields.place, ["-90", "-180"], ["-90", "-180.000001"]),
    (fields.place, ["-90", "180"], ["-90", "180", "0"]),
    (shapes.reader_of(sorts.Outlay), "0", "-0.01"),
    (shapes.reader_of(sorts.Outlay), "9999999999.999999", "10000000000"),
    (shapes.reader_of(sorts.Money), "-9999999999.999999", "1.0000001"),
    (shapes.reader_of(sorts.Price), "-1.000000000000000001", "1.0000000000000000001"),
    (shapes.reader_of(sorts.Km), "0", "-0.1"),
    (fields.flag, False, 0),
    (fields.device, "0123abcd", "0123abcde"),
    (fields.event_id, ID.format(1), ID.format(1).replace("-7000-", "-4000-")),
]


@pytest.mark.parametrize(("read", "taken", "refused"), TAKEN_REFUSED)
def test_the_last_that_is_taken_and_the_first_that_is_not(read: fields.Read, taken: Any, refused: Any) -> None:
    read(taken)
    with pytest.raises(Bad):
        read(refused)


# Every sort of value that JSON has (RFC 8259, section 3), empty and not.
JSON: tuple[Any, ...] = (None, True, 0, -1, 0.5, "", "x", [], ["x"], [[]], [{}], {}, {"x": 1}, {"x": {}})


@pytest.mark.parametrize("kind", p.PAYLOADS)
def test_whatever_json_has_in_a_field_is_taken_or_refused(kind: str) -> None:
    """A number where a text belongs is refused like any other value: no reader fails of it."""
    for field in shapes.shape_of(p.PAYLOADS[kind]).fields:
        for value in JSON:
            with contextlib.suppress(Bad):
                field.read(value)


def test_the_id_of_a_piece_or_nothing_is_no_number() -> None:
    assert [fields.piece_or_none(value) for value in ("", "motor")] == ["", "motor"]
    for value in (None, 0, 5, False, [], ["motor"], " "):
        with pytest.raises(Bad):
            fields.piece_or_none(value)


@pytest.mark.parametrize(
    ("read", "given", "expected"),
    [
        (shapes.reader_of(sorts.Mass), -1, "milligrams: a whole number from 0 to 10000000000000"),
        (fields.identifier, "", "1 to 80 printable characters without a colon or spaces around them"),
        (fields.day, "1900-01-01", 'a day such as "2026-03-14", 1970 to 2199'),
        (fields.moment, "1900", 'a time with its zone such as "2026-03-14T09:30:00Z", 1970 to 2199'),
        (fields.refs, [], "a table of at most 2000 subjects"),
        (
            shapes.reader_of(sorts.Money),
            "x",
            'money as text such as "4.10", up to 10 digits before and 6 after the point',
        ),
        (
            shapes.reader_of(sorts.Outlay),
            "-1",
            'money as text such as "4.10", up to 10 digits before and 6 after the point, at least 0',
        ),
        (
            fields.LATITUDE,
            "91",
            (
                'a latitude as text such as "4.10", up to 10 digits before and 18 after the point, at least -90, '
                "at most 90"
            ),
        ),
    ],
)
def test_a_refusal_says_where_the_field_ends(read: fields.Read, given: Any, expected: str) -> None:
    with pytest.raises(Bad) as problem:
        read(given)
    assert problem.value.expected == expected


ONE = {"count", "times"}  # things there are at least one of


def test_what_is_left_unsaid_says_nothing() -> None:
    """A default adds no mass, money or minutes: counts are one, all else is nothing; an opening closes its find."""
    shown = {p.Postage, p.PieceOut, p.Run, p.Deduction, p.Said, p.TicketLine}
    for cls in {*p.PAYLOADS.values(), *shown}:
        for it in dataclasses.fields(cls):
            if it.default is dataclasses.MISSING:
                continue
            if it.name in ONE:
                assert it.default == 1, (cls, it.name)
            elif it.name == "closes":
                assert it.default is (cls is p.Opened), (cls, it.name)
            else:
                assert it.default in (None, 0, "", (), False, Decimal(0), "unknown", "other"), (cls, it.name)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("1E+39"), "1" + 39 * "0"),
        (Decimal("1E+40"), "1E+40"),
        (Decimal("1E-39"), "0." + 38 * "0" + "1"),
        (Decimal("1E-40"), "1E-40"),
    ],
)
def test_an_exponent_is_written_out_up_to_forty_digits(value: Decimal, text: str) -> None:
    assert shapes.decimal_text(value) == text
