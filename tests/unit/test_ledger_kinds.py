"""Each kind of event stands in one place: what its class says of itself, and what a field of later is in old files."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledgers.strategies import payloads

from partway.ledger.events import kinds as p
from partway.ledger.events.codec import payload_from
from partway.ledger.events.ids import built
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import payload_text, shape_of
from partway.ledger.events.words import GROUP, NAME
from partway.reports.books.ledger import words
from partway.things.units import ShownUnits

KG = 1_000_000  # mg
ID, EARLIER = built(1_773_489_600_000, 0xABCDEF01), built(1_773_489_500_000, 0x12345678)
KINDS = Path(p.__file__).parent


def test_the_list_has_every_class_of_the_folder_under_its_own_name() -> None:
    """A kind that nobody lists would be written and never read."""
    text = "\n".join(file.read_text(encoding="utf-8") for file in KINDS.glob("*.py"))
    assert sorted(re.findall(r"^class (\w+)\(Payload\)", text, re.MULTILINE)) == sorted(
        payload.__name__ for payload in p.PAYLOADS.values()
    )
    assert all(kind == payload.KIND for kind, payload in p.PAYLOADS.items())


@pytest.mark.parametrize("payload", p.PAYLOADS.values(), ids=list(p.PAYLOADS))
def test_words_and_things_name_fields_of_the_class(payload: type[Payload]) -> None:
    fields = {field.name: field for field in shape_of(payload).fields}
    named = NAME.findall(payload.WORDS)
    assert named and {name for name, _ in named} <= set(fields)
    assert payload.MAKES in {"", *(field.sort.names for field in fields.values())}
    assert set(payload.ALONG) <= set(p.PAYLOADS)


# Written down from the tables that stood beside the classes before (commit 2d0e9a0).
TOY = '[[anatomy]]\nkind = "toy"\nname = "Desk toy"\n[[anatomy.piece]]\nid = "whole"\nmass_kg = [0.5, 0.75, 1]\n'
SAYS: list[tuple[Payload, str]] = [
    (p.Found("fan-1", "fan"), "fan-1: fan"),
    (
        p.Found("fan-1", "fan", 2, "no", 5 * KG, "the quay", "rusty", "fan.jpg"),
        "fan-1: 2 × fan, 5.0 kg, does not work, from the quay (rusty)",
    ),
    (p.Found("fan-1", "fan", works="yes", mass_mg=0), "fan-1: fan, works"),
    (p.Found("fan-1", "fan", mass_mg=KG, model="type 20"), "fan-1: fan type 20, 1.0 kg"),
    (p.Found("fan-2", "fan", signs="-boxed cord-cut"), "fan-2: fan, seen: -boxed cord-cut"),
    (
        p.Found("spa-1", "foot-spa", mass_mg=2 * KG, mostly="plastic-motor", cord="yes", battery="no", size="1-3kg"),
        "spa-1: foot-spa, mostly plastic-motor, cord: yes, battery: no, 2.0 kg",
    ),
    (p.Tested("fan-1", "yes"), "fan-1 works"),
    (p.Tested("fan-1", "unknown"), "fan-1 condition unknown"),
    (p.Weighed("fan-1", 3 * KG, 0), "fan-1 weighs 3.0 kg"),
    (
        p.Opened(
            "fan-1", (p.PieceOut("motor", 1, "motors", "crate", KG), p.PieceOut("shell", 1, "iron", "drum", KG)),
            3 * KG, (p.Run("whole", "open"),), 12, KG // 2, KG // 10, closes=False,
        ),
        ("fan-1 opened in 12 min: motor 1.0 kg into crate, shell 1.0 kg into drum, 500 g residue, 100 g loss; "
        "not yet all"),
    ),
    (p.Opened("fan-1", (), 0), "fan-1 opened: nothing weighed"),
    (
        p.Opened("fan-1", (), 0, answers=(p.AnswerSeen("motor", "copper"), p.AnswerSeen("blade", "steel", 2))),
        "fan-1 opened: nothing weighed; seen: motor copper, 2 × blade steel",
    ),
    (p.Opened("fan-1", (p.PieceOut("rest", 1, "residue", "tub", KG),), KG), "fan-1 given up into tub, 1.0 kg"),
    (p.Binned("drum", "iron"), "bin drum for iron"),
    (p.Binned("drum", "iron", "the red one", Decimal(60)), "bin drum for iron, the red one, 60 L"),
    (p.Recounted("drum", "iron", KG, 2 * KG, True), "bin drum holds 1.0 kg, it was down as 2.0 kg"),
    (p.Moved("drum", "tub", "iron", "iron", KG), "1.0 kg from drum to tub"),
    (p.Moved("drum", "tub", "iron", "shred", KG), "1.0 kg from drum to tub, as shred"),
    (p.Parted("fan-1", "motor", 1, KG, KG, Decimal("22.0")), "motor of fan-1 sold at 22.0"),
    (p.Parted("fan-1", "motor", 3, KG, KG, Decimal(7)), "3 × motor of fan-1 sold at 7"),
    (
        p.Parted("fan-1", "motor", 1, KG, 2 * KG, Decimal(7), listing="fan-1-offer", bin="crate", grade="motors"),
        "motor of fan-1 in crate sold at 7, by fan-1-offer",
    ),
    (p.Listed("o-1", "fan-1", "whole", 1, Decimal("40.00")), "o-1: whole of fan-1 on offer at 40.00"),
    (
        p.Listed("o-1", "fan-1", "motor", 2, Decimal(9), "the board", "motor", "crate", 5, "scuffed"),
        "o-1: 2 × motor of fan-1, from crate, on offer at 9, the board, 5 min (scuffed)",
    ),
    (p.AskedAnew("o-1", Decimal(35)), "o-1 now at 35"),
    (p.TakenDown("o-1", 1), "o-1 taken down"),
    (p.TakenDown("o-1", 3, "rain"), "o-1 taken down: 3 (rain)"),
    (p.Returned(EARLIER, "fan-1", "whole", 1, KG, Decimal(40)), "whole of fan-1 came back, 1.0 kg, 40 paid back"),
    (
        p.Returned(EARLIER, "fan-1", "motor", 2, KG, Decimal(18), Decimal(4), "crate", "motors", "o-1"),
        "2 × motor of fan-1 came back, 1.0 kg into crate, 18 paid back; on offer by o-1",
    ),
    (p.Discarded("fan-1", KG, KG), "fan-1 given up, 1.0 kg"),
    (p.Traded("yard", "yard"), "yard: yard"),
    (p.Traded("yard", "tip", km=Decimal(0), refuses=("a", "b")), "yard: tip, 0 km, refuses a, b"),
    (p.Traded("yard", "yard", open=("mon-fri 08:00-16:30", "sat 08:00-12:00")),
     "yard: yard, open mon-fri 08:00-16:30, sat 08:00-12:00"),
    (p.Traded("yard", "yard", phone="555-0142"), "yard: yard, phone 555-0142"),
    (
        p.Traded("yard", "yard", ticket_fee=Decimal(5), ticket_share=Decimal("0.02")),
        "yard: yard, keeps back 5 a ticket, keeps back 2 % of a ticket",
    ),
    (p.Traded("yard", "yard", km=Decimal(14), back_km=Decimal(18)), "yard: yard, 14 km, 18 km back"),
    (p.Quoted("yard", "iron", Decimal("0.10"), "lb", dt.date(2026, 3, 1), most_mg=9 * KG),
     "yard iron: 0.10 /lb, at most 9.0 kg"),
    (p.Quoted("yard", "iron", Decimal("0.10"), "kg", dt.date(2026, 3, 1), most_pieces=5, piece_mg=18 * KG, each=True),
     "yard iron: 0.10 /kg, at most 5 pieces, one weighs 18.0 kg"),
    (p.Quoted("yard", "iron", None, "lb", dt.date(2026, 3, 1)), "yard iron: not taken any more"),
    (
        p.Quoted("yard", "iron", Decimal("0.10"), "lb", dt.date(2026, 3, 1), 9 * KG, 2 * KG, "iron 10c"),
        "yard iron from 9.0 kg: 0.10 /lb, at least 2.0 kg",
    ),
    (p.Set("wage", "12"), "wage = 12"),
    (p.Hauled("haul-1", "started", ("yard", "tip")), "haul-1 started: yard, tip"),
    (p.Hauled("haul-1", "finished", (), Decimal("14.5"), 0), "haul-1 finished: , 14.5 km, 0 min"),
    (
        p.Ticketed(
            "t-1", "yard", (p.TicketLine("iron", "drum", KG, KG, Decimal("0.2"), "kg", Decimal("0.20")),),
            Decimal("0.20"),
        ),
        "t-1, yard: iron 1.0 kg at 0.2 /kg; total 0.20",
    ),
    (p.Paid("yard", Decimal(5)), "yard paid 5"),
    (p.Paid("yard", Decimal("5.00"), "t-1", "cash"), "yard paid 5.00 for t-1 (cash)"),
    (p.Spent("blades", Decimal(9)), "blades: 9 (other)"),
    (p.Worked("bench", 45, "fan-1"), "45 min bench on fan-1"),
    (p.Worked("haul", 0), "0 min haul"),
    (p.Identified("brass", "taps"), "brass from taps"),
    (p.Identified("brass", "taps", 3, "brass-yellow", (), KG), "3 × brass from taps, 1.0 kg, for bin brass-yellow"),
    (
        p.Round("round-1", "ended", "west streets", 90, Decimal("14.5"), ("sofa bed", "tube tv")),
        "round-1 ended: west streets, 90 min, 14.5 km; left standing: sofa bed, tube tv",
    ),
    (p.Round("round-1", "started", "west streets"), "round-1 started: west streets"),
    (p.Found("fan-1", "fan", round="round-1"), "fan-1: fan, on round-1"),
    (p.Ruled("curbside", "no", "by-law 3", dt.date(2026, 3, 1)), "curbside: no (by-law 3, seen 2026-03-01)"),
    (p.Noted("no lid", "fan-1"), "fan-1: no lid"),
    (p.Noted("busy", buyer="harbour", bin="brass"), "harbour: brass: busy"),
    (p.Noted("buy gloves"), "buy gloves"),
    (p.Described("toy", TOY), "kind toy: Desk toy, 0.5 to 1 kg, not opened"),
    (p.Described("toy", "[[anatomy]]"), "kind toy: an anatomy that cannot be used here"),
    (p.Described("toy"), "kind toy given up"),
    (p.Pictured("0" * 64, 40, 30, find="fan-1"), "photograph of fan-1"),
    (p.Pictured("0" * 64, 40, 30, find="fan-1", kind="fan", piece="cord"), "photograph of fan-1: cord"),
    (p.Pictured("0" * 64, 40, 30, bin="crate", note="wet"), "photograph of what is in crate (wet)"),
    (p.Pictured("0" * 64, 40, 30, kind="fan", piece="cord"), "photograph of fan: cord"),
    (p.Pictured("0" * 64, 40, 30, bin="crate"), "photograph of what is in crate"),
    (p.Pictured("0" * 64, 40, 30, ticket="t-1"), "photograph of ticket t-1"),
    (p.Corrected(EARLIER), "12345678 taken back"),
    (p.Corrected(EARLIER, "slip", ID), "12345678 taken back, abcdef01 instead: slip"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "expected"), SAYS, ids=[f"{what.KIND}-{n}" for n, (what, _) in enumerate(SAYS)])
def test_what_an_event_says(what: Payload, expected: str) -> None:
    assert words(what, ShownUnits()) == expected


def test_every_kind_is_among_them() -> None:
    assert {type(what) for what, _ in SAYS} == set(p.PAYLOADS.values())


def test_an_identified_mass_of_nothing_is_not_said_as_of_a_find() -> None:
    """Here two places disagreed: a find of 0 mg was not weighed, and pieces of 0 mg were "0 kg"."""
    assert words(p.Identified("brass", "taps", mass_mg=0), ShownUnits()) == "brass from taps"


@settings(max_examples=200)
@given(st.sampled_from(sorted(payloads)).flatmap(lambda kind: payloads[kind]))
def test_what_somebody_typed_stands_in_words_as_it_was_typed(what: Any) -> None:
    """Values are never taken for a part of the template: every text of an event that is shown stands there whole."""
    template = what.words()
    names = {name for name, part in NAME.findall(GROUP.sub("", template)) if not part}
    for name in names:
        value = getattr(what, name)
        if isinstance(value, str) and name != "works":
            assert value in words(what, ShownUnits())


def test_what_corrections_ask_of_a_kind() -> None:
    """As the tables beside the corrections had it (commit 2d0e9a0)."""
    resting = {"weighed", "opened", "sold", "discarded", "recounted", "moved", "ticketed", "paid"}
    resting |= {"repriced", "taken-down", "returned"}
    assert {kind for kind, payload in p.PAYLOADS.items() if payload.RESTS} == resting
    makes = {kind: payload.MAKES for kind, payload in p.PAYLOADS.items() if payload.MAKES}
    assert makes == {
        "found": "find",
        "binned": "bin",
        "traded": "buyer",
        "ticketed": "ticket",
        "hauled": "haul",
        "listed": "listing",
        "round": "round",
    }
    along = {kind: payload.ALONG for kind, payload in p.PAYLOADS.items() if payload.ALONG}
    assert along == {"opened": ("weighed",), "ticketed": ("moved",), "corrected": ("corrected",)}


def test_a_field_of_later_is_written_only_where_it_says_something() -> None:
    """So the text of an event from before stays to the letter, and a version before reads all that has no model."""
    plain = '{"count":1,"find":"fan-1","kind":"fan","mass_mg":null,"note":"","photo":"","source":"","works":"unknown"}'
    assert payload_text(p.Found("fan-1", "fan")) == plain
    said = p.Found("fan-1", "fan", model="type 20")
    assert payload_text(said) == plain.replace('"note"', '"model":"type 20","note"')
    assert payload_from("found", payload_text(said)) == said
    assert payload_from("found", plain) == payload_from("found", plain.replace('"note"', '"model":"","note"'))
