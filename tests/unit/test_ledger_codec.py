"""Events as JSON: what is written, letter by letter, and each thing that is refused with its message."""

from __future__ import annotations

import dataclasses
import datetime as dt
import uuid
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from partway.errors import BadEvent, Refused
from partway.ledger.events import kinds as p
from partway.ledger.events.codec import from_json, from_text, payload_from, same, to_json, to_text
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built
from partway.ledger.events.shapes import payload_text

NOON = dt.datetime(2026, 3, 14, 12, 0, tzinfo=dt.UTC)
ID = built(1_773_489_600_000, 1)
EARLIER = built(1_773_489_500_000, 1)


def event(what: p.Payload, **changes: Any) -> Event:
    return dataclasses.replace(Event(ID, "me", NOON, NOON, what), **changes)


def since_2(what: p.Payload, **changes: Any) -> Event:
    return event(what, **{"schema": 2, "device": "0a1b2c3d", **changes})


FOUND = event(p.Found("f1", "fan", 1, "no", 5_000_000, "curb"))
ASKED = since_2(FOUND.what, schema=3, intent=uuid.UUID("019d0a43-0e60-4622-91e5-cf9e7dfcc5ce"))
LATER = since_2(FOUND.what, order=NOON + dt.timedelta(hours=1), refs=(("find:f1", ID),))
OPENED = event(
    p.Opened("f1", (p.PieceOut("motor", 1, "motors", "crate", 7),), 9, (p.Run("whole", "open", 1),), 12, 1, 1)
)
TICKET = event(
    p.Ticketed(
        "t1",
        "harbour",
        (p.TicketLine("copper-2", "bucket", 900, 1000, Decimal("4.10"), "lb", Decimal("8.14")),),
        Decimal("7.14"),
        (p.Deduction("moisture", Decimal("1.00")),),
    )
)
TRADED = event(p.Traded("harbour", "yard", km=Decimal(14), at=(Decimal("30.6"), Decimal("-40.5"))))
QUOTED = event(p.Quoted("harbour", "copper-2", Decimal("4.10"), "lb", dt.date(2026, 3, 10)))
CORRECTED = event(p.Corrected(EARLIER, "slip", None))


def test_the_canonical_text_letter_by_letter() -> None:
    assert to_text(FOUND) == (
        '{"data":{"count":1,"find":"f1","kind":"fan","mass_mg":5000000,"note":"","photo":"","source":"curb",'
        '"works":"no"},"happened":"2026-03-14T12:00:00.000000Z","id":"019cec37-b600-7000-8000-000000000001",'
        '"kind":"found","schema":1,"typed":"2026-03-14T12:00:00.000000Z","who":"me"}'
    )


def test_the_canonical_text_of_schema_2_letter_by_letter() -> None:
    assert to_text(LATER) == (
        '{"data":{"count":1,"find":"f1","kind":"fan","mass_mg":5000000,"note":"","photo":"","source":"curb",'
        '"works":"no"},"device":"0a1b2c3d","happened":"2026-03-14T12:00:00.000000Z",'
        '"id":"019cec37-b600-7000-8000-000000000001","kind":"found","order":"2026-03-14T13:00:00.000000Z",'
        '"refs":{"find:f1":"019cec37-b600-7000-8000-000000000001"},"schema":2,'
        '"typed":"2026-03-14T12:00:00.000000Z","who":"me"}'
    )
    assert from_text(to_text(LATER)) == LATER
    plain = since_2(FOUND.what)
    assert to_json(plain)["order"] is None and to_json(plain)["refs"] == {}
    assert from_text(to_text(plain)) == plain


def test_what_asked_for_an_event_is_kept_in_schema_3() -> None:
    text = to_text(ASKED)
    assert '"intent":"019d0a43-0e60-4622-91e5-cf9e7dfcc5ce"' in text and '"schema":3' in text
    assert from_text(text) == ASKED
    assert "intent" not in to_text(LATER)


def test_an_event_keeps_its_schema() -> None:
    """What it means goes by it (ledger.events.meaning), so reading never turns one into another."""
    assert from_text(to_text(FOUND)).schema == 1 and from_text(to_text(LATER)).schema == 2


