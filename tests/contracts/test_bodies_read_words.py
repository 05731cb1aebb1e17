"""Every amount, count and day in a body of the JSON interface reads words as it reads digits.

The fields are found in the bodies themselves, by their types: a new field of one of these sorts has to be in a body
below, and a new text has to be said to be no amount. Each is sent as digits, as people say it, and as a text that is
neither, which is refused with what was given and what was expected. Words and digits that mean the same: common
practice, no source.
"""

from __future__ import annotations

import copy
import re
import types
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

import pytest
from app_client import Visitor, visitor
from pydantic import BaseModel

from partway.web.api.bodies import Agreed, BodyTable, Count, Day, Km, Mass, Moment, Money, Price, Time
from partway.web.haul.jobs import Hours, Trips, Wage

Step = str | int
At = tuple[Step, ...]
NONSENSE = "xyzzy of nothing"
SAID: tuple[tuple[Any, str, tuple[Any, Any]], ...] = (  # the type, what it is called here, digits and words
    (Mass, "mass", ("6.5 lb", "six and a half pounds")), (Money, "money", ("12.50", "twelve dollars fifty")),
    (Time, "time", ("90", "an hour and a half")), (Count, "count", (2, "two")), (Km, "km", ("14", "fourteen")),
    (Price, "price", ("4.10 /lb", "four dollars ten a pound")), (Day, "day", ("2026-03-16", "monday")),
    (Moment, "moment", ("2026-03-20 6:40", "twenty to seven am")),
    (Hours, "hours", (6.5, "six and a half hours")), (Trips, "trips", (2, "two")),
    (Wage, "wage", (12.5, "twelve fifty")),
)  # fmt: skip
SORTS = {known: (name, said) for known, name, said in SAID}
TEXTS = {  # fields of text that are no amount: names, words of one's own, and what is said elsewhere to be read
    *(
        "kind",
        "source",
        "note",
        "photo",
        "model",
        "mostly",
        "signs",
        "round",
        "find",
        "piece",
        "grade",
        "bin",
        "answer",
    ),
    *("operations", "instead", "part", "listing", "where", "as", "sale", "name", "to", "buyer", "refuses", "phone"),
    *("open", "text", "stops", "haul", "what", "number", "ticket", "how", "category", "events", "why", "anatomy"),
    *("hazards", "names", "left", "material", "context", "answers", "card", "says", "source", "value", "option"),
    *("language", "shown", "workspace", "changes"),
    "capacity",  # litres: tests/unit/test_volumes_said.py
    "at",  # degrees
    "most",  # a mass or pieces: below
    "own",  # a mass, or all, or yard: below
    "ticket_share",  # in percent, in words as well: test_ticket_fees.py
}
NAMES = re.compile(r"[a-z-]+-[0-9]+|UUID\(.*?\)|said='.*?'|(?<=[.][1-9])0(?=')")  # count up, or say how it was said
OTHERWISE = {"/api/plan/scenario", "/api/depth/scenario", "/pocket/back"}  # a file; entries that go to these addresses
NUMBERS = {  # numbers that nobody says
    ("/api/plan", "seconds"), ("/api/plan", "gap"),  # how long a computer may take, and what it may leave open
    ("/pocket/back", "schema"),
    ("/api/quotes", "position"), ("/api/quotes/preview", "position"),  # which line, by its number
}  # fmt: skip
OPENED = {
    "find": "microwave-1", "minutes": "9", "count": 1, "operations": ["cord-and-tray"],
    "pieces": [{"piece": "cord", "mass": "8 lb", "count": 1}], "gap": "left",
}  # fmt: skip
LINE = {"grade": "motors-al", "mass": "8 lb", "price": "0.22 /lb", "own": "yard"}
ROUND = {"where": "elm", "begin": "6:10", "end": "7:40"}
BODIES: dict[str, dict[str, Any]] = {  # a body that is taken, by address; where a field needs others, they are here
    "/api/find": {"kind": "kettle"}, "/api/weigh": {"find": "kettle-1", "mass": "2 lb"}, "/api/open": OPENED,
    "/api/sell": {"find": "keyboard-1", "price": "5", "mass": "9 lb"},
    "/api/list": {"find": "keyboard-1", "asking": "5"},
    "/api/reprice": {"listing": "toaster-1-offer-1", "asking": "5"},
    "/api/take-down": {"listing": "toaster-1-offer-1"}, "/api/return": {"sale": "keyboard-1", "count": 1},
    "/api/discard": {"find": "kettle-1"}, "/api/bin": {"grade": "brass-red", "bin": "spare"},
    "/api/recount": {"bin": "motors", "mass": "5 lb"},
    "/api/move": {"bin": "copper-2", "to": "spare-copper", "mass": "1 lb"},
    "/api/buyer": {"buyer": "mail", "shipping": [{"up_to": "20 kg", "cost": "17"}]},
    "/api/quote": {"buyer": "harbour-yard", "grade": "motors-al", "price": "0.22 /lb"},
    "/api/haul/finish": {}, "/api/round/end": {}, "/api/round": ROUND,
    "/api/ticket": {"buyer": "harbour-yard", "lines": [LINE], "deductions": [{"what": "dirt", "amount": "1"}],
                    "as_printed": True},
    "/api/paid": {"buyer": "harbour-yard", "amount": "5", "as_printed": True},
    "/api/spend": {"what": "fuel", "amount": "5"},
    "/api/hours": {"activity": "bench", "time": "5"},
    "/api/identify": {"material": "chrome-brass", "count": 1},
    "/api/place": {"card": "payment", "says": "no cash", "source": "notice"}, "/api/plan": {},
}  # fmt: skip
TWO = {
    "count": 2, "operations": [], "pieces": [{"piece": "transformer", "count": 2, "mass": "16 lb"}],
    "answers": [{"piece": "transformer", "answer": "transformer.aluminium"}],
}  # fmt: skip
BESIDE: dict[tuple[str, str], dict[str, Any]] = {  # what a field is said together with
    ("/api/quote", "piece"): {"price": "2 each"}, ("/api/open", "answers"): TWO, ("/api/open", "pieces"): {"count": 2},
}  # fmt: skip
SET_UP: tuple[tuple[str, dict[str, Any]], ...] = (
    ("set", {"name": "currency", "value": "CAD"}), ("set", {"name": "unit", "value": "lb"}),
    ("buyer", {"buyer": "harbour-yard", "kind": "yard", "km": "14"}), ("buyer", {"buyer": "mail", "kind": "mail-in"}),
    *(("find", {"kind": kind, "count": 4, "mass": mass})
      for kind, mass in (("kettle", "9 lb"), ("microwave", "90 lb"), ("keyboard", "30 lb"), ("toaster", "40 lb"))),
    ("list", {"find": "toaster-1", "asking": "9", "count": 3}),
    ("sell", {"find": "keyboard-1", "price": "90", "count": 2, "mass": "20 lb"}),
    ("bin", {"grade": "motors-al", "bin": "motors", "holds": "60 lb"}),
    ("bin", {"grade": "copper-2", "holds": "30 lb"}),
    ("bin", {"grade": "copper-2", "bin": "spare-copper"}), ("haul/start", {"stops": ["harbour-yard"]}),
    ("round/start", {"where": "oak"}),
    ("ticket", {"buyer": "harbour-yard", "lines": [LINE], "as_printed": True}),
)  # fmt: skip


