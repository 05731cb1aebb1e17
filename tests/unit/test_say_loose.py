"""Frames, gaps, near words and numbered names by themselves, on names of three things and no ledger.

What each sentence says is plain English; how it is read is decided in docs/decisions/0027, 0029 and 0034.
"""

from __future__ import annotations

import datetime as dt

import pytest

from partway.errors import BadCatalogue
from partway.saying.amounts import Ear
from partway.saying.attempts import Attempt
from partway.saying.clauses import Clause
from partway.saying.fillers import said_plainly
from partway.saying.grammar import clauses_of
from partway.saying.lexicon import bones, lexicon_named
from partway.saying.loose.chunks import Chunks
from partway.saying.loose.frames import LOOSE, Framed
from partway.saying.loose.gaps import GapReading
from partway.saying.loose.heard import HEARD, in_doubt, understood
from partway.saying.loose.near_words import VARIANTS_MOST, by_sound, heard_otherwise, sound
from partway.saying.patterns import pattern_of, phrases_of
from partway.saying.slots import SlotEnds
from partway.saying.tokens import normal, said_words

ENGLISH = lexicon_named("en")
EAR = Ear(dt.date(2026, 3, 14), currency="USD", unit="lb")
NAMES = {
    "kind": {"fan", "fans", "microwave", "keyboard"},
    "find": {"fan", "microwave", "keyboard", "keyboard 2", "it"},
    "waiting": {"fan", "microwave", "keyboard", "keyboard 2"},
    "thing": {"fan", "microwave", "keyboard", "keyboard 2", "motors"},
    "bin": {"motors"},
    "grade": {"motors"},
    "buyer": {"ridge yard", "ridge"},
}


def known(sort: str, said: str) -> bool:
    """A bench of a fan, a microwave and a keyboard, a bin of motors, and one buyer."""
    return said in NAMES.get(sort, ())


def gapped(text: str) -> list[Clause] | None:
    """A text read with gaps."""
    whole = normal(text)
    words = said_plainly(said_words(whole), ENGLISH, known)
    found = GapReading(Attempt(whole, SlotEnds(words, ENGLISH, known, EAR, True))).read()
    return None if found is None else list(found)


def ways(clause: Clause) -> list[tuple[str, dict[str, str]]]:
    """The acts that a clause offers, each with its places."""
    return [(way.does, {slot.name: slot.said for slot in way.slots}) for way in clause.ways]


@pytest.mark.parametrize(
    "said",
    [
        "twenty minutes opening the fan it took me",
        "the fan took twenty minutes to open",
        "to open the fan it was twenty minutes",
    ],
)
def test_a_frame_reads_an_act_in_any_order_and_never_records_it(said: str) -> None:
    (clause,) = clauses_of(said, ENGLISH, known, EAR)
    assert clause.does == LOOSE
    does, places = ways(clause)[0]
    assert (does, places["find"], places["minutes"]) == ("opened", "fan", "twenty minutes")


def framed(text: str) -> list[tuple[str, set[str]]]:
    """All of a text read by the frames: the acts that it may be, each with the names of its places."""
    words = said_plainly(said_words(text), ENGLISH, known)
    slots = SlotEnds(words, ENGLISH, known, EAR, True)
    attempt = Attempt(text, slots)
    found = Framed(ENGLISH.frames, Chunks(slots, ENGLISH.verbs), attempt.made, attempt.text_of).read(0, len(words))
    if found is None:
        return []
    clause = found[1]
    return [(way.does, {slot.name for slot in way.slots}) for way in clause.ways or (clause,)]


@pytest.mark.parametrize(
    ("said", "acts"),
    [
        ("ten dollars the fan", [("sold", {"find", "money"}), ("listed", {"find", "money"})]),
        ("ten dollars the fan twelve dollars", [("noted", {"find", "sentence"})]),  # no money is left over
        ("the fan the keyboard ten dollars", [("noted", {"find", "sentence"})]),  # nor a thing
        ("ten dollars", []),
        ("sold the fan", [("sold", {"find"})]),  # for how much is asked
    ],
)
def test_each_amount_and_each_name_fills_one_place(said: str, acts: list[tuple[str, set[str]]]) -> None:
    assert [(does, {"money" if one == "cash" else one for one in places}) for does, places in framed(said)] == acts