def test_letters_are_written_as_they_are() -> None:
    """One text for one event, whichever way JSON allows a letter to be escaped."""
    text = to_text(event(p.Set("wage", "zwölf ✂")))
    assert "zwölf ✂" in text
    assert to_text(from_text(text.replace("ö", "\\u00f6"))) == text


def test_money_is_text_times_are_utc_tuples_are_lists() -> None:
    data = to_json(TICKET)["data"]
    assert data["total"] == "7.14" and data["lines"][0]["price"] == "4.10" and data["haul"] is None
    late = event(FOUND.what, happened=dt.datetime(2026, 3, 14, 9, 0, 0, 1, dt.timezone(dt.timedelta(hours=-3))))
    assert to_json(late)["happened"] == "2026-03-14T12:00:00.000001Z"
    assert from_json(to_json(late)) == late
    assert to_json(TRADED)["data"]["at"] == ["30.6", "-40.5"]
    assert to_json(CORRECTED)["data"]["event"] == str(EARLIER)


@pytest.mark.parametrize("text", ["4.1", "4.10", "0", "-0", "0.000001", "-9999999999.999999", "9999999999"])
def test_decimals_keep_every_digit(text: str) -> None:
    paid = event(p.Paid("harbour", Decimal(text)))
    back = from_text(to_text(paid)).what
    assert isinstance(back, p.Paid)
    assert str(back.amount) == text


@pytest.mark.parametrize(("value", "text"), [("1E+3", "1000"), ("0E-6", "0.000000"), ("1E-6", "0.000001")])
def test_exponents_are_written_out(value: str, text: str) -> None:
    assert to_json(event(p.Paid("harbour", Decimal(value))))["data"]["amount"] == text


def test_a_field_with_a_default_may_be_absent() -> None:
    data = to_json(FOUND)
    data["data"] = {"find": "f1", "kind": "fan"}
    assert from_json(data).what == p.Found("f1", "fan")


def test_times_with_an_offset_are_read_as_utc() -> None:
    read = from_json({**to_json(FOUND), "happened": "2026-03-14T09:00:00-03:00"})
    assert read.happened == NOON and read.happened.tzinfo is dt.UTC


@dataclasses.dataclass(frozen=True, slots=True)
class Stolen:
    """A payload that is none."""

    find: str = "f1"


