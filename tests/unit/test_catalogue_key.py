"""The test key's files: what is read, what is refused, and every finding of the checks."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from partway.catalogue import shipped
from partway.catalogue.checks.findings import findings
from partway.catalogue.key.read import read_key
from partway.catalogue.shipped import DATA, catalogue_in
from partway.errors import BadCatalogue
from partway.things.testkey import MaterialKey

# The reference's list, by the ids of ours; from memory, unverified, as the files say.
METALS = re.findall(
    r"[a-z0-9-]+",
    """
    mild-steel galvanised cast-iron stainless-304 stainless-304-worked stainless-316 stainless-430 stainless-200 copper
    copper-tinned copper-clad-al copper-clad-steel brass-yellow brass-red bronze chrome-brass plated-brass chrome-zinc
    chrome-plastic
    nickel-silver al-sheet al-cast magnesium zinc lead pewter titanium carbide nickel-strip ferrite ceramic
    """,
)
PLASTICS = ["abs", "hips", "flame-retardant", "pc-abs", "pc", "pp", "pe", "pa", "pvc", "pmma", "pom"]


def key() -> MaterialKey:
    return shipped().key


def test_every_material_of_the_reference_is_there_and_says_its_source() -> None:
    assert list(key().materials) == [*METALS, *PLASTICS]
    for material in key().materials.values():
        assert material.source in shipped().sources
        assert material.on is not None


def test_the_tests_stand_in_the_order_of_cost_and_damage() -> None:
    """Look and marks, magnet, weight in hand, drag, file a hidden edge, continuity, ring, displacement."""
    assert [t for t in key().tests if t in key().contexts["loose"].tests] == [
        *("look", "magnet", "weight", "drag", "colour", "hardness", "continuity", "ring", "density"),
    ]


def test_the_contexts_are_those_asked_for() -> None:
    assert list(key().contexts) == ["loose", "screws", "wire", "components", "taps", "plastics"]
    for context in key().contexts.values():
        if context.group == "metals" and context.id != "wire":
            assert context.shares["ceramic"] > 0.0


def test_some_rows_letter_by_letter() -> None:
    """As the reference has them: a column slipped would be seen here."""
    rows = key().materials["stainless-304-worked"].rows
    assert rows["magnet"] == (0.06, 0.54, 0.40)
    assert rows["colour"] == (0.0, 0.0, 0.78, 0.22, 0.0)
    assert rows["hardness"] == (0.0, 0.02, 0.58, 0.40)
    assert rows["drag"] == (0.02, 0.08, 0.90)
    assert rows["ring"] == (0.85, 0.15)
    assert key().materials["lead"].density == 11.3
    assert "drag" not in key().materials["mild-steel"].rows
    assert "hardness" not in key().materials["ceramic"].rows
    assert key().materials["pa"].rows["float-brine"] == (0.85, 0.15)


def changed(tmp_path: Path, file: str, old: str, new: str) -> list[str]:
    """The findings of the shipped catalogue with one text of the key's files replaced."""
    shutil.copytree(DATA, tmp_path / "data", ignore=shutil.ignore_patterns("kinds", "components"))
    path = tmp_path / "data" / "identify" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    catalogue = replace(catalogue_in(tmp_path / "data"))
    return [finding.message for finding in findings(catalogue) if finding.file == "identify"]


