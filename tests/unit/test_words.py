"""Words that no page, document, test or file of data holds, and the one description of the product."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import partway
from partway.catalogue import shipped
from partway.catalogue.shipped import DATA

ROOT = Path(__file__).parents[2]
ME = Path(__file__).resolve()
TEXT = {".py", ".toml", ".md", ".txt", ".html", ".js", ".sql", ".json", ".svg"}
# Names of makers' alloys and batteries, and of marks that everyday speech took over: from memory.
TRADE = re.compile(
    r"\b(?:zam[a]k|maz[a]k|nic[a]ds?|wi-?f[i]|us[b] charger|rom[e]x|alle[n] (?:key|wrench)|torx|dreme[l])\b",
    re.IGNORECASE,
)
ONE_SYSTEM = re.compile(r"\b(?:pb[p]aste|pb[c]opy|xc[l]ip|wl-pas[t]e)\b")
ONE_COUNTRY = re.compile(
    r"\b(?:petr[o]l|gasolin[e]|fire brigad[e]|fire departmen[t]|number plat[e]|licen[cs]e plat[e]|hire mar[k])\b"
)
POINT = re.compile(r"(-?\d{1,3}\.\d+)\"?, ?\"?(-\d{1,3}\.\d+)")


def texts() -> Iterator[tuple[Path, str]]:
    for folder in ("src", "tests", "docs", "benchmarks"):
        for path in sorted((ROOT / folder).rglob("*")):
            if path.suffix in TEXT and path.resolve() != ME and "__pycache__" not in path.parts:
                yield path.relative_to(ROOT), path.read_text(encoding="utf-8")
    yield Path("README.md"), (ROOT / "README.md").read_text(encoding="utf-8")


def test_no_trade_name_and_no_tool_of_one_system() -> None:
    found = [(str(path), word) for path, text in texts() for word in (*TRADE.findall(text), *ONE_SYSTEM.findall(text))]
    assert found == []


def test_what_the_catalogue_says_is_tied_to_no_country() -> None:
    found = [
        (p.name, word) for p in DATA.rglob("*.toml") for word in ONE_COUNTRY.findall(p.read_text(encoding="utf-8"))
    ]
    assert found == []
    said = [piece.name for anatomy in shipped().all_anatomies() for piece in anatomy.pieces]
    said += [op.name for anatomy in shipped().all_anatomies() for op in anatomy.operations]
    assert [name for name in said if re.search(r"\bt[iy]res?\b", name, re.IGNORECASE)] == []


def test_example_coordinates_lie_in_the_open_sea() -> None:
    """Between 29 and 32 N and 39 and 42 W there is no land: the middle of the North Atlantic, from memory."""
    for path, text in texts():
        if path.suffix == ".svg" or path.name == "test_roads.py":  # its points are two airports of a published example
            continue
        for north, west in POINT.findall(text):
            if 20 < float(north) < 75 and -140 < float(west) < -30 and "reference" not in str(path):
                assert 29 <= float(north) <= 32 and -42 <= float(west) <= -39, (path, north, west)


def test_there_is_one_description_of_the_product() -> None:
    about = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["description"]
    usage = (ROOT / "src" / "partway" / "cli" / "help.txt").read_text(encoding="utf-8")
    assert partway.__doc__ == f"partway: {about[0].lower()}{about[1:]}"
    assert " ".join(usage.split("\n\n")[1].split()) == about
    assert (ROOT / "README.md").read_text(encoding="utf-8").splitlines()[2].startswith(f"**{about}**")