# what is constructed in Python, where its types are not looked at, and the field the message names
IMPOSSIBLE: list[tuple[Callable[[], Event], str]] = [
    (lambda: event(p.Found("f1", "fan", mass_mg=5.0)), "data.mass_mg"),  # type: ignore[arg-type]
    (lambda: event(p.Found("f1", "fan", mass_mg=True)), "data.mass_mg"),
    (lambda: event(p.Found("f1", "fan", mass_mg=-1)), "data.mass_mg"),
    (lambda: event(p.Found("f1", "fan", mass_mg=10**13 + 1)), "data.mass_mg"),
    (lambda: event(p.Found("f1", "fan", mass_mg=Decimal(5))), "data.mass_mg"),  # type: ignore[arg-type]
    (lambda: event(p.Found("f1", "fan", 0)), "data.count"),
    (lambda: event(p.Found("f1", "fan", 10**6 + 1)), "data.count"),
    (lambda: event(p.Found("", "fan")), "data.find"),
    (lambda: event(p.Found("f:1", "fan")), "data.find"),
    (lambda: event(p.Found(" f1", "fan")), "data.find"),
    (lambda: event(p.Found("f1", "fan\n")), "data.kind"),
    (lambda: event(p.Found("f" * 81, "fan")), "data.find"),
    (lambda: event(p.Found("f1", "fan", note="x" * 2001)), "data.note"),
    (lambda: event(p.Found("f1", "fan", note="\x00")), "data.note"),
    (lambda: event(p.Found("f1", "fan", note="\x1b[2J")), "data.note"),
    (lambda: event(p.Found("f1", "fan", note="\ud800")), "data.note"),
    (lambda: event(p.Found("f1", "fan", works="maybe")), "data.works"),  # type: ignore[arg-type]
    (lambda: event(p.Paid("harbour", 4.1)), "data.amount"),  # type: ignore[arg-type]
    (lambda: event(p.Paid("harbour", 4)), "data.amount"),  # type: ignore[arg-type]
    (lambda: event(p.Paid("harbour", Decimal("NaN"))), "data.amount"),
    (lambda: event(p.Paid("harbour", Decimal("-Infinity"))), "data.amount"),
    (lambda: event(p.Paid("harbour", Decimal("0.0000001"))), "data.amount"),
    (lambda: event(p.Paid("harbour", Decimal("1E+10"))), "data.amount"),
    (lambda: event(p.Paid("harbour", Decimal("1E+999999"))), "data.amount"),
    (lambda: event(p.Paid("harbour", Decimal("0E-999999"))), "data.amount"),
    (lambda: event(p.Paid("harbour", Decimal("1E+999999999999999999"))), "data.amount"),  # must not be written out
    (lambda: event(p.Spent("petrol", Decimal("-1"))), "data.amount"),
    (lambda: event(p.Parted("f1", "motor", 1, 1, 1, Decimal(-1))), "data.price"),
    (lambda: event(p.Parted("f1", "motor", 1, 1, 1, Decimal(1), Decimal(-1))), "data.fee"),
    (lambda: event(p.Parted("f1", "motor", 1, -1, 1, Decimal(1))), "data.mass_mg"),
    (lambda: event(p.Worked("bench", -1)), "data.minutes"),
    (lambda: event(p.Ruled("curbside", " ", "by-law", dt.date(2026, 3, 1))), "data.says"),
    (lambda: event(p.Ruled("curbside", "no", "", dt.date(2026, 3, 1))), "data.source"),
    (lambda: event(p.Noted(" ")), "data.text"),
    (lambda: event(p.Worked("sleep", 1)), "data.activity"),  # type: ignore[arg-type]
    (lambda: event(p.Worked("bench", 10**6 + 1)), "data.minutes"),
    (lambda: event(p.Traded("harbour", "shop")), "data.kind"),  # type: ignore[arg-type]
    (lambda: event(p.Traded("harbour", "yard", at=(Decimal(91), Decimal(0)))), "data.at"),
    (lambda: event(p.Traded("harbour", "yard", at=(Decimal(0), Decimal(181)))), "data.at"),
    (lambda: event(p.Traded("harbour", "yard", km=Decimal(-1))), "data.km"),
    (lambda: event(p.Traded("h", "yard", shipping=(p.Postage(-1, Decimal(1)),))), "data.shipping[0].up_to_mg"),
    (lambda: event(p.Traded("h", "yard", refuses=("a", ""))), "data.refuses[1]"),
    (lambda: event(p.Quoted("h", "g", Decimal(1), "ton", NOON.date())), "data.unit"),
    (lambda: event(p.Quoted("h", "g", Decimal(1), "lb", NOON)), "data.on"),
    (lambda: event(p.Moved("drum", "drum", "motors", "motors", 1)), "data.to_bin"),
    (lambda: event(p.Moved("drum", "crate", "motors", "motors", -1)), "data.mass_mg"),
    (lambda: event(p.Corrected(ID)), "data.event"),
    (lambda: event(p.Corrected(built(2**47, 0))), "data.event"),
    (lambda: event(p.Corrected(uuid.uuid4())), "data.event"),
    (lambda: event(Stolen()), "kind"),  # type: ignore[arg-type]
    (lambda: event(FOUND.what, id=uuid.uuid4()), "id"),
    (lambda: event(FOUND.what, who=""), "who"),
    (lambda: event(FOUND.what, who=" "), "who"),
    (lambda: event(FOUND.what, happened=NOON.replace(tzinfo=None)), "happened"),
    (lambda: event(FOUND.what, typed=NOON.replace(tzinfo=None)), "typed"),
    (lambda: event(FOUND.what, happened=dt.datetime(1969, 12, 31, tzinfo=dt.UTC)), "happened"),
    (lambda: event(FOUND.what, happened=dt.datetime(2200, 1, 1, tzinfo=dt.UTC)), "happened"),
    (lambda: event(FOUND.what, schema=4), "schema"),
    (lambda: since_2(FOUND.what, schema=3), "intent"),
    (lambda: since_2(FOUND.what, intent=ID), ""),
    (lambda: event(FOUND.what, schema=0), "schema"),
    (lambda: event(FOUND.what, schema=2), "device"),
    (lambda: event(FOUND.what, device="0a1b2c3d"), ""),
    (lambda: event(FOUND.what, order=NOON), ""),
    (lambda: since_2(FOUND.what, device="0A1B2C3D"), "device"),
    (lambda: since_2(FOUND.what, device="0a1b2c3"), "device"),
    (lambda: since_2(FOUND.what, order=NOON.replace(tzinfo=None)), "order"),
    (lambda: since_2(FOUND.what, refs=(("find:f2", ID),)), "refs"),
    (lambda: since_2(FOUND.what, refs=(("buyer:f1", ID),)), "refs"),
    (lambda: since_2(FOUND.what, refs=(("find:f1", built(2**47, 0)),)), "refs.find:f1"),
    (lambda: since_2(FOUND.what, refs=(("find:f1", uuid.uuid4()),)), "refs.find:f1"),
    (lambda: since_2(p.Moved("a", "b", "g", "g", 1), refs=(("bin:a", EARLIER), ("bin:b", EARLIER))), "refs"),
]