FLAWS = [
    ("metals.toml", "magnet = [97, 2, 1]", "magnet = [97, 3, 1]", "a row of 101 %"),
    ("metals.toml", "magnet = [97, 2, 1]", "magnet = [97, 3]", "3, one for each answer of magnet"),
    ("metals.toml", "magnet = [97, 2, 1]", "magnets = [97, 2, 1]", 'did you mean "magnet"'),
    ("metals.toml", "magnet = [97, 2, 1]", "density = [97, 3]", "no row: this test follows from the density"),
    ("metals.toml", "magnet = [97, 2, 1]", "magnet = [97, 2, -1]", "at least 0"),
    ("metals.toml", 'grades = ["light-iron"]', 'grades = ["lite-iron"]', "a known grade"),
    ("metals.toml", 'grades = ["residue"]', "grades = []", "aside"),
    ("metals.toml", 'source = "memory"', 'source = "hearsay"', "a known source"),
    ("metals.toml", "density = 7.85", "density = 78.5", "at most 25"),
    ("metals.toml", 'id = "galvanised"', 'id = "mild-steel"', "each material once"),
    ("metals.toml", "spread = 0.01", "spred = 0.01", 'did you mean "spread"'),
    ("metals.toml", 'cautions = ["magnetron"]', 'cautions = ["magnetrons"]', "a known caution"),
    ("contexts.toml", "mild-steel = 40", "mild-steel = 41", "shares of 100 %"),
    ("contexts.toml", "mild-steel = 40", "mildsteel = 40", "a known material"),
    ("contexts.toml", "mild-steel = 40", "abs = 40", "a material of metals"),
    ("contexts.toml", '"look", "magnet", "weight"', '"magnet", "look", "weight"', "the order of tests.toml"),
    ("contexts.toml", '"magnet", "drag"', '"drag"', "also magnet, which it needs"),
    ("contexts.toml", '["al-heatsink", ', '["al-heatsinks", ', "a known grade"),
    ("tests.toml", 'bars = ["ceramic", "ferrite"]', 'bars = ["ferrite"]', "ceramic is never filed or struck"),
    ("tests.toml", 'bars = ["ceramic"]', "bars = []", "ceramic is never filed or struck"),
    ("tests.toml", "How does a magnet take", "Does acid fizz, and how does a magnet take", "a test that cannot hurt"),
    ("tests.toml", 'name = "ring"', 'name = "spark"', "a test that cannot hurt"),
    ("tests.toml", 'does = "tap"', 'does = "grind"', "'look', 'magnet'"),
    ("tests.toml", 'needs = { magnet = "none" }', 'needs = { colour = "red" }', "a test that stands before this one"),
    ("tests.toml", 'needs = { magnet = "none" }', 'needs = { magnet = "no" }', "a known answer"),
    ("tests.toml", "edges = [2.2, 4.8, 9.9]", "edges = [2.2, 9.9, 4.8]", "rising"),
    ("tests.toml", "edges = [2.2, 4.8, 9.9]", "edges = [2.2, 4.8]", "one edge fewer"),
    ("tests.toml", "spread = 0.03", "spread = 0.0", "above 0"),
    ("tests.toml", "danger = { magnesium = 0.3", "danger = { magnesia = 0.3", "a known material"),
    ("tests.toml", '{ id = "weak", name = "a slight pull" }', '{ id = "strong", name = "pull" }', "each answer once"),
    ("guides.toml", 'grade = "board-low"', 'grade = "board-lo"', "a known grade"),
    ("guides.toml", 'shows = ["ceramic-lid"]', 'shows = ["ceramic-lids"]', "a known feature"),
    ("guides.toml", 'shows = ["ceramic-lid"]', 'shows = ["brown"]', "shows or lacks, not both"),
    ("guides.toml", '{ id = "thin", name = "thin and', '{ id = "slots", name = "thin and', "each feature once"),
]


def test_the_shipped_key_has_no_findings() -> None:
    assert [finding for finding in findings(shipped()) if finding.file == "identify"] == []


@pytest.mark.parametrize(("file", "old", "new", "expected"), FLAWS)
def test_what_breaks_a_rule_is_found(file: str, old: str, new: str, expected: str, tmp_path: Path) -> None:
    messages = changed(tmp_path, file, old, new)
    assert messages
    assert any(expected in message for message in messages), messages
    assert all("identify" in message for message in messages)


def test_a_key_that_is_not_there_is_empty(tmp_path: Path) -> None:
    assert read_key(tmp_path / "identify") == MaterialKey({}, {}, {}, {}, ())


def test_what_is_not_toml_is_refused(tmp_path: Path) -> None:
    shutil.copytree(DATA / "identify", tmp_path / "identify")
    (tmp_path / "identify" / "tests.toml").write_text("[[test]\n", encoding="utf-8")
    with pytest.raises(BadCatalogue, match=r"tests\.toml"):
        read_key(tmp_path / "identify")
