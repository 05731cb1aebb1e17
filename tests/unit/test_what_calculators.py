"""The calculators' pages: caution, verdict and figures are the command line's, all of it in the address, and what is
wrong is said beside its field with what was typed kept.

What a calculator answers is held against the world in tests/references; here its page is held against its answer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from app_client import Visitor, visitor
from named_hazards import says, squeezed
from page_words import words

from partway.actions.calculators.battery import BatteryAsked, ask_battery
from partway.actions.calculators.capacitor import CapacitorAsked, ask_capacitor
from partway.actions.calculators.density import DensityAsked, ask_density
from partway.actions.calculators.motor import MotorAsked, ask_motor
from partway.actions.calculators.scale import ScaleAsked, ask_scale
from partway.actions.calculators.stainless import ask_stainless
from partway.actions.calculators.wire import ask_wire
from partway.actions.calculators.wire_asked import WireAsked
from partway.reports.calculators.answer import Answer
from partway.reports.calculators.own_cautions import COMMANDS
from partway.web.what.calculators import CALCULATORS

HOSTILE = "<script>alert(1)</script> \u202eABC 🔩 ' \" --"
PRICES = {"minutes": "4/lb", "bare": "CAD 4.10 /lb", "insulated": "CAD 2.40 /lb", "wage": "15"}
MOTOR = {"mass": "9 lb", "minutes": "12", "sealed": "0.38 /lb", "copper": "3.60 /lb", "iron": "0.10 /lb", "wage": "15"}
ASKED: list[tuple[str, dict[str, str], Answer]] = [
    (
        "wire",
        {"size": "14", "conductors": "2", "ground": "y", "outside": "9.5 mm"},
        ask_wire(WireAsked("14", conductors=2, ground=True, outside="9.5 mm")),
    ),
    (
        "wire",
        {"size": "12", "weighs": "45 g", "length": "1 m", **PRICES},
        ask_wire(
            WireAsked(
                "12",
                weighs="45 g",
                length="1 m",
                minutes="4/lb",
                bare="CAD 4.10 /lb",
                insulated="CAD 2.40 /lb",
                wage=15,
            )
        ),
    ),
    (
        "wire",
        {"samples": "655 g: 412 g\n648 g:405 g\n\n650 g: 410 g"},
        ask_wire(WireAsked(samples=("655 g: 412 g", "648 g:405 g", "650 g: 410 g"))),
    ),
    (
        "density",
        {"air": "8.630 g", "hanging": "7.800 g", "water": "20 C"},
        ask_density(DensityAsked("8.630 g", "7.800 g", water="20 C")),
    ),
    ("density", {"air": "412 g", "gain": "49 g"}, ask_density(DensityAsked("412 g", gain="49 g"))),
    (
        "battery",
        {"chemistry": "li-ion", "volts": "36", "charge": "10 Ah"},
        ask_battery(BatteryAsked(("36 V", "10 Ah"), "li-ion")),
    ),
    (
        "battery",
        {"chemistry": "li-ion", "energy": "12.06", "cell": "y", "condition": "sound"},
        ask_battery(BatteryAsked(("12.06 Wh",), "li-ion", "sound", cell=True)),
    ),
    ("capacitor", {"farads": "1", "volts": "2970 V"}, ask_capacitor(CapacitorAsked(("1 uF", "2970 V")))),
    (
        "capacitor",
        {"farads": "1 uF", "volts": "2970", "bleeder": "10 Mohm", "measured": "y"},
        ask_capacitor(CapacitorAsked(("1 uF", "2970 V"), "10 Mohm", measured=True)),
    ),
    (
        "scale",
        {"load": "140 lb", "division": "0.05 lb", "country": "us"},
        ask_scale(ScaleAsked("140 lb", "0.05 lb", "us")),
    ),
    (
        "motor",
        MOTOR,
        ask_motor(MotorAsked("9 lb", "0.38 /lb", "3.60 /lb", "12", iron="0.10 /lb", wage=15.0)),
    ),
    (
        "stainless",
        {"pull": "weak", "give_or_take": "0.05"},
        ask_stainless("weak", "0.05"),
    ),
]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("what"), demo=True) as there:
        yield there


@pytest.fixture(scope="module")
def there(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("empty")) as there:
        yield there


def ask(there: Visitor, name: str, typed: dict[str, str], status: int = 200) -> str:
    answer = there.client.get(f"/what/{name}", params=typed)
    assert answer.status_code == status, answer.text[:2000]
    return answer.text


@pytest.mark.parametrize(("name", "typed", "answer"), ASKED)
def test_a_page_says_what_the_command_line_says(
    there: Visitor, name: str, typed: dict[str, str], answer: Answer
) -> None:
    before = there.count()
    page = words(ask(there, name, typed))
    assert squeezed(answer.verdict) in squeezed(page)
    for row in answer.rows:
        assert squeezed(row.name) in squeezed(page) and row.value in page and " ".join(row.note.split()) in page
    assert all(note in page for note in answer.notes)
    first = squeezed(page).partition(squeezed(answer.verdict))[0]
    assert answer.cautions and all(says(first, card.id) for card in answer.cautions)
    assert there.count() == before


@pytest.mark.parametrize(("name", "typed", "answer"), ASKED)
def test_what_was_typed_stands_in_its_form_again(
    there: Visitor, name: str, typed: dict[str, str], answer: Answer
) -> None:
    form = there.form(ask(there, name, typed), f"/what/{name}")
    kept = {field: text for field, text in form.values if text}
    assert {field: text.replace("\r", "") for field, text in kept.items() if field in typed} == typed


@pytest.mark.parametrize("name", CALCULATORS)
def test_an_empty_form_shows_its_cautions_and_is_no_error(there: Visitor, name: str) -> None:
    page = there.open(f"/what/{name}")
    assert 'class="error"' not in page and 'class="verdict' not in page
    text = squeezed(words(page))
    assert all(says(text.partition("more, if you know it")[0], card) for card in COMMANDS[name])


def test_every_calculator_of_the_command_line_has_a_page() -> None:
    assert set(CALCULATORS) == set(COMMANDS)


WRONG: list[tuple[str, dict[str, str], str]] = [
    ("wire", {"size": "14 mm"}, "size"),
    ("wire", {"outside": "9 mm"}, "size"),
    ("wire", {"size": "14", "conductors": "a few"}, "conductors"),
    ("wire", {"size": "14", "conductors": "0"}, "conductors"),
    ("wire", {"size": "14", "outside": "9"}, "outside"),
    ("wire", {"size": "14", "outside": "9 mm", "insulation": "wool"}, "insulation"),
    ("wire", {"size": "14", "outside": "9 mm", "build": "woven"}, "build"),
    ("wire", {"size": "14", "weighs": "9 g"}, "length"),
    ("wire", {"samples": "655 g"}, "samples"),
    ("wire", {"size": "14", "outside": "9.5 mm", **PRICES, "minutes": "soon"}, "minutes"),
    ("wire", {"size": "14", "outside": "9.5 mm", **PRICES, "bare": "4.10"}, "bare"),
    ("wire", {"size": "14", "outside": "9.5 mm", **PRICES, "wage": "much"}, "wage"),
    ("density", {"hanging": "7 g"}, "air"),
    ("density", {"air": "8.63", "hanging": "7.8 g"}, "air"),
    ("density", {"air": "8.63 g"}, "hanging"),
    ("density", {"air": "8.63 g", "hanging": "7.8 g", "water": "cold"}, "water"),
    ("density", {"air": "8.63 g", "hanging": "7.8 g", "thread": "0.3 mm"}, "under"),
    ("battery", {"volts": "36"}, "chemistry"),
    ("battery", {"chemistry": "li-ion", "volts": "36"}, "energy"),
    ("battery", {"chemistry": "gold", "energy": "3"}, "chemistry"),
    ("battery", {"chemistry": "li-ion", "volts": "many"}, "volts"),
    ("battery", {"chemistry": "li-ion", "volts": "36", "charge": "10 Ah", "energy": "90"}, "energy"),
    ("battery", {"chemistry": "nimh", "energy": "3", "lithium": "1 g"}, "lithium"),
    ("battery", {"chemistry": "nimh", "energy": "3", "condition": "fine"}, "condition"),
    ("capacitor", {"farads": "470 mF", "volts": "400"}, "farads"),
    ("capacitor", {"farads": "470 uF"}, "farads"),
    ("capacitor", {"farads": "470 uF", "volts": "400", "measured": "y"}, "bleeder"),
    ("capacitor", {"farads": "470 uF", "volts": "400", "bleeder": "big"}, "bleeder"),
    ("scale", {"division": "1 lb"}, "load"),
    ("scale", {"load": "140 lb"}, "division"),
    ("scale", {"load": "140 lb", "division": "0.05 lb", "country": "moon"}, "country"),
    ("scale", {"load": "140 lb", "division": "0.05 lb", "scale_class": "X"}, "scale_class"),
    ("scale", {"load": "140 lb", "division": "0.05 lb", "tare": "150 lb"}, "tare"),
    ("scale", {"load": "140 lb", "division": "0.05 lb", "within": "half"}, "within"),
    ("scale", {"load": "140 lb", "division": "0.05 lb", "phase": "old"}, "phase"),
    ("motor", {**MOTOR, "mass": ""}, "mass"),
    ("motor", {**MOTOR, "copper": "3.60"}, "copper"),
    ("motor", {**MOTOR, "share": "all"}, "share"),
    ("motor", {**MOTOR, "share": "50 %", "iron_share": "60 %"}, "iron_share"),
    ("motor", {**MOTOR, "what": "magnet"}, "what"),
    ("stainless", {"give_or_take": "0.05"}, "pull"),
    ("stainless", {"pull": "some"}, "pull"),
    ("stainless", {"pull": "weak", "give_or_take": "little"}, "give_or_take"),
]


@pytest.mark.parametrize(("name", "typed", "field"), WRONG)
def test_what_is_wrong_is_said_beside_its_field(there: Visitor, name: str, typed: dict[str, str], field: str) -> None:
    page = ask(there, name, typed, 422)
    assert f'href="#{field}"' in page and f'id="{field}-wrong"' in page
    assert ("expected" in page or "Give both" in page) and 'class="verdict' not in page
    form = there.form(page, f"/what/{name}")
    kept = dict(form.values)
    for typed_in, text in typed.items():
        options = [value for value, _ in getattr(CALCULATORS[name].make(None, {})[typed_in], "choices", [(text, "")])]
        assert text not in options or not text or kept[typed_in] == text
    said = words(page)
    assert not re.search(r"--[a-z]|\b(SIZE|IN_AIR|IN_WATER|RATINGS|PULL|LOAD|MASS)\b", said), "command line words"


@pytest.mark.parametrize("name", CALCULATORS)
def test_hostile_and_huge_texts_are_no_fault_of_ours(there: Visitor, name: str) -> None:
    fields = [field for row in (*CALCULATORS[name].rows, *CALCULATORS[name].more) for field in row]
    for text in (HOSTILE, "9" * 5000, "\x00", "-1", "1e999", "nan"):
        for field in fields:
            answer = there.client.get(f"/what/{name}", params={field: text})
            assert answer.status_code in (200, 422) and "<script>alert" not in answer.text, (field, text[:20])


def test_prices_and_wage_come_from_the_ledger_and_it_says_so(demo: Visitor, there: Visitor) -> None:
    for name, fields in (("wire", ("bare", "insulated", "wage")), ("motor", ("sealed", "copper", "wage"))):
        page = demo.open(f"/what/{name}")
        kept = dict(demo.form(page, f"/what/{name}").values)
        assert all(kept[field] for field in fields) and "From the ledger" in page and "your wage" in page
        assert "From the ledger" not in there.open(f"/what/{name}")
    copper = dict(demo.form(demo.open("/what/motor"), "/what/motor").values)["copper"]
    assert re.fullmatch(r"CAD \d+\.\d{2,3} /lb", copper)


def test_prices_filled_in_do_not_ask_for_a_time(demo: Visitor) -> None:
    """Only how much copper there is was asked, so prices that stand there already are left alone."""
    form = demo.form(demo.open("/what/wire"), "/what/wire")
    page = ask(demo, "wire", {**dict(form.values), "size": "14", "outside": "3 mm"})
    assert "of its mass is copper" in page


def test_a_density_goes_on_into_the_key(there: Visitor) -> None:
    page = ask(there, "density", {"air": "8.4 g", "hanging": "7.4 g"})
    onward = re.search(r'href="(/what/key[^"]+)"', page)
    assert onward is not None
    assert "Density by displacement" in there.open(onward[1].replace("&amp;", "&"))