@pytest.mark.parametrize(("make", "field"), IMPOSSIBLE)
def test_an_impossible_event_is_not_written(make: Callable[[], Event], field: str) -> None:
    with pytest.raises(BadEvent) as refusal:
        to_text(make())
    assert refusal.value.where == (f"event, {field}" if field else "event")
    assert isinstance(refusal.value, Refused) and refusal.value.exit_status == 2


# a change of a good event's JSON, the field named and a word of what was expected
BROKEN: list[tuple[Event, Callable[[Any], Any], str, str]] = [
    (FOUND, lambda d: d["data"].update(mass_mg=5.0), "data.mass_mg", "whole number"),
    (FOUND, lambda d: d["data"].update(mass_mg="5"), "data.mass_mg", "whole number"),
    (FOUND, lambda d: d["data"].update(colour="red"), "data", "only battery, cord, count"),
    (FOUND, lambda d: d["data"].pop("find"), "data.find", "a value"),
    (FOUND, lambda d: d.update(kind="stolen"), "kind", "found | tested"),
    (FOUND, lambda d: d.update(kind=None), "kind", "found | tested"),
    (FOUND, lambda d: d.update(kind=["found"]), "kind", "found | tested"),
    (FOUND, lambda d: d.update(data=[]), "data", "a table"),
    (FOUND, lambda d: d.pop("typed"), "typed", "a value"),
    (FOUND, lambda d: d.update(extra=1), "", "only data"),
    (FOUND, lambda d: d.update(schema=4), "schema", "a later partway"),
    (FOUND, lambda d: d.update(schema="1"), "schema", "from 1 to 3"),
    (FOUND, lambda d: d.update(schema=True), "schema", "from 1 to 3"),
    (FOUND, lambda d: d.update(schema=2), "device", "a value"),
    (ASKED, lambda d: d.update(intent="ABC"), "intent", "a UUID in lower case"),
    (ASKED, lambda d: d.update(schema=2), "", "only data, device"),
    (LATER, lambda d: d.update(schema=3), "intent", "a value"),
    (FOUND, lambda d: d.update(device="0a1b2c3d"), "", "only data"),
    (LATER, lambda d: d.update(device=None), "device", "8 hexadecimal digits"),
    (LATER, lambda d: d.update(order="2026-03-14"), "order", "with its zone"),
    (LATER, lambda d: d.pop("order"), "order", "a value"),
    (LATER, lambda d: d.update(refs=None), "refs", "a table"),
    (LATER, lambda d: d.update(refs={"f1": str(ID)}), "refs", "find:ID, bin:ID"),
    (LATER, lambda d: d.update(refs={"find:": str(ID)}), "refs.find:", "1 to 80"),
    (LATER, lambda d: d.update(refs={"find:f2": str(ID)}), "refs", "that the event names"),
    (LATER, lambda d: d.update(refs={"find:f1": "no"}), "refs.find:f1", "version 7"),
    (FOUND, lambda d: d.update(happened="2026-03-14T12:00:00"), "happened", "with its zone"),
    (FOUND, lambda d: d.update(happened="2026-03-14"), "happened", "with its zone"),
    (FOUND, lambda d: d.update(happened="2026-13-14T12:00:00Z"), "happened", "with its zone"),
    (FOUND, lambda d: d.update(happened="20260314T120000Z"), "happened", "with its zone"),
    (FOUND, lambda d: d.update(happened="٢٠٢٦-03-14T12:00:00Z"), "happened", "with its zone"),
    (FOUND, lambda d: d.update(happened=1773489600), "happened", "with its zone"),
    (FOUND, lambda d: d.update(id=d["id"].upper()), "id", "lower case"),
    (FOUND, lambda d: d.update(id=f"{{{d['id']}}}"), "id", "lower case"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount=8.14), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount=8), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount="8,14"), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount="+8"), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount="08"), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount="8e1"), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount="NaN"), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount="٣"), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].update(amount="8\n"), "data.lines[0].amount", "as text"),
    (TICKET, lambda d: d["data"]["lines"][0].pop("own_mg"), "data.lines[0].own_mg", "a value"),
    (TICKET, lambda d: d["data"].update(lines={}), "data.lines", "a list"),
    (TICKET, lambda d: d["data"].update(lines=d["data"]["lines"] * 1001), "data.lines", "at most 1000"),
    (TICKET, lambda d: d["data"]["deductions"][0].update(amount="-1"), "data.deductions[0].amount", "at least 0"),
    (OPENED, lambda d: d["data"].update(closes=1), "data.closes", "true or false"),
    (OPENED, lambda d: d["data"]["runs"][0].update(times=0), "data.runs[0].times", "from 1"),
    (OPENED, lambda d: d["data"].update(was_mg=None), "data.was_mg", "whole number"),
    (TRADED, lambda d: d["data"].update(at=["30.6"]), "data.at", "[latitude, longitude]"),
    (TRADED, lambda d: d["data"].update(at=[30.6, -40.5]), "data.at", "a latitude"),
    (QUOTED, lambda d: d["data"].update(on="2026-02-30"), "data.on", "a day"),
    (QUOTED, lambda d: d["data"].update(on="2026-W10-1"), "data.on", "a day"),
    (QUOTED, lambda d: d["data"].update(price=4.1), "data.price", "as text"),
    (CORRECTED, lambda d: d["data"].update(event=d["id"]), "data.event", "an earlier event"),
    (CORRECTED, lambda d: d["data"].update(event="no"), "data.event", "version 7"),
]