@pytest.mark.parametrize(
    "said", ["going to open the fan", "I'll give the fan to my cousin", "want to find a microwave"]
)
def test_what_is_only_going_to_be_is_a_note_at_most(said: str) -> None:
    (clause,) = clauses_of(said, ENGLISH, known, EAR)
    assert [does for does, _ in ways(clause)] == ["noted"]


@pytest.mark.parametrize(
    ("said", "works"),
    [
        ("the fan turns but rattles so call it broken", "no"),
        ("the microwave hums and does not smell, count it as working", "yes"),
    ],
)
def test_a_verdict_decides_whatever_was_told_before_it(said: str, works: str) -> None:
    (clause,) = clauses_of(said, ENGLISH, known, EAR)
    assert [(way.does, way.value("works")) for way in clause.ways] == [("tested", works)]
    assert clause.value("passed")


def test_a_verdict_of_two_finds_is_none() -> None:
    """Of which of them it is said, nobody can tell."""
    found = clauses_of("the fan and the microwave rattle so call it broken", ENGLISH, known, EAR)
    assert all(way.does != "tested" for clause in found for way in clause.ways)


def test_a_gap_is_a_line_of_its_own_between_acts() -> None:
    found = gapped("found a fan, the fleeb went wibble, sold the keyboard for ten")
    assert found is not None
    assert [clause.does for clause in found] == ["found", "sold"]
    assert found[0].part("remark") is not None


def test_words_that_are_known_to_say_nothing_are_passed_over() -> None:
    found = gapped("found a fan with a nice handle for once")
    assert found is not None
    assert [clause.does for clause in found] == ["found"]


def test_with_no_act_at_all_nothing_is_read() -> None:
    assert gapped("the weather is fleeb and wibble") is None


def test_what_says_otherwise_takes_its_part_with_it() -> None:
    found = gapped("found a fan, did not sell the keyboard for ten")
    assert found is not None
    assert "sold" not in {clause.does for clause in found} | {way.does for clause in found for way in clause.ways}


@pytest.mark.parametrize(
    ("written", "meant"),
    [("rich", "ridge"), ("led", "lead"), ("fone", "phone"), ("bred", "bread"), ("korn", "corn")],
)
def test_words_sound_alike_by_their_consonants(written: str, meant: str) -> None:
    assert sound(written) == sound(meant)


@pytest.mark.parametrize(("one", "other"), [("fan", "van"), ("mouse", "house"), ("iron", "copper")])
def test_words_that_do_not_sound_alike_are_told_apart_unless_ears_take_them_for_one_another(
    one: str, other: str
) -> None:
    assert (sound(one) == sound(other)) == (one == "fan")  # f and v are alike


def test_short_words_have_no_sound_of_their_own() -> None:
    assert by_sound(["of", "lead", "led"]) == {sound("lead"): ("lead", "led")}


def test_a_word_in_a_pattern_is_never_another_one() -> None:
    words = said_words("sold the rich yard for ten")
    near = {"sold": ["salad"], "rich": ["ridge"]}
    tried = list(heard_otherwise(words, ENGLISH, lambda word: near.get(word, ()), [True] * len(words), known))
    assert [[word.text for word in others] for others in tried] == [["sold", "the", "ridge", "yard", "for", "ten"]]


def test_only_words_in_doubt_are_tried() -> None:
    words = said_words("rich yard and rich fan")
    may = [False, False, False, True, True]
    (others,) = heard_otherwise(words, ENGLISH, lambda word: ["ridge"] if word == "rich" else [], may, known)
    assert [word.text for word in others] == ["rich", "yard", "and", "ridge", "fan"]


