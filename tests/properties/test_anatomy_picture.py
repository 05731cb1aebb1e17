"""Laws of the picture: ends tile it, heights are shares of money or mass, the line runs along all ends."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest
from bench_day import METALS, bench_day
from graphs import KIND, scenario, small_seeds
from hypothesis import given
from hypothesis import strategies as st
from ledger_day import START

from partway.actions.demo import demo_months
from partway.actions.haul.scenario import scenario_from_book
from partway.catalogue import shipped
from partway.ledger.memory import MemoryBook
from partway.reports.bench.limbs import Limb, tree_of
from partway.reports.bench.steps import Working
from partway.things.scenario import Scenario
from partway.valuing.finds.hand import Holding
from partway.valuing.finds.together import solved_alone
from partway.web.drawings.anatomy import LINE, Box, By, Picture, anatomy_picture, heights

NEAR = 1e-9
BYS: tuple[By, By] = ("value", "mass")
OPENED = ("opened",)
BEYOND = ("beyond",)


def drawn(it: Scenario, kind: str, by: By) -> Picture:
    hand = Holding(kind, "no", None, ((it.anatomies[kind].whole.id, 1),))
    return anatomy_picture(tree_of(Working(solved_alone(it, hand), {})), by)


def demo() -> Scenario:
    book = MemoryBook()
    demo_months(book, START, weeks=3)
    it = scenario_from_book(book, START.date(), waiting={})
    return replace(it, anatomies={kind: shipped().anatomy(kind) for kind in shipped().kinds})


@pytest.fixture(scope="module")
def pictures() -> list[Picture]:
    it = demo()
    graphs = [drawn(scenario(seed), KIND, by) for seed in small_seeds(80) for by in BYS]
    return graphs + [drawn(it, kind, by) for kind in shipped().kinds for by in BYS]


def ends(picture: Picture) -> list[Box]:
    return [b for b in picture.boxes if b.state not in (*OPENED, *BEYOND)]


def leaves(limbs: tuple[Limb, ...]) -> Iterator[Limb]:
    for limb in limbs:
        if limb.limbs:
            yield from leaves(limb.limbs)
        else:
            yield limb


def test_ends_tile_the_height(pictures: list[Picture]) -> None:
    for picture in pictures:
        boxes = sorted(ends(picture), key=lambda b: b.y)
        assert boxes[0].y == 0.0
        assert all(a.y + a.height == pytest.approx(b.y, abs=NEAR) for a, b in pairwise(boxes))
        assert boxes[-1].y + boxes[-1].height == pytest.approx(1.0, abs=NEAR)
        assert len({round(b.width, 12) for b in boxes}) == 1, "areas of ends compare as their heights do"


def test_nothing_leaves_the_picture_and_no_two_overlap(pictures: list[Picture]) -> None:
    for picture in pictures:
        for b in picture.boxes:
            assert b.x >= -NEAR and b.y >= -NEAR and b.width > 0 and b.height > 0
            assert b.x + b.width <= 1 + NEAR and b.y + b.height <= 1 + NEAR
        for i, a in enumerate(picture.boxes):
            for b in picture.boxes[i + 1 :]:
                wide = min(a.x + a.width, b.x + b.width) - max(a.x, b.x)
                high = min(a.y + a.height, b.y + b.height) - max(a.y, b.y)
                assert wide <= NEAR or high <= NEAR, (a, b)


def share_of(picture: Picture, box: Box) -> float:
    """How many of many finds have a piece: the chances of all answers that it is or comes out of."""
    low, high = box.y + NEAR, box.y + box.height - NEAR
    around = [b for b in picture.boxes if b.depth < box.depth and b.y < low and high < b.y + b.height]
    return math.prod(b.chance for b in [box, *around])


def test_areas_of_ends_are_shares_of_what_they_show(pictures: list[Picture]) -> None:
    """Where none had to be enlarged, height is money or mass over the sum of all; else order is kept."""
    exact = 0
    for picture in pictures:
        boxes = ends(picture)
        measured = [max(0.0, b.value or 0.0) if picture.by == "value" else b.mass_kg for b in boxes]
        shows = [share_of(picture, b) * size for b, size in zip(boxes, measured, strict=True)]
        if picture.enlarged or not sum(shows):
            tall = sorted(zip(shows, (b.height for b in boxes), strict=True))
            assert all(a[1] <= b[1] + NEAR for a, b in pairwise(tall))
        else:
            exact += 1
            assert [b.height for b in boxes] == pytest.approx([s / sum(shows) for s in shows])
    assert exact > 20


def test_what_is_opened_is_as_high_as_what_comes_out(pictures: list[Picture]) -> None:
    for picture in pictures:
        for b in picture.boxes:
            if b.state == "opened":
                inside = [e for e in ends(picture) if b.y - NEAR <= e.y and e.y + e.height <= b.y + b.height + NEAR]
                assert sum(e.height for e in inside if e.depth > b.depth) == pytest.approx(b.height)


def test_the_line_runs_along_the_right_of_every_end_and_is_one(pictures: list[Picture]) -> None:
    for picture in pictures:
        down = [s for s in picture.line if s.x1 == s.x2]
        for b in ends(picture):
            assert any(
                s.x1 == pytest.approx(b.x + b.width) and s.y1 <= b.y + NEAR and b.y + b.height <= s.y2 + NEAR
                for s in down
            )
        assert sum(s.y2 - s.y1 for s in down) == pytest.approx(1.0)
        for one, other in pairwise(picture.line):
            assert (one.x2, one.y2) == pytest.approx((other.x1, other.y1))


def test_what_lies_beyond_starts_at_the_line(pictures: list[Picture]) -> None:
    seen = 0
    for picture in pictures:
        for b in picture.boxes:
            if b.state == "beyond":
                seen += 1
                assert any(s.x1 == s.x2 == pytest.approx(b.x) and s.y1 <= b.y + NEAR for s in picture.line)
                assert b.operation
    assert seen > 50


def test_every_end_can_be_read_on_a_phone(pictures: list[Picture]) -> None:
    for picture in pictures:
        assert all(b.height * picture.pixels >= LINE - 1e-6 and b.lines >= 1 for b in ends(picture))
        assert picture.pixels <= max(720, LINE * len(ends(picture)))


def test_the_lists_hold_every_piece_and_all_the_mass(pictures: list[Picture]) -> None:
    """Merging is for the eye: boxes and lists have the same pieces, mass and money."""
    for picture in pictures:
        full = list(leaves(picture.tree))
        assert sum(b.pieces for b in ends(picture)) == len(full)
        assert sum(b.mass_kg for b in ends(picture)) == pytest.approx(sum(limb.mass_kg for limb in full))
        assert sum(b.value or 0.0 for b in ends(picture)) == pytest.approx(sum(limb.value or 0.0 for limb in full))


def test_what_is_never_opened_has_a_box_of_its_own(pictures: list[Picture]) -> None:
    stops = 0
    for picture in pictures:
        shut = {limb.piece for limb in leaves(picture.tree) if limb.state == "stop"}
        stops += len(shut)
        assert shut <= {b.piece for b in picture.boxes if b.state == "stop"}
        assert all(b.hazard for b in picture.boxes if b.state == "stop")
    assert stops > 20


def test_the_money_of_all_ends_is_what_the_find_brings() -> None:
    """The motor opened: 1.40 of copper and 0.24 of iron, so 85.4 % of the height is copper."""
    picture = drawn(bench_day({"harbour-yard": METALS}, {}), "motor", "value")
    shown = {b.piece: b for b in picture.boxes}
    assert shown["winding"].height == pytest.approx(1.40 / 1.64)
    assert shown["core"].height == pytest.approx(0.24 / 1.64)
    by_mass = {b.piece: b for b in drawn(bench_day({"harbour-yard": METALS}, {}), "motor", "mass").boxes}
    assert (by_mass["winding"].height, by_mass["core"].height) == pytest.approx((0.2, 0.8))


def test_without_any_price_mass_is_drawn_and_that_is_said() -> None:
    picture = drawn(bench_day({}, {}), "motor", "value")
    assert (picture.asked, picture.by) == ("value", "mass")
    assert all(b.value is None for b in ends(picture))


@given(st.lists(st.floats(0.0, 1e6, allow_subnormal=False), min_size=1, max_size=40), st.floats(0.0, 0.2))
def test_heights_add_up_and_none_is_lower_than_the_least(measures: list[float], least: float) -> None:
    found, _ = heights(measures, least)
    assert sum(found) == pytest.approx(1.0)
    assert min(found) >= min(least, 1.0 / len(measures)) - 1e-9


def test_the_piece_that_is_lit_has_a_box_of_its_own_however_small() -> None:
    """The roller ring weighs 60 g of 13 kg: put together with others, unless the picture points at it."""
    it = demo()
    hand = Holding("microwave", "no", None, ((it.anatomies["microwave"].whole.id, 1),))
    tree = tree_of(Working(solved_alone(it, hand), {}))
    assert not any(box.piece == "ring" for box in anatomy_picture(tree, "mass").boxes)
    for piece in {limb.piece for limb in leaves(tree)}:
        for by in BYS:
            lit = [box.piece for box in anatomy_picture(tree, by, lit=piece).boxes if box.lit]
            assert lit and set(lit) == {piece}
    assert not any(box.lit for box in anatomy_picture(tree).boxes)