@pytest.mark.parametrize(("good", "breaks", "field", "expected"), BROKEN)
def test_broken_json_is_refused(good: Event, breaks: Callable[[Any], Any], field: str, expected: str) -> None:
    data = to_json(good)
    breaks(data)
    with pytest.raises(BadEvent) as refusal:
        from_json(data, "file.jsonl, line 3")
    assert refusal.value.where == ("file.jsonl, line 3, " + field if field else "file.jsonl, line 3")
    assert expected in refusal.value.expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "JSON"),
        ("{", "JSON"),
        ("[]", "a table"),
        ("null", "a table"),
        ("NaN", "whole numbers"),
        ('{"mass_mg": 5.0}', "whole numbers"),
        ('{"mass_mg": 1e3}', "whole numbers"),
        ('{"mass_mg": Infinity}', "whole numbers"),
        ('{"a": 1, "a": 1}', "each field once"),
        ("[" * 100_000, "JSON"),
        ("1" * 5000, "JSON"),
        (" " * 1_000_001, "at most 1000000"),
        ("{}", "a value"),
    ],
)
def test_text_that_is_no_event_is_refused(text: str, expected: str) -> None:
    with pytest.raises(BadEvent) as refusal:
        from_text(text)
    assert expected in refusal.value.expected
    assert len(str(refusal.value)) < 400


def test_a_negative_was_is_what_a_short_bin_has() -> None:
    what = p.Recounted("drum", "motors", 5, -3)
    assert from_text(to_text(event(what))).what == what


def test_payload_texts() -> None:
    assert payload_from("traded", payload_text(TRADED.what)) == TRADED.what
    with pytest.raises(BadEvent, match=r"^terms of harbour, data\.km: got"):
        payload_from("traded", payload_text(TRADED.what).replace('"14"', "14"), "terms of harbour")
    with pytest.raises(BadEvent, match="kind: got"):
        payload_from("stolen", "{}")


def test_events_are_the_same_to_the_last_digit_only() -> None:
    one, other = event(p.Paid("harbour", Decimal("4.1"))), event(p.Paid("harbour", Decimal("4.10")))
    assert one == other and not same(one, other)
    assert same(one, from_text(to_text(one)))
