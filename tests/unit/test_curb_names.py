"""Finding a kind with a thumb: two letters, other names, slips."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partway.catalogue import shipped
from partway.reports.curb.names import LONGEST, _distance, _index, find_kinds, kind_called, named, words
from partway.reports.curb.slips import NO, slipped, slips, starts
from partway.things.anatomy import Anatomy

KINDS = named(shipped().all_anatomies())


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


def test_every_kind_has_other_names() -> None:
    """At least three, but for a kind that was split: nothing leads to it any more."""
    few = [anatomy.kind for anatomy in shipped().all_anatomies() if len(anatomy.names) < 3 and not anatomy.became]
    assert few == []


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


# --- straight to a verdict: only by an exact name ----------------------------------------------------

OWN = {kind.kind: kind.names[0] for kind in KINDS}


def spellings(name: str) -> set[str]:
    """The same name as a thumb, a label or a list writes it."""
    run = name.replace("-", " ")
    several = name if name.endswith(("s", ")")) else f"{name}s"
    return {name, name.upper(), f"  {name.title()} ", run, run.replace(" ", "-"), run.replace(" ", ""), several}


@pytest.mark.parametrize("kind", sorted(OWN))
def test_a_kind_goes_by_its_id_and_by_its_name_however_they_are_written(kind: str) -> None:
    assert {kind_called(text, KINDS) for name in (kind, OWN[kind]) for text in spellings(name)} == {kind}


def test_another_name_leads_to_its_own_kind_or_to_none() -> None:
    """None where several kinds share it, and where a question mark in the file says that it is only offered."""
    every = [(anatomy.kind, name) for anatomy in shipped().all_anatomies() for name in anatomy.names]
    sure = {}
    for kind, name in every:
        of = {k for k, n in every if n == name}
        expected = None if len(of) > 1 or name.endswith("?") else kind
        assert {kind_called(text, KINDS) for text in (name.rstrip("?"), name.rstrip("?").upper())} == {expected}, name
        assert of <= set(found(name.rstrip("?"))), name
        sure[name] = expected
    assert sum(kind is not None for kind in sure.values()) > 60
    assert sure["tv"] is None and sure["copier?"] is None and sure["faucet"] == "tap"


@pytest.mark.parametrize(
    "text", ["iron", "starter", "monitor", "battery", "washer", "heater", "car", "stereo", "ups x"]
)
def test_a_word_of_a_name_is_asked_about(text: str) -> None:
    assert kind_called(text, KINDS) is None


@pytest.mark.parametrize(
    "text", ["nicrowave", "micro", "fans heater", "cattle", "toasters oven", "pc", "", " ", "s", "☃"]
)
def test_what_is_near_a_name_is_asked_about(text: str) -> None:
    assert kind_called(text, KINDS) is None


# The words of grades that are whole names of kinds, gone through by hand: each says the thing, none a material.
BOTH = {
    *("adapter", "adapters", "adapter-switching", "alternator", "alternators", "laptop", "laptops", "phone", "phones"),
    *("router", "routers", "server", "smoke-alarms", "string lights", "tablet", "taps"),
}


def test_the_words_of_grades_lead_to_no_verdict() -> None:
    said = set()
    for grade in shipped().grades.values():
        name = grade.name.casefold()
        said |= {name, grade.id, grade.family, *words(name), *words(grade.id)}
    assert len(said) > 300
    leads = {word: kind for word in said if (kind := kind_called(word, KINDS))}
    assert set(leads) == BOTH


@given(st.text(max_size=60) | st.text("abcdefghijklmnopqrstuvwxyz- ", max_size=12))
def test_random_words_lead_to_a_verdict_only_where_they_are_a_name(text: str) -> None:
    """Compared plainly: letters and digits alone, in small letters, with or without an s."""
    plain = {"".join(filter(str.isalnum, name.casefold())) for kind in KINDS for name in kind.names}
    run = "".join(words(text))
    if run not in plain and run.removesuffix("s") not in plain and f"{run}s" not in plain:
        assert kind_called(text, KINDS) is None or run.endswith("ies")


def test_every_name_can_be_typed() -> None:
    assert max(len(name) for kind in KINDS for name in (*kind.names, *kind.offered)) <= LONGEST
    assert kind_called("fan" + " " * LONGEST, KINDS) is None


def test_the_id_of_somebody_s_own_kind_means_it_whatever_others_are_called() -> None:
    nothing = shipped().anatomy("tap").pieces
    own = [Anatomy("tv", "Small set", nothing), Anatomy("faucet", "Garden pump", nothing)]
    mine = named([*shipped().all_anatomies(), *own])
    assert kind_called("tv", mine) == "tv"
    assert kind_called("faucet", mine) == "faucet"
    assert kind_called("Faucets", mine) is None


def _typed(name: str, draw: random.Random) -> str:
    """A name as a thumb may type it: a letter missing, extra or swapped, and perhaps only its beginning."""
    letters = list(name)
    for _ in range(draw.randint(0, 3)):
        at = draw.randrange(len(letters) + 1)
        letters[at : at + draw.randint(0, 1)] = draw.choice("abcdefghijklmnopqrstuvwxyz ") * draw.randint(0, 1)
    return "".join(letters)[: draw.choice((2, 3, 6, LONGEST))]


def test_the_index_leaves_out_nothing_that_is_near() -> None:
    """Held against every name tried with every text, which is how it is found without an index."""
    kinds, draw = named(shipped().all_anatomies()), random.Random(20261130)
    every = [name for kind in kinds for name in (*kind.names, *kind.offered)]
    found_some = 0
    for text in {_typed(draw.choice(every), draw) for _ in range(60)}:
        typed = words(text)
        for apart in (starts, slips) if typed else ():
            near = {name for name in every if _distance(typed, words(name), apart) < NO}
            found = {name for _, _, name in _index(kinds).near(typed, apart)}
            assert near <= found, (text, near - found)
            found_some += bool(near)
    assert found_some > 40
