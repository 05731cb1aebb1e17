"""The line drawings: everything that ships has one, all are used, all are drawn alike and stay in their box."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from itertools import chain
from pathlib import Path

import pytest
from app_client import visitor

from partway.catalogue import shipped
from partway.web.drawings.sketches import GRID, MARGIN, Sketch, drawn, path_of, sketch, sketches
from partway.web.what.calculators import CALCULATORS

FILE = tomllib.loads((files("partway.web.drawings") / "sketches.toml").read_text())
STYLE = (files("partway.web") / "static" / "partway.css").read_text()
WHOLE_PIECES = [
    (anatomy.kind, piece.id) for anatomy in shipped().all_anatomies() for piece in anatomy.pieces[1:] if piece.id
]
# Answers to a question about the whole: the drawing of the kind stands beside them.
OF_THE_WHOLE = {(anatomy.kind, p.id) for anatomy in shipped().all_anatomies() for p in anatomy.answers_to("whole")}


def numbers_of(shape: str) -> tuple[str, list[float]]:
    sort, _, rest = shape.partition(" ")
    return sort, [float(number) for number in re.findall(r"-?\d*\.?\d+", rest)]


def corners(path: str) -> list[tuple[float, float]]:
    """Where the pen goes, and the points that curves are drawn to. Written apart from the code that draws."""
    x, y, found = 0.0, 0.0, [(0.0, 0.0)]
    start = (0.0, 0.0)
    takes = {"m": 2, "l": 2, "h": 1, "v": 1, "a": 7, "c": 6, "q": 4, "z": 0}
    for command, rest in re.findall(r"([a-zA-Z])([^a-zA-Z]*)", path):
        values = [float(number) for number in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", rest)]
        size, relative = takes[command.lower()], command.islower()
        if command in "zZ":
            x, y = start
        for at in range(0, len(values), size or 1):
            part = values[at : at + size]
            assert len(part) == size, (command, rest)
            base = (x, y) if relative else (0.0, 0.0)
            if command in "hH":
                x = base[0] + part[0]
            elif command in "vV":
                y = base[1] + part[0]
            else:
                pairs = [part[-2:]] if command in "aA" else [part[i : i + 2] for i in range(0, size, 2)]
                found += [(base[0] + dx, base[1] + dy) for dx, dy in pairs]
                x, y = found[-1]
                if command in "mM" and at == 0:
                    start = (x, y)
            found.append((x, y))
    return found[1:]


def test_every_kind_has_a_drawing() -> None:
    assert [kind for kind in shipped().kinds if sketch("kind", kind) is None] == []
    assert set(sketches().kinds) == set(shipped().kinds)


def test_every_grade_has_its_own_drawing_or_that_of_its_family() -> None:
    assert [grade for grade in shipped().grades if sketch("grade", grade) is None] == []
    assert set(sketches().grades) <= set(shipped().grades)
    assert set(FILE["families"]) == {grade.family for grade in shipped().grades.values()}
    assert sketch("grade", "al-extrusion") == sketches().drawings["profile"]
    assert sketch("grade", "al-heatsink") == sketches().drawings["heatsink"]


def test_every_piece_of_every_kind_and_component_has_a_drawing() -> None:
    without = {one for one in WHOLE_PIECES if sketch("piece", one[1]) is None}
    assert without <= OF_THE_WHOLE
    assert len(WHOLE_PIECES) > 1500


def test_every_way_to_find_out_what_a_piece_is_has_a_drawing() -> None:
    ways = {*shipped().key.contexts, *shipped().key.guides, *CALCULATORS}
    assert set(sketches().key) == ways
    assert all(sketch("key", way) for way in ways)


@pytest.mark.parametrize(
    ("piece", "name"),
    [
        ("cord", "cord"),
        ("fan-motor", "motor"),
        ("motor.copper.rotor", "motor"),
        ("transformer.aluminium", "sheets"),
        ("coin-cell", "coin-cell"),
        ("board-of-the-door", "door"),
        ("nothing-we-know", ""),
        ("", ""),
    ],
)
def test_a_piece_is_known_by_the_last_word_of_its_id(piece: str, name: str) -> None:
    assert sketches().name("piece", piece) == name


def test_what_nobody_drew_has_no_drawing() -> None:
    assert sketch("kind", "garden-gnome") is None and sketch("grade", "moon-dust") is None


def test_every_drawing_is_used_and_every_name_is_drawn() -> None:
    pieces = {sketches().name("piece", piece) for _, piece in WHOLE_PIECES}
    grades = {sketches().name("grade", grade) for grade in shipped().grades}
    kinds = {sketches().name("kind", kind) for kind in shipped().kinds}
    assert (pieces | grades | kinds | set(FILE["key"])) - {""} == set(FILE["draw"])


@pytest.mark.parametrize("table", ["kinds", "grades", "pieces", "key"])
def test_nothing_has_two_drawings(table: str) -> None:
    named = list(chain.from_iterable(FILE[table].values()))
    assert sorted(named) == sorted(set(named))


def test_no_two_drawings_are_the_same() -> None:
    seen = [(one.lines, one.tint) for one in sketches().drawings.values()]
    assert len(seen) == len(set(seen)) > 100
    lines = [frozenset(shapes["lines"]) for shapes in FILE["draw"].values()]
    assert len(lines) == len(set(lines))


def test_no_point_is_nearer_to_the_edge_than_the_margin() -> None:
    """Corners and ends here; how far curves swing out is measured by a browser in the journeys."""
    least, most = MARGIN, GRID - MARGIN
    for name, one in sketches().drawings.items():
        for path in filter(None, (one.lines, one.tint)):
            for x, y in corners(path):
                assert least - 1e-6 <= x <= most + 1e-6 and least - 1e-6 <= y <= most + 1e-6, (name, x, y)


def test_no_shape_has_a_style_of_its_own() -> None:
    """One stroke width, one tint: both are said once, in the style sheet."""
    for name, shapes in FILE["draw"].items():
        assert set(shapes) <= {"lines", "tint"}, name
        for shape in chain(shapes["lines"], shapes.get("tint", ())):
            assert re.fullmatch(r"(box|circle|line) [\d. ]+|path [MLHVACQZmlhvacqz\d., -]+", shape), (name, shape)
    about = re.findall(r"\.sketch[^{]*\{([^}]*)\}", STYLE)
    assert sum(rule.count("stroke-width") for rule in about) == 1
    assert sum(len(re.findall(r"(?<![-\w])fill: (?!none)", rule)) for rule in about) == 1


def test_shapes_are_drawn_as_the_file_says() -> None:
    assert path_of("line 6 27 20 27") == "M6 27 20 27"
    assert path_of("box 3 9 26 14") == "M3 9h26v14h-26z"
    assert path_of("circle 16 16 12") == "M4 16a12 12 0 0 1 24 0a12 12 0 0 1 -24 0z"
    assert {(5, 3), (29, 5), (3, 21), (27, 23)} <= set(corners(path_of("box 3 3 26 20 2")))
    assert drawn(["line 3 3 4 4", "path M5 5z"]) == Sketch("M3 3 4 4 M5 5z", "")


def test_pages_draw_beside_names_and_hide_it_from_screen_readers(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        for address, least in (("/what", 15), ("/what/key?context=loose", 5)):
            page = there.open(address)
            drawings = re.findall(r"<svg class=\"sketch\"[^>]*>", page)
            assert len(drawings) >= least
            assert all('aria-hidden="true"' in one for one in drawings)
            # The name follows at once, in the same element.
            assert len(re.findall(r"</svg>\s*(?:<span>)?\w", page)) >= least
