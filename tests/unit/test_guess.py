"""Things that no catalogue has: what was said of them is their kind, and a wide guess from it is their anatomy.

Expected figures are worked out by hand from the table of guesses (catalogue/data/guesses.toml), which is from memory.
"""

from __future__ import annotations

import itertools
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from town import finds, town, yard

from partway.catalogue import shipped
from partway.catalogue.checks.anatomy import anatomy_flaws, closure_flaws
from partway.catalogue.checks.hazards import hazard_flaws
from partway.catalogue.checks.work import work_flaws
from partway.catalogue.named import hazards_of, hazards_of_opening, hazards_of_piece
from partway.errors import BadEvent
from partway.ledger.events.codec import payload_from
from partway.ledger.events.kinds import Found
from partway.ledger.events.shapes import shape_of
from partway.things.anatomy import Anatomy
from partway.things.scenario import Find
from partway.things.traits import SIZE_NAMES, Traits, plain_name, shown_name, size_of, traits_in
from partway.valuing.finds.opened import Solved

CATALOGUE = shipped()
MOSTLY = tuple(CATALOGUE.guesses.rows)
HAS = ("", "yes", "no")
names = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=12).map(plain_name).filter(bool)
traits = st.builds(
    Traits, st.sampled_from(MOSTLY), st.sampled_from(HAS), st.sampled_from(HAS), st.sampled_from(HAS),
    st.sampled_from(("", *SIZE_NAMES)),
)  # fmt: skip


def guess(mostly: str, name: str = "foot-spa", **said: str) -> Anatomy:
    return CATALOGUE.anatomy(Traits(mostly, **said).kind(name))


@given(name=names, said=traits)
def test_a_kind_that_was_made_of_words_says_them_again(name: str, said: Traits) -> None:
    assert traits_in(said.kind(name)) == (name, said)


@pytest.mark.parametrize(
    "kind",
    ["fan", "fan~", "~steel", "fan~steel~", "fan~steel~cord-maybe", "fan~steel~1-3kg~cord-yes",
     "Fan~steel", "f an~steel", "\0~steel", f"{'x' * 41}~steel", "\u202efan~steel"],
)  # fmt: skip
def test_what_is_no_such_kind_is_none(kind: str) -> None:
    assert traits_in(kind) is None
    assert CATALOGUE.knows(kind) is (kind == "fan")


def test_a_table_row_of_a_later_version_is_not_known_here() -> None:
    """What a newer device recorded: the find is there, of a kind that nobody knows here."""
    assert traits_in("fan~unobtainium") is not None
    assert not CATALOGUE.knows("fan~unobtainium")


def test_two_of_one_name_that_were_said_to_differ_are_two_kinds() -> None:
    kinds = {Traits(m, cord=cord, size=size).kind("foot-spa") for m in MOSTLY for cord in HAS for size in SIZE_NAMES}
    assert len(kinds) == len(MOSTLY) * len(HAS) * len(SIZE_NAMES)
    assert not kinds & set(CATALOGUE.kinds)


@pytest.mark.parametrize(
    ("kg", "size"),
    [(0.05, "under-0.1kg"), (0.1, "0.1-0.3kg"), (2.1, "1-3kg"), (3.0, "3-10kg"), (45, "30-100kg"), (5e3, "over-100kg")],
)
def test_sizes(kg: float, size: str) -> None:
    assert size_of(kg) == size


def test_names_are_shown_as_they_were_typed_and_hold_no_mark() -> None:
    assert plain_name("Foot Spa") == "foot-spa"
    assert shown_name("foot-spa") == "Foot spa"
    assert plain_name(" grille-pain à 4 fentes~ ") == "grille-pain-à-4-fentes"
    assert plain_name("::~~") == ""


def test_a_word_is_not_cut_at_the_marks_of_its_letters() -> None:
    """Vowel signs and dots are letters' marks by Unicode (general category M), also where none is composed."""
    assert plain_name("मिक्सर मशीन") == "मिक्सर-मशीन"
    assert plain_name("I\u0307stanbul") == plain_name("\u0130stanbul") == "i\u0307stanbul"
    assert plain_name("\u0301 x") == "x"