@pytest.mark.parametrize(
    ("said", "tried"), [("found too fans", True), ("went to the shop", False), ("for ages", False)]
)
def test_a_word_is_a_number_only_where_something_may_be_counted(said: str, tried: bool) -> None:
    words = said_words(said)
    others = list(heard_otherwise(words, ENGLISH, lambda _: (), [True] * len(words), known))
    assert bool(others) is tried


def test_no_more_than_a_few_readings_are_tried() -> None:
    words = said_words("rich rich rich rich rich rich rich")
    near = list(heard_otherwise(words, ENGLISH, lambda _: ["ridge", "rage"], [True] * len(words), known))
    assert len(near) <= VARIANTS_MOST


@pytest.mark.parametrize(
    ("short", "verb"), [("opnd", "opened"), ("wghd", "weighed"), ("fnd", "found"), ("tstd", "tested")]
)
def test_a_verb_without_its_vowels_is_known_by_what_is_left(short: str, verb: str) -> None:
    assert bones(short) == bones(verb)
    assert verb in ENGLISH.shortened[bones(short)]


def test_what_was_heard_otherwise_is_asked_about() -> None:
    (clause,) = clauses_of("opnd the fan 20 minutes", ENGLISH, known, EAR)
    assert clause.value(HEARD) == "yes"
    assert [way.does for way in clause.ways] == ["opened"]


def test_what_is_in_doubt_is_named_and_the_rest_is_not() -> None:
    found = gapped("found a fan, the fleeb went wibble")
    assert found is not None
    assert not understood(found, known)
    assert in_doubt(None, known) is None
    sure = clauses_of("found a fan", ENGLISH, known, EAR)
    assert understood(sure, known)
    assert in_doubt(sure, known) == []


@pytest.mark.parametrize(
    ("said", "find"),
    [
        ("sold keyboard 2 for ten", "keyboard 2"),
        ("sold keyboard 2 dollars", "keyboard"),
        ("sold keyboard 2", "keyboard"),
    ],
)
def test_a_number_behind_a_name_is_of_it_unless_a_unit_follows_or_nothing_is_left(said: str, find: str) -> None:
    (clause,) = clauses_of(said, ENGLISH, known, EAR)
    slot = clause.slot("find")
    assert slot is not None
    assert slot.said == find


@pytest.mark.parametrize(
    ("said", "texts"),
    [
        ("fan / fine", ["fan", ",", "fine"]),
        ("2.10 / lb", ["2.10", "/", "lb"]),
        ("4.10/lb", ["4.10", "/", "lb"]),
        ("cu2 +7 lb", ["cu", "2", "another", "7", "lb"]),
        ("3 + 4", ["3", "+", "4"]),
        ("fan works :)", ["fan", "works"]),
    ],
)
def test_slashes_pluses_and_faces(said: str, texts: list[str]) -> None:
    assert [word.text for word in said_words(said)] == texts


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("took 40, no, 50 minutes", "took 50 minutes"),
        ("weighed 41, sorry, 42 pounds", "weighed 42 pounds"),
        ("pays 4, no 2 copper 3", "pays 4 , no 2 copper 3"),
        ("for 12, no, 15", "for 12 , no , 15"),
    ],
)
def test_a_number_put_right_before_its_unit(said: str, left: str) -> None:
    """Nothing is taken back where "no" may be that of a grade, or where no unit says that both are of one sort."""
    assert " ".join(word.text for word in said_plainly(said_words(said), ENGLISH, known)) == left


def test_a_pattern_with_words_beside_a_set_in_one_choice_is_refused() -> None:
    with pytest.raises(BadCatalogue):
        pattern_of("put it in <box>|it", {"does": "x"}, phrases_of({"box": ["bin"]}))


def test_only_what_may_begin_a_pattern_is_tried() -> None:
    pattern = pattern_of("[both] {find} and {find} <works>", {"does": "x"}, phrases_of({"works": ["works", "is fine"]}))
    words, slots = pattern.begins
    assert words == {"both"}
    assert slots == ("find",)
    assert [set(one) for one in pattern.needed] == [{"and"}, {"works", "is"}]
