"""Every form field that takes an amount reads words as it reads digits: "seven" or "seven pounds" ends as 7 does.

The fields are found on the pages of the demo: those whose keyboard on a phone is one of digits. Each is sent on its
form as the page has it: with a text that is no amount, with digits, and in words. A field that answers to the first in
another way than to digits is looked at by the form as it stands; of such a field digits and words have to end alike.
Words and digits that mean the same: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from app_client import FormSeen, Visitor, forms_on, visitor
from page_words import words
from test_every_form import POST, Place, bare, forms_of_the_demo, sort_of

INPUT = re.compile(r"<input[^>]*>")
WRONG = re.compile(r'<div class="wrong" role="alert">.*?</div>', re.DOTALL)
DIGITS, NONSENSE = "7", "xyzzy"
SAID = ("seven", "seven dollars", "seven pounds", "seven minutes")  # where it may be several, it is said of what


LOT = {"quote-grade": "copper-2", "quote-price": "4.10"}
PRICED = {"sell-price": "90"}
BESIDE: dict[str, dict[str, str]] = {  # what has to stand beside a field for the form to look at it
    "move-mass": {"move-to": "residue"}, "paid-amount": {"paid-buyer": "harbour-yard"},
    "quote-from_lot": LOT, "quote-minimum": LOT, "quote-piece": LOT,
    "km": {"name": "Quay", "kind": "yard"}, "past-km": {"past-where": "elm", "past-begin": "6:10", "past-end": "7:40"},
    "list-minutes": {"list-asking": "9"}, "holds": {"grade": "brass-red", "id": "spare"},
    "sell-fee": PRICED, "sell-postage": PRICED, "sell-minutes": PRICED,
}  # fmt: skip


@dataclass(frozen=True)
class Amount:
    """A field of a form."""

    place: Place
    field: str

    def __str__(self) -> str:
        return f"{sort_of(self.place.action, POST)} {re.sub('[0-9.].*', '', self.field)}"


def amounts(v: Visitor, kept: dict[str, FormSeen]) -> Iterator[Amount]:
    """Each field for amounts of each sort of form once; `kept` as of `outcome`."""
    known = set[str]()
    for place in forms_of_the_demo(v):
        page = v.client.get(place.page).text
        fields = {
            name[1]
            for tag in INPUT.findall(page)
            if re.search('inputmode="(decimal|numeric)"', tag) and (name := re.search('name="([^"]+)"', tag))
        }
        form = next((one for one in forms_on(page) if bare(one.action) == bare(place.action)), None)
        if form:
            kept[place.action] = form
        for field in [name for name, _ in form.values if name in fields] if form else ():
            one = Amount(place, field)
            if str(one) not in known:
                known.add(str(one))
                yield one


def outcome(v: Visitor, one: Amount, typed: str, kept: dict[str, FormSeen]) -> tuple[int, str]:
    """How the form ends with that in the field: its status and what is wrong with it, without what was typed.

    `kept` has the forms as they stand on their pages while nothing is recorded.
    """
    before = v.count()
    if one.place.action not in kept:
        page = v.client.get(one.place.page).text
        kept[one.place.action] = next(form for form in forms_on(page) if bare(form.action) == bare(one.place.action))
    answer = v.send(kept[one.place.action], **{**BESIDE.get(one.field, {}), one.field: typed})
    told = words("".join(WRONG.findall(answer.text)))
    for event in v.book.newest(v.count() - before):  # taken back, so that the next finds the same
        v.client.post("/api/correct", json={"events": [str(event.id)]})
        kept.clear()
    if answer.status_code == 200:  # saved, or set to work: the next is sent on a page of its own
        kept.clear()
    return answer.status_code, re.sub(r'"[^"]*"', "", told)


@pytest.fixture(scope="module")
def v(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("words"), demo=True) as known:
        yield known


def test_words_end_as_digits_do(v: Visitor) -> None:
    reached, apart = 0, list[str]()
    kept: dict[str, FormSeen] = {}
    for one in amounts(v, kept):
        digits = outcome(v, one, DIGITS, kept)
        if outcome(v, one, NONSENSE, kept) == digits:
            continue  # the form as the page has it does not look at it
        reached += 1
        if not any(outcome(v, one, said, kept) == digits for said in SAID):
            apart.append(f"{one}: {digits}, in words {outcome(v, one, SAID[0], kept)}")
    assert apart == []
    assert reached > 30
