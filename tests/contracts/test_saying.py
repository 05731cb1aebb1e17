"""After an act: one sentence in the names that people use, Undo beside it, and the rest folded."""

from __future__ import annotations

import datetime as dt
import html
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor
from httpx2 import Response

from partway.actions.bench import finds, listing, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import corrections, money
from partway.actions.buyers import buyers, quoting
from partway.actions.curb import rounds
from partway.actions.haul import hauls, tickets
from partway.actions.home import settings
from partway.actions.recording.describe import Say, Told, tell
from partway.reports.called import Called, day_said, of_day

NOTE = re.compile(r'<section class="note".*?</section>', re.DOTALL)
SAID = re.compile(r'<p class="said"><bdi>(.*?)</bdi></p>')
ID = re.compile(r"\b[a-z]+(?:-[a-z]+)*-[0-9]+\b|[0-9]{4}-[0-9]{2}-[0-9]{2}|\bkettle-|ridge-yard")  # fan-1, 2026-03-20


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as v:
        for name, value in {"currency": "CAD", "unit": "lb", "wage": "5", "locale": "en_CA"}.items():
            settings.set_(v.book, v.context(), name, value)
        yield v


def said(v: Visitor, action: Callable[..., Any], *given: Any, **named: Any) -> Told:
    """What is told of an act; nothing of it has an id."""
    recorded, context = action(v.book, v.context(), *given, **named), v.context()
    told = tell(recorded.result, Say.of(v.book), Called(v.book, context.day, context.time.tzinfo))
    assert not [line for line in (told.said, *told.more) if ID.search(line)], told
    return told


def test_every_act_is_one_sentence_in_names(there: Visitor) -> None:
    ridge = buyers.Terms(kind="yard", name="ridge yard", km="9")
    assert said(there, buyers.buyer, "ridge-yard", ridge).said == "New buyer: ridge yard"
    assert said(there, quoting.quote, "ridge-yard", "copper-2", "4.10 /lb").said == (
        "Ridge yard pays $4.10/lb for No. 2 copper"
    )
    assert said(there, bins.add_bin, "copper-2").said == "New bin: No. 2 copper"
    assert said(there, bins.recount, "copper-2", "60 lb").said == (
        "Weighed the bin No. 2 copper: 60 lb, 60 lb more than it was down as"
    )
    assert said(there, finds.find, "kettle", 1, "2 lb").said == "Found: electric kettle, 2 lb, condition unknown"
    assert said(there, finds.weigh, "kettle-1", "2.2 lb").said == "Weighed: electric kettle, 2.2 lb"
    assert said(there, finds.test, "kettle-1", "no").said == "Tested: electric kettle, 2.2 lb, does not work"
    cord = PieceGiven("cord", "0.2 lb")
    told = said(there, opening.open_up, "kettle-1", [cord], [], "15", residue="2 lb")
    assert told.said == "Opened the electric kettle: 1 piece, 0.2 lb, 15 min"
    assert "Mains electricity" in told.careful and any("mass balance" in line for line in told.more)
    last = there.book.newest(1)[0].id
    assert said(there, corrections.correct, str(last)).said == "Taken back: the opening of the electric kettle"
    assert said(there, listing.put_on_offer, "kettle-1", "12").said == "On offer: electric kettle, $12.00"
    assert said(there, listing.reprice, "kettle-1-offer-1", "11").said == (
        "Electric kettle: $11.00 asked now, $12.00 at first"
    )
    assert said(there, listing.take_down, "kettle-1-offer-1").said == "Not on offer any more: electric kettle"
    assert said(there, selling.discard, "kettle-1").said.startswith("Given up: electric kettle, ")
    assert said(there, hauls.start, ["ridge-yard"]).said == "Set out: today's haul, ridge yard"
    line = tickets.LineGiven("copper-2", "41 lb", "4.10 /lb", own="41 lb")
    told = said(there, tickets.ticket, "ridge-yard", [line], haul="haul-1")
    assert told.said == "Sold 41 lb of No. 2 copper to the ridge yard: $168.10" and not told.more
    assert said(there, money.paid, "ridge-yard", "168.10", "ticket-1").said == (
        "Paid: $168.10 for today's ticket, ridge yard, in full"
    )
    assert said(there, hauls.finish, km="18", minutes="50").said == "Over: today's haul, ridge yard"
    assert said(there, money.hours, "bench", "15").said == "15 min at the bench"
    assert said(there, money.spend, "drill bit", "12").said == "Spent $12.00 on drill bit"
    assert said(there, rounds.start_round, "harbour street").said == "Set out to harbour street"
    assert said(there, settings.set_, "wage", "25").said == "Wage is 25 now"