@dataclass(frozen=True)
class Amount:
    """A field of a body, its sort, and what is said in it: digits, then words."""

    path: str
    at: At
    sort: str
    said: tuple[Any, Any]

    def __str__(self) -> str:
        return f"{self.path.removeprefix('/api/')} {'.'.join(str(step) for step in self.at)}"


def _parts(annotation: Any) -> Iterator[Any]:
    """What a field may be, without None: the alternatives of a union, each as it is annotated."""
    if get_origin(annotation) in (Union, types.UnionType) and annotation not in SORTS:
        for one in get_args(annotation):
            yield from _parts(one)
    elif annotation is not type(None):
        yield annotation


def _fields(path: str, body: type[BaseModel], before: At = ()) -> Iterator[Amount]:
    """Every amount of a body, also in its tables. Fails for a field of which nobody said what it is."""
    hints = get_type_hints(body, include_extras=True)
    for name, field in body.model_fields.items():
        called = field.alias or name
        for part in _parts(hints[name]):
            plain = get_args(part)[0] if get_origin(part) is Annotated else part
            table = get_args(plain)[0] if get_origin(plain) is list else None
            if part in SORTS:
                if (path, called) not in NUMBERS:
                    yield Amount(path, (*before, called), *SORTS[part])
            elif isinstance(table, type) and issubclass(table, BaseModel):
                yield from _fields(path, table, (*before, called, 0))
            elif part == Agreed or plain is bool or get_origin(plain) is Literal:
                continue
            elif plain in (int, float):
                assert (path, called) in NUMBERS, f"{path} {called}: a number that cannot be said"
            else:
                assert called in TEXTS, f"{path} {called}: is it an amount?"


