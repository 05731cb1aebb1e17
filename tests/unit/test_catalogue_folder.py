"""A catalogue in a folder: read on demand, and every finding with file, piece and difference."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_catalogue import CAUTIONS, FAN, GRADES, MOTOR, fan, read

from partway.catalogue.cards import card
from partway.catalogue.checks.findings import findings
from partway.catalogue.shipped import catalogue_in
from partway.errors import BadCatalogue

CARD = """name = "n"
at = "work"
hurts = "h"
first = "f"
licensed = "l"
rule = "check your local code"
never = "never"
"""


SOLD = ("iron", "copper-2", "motors")  # by the fan
UNSOLD = 'unsold = "w"\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("grades", "components", "kinds"):
        (tmp_path / name).mkdir()
    rows = "".join(
        f'[[grade]]\nid = "{g}"\nfamily = "any"\ndensity = 1.0\nnote = "n"\n{"" if g in SOLD else UNSOLD}'
        for g in GRADES
        if g != "pack"
    )
    (tmp_path / "grades" / "any.toml").write_text('source = "memory"\n' + rows)
    cautions = "".join(f'[[caution]]\nid = "{c}"\n{CARD}' for c in CAUTIONS)
    (tmp_path / "cautions.toml").write_text(cautions)
    (tmp_path / "sources.toml").write_text('[[source]]\nid = "memory"\nkind = "memory"\ncitation = "m"\n')
    (tmp_path / "components" / "motor-small.toml").write_text(MOTOR)
    (tmp_path / "kinds" / "fan.toml").write_text(fan(('id = "motor"', 'id = "motor"\n  like = "motor-small"')))
    return tmp_path


def test_a_catalogue_reads_a_kind_when_it_is_asked_for(folder: Path) -> None:
    (folder / "kinds" / "broken.toml").write_text("not TOML at all")
    catalogue = catalogue_in(folder)
    assert catalogue.kinds == ("broken", "fan")
    assert catalogue.anatomy("fan").piece("motor.copper")
    assert catalogue.anatomy("fan") is catalogue.anatomy("fan")
    for name in ("no-such-kind", "../kinds/fan", "x" * 300):
        with pytest.raises(KeyError):
            catalogue.anatomy(name)
    with pytest.raises(BadCatalogue, match=r"broken\.toml"):
        catalogue.anatomy("broken")


def test_a_sound_catalogue_has_no_findings(folder: Path) -> None:
    assert findings(catalogue_in(folder)) == []


def test_findings_name_file_piece_and_difference(folder: Path) -> None:
    fan_file = folder / "kinds" / "fan.toml"
    fan_file.write_text(fan(('"rest"', "[1.0, 2.5, 3.6]")))
    (finding,) = findings(catalogue_in(folder))
    assert (finding.file, finding.piece) == ("kinds/fan.toml", "whole")
    assert finding.difference == pytest.approx(0.5)
    assert "kinds/fan.toml: anatomy[fan].operation[open-whole]" in finding.message


def test_closure_at_the_mean_is_a_finding_though_no_refusal(folder: Path) -> None:
    """2.0 closes at the likely masses, but nothing else about the ranges does."""
    lopsided = fan(('"rest"', "[0.1, 2.0, 2.0]"))
    assert read(lopsided)
    (folder / "kinds" / "fan.toml").write_text(lopsided)
    (finding,) = findings(catalogue_in(folder))
    assert "PERT mean" in finding.message
    assert finding.difference == pytest.approx((0.8 + 4 + 1.4) / 6 + (0.1 + 8 + 2.0) / 6 - 19 / 6)


@pytest.mark.parametrize("field", ["name", "hurts", "first", "licensed", "rule", "never"])
def test_a_card_that_says_too_little_or_too_much_is_a_finding(folder: Path, field: str) -> None:
    whole = (folder / "cautions.toml").read_text()
    start = whole.index(f"{field} = ")
    line = whole[start : whole.index("\n", start)]
    for text, says in (("   ", "got nothing"), ("x" * 161, "read on a phone")):
        (folder / "cautions.toml").write_text(whole.replace(line, f'{field} = "{text}"', 1))
        found = findings(catalogue_in(folder))
        assert found and all(finding.file == "cautions.toml" and field in finding.message for finding in found)
        assert says in found[0].message


def test_a_card_that_does_not_say_where_it_hurts_is_a_finding_and_counts_as_hurting_when_carried(folder: Path) -> None:
    whole = (folder / "cautions.toml").read_text()
    (folder / "cautions.toml").write_text(whole.replace('at = "work"\n', "", 1))
    catalogue = catalogue_in(folder)
    (finding,) = findings(catalogue)
    assert "got nothing" in finding.message and ".at" in finding.message
    silent = next(caution for caution in catalogue.cautions.values() if not caution.at)
    assert card(catalogue.cautions, silent.id).carry


def test_a_rule_that_does_not_defer_to_the_local_code_is_a_finding(folder: Path) -> None:
    whole = (folder / "cautions.toml").read_text()
    (folder / "cautions.toml").write_text(whole.replace("check your local code", "IEC 1", 1))
    (finding,) = findings(catalogue_in(folder))
    assert "check your local code" in finding.message and ".rule" in finding.message


def test_findings_go_on_after_a_file_that_cannot_be_read(folder: Path) -> None:
    (folder / "kinds" / "bad.toml").write_text("[[anatomy]]\n")
    (folder / "kinds" / "other.toml").write_text(FAN)  # a file that is not about the kind of its name
    (folder / "kinds" / "fan.toml").write_text(fan(('kind = "fan"', 'kind = "fan"\nsource = "hearsay"')))
    messages = [finding.message for finding in findings(catalogue_in(folder))]
    assert len(messages) == 3
    assert 'kinds/fan.toml: anatomy[fan].source: got "hearsay"; expected a known source' in messages[1]
    assert "file's own name" in messages[2]


def test_components_that_contain_each_other_are_refused(folder: Path) -> None:
    looped = MOTOR.replace('id = "copper"', 'id = "copper"\n  like = "motor-small"')
    (folder / "components" / "motor-small.toml").write_text(looped)
    with pytest.raises(BadCatalogue, match="motor-small -> motor-small"):
        catalogue_in(folder).anatomy("fan")