def test_of_several_alike_the_day_and_the_order_tell_which(there: Visitor) -> None:
    """Of one fan nobody asks which; of two of one day the second says so, and one of another day has its own."""
    earlier = there.context()

    def called() -> Called:
        return Called(there.book, earlier.day, earlier.time.tzinfo)

    finds.find(there.book, there.context(), "fan")
    assert called().find("fan-1") == "fan"
    finds.find(there.book, there.context(), "fan")
    assert (called().find("fan-1"), called().find("fan-2")) == ("today's fan", "today's fan, the second")
    last_week = Called(there.book, earlier.day + dt.timedelta(days=9), earlier.time.tzinfo)
    assert last_week.find("fan-2") == "fan of 20 March, the second"


@pytest.mark.parametrize(
    ("ago", "day", "haul"),
    [
        (0, "today", "today's haul"),
        (1, "yesterday", "yesterday's haul"),
        (3, "Tuesday", "Tuesday's haul"),
        (7, "13 March", "haul of 13 March"),
        (400, "13 February 2025", "haul of 13 February 2025"),
    ],
)
def test_days_are_said_as_people_say_them(ago: int, day: str, haul: str) -> None:
    """20 March 2026 is a Friday (ISO 8601 calendar, as Python's)."""
    today = dt.date(2026, 3, 20)
    assert day_said(today - dt.timedelta(days=ago), today) == day
    assert of_day("haul", day) == haul


def note(answer: Response) -> str:
    """The note of a page: its sentence stands first, Undo beside it, everything else folded."""
    assert answer.status_code == 200
    (found,) = NOTE.findall(answer.text)
    (sentence,) = SAID.findall(found)
    assert found.index(sentence) < found.index('<button class="quiet">Undo</button>')
    unfolded = re.sub(r"<details>.*?</details>", "", found, flags=re.DOTALL)
    assert len(re.findall(r"<p\b", unfolded)) == 1
    assert not ID.search(re.sub(r"<[^>]+>", " ", found)), found
    return html.unescape(sentence)


def test_the_note_has_the_sentence_and_undo(there: Visitor) -> None:
    answer = there.fill("/curb/microwave", "/curb/microwave/taken", mass="30 lb")
    assert note(answer) == "Found: microwave oven, 30 lb, condition unknown"
    assert "Mains electricity" in NOTE.findall(answer.text)[0]
    undone = there.send(there.form(answer.text, "/undo"))
    assert note(undone) == "Taken back: the microwave oven"


def test_a_draft_that_is_over_is_named_on_the_note(there: Visitor) -> None:
    bins.add_bin(there.book, there.context(), "copper-2")
    form = there.form(there.open("/bins/copper-2"), "/bins/copper-2/recount")
    answer = there.send(form, **{"recount-mass": "50 lb", "draft": "recount:copper-2"})
    assert 'data-done="recount:copper-2"' in answer.text
    answer = there.fill("/bins/copper-2", "/bins/copper-2/recount", **{"recount-mass": "51 lb"})
    assert "data-done" not in answer.text and note(answer).startswith("Weighed the bin No. 2 copper: 51 lb")
