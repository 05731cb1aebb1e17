"""The table of signs: what it is held to, and what it says."""

from __future__ import annotations

from pathlib import Path

import pytest

from partway.catalogue import shipped
from partway.catalogue.signs import looked_for, signs_in
from partway.errors import BadCatalogue
from partway.things.signs import as_text, seen_in

SOUND = """
[[sign]]
id = "wet"
name = "Wet"
ask = "Is it wet?"
seconds = 5
works = 0.1
broken = 0.3
[[from]]
words = ["curb"]
odds = 1.0
"""


def table(folder: Path, old: str, new: str) -> Path:
    assert old in SOUND
    file = folder / "signs.toml"
    file.write_text(SOUND.replace(old, new))
    return file


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("works = 0.1", "works = 0", "works: got 0; expected a number above 0 and below 1"),
        ("works = 0.1", "works = 1.0", "works: got 1.0"),
        ("broken = 0.3", "", "broken: got nothing"),
        ("seconds = 5", "seconds = 900", "seconds: got 900"),
        ('id = "wet"', 'id = "Wet!"', "small letters and hyphens"),
        ('ask = "Is it wet?"', 'ask = " "', "ask: got nothing"),
        ('name = "Wet"', 'name = "Wet"\ncolour = "red"', 'got "colour"'),
        (
            "[[from]]",
            '[[sign]]\nid = "wet"\nname = "a"\nask = "b"\nseconds = 1\nworks = 0.2\nbroken = 0.1\n[[from]]',
            "twice",
        ),
        ('words = ["curb"]', 'words = ["Curb"]', "small letters"),
        ("odds = 1.0", "odds = 0", "odds: got 0"),
        ("[[from]]", "[[place]]", 'got "place"'),
    ],
)
def test_what_does_not_hold_is_refused_where_it_stands(old: str, new: str, message: str, tmp_path: Path) -> None:
    with pytest.raises(BadCatalogue, match=message.replace("[", r"\[").replace("?", r"\?")):
        signs_in(table(tmp_path, old, new))


def test_each_sign_that_ships_speaks_one_way_and_says_whence() -> None:
    signs = shipped().signs.signs
    assert {"note-works", "note-broken", "cord-cut", "parts-missing", "boxed", "wet", "rattles"} <= set(signs)
    for sign in signs.values():
        assert abs(sign.works - sign.broken) >= 0.05 and sign.source == "memory" and sign.ask.rstrip()[-1] in "?."


def test_a_cord_is_looked_for_where_there_is_one() -> None:
    corded = {sign.id for sign in looked_for(shipped().signs, shipped().anatomy("fan"))}
    bare = {sign.id for sign in looked_for(shipped().signs, shipped().anatomy("bicycle"))}
    assert "cord-cut" in corded and "cord-cut" not in bare and "wet" in bare
    assert "cracked" in {sign.id for sign in looked_for(shipped().signs, shipped().anatomy("flat-tv"))}


def test_given_by_its_owner_a_thing_works_more_often_than_at_the_curb() -> None:
    signs = shipped().signs
    assert signs.odds_from("given by the owner") > signs.odds_from("curb") == signs.odds_from("maple street") == 1.0


def test_seen_and_not_seen_as_one_text() -> None:
    assert seen_in("cord-cut -boxed") == {"cord-cut": True, "boxed": False}
    assert as_text({"cord-cut": True, "boxed": False}) == "-boxed cord-cut" and seen_in("") == {}
