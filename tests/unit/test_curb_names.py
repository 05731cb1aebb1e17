"""Finding a kind with a thumb: two letters, other names, slips."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partway.catalogue import shipped
from partway.reports.curb_names import everyday, find_kinds, named, slipped, words

KINDS = named({anatomy.kind: anatomy.name for anatomy in shipped().all_anatomies()})


def found(text: str) -> list[str]:
    return [match.kind for match in find_kinds(text, KINDS)]


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.kind)
def test_every_kind_is_found_by_two_letters_and_first_by_its_whole_name(kind: object) -> None:
    it = next(k for k in KINDS if k is kind)
    assert it.kind in found(words(it.names[0])[0][:2])
    assert found(it.names[0])[0] == it.kind
    assert it.kind in found(it.kind)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("brad", "bread-machine"),
        ("bred machine", "bread-machine"),
        ("nicrowave", "microwave"),  # the key beside
        ("mircowave", "microwave"),  # two keys swapped
        ("microwavw", "microwave"),
        ("refridgerator", "fridge"),
        ("toster", "toaster"),
        ("speeker", "speaker"),
        ("vacum", "upright-vacuum"),
    ],
)
def test_slips_are_forgiven(typed: str, kind: str) -> None:
    assert found(typed)[0] == kind


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        *(
            ("tv", "flat-tv"),
            ("telly", "tube-tv"),
            ("refrigerator", "fridge"),
            ("A/C", "window-ac"),
            ("a.c", "window-ac"),
        ),
        *(("air conditioner", "window-ac"), ("washing machine", "washer-top"), ("faucet", "tap"), ("bike", "bicycle")),
        *(("hairdryer", "hair-dryer"), ("Käfér telly", "nothing")),
    ],
)
def test_what_people_call_it(said: str, kind: str) -> None:
    assert (kind in found(said)) is (kind != "nothing")


def test_another_name_is_said_and_its_own_is_not() -> None:
    assert {match.called for match in find_kinds("telly", KINDS)} == {"telly"}
    assert find_kinds("microwave", KINDS)[0].called == ""


def test_nothing_like_it_is_nothing() -> None:
    assert found("") == found("   ") == found("zzzz") == found("☃") == []


def test_the_other_names_are_of_kinds_we_ship() -> None:
    assert set(everyday()) == set(shipped().kinds)


def test_slips_of_the_textbook_pairs() -> None:
    """Optimal string alignment distances as given for these pairs in the literature; none has keys side by side."""
    assert slipped("ca", "abc")[-1] == 3.0
    assert slipped("kitten", "sitting")[-1] == 3.0
    assert slipped("ab", "ba")[-1] == 1.0
    assert slipped("m", "n")[-1] == 0.5


@given(st.text(max_size=60))
def test_any_text_is_answered(text: str) -> None:
    matches = find_kinds(text, KINDS)
    assert len({match.kind for match in matches}) == len(matches)


@given(st.text("abcdefghij", max_size=8), st.text("abcdefghij", max_size=8))
def test_slips_are_the_same_both_ways_and_none_only_between_equals(a: str, b: str) -> None:
    assert slipped(a, b)[-1] == slipped(b, a)[-1]
    assert (slipped(a, b)[-1] == 0.0) is (a == b)
    assert abs(len(a) - len(b)) <= slipped(a, b)[-1] <= max(len(a), len(b))
