"""An anatomy written as TOML is read as the same anatomy, without any component: all that are shipped, and drawn."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partway.catalogue import read_anatomies, shipped
from partway.catalogue.writing import anatomies_text, anatomy_text
from partway.errors import BadCatalogue
from partway.things.anatomy import Anatomy

KINDS = [*shipped().kinds, *shipped().component.names]
texts = st.text(
    st.characters(exclude_categories=["C", "Z"], include_characters=" \"'\\\n\t#[]="), min_size=1, max_size=20
)
lines = st.text(st.characters(exclude_categories=["C", "Z"], include_characters=" \"'\\#[]="), min_size=1, max_size=20)
amounts = st.floats(1e-6, 1e6)
chances = st.floats(0.01, 0.99)


def alone(name: str) -> Anatomy:
    raise KeyError(name)


def read(text: str, components: Callable[[str], Anatomy] = alone) -> Anatomy:
    (found,) = read_anatomies(tomllib.loads(text)["anatomy"], "written.toml", components).values()
    return found


@pytest.mark.parametrize("name", KINDS)
def test_what_is_shipped_is_written_out_whole_and_read_again(name: str) -> None:
    shelf = shipped().anatomy if name in shipped().kinds else shipped().component
    text = anatomy_text(shelf(name))
    assert read(text) == shelf(name)
    assert "like" not in {key for row in tomllib.loads(text)["anatomy"][0]["piece"] for key in row}


def test_the_range_of_a_share_that_is_a_guess_is_kept() -> None:
    guess = shipped().anatomy("foot-spa~plastic-motor~1-3kg")
    assert any(sale.spread for sale in guess.whole.sells)
    again, asks = read(anatomy_text(guess)), [op for op in guess.operations if op.asks]
    rest = tuple(op for op in guess.operations if not op.asks)
    assert replace(again, operations=()) == replace(guess, operations=(), guessed=False)
    assert sorted(again.operations, key=lambda op: op.asks) == [*rest, *asks]


@pytest.mark.parametrize("share", ["0", "1.01", "[0.5, 0.9, 1.1]", "[0.9, 0.5, 1.0]", "[0, 0.5, 1]", "true"])
def test_a_share_that_is_none_is_refused(share: str) -> None:
    text = anatomy_text(shipped().anatomy("kettle"))
    (line,) = [line for line in text.splitlines() if "share = " in line][:1]
    bad = line.replace(line.split("share = ")[1].split(" }")[0].split(",")[0], share)
    with pytest.raises(BadCatalogue, match="share"):
        read(text.replace(line, bad, 1))


def test_several_stand_in_one_file() -> None:
    several = [shipped().anatomy("kettle"), shipped().anatomy("toaster")]
    tables = tomllib.loads(anatomies_text(several))["anatomy"]
    assert list(read_anatomies(tables, "two.toml", alone).values()) == several


@st.composite
def estimates(draw: st.DrawFn, least: float = 1e-1) -> Any:
    points = sorted(draw(st.lists(st.floats(least, 1e2), min_size=3, max_size=3)))
    return draw(st.sampled_from([points, points[1]]))


@st.composite
def parts(draw: st.DrawFn) -> dict[str, Any]:
    part = {"price": draw(estimates(0.0)), "chance": draw(chances), "minutes": draw(estimates(0.0))}
    more = st.fixed_dictionaries(
        {},
        optional={
            "name": texts,
            "price_in": st.sampled_from(["money", "copper"]),
            "days": amounts,
            "fee": chances,
            "postage": amounts,
            "needs": st.just("works"),
            "most": st.integers(1, 9),
        },
    )
    return {**part, **draw(more)}


GOES_AS = {
    "sells": st.lists(st.sampled_from(["iron", "copper"]), max_size=2, unique=True).map(
        lambda ids: [
            {"grade": one, "share": 0.7 if one == "iron" else [0.2, 0.7, 1.0], "before_required": one == "iron"}
            for one in ids
        ]
    ),
    "parts": st.lists(parts(), max_size=2),
    "stop": st.just("mains"),
    "note": lines,
}
ASKED = ("ask", "ask_minutes", "ask_cautions", "either")
goes_as = st.fixed_dictionaries({}, optional=GOES_AS)


@st.composite
def questions(draw: st.DrawFn) -> dict[str, Any]:
    chance = draw(chances)
    either = [
        {"answer": name, "name": draw(texts), "chance": share, **draw(goes_as)}
        for name, share in (("red", chance), ("silver", 1.0 - chance))
    ]
    cautions = draw(st.sampled_from([[], ["mains"]]))
    return {"ask": draw(texts), "ask_minutes": draw(estimates(0.0)), "ask_cautions": cautions, "either": either}


@st.composite
def anatomies(draw: st.DrawFn) -> dict[str, Any]:
    """A tree of pieces: each after the first comes out of one before it or of an answer. Some are asked about."""
    rows: list[dict[str, Any]] = []
    work: list[dict[str, Any]] = []
    open_to: list[str] = []
    for i in range(draw(st.integers(1, 6))):
        row = {"id": f"p{i}", "mass_kg": draw(estimates()), **draw(goes_as)}
        row |= draw(st.fixed_dictionaries({}, optional={"name": texts}))
        row |= draw(questions()) if draw(st.booleans()) else {}
        if i:
            on = draw(st.sampled_from(open_to))
            one = {
                "on": on,
                "minutes": draw(estimates(0.0)),
                "gives": [{"piece": f"p{i}", "count": draw(st.integers(1, 3))}],
            }
            more = {"name": texts, "tools": st.lists(texts, max_size=2), "required": st.booleans(), "loss": chances}
            work.append({**one, **draw(st.fixed_dictionaries({}, optional={**more, "cost": amounts, "note": lines}))})
        rows.append(row)
        open_to += [f"p{i}", *(f"p{i}.{answer}" for answer in ("red", "silver") if "either" in row)]
    head = {
        "name": texts,
        "family": texts,
        "source": st.sampled_from(["memory", "measured"]),
        "on": st.dates(),
        "works": chances,
        "test_minutes": estimates(0.0),
        "cautions": st.just(["mains"]),
        "parts_in": st.sampled_from(["money", "copper"]),
        "note": lines,
        "names": st.lists(texts, max_size=2),
        "published": st.just([{"source": "memory", "mean_kg": 2.5, "why": "another class"}]),
    }
    return {"kind": "drawn", "piece": rows, "operation": work, **draw(st.fixed_dictionaries({}, optional=head))}


@settings(max_examples=200, deadline=None)
@given(anatomies())
def test_a_drawn_anatomy_is_read_again_as_it_was(table: dict[str, Any]) -> None:
    first = read_anatomies([table], "drawn", alone)["drawn"]
    assert read(anatomy_text(first)) == first


@settings(max_examples=60, deadline=None)
@given(anatomies(), anatomies())
def test_one_that_is_like_another_is_written_with_all_its_pieces(inner: dict[str, Any], table: dict[str, Any]) -> None:
    """Also where the component is asked about, and where the answer to a question is like it."""

    def component(_: str) -> Anatomy:
        return read_anatomies([inner], "component", alone)["drawn"]

    last = table["piece"][-1]
    if "either" in last:
        inner["piece"][0] = {k: v for k, v in inner["piece"][0].items() if k not in ASKED}  # no answer is asked about
        for one in inner["operation"]:
            one["on"] = "p0" if one["on"].startswith("p0.") else one["on"]
    for row in last.get("either", [last]):
        row["like"] = "drawn"
    if "either" not in last:
        last["mass_kg"] = 1.0
    like = read_anatomies([table], "drawn", component)["drawn"]
    assert rounded(read(anatomy_text(like))) == rounded(like)


def rounded(anatomy: Anatomy) -> Anatomy:
    """A question within a component within a question: a share is a product of three chances, (a b) c or a (b c), which
    differ in the last of 53 bits.
    """
    pieces = tuple(replace(piece, share=float(f"{piece.share:.14g}")) for piece in anatomy.pieces)
    return replace(anatomy, pieces=pieces)
