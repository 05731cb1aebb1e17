"""docs/asvs.md has each line of OWASP ASVS 5.0.0 of level 1 and 2 once, and names tests that are there.

The levels of each line are those of the table of the standard itself (github.com/OWASP/ASVS, 5.0/docs_en, the CSV,
CC BY-SA 4.0).
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "docs/asvs.md").read_text(encoding="utf-8")
ROW = re.compile(r"^\| ([\d., ]+) \| (holds|in part|no|not here) \| (.+) \| (?:`(.+)`)? ?\|$", re.MULTILINE)
# By section: the level of its first line, of its second, and so on.
LEVELS = {
    "1.1": "22", "1.2": "1111122223", "1.3": "112222222223", "1.4": "222", "1.5": "123", "2.1": "122", "2.2": "112",
    "2.3": "12223", "2.4": "23", "3.1": "3", "3.2": "113", "3.3": "12223", "3.4": "11222233", "3.5": "11122333",
    "3.6": "3", "3.7": "22333", "4.1": "12233", "4.2": "23333", "4.3": "22", "4.4": "1222", "5.1": "2",
    "5.2": "112333", "5.3": "113", "5.4": "222", "6.1": "122", "6.2": "111111112222", "6.3": "11223333",
    "6.4": "112233", "6.5": "22222333", "6.6": "2223", "6.7": "33", "6.8": "2222", "7.1": "222", "7.2": "1111",
    "7.3": "22", "7.4": "11222", "7.5": "223", "7.6": "22", "8.1": "1233", "8.2": "1123", "8.3": "133", "8.4": "23",
    "9.1": "111", "9.2": "1222", "10.1": "22", "10.2": "223", "10.3": "22223", "10.4": "1111122222233333",
    "10.5": "22222", "10.6": "22", "10.7": "222", "11.1": "2233", "11.2": "22233", "11.3": "11233", "11.4": "1222",
    "11.5": "23", "11.6": "23", "11.7": "33", "12.1": "12233", "12.2": "11", "12.3": "22223", "13.1": "2333",
    "13.2": "222223", "13.3": "2233", "13.4": "1222233", "14.1": "22", "14.2": "12223333", "14.3": "122",
    "15.1": "12233", "15.2": "12233", "15.3": "1222222", "15.4": "3333", "16.1": "2", "16.2": "22222", "16.3": "2222",
    "16.4": "222", "16.5": "2223", "17.1": "23", "17.2": "22223333", "17.3": "22",
}  # fmt: skip
STANDARD = {f"{section}.{n}": level for section, levels in LEVELS.items() for n, level in enumerate(levels, 1)}


def rows() -> list[tuple[str, str, str]]:
    """Each line with how it stands, and the test of its row."""
    return [(line, found[2], found[4] or "") for found in ROW.finditer(TEXT) for line in found[1].split(", ")]


def test_each_line_stands_there_once() -> None:
    assert len(STANDARD) == 345  # as many as the table has
    wanted = {line for line, level in STANDARD.items() if level in "12"}
    assert Counter(line for line, _, _ in rows()) == Counter(wanted)


def test_the_sums_are_those_of_the_rows() -> None:
    for level in "12":
        counts = Counter(how for line, how, _ in rows() if STANDARD[line] == level)
        cells = " | ".join(str(counts[how]) for how in ("holds", "in part", "no", "not here"))
        assert f"| level {level} | {cells} |" in TEXT


def test_what_is_not_met_is_said_on_top() -> None:
    missed = [line for line, how, _ in rows() if how == "no" and STANDARD[line] == "1"]
    assert f"Of level 1 these are not: {', '.join(missed)}." in TEXT


@pytest.mark.parametrize("named", sorted({test for _, _, test in rows() if test}))
def test_a_test_that_is_named_is_there(named: str) -> None:
    file, _, test = named.partition("::")
    found = list((ROOT / "tests").rglob(file))
    assert len(found) == 1
    assert re.search(rf"^def {test}\(", found[0].read_text(encoding="utf-8"), re.MULTILINE), named


def test_the_unit_lets_the_app_reach_this_machine_alone() -> None:
    """systemd.resource-control(5): what is allowed goes before what is denied."""
    unit = (ROOT / "docs/hosting.md").read_text(encoding="utf-8").partition("Description=partway, behind")[2]
    lines = unit.partition("[Install]")[0].splitlines()
    assert "IPAddressDeny=any" in lines
    assert [line for line in lines if line.startswith("IPAddressAllow")] == ["IPAddressAllow=localhost"]