@given(st.text(max_size=60))
def test_a_plain_name_stays_as_it_is(text: str) -> None:
    assert plain_name(plain_name(text)) == plain_name(text)


@pytest.mark.parametrize("mostly", MOSTLY)
def test_every_guess_holds_together(mostly: str) -> None:
    """Masses add up at the likely masses and the means, no sale hides a hazard, no card forbids the work."""
    for cord, motor, battery in itertools.product(HAS, repeat=3):
        for size in ("", *SIZE_NAMES):
            it = guess(mostly, cord=cord, motor=motor, battery=battery, size=size)
            assert not list(anatomy_flaws(it, CATALOGUE.grades, CATALOGUE.cautions))
            assert not list(closure_flaws(it, at_mean=True))
            assert not list(hazard_flaws(it, CATALOGUE.grades, CATALOGUE.cautions))
            assert not list(work_flaws(it, CATALOGUE.cautions))
            assert it.guessed


@pytest.mark.parametrize("mostly", MOSTLY)
def test_a_battery_comes_out_first_and_goes_nowhere_before_its_label_was_read(mostly: str) -> None:
    it = guess(mostly, battery="yes")
    if mostly == "batteries":
        assert not it.whole.sells
        return
    lot = CATALOGUE.guesses.rows[mostly].get("lot")
    (first,) = it.operations_on("whole")
    assert first.required
    assert first.cautions == ("live-on-battery", "li-ion", "battery-short")
    assert not it.piece("battery").sells
    (asked,) = it.operations_on("battery")
    assert asked.asks
    answers = it.answers_to("battery")
    assert sum(piece.share for piece in answers) == pytest.approx(1.0)
    assert [piece.answer for piece in answers] == [piece.name.removeprefix("Battery, ") for piece in answers]
    assert lot or "mains" in guess(mostly, cord="yes").cautions


def test_a_battery_nobody_has_looked_at_comes_out_by_what_holds_for_any() -> None:
    """As lithium, and as one that may spill: what the cards of lead and nickel-cadmium add before the label is read."""
    told = hazards_of(guess("plastic-motor", cord="yes"), CATALOGUE.grades)
    assert {"live-on-battery", "li-ion", "battery-short"} <= set(told) and not {"lead-acid", "nicd"} & set(told)
    any_battery = CATALOGUE.cautions["battery-short"]
    assert all(word in any_battery.first for word in ("goggles", "gloves", "whole", "upright", "tape", "metal"))
    assert "treated as lithium" in any_battery.never
    it = guess("plastic-motor", cord="yes")
    for chemistry in ("lead-acid", "nicd"):  # told once somebody says that it is one
        assert chemistry in hazards_of_piece(it.piece(f"battery.{chemistry}"), CATALOGUE.grades)
        assert chemistry in hazards_of_opening(it, ("take-battery",), (chemistry,), CATALOGUE.grades)
    lot = hazards_of(guess("batteries"), CATALOGUE.grades)  # there are some of each in a box of batteries
    assert {"li-ion", "lead-acid", "nicd"} <= set(lot)


def test_unknown_is_taken_as_it_may() -> None:
    assert "take-battery" in {op.id for op in guess("plastic-motor").operations}
    assert "take-battery" not in {op.id for op in guess("plastic-motor", battery="no").operations}
    assert "mains" in guess("plastic-motor").cautions
    assert "mains" not in guess("plastic-motor", cord="no").cautions
    assert "take-battery" not in {op.id for op in guess("steel").operations}