def _bodies(v: Visitor) -> Iterator[tuple[str, type[BaseModel]]]:
    """Every body that the document of the interface names, with its address."""
    known = {one.__name__: one for one in _below(BodyTable)}
    for path, ways in v.client.get("/api/openapi.json").json()["paths"].items():
        if "post" in ways and path not in OTHERWISE:
            sent = ways["post"]["requestBody"]["content"].get("application/json", {}).get("schema", {})
            if "$ref" in sent:  # else a photograph
                yield path, known[sent["$ref"].rpartition("/")[2]]


def _below(form: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for one in form.__subclasses__():
        yield one
        yield from _below(one)


@pytest.fixture(scope="module")
def v(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("bodies")) as known:
        for path, body in SET_UP:
            answer = known.client.post(f"/api/{path}", json=body)
            assert answer.status_code == 200, (path, answer.text)
        yield known


def _plain(one: Amount) -> dict[str, Any]:
    """The body of its address without that field's value."""
    return BODIES[one.path] | BESIDE.get((one.path, str(one.at[0])), {})


def _with(one: Amount, value: Any) -> dict[str, Any]:
    """The body of its address with that in the field."""
    body: Any = copy.deepcopy(_plain(one))
    inside = body
    for step in one.at[:-1]:
        inside = inside[step] if isinstance(step, int) else inside.setdefault(step, [{}])
    inside[one.at[-1]] = value
    return {} if body is None else body


def outcome(v: Visitor, path: str, body: dict[str, Any]) -> Any:
    """What is written or answered, without names that count up; taken back, so that the next finds the same."""
    before = v.count()
    answer = v.client.post(path, json=body)
    told = answer.json()
    if answer.status_code == 202:  # a search: what it was asked
        return 200, v.app.state.partway.jobs.now(told["id"]).scenario.hours
    written = v.book.newest(v.count() - before)
    for event in reversed(written):
        v.client.post("/api/correct", json={"events": [str(event.id)]})
    made = [event for event in written if event.kind != "binned" or path == "/api/bin"]  # a bin that was made stays
    return answer.status_code, [NAMES.sub("", f"{event.happened:%d %H} {event.what}") for event in made] or told


def test_every_amount_reads_words(v: Visitor) -> None:
    wrong, reached, plain = list[str](), 0, dict[str, Any]()
    for path, body in _bodies(v):
        for one in _fields(path, body):
            if one.at == ("on",) and path != "/api/spend":
                continue  # read in one place for all: RequestContext.context
            assert path in BODIES, f"{one}: no body in which it is tried"
            digits, words = (outcome(v, path, _with(one, said)) for said in one.said)
            refused = outcome(v, path, _with(one, NONSENSE))
            reached += 1
            base = str(_plain(one))
            if path + base not in plain:
                plain[path + base] = outcome(v, path, _plain(one))
            if digits != words or digits[0] != 200 or digits == plain[path + base]:
                wrong.append(f"{one}: {digits}, in words {words}")
            if refused[0] != 422 or NONSENSE not in refused[1]["given"] or not refused[1]["expected"]:
                wrong.append(f"{one}: {refused}")
    assert wrong == []
    assert reached > 40


@pytest.mark.parametrize(
    ("path", "body", "field", "digits", "words"),
    [
        ("find", {"kind": "kettle", "mass": "2 lb"}, "mass", "6.5 lb", "six and a half pounds"),
        ("find", {"kind": "kettle", "mass": "2 lb"}, "count", "2", "two"),
        ("hours", {"activity": "bench", "time": "5"}, "minutes", "90", "an hour and a half"),
        ("spend", {"what": "fuel", "amount": "5"}, "amount", "12.50", "twelve dollars fifty"),
        ("spend", {"what": "fuel", "amount": "5"}, "day", "2026-03-16", "monday"),
        ("quote", BODIES["/api/quote"], "price", "4.10 /lb", "four dollars ten a pound"),
    ],
)
def test_what_is_put_right_reads_words(
    v: Visitor, path: str, body: dict[str, Any], field: str, digits: str, words: str
) -> None:
    """The fields of /api/correct go by the event they are of: one of each sort."""
    found = []
    for said in (digits, words, NONSENSE):
        event = v.client.post(f"/api/{path}", json=body).json()["events"][-1]["id"]
        before = v.count()
        answer = v.client.post("/api/correct", json={"events": [event], "changes": {field: said}})
        said_anew = [one for one in v.book.newest(v.count() - before) if one.kind != "corrected"]
        found.append((answer.status_code, [NAMES.sub("", f"{one.happened:%d} {one.what}") for one in said_anew]))
        if answer.status_code == 200:
            v.client.post("/api/correct", json={"events": answer.json()["undo"]})
        else:
            assert NONSENSE in answer.json()["given"] and answer.json()["expected"]
    assert found[0] == found[1] and found[0][0] == 200 and found[0][1]
    assert found[2] == (422, [])