@pytest.mark.parametrize(
    ("name", "card", "shut"),
    [
        ("gas-fireplace", "gas-appliance", False),
        ("wine-cooler", "refrigerant", True),
        ("camping-fridges", "refrigerant", True),
        ("old-crt-monitor", "picture-tube", True),
        ("fire-extinguisher", "cylinder", True),
        ("lawn-mower", "fuel", False),
        ("sunbed", "mercury", True),
    ],
)
def test_a_name_that_tells_of_danger_brings_its_card_first(name: str, card: str, shut: bool) -> None:
    for mostly in MOSTLY:
        it = guess(mostly, name)
        assert it.cautions[0] == card
        assert it.whole.stop == (card if shut else None)
        assert not (shut and it.operations)


@pytest.mark.parametrize("mostly", MOSTLY)
def test_nobody_is_told_to_open_what_stays_shut(mostly: str) -> None:
    assert "stays shut" in guess(mostly, "wine-cooler").note
    assert "Open" not in guess(mostly, "wine-cooler").note
    assert ("Open one" in guess(mostly).note) is (mostly not in {"batteries", "cables", "screws"})


def test_a_name_that_only_sounds_so_brings_none() -> None:
    assert "gas-appliance" not in guess("steel", "gasket-set").cautions
    assert "refrigerant" not in guess("steel", "fridgemagnet").cautions


@pytest.mark.parametrize("mostly", [m for m in MOSTLY if m != "batteries"])
def test_what_a_buyer_pays_for_of_it_is_a_wide_guess(mostly: str) -> None:
    """Also of one that was on the scale: nobody knows what share of it is steel."""
    (first, *_) = guess(mostly, battery="no").whole.sells
    assert first.spread is not None
    assert first.share == pytest.approx(first.spread.mean)
    assert first.spread.high - first.spread.low >= 0.2


def test_the_range_of_one_on_the_scale_is_as_wide_as_its_share() -> None:
    """3 kg of steel at 1.00 a kilogram, no battery and no cord: light iron is all that anybody here pays for.

    By hand: (0.6 + 4 * 0.9 + 1.0) / 6 of 3 kg is 2.6; a beta-PERT draw of it keeps within 1.8 and 3.0.
    """
    kind = Traits("steel", cord="no", motor="no", battery="no", size="1-3kg").kind("bracket")
    scenario = town(yard("harbour-yard", {"light-iron": 1.0}) + finds("fan"), wage=60.0)
    here = Solved.of_finds(replace(scenario, anatomies={kind: CATALOGUE.anatomy(kind)}), [Find(kind, 1, "no", 3.0)])
    assert here.value == pytest.approx(2.6)
    drawn = here.drawn[0]
    assert 1.8 <= drawn.min() < 2.2
    assert 2.9 < drawn.max() <= 3.0
    assert drawn.mean() == pytest.approx(2.6, abs=0.02)
    assert any("a guess" in note for note in here.instance.notes)


def test_a_scenario_file_may_name_such_a_kind() -> None:
    kind = Traits("screws", size="1-3kg").kind("bag-of-screws")
    scenario = town(yard("harbour-yard", {"light-iron": 1.0}) + finds(kind), wage=12.0)
    assert scenario.anatomies[kind] == CATALOGUE.anatomy(kind)


def test_an_older_reader_is_told_which_field_it_does_not_know() -> None:
    """As a version read it that has none of the fields of format 4: it refuses the event, it guesses nothing."""
    written = shape_of(Found).write(Found("spa-1", "foot-spa", mostly="steel"))
    assert written["mostly"] == "steel"
    older = {name for name in shape_of(Found).known if name not in {"mostly", "cord", "motor", "battery", "size"}}
    assert set(written) - older == {"mostly"}
    assert set(shape_of(Found).write(Found("fan-1", "fan"))) <= older  # of a known kind it reads on as before


@pytest.mark.parametrize(
    ("field", "value"), [("mostly", "Steel!"), ("cord", "maybe"), ("motor", True), ("battery", None), ("size", "2kg")]
)
def test_what_such_an_event_cannot_say(field: str, value: str | bool | None) -> None:
    with pytest.raises(BadEvent):
        payload_from("found", json.dumps({"find": "spa-1", "kind": "foot-spa", field: value}))
