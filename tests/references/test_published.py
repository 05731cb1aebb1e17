"""The catalogue's masses and ratios against figures that others published.

Sources: Babbitt and others, Scientific Data 7:251, 2020 (what each piece of 119 products weighs); Statistics
Netherlands, mean masses by class and by product code; makers' footprint sheets, quantiles by product type; ecodesign
studies, bills of materials; public price lists. Where each figure stands is beside it in published.toml.
"""

from __future__ import annotations

import pytest
from published import Figure, figures, ours, verdict

from partway.catalogue import shipped

LEAST_READ = 200
LEAST_INSIDE = 150
READ_BY_OTHERS = {"ecodesign", "price-lists"}  # taken from a list, not read again


def of_one(name: str) -> list[Figure]:
    return [figure for figure in figures() if figure.of == name]


def beside(figure: Figure) -> str:
    """A figure with our range, as a failure shows it."""
    low, high = ours(figure, shipped())
    return f"{figure}; ours {low:g} to {high:g}"


@pytest.mark.parametrize("name", sorted({figure.of for figure in figures()}))
def test_a_published_figure_is_in_our_range_or_a_sentence_says_why_not(name: str) -> None:
    found = [(verdict(one, shipped()), one) for one in of_one(name)]
    assert [str(one) for said, one in found if said == "lacking"] == [], (
        "the catalogue has no such kind, piece or grade"
    )
    assert [beside(one) for said, one in found if said == "out"] == [], "outside our range, and nothing says why"
    assert [beside(one) for said, one in found if said == "in" and one.why] == [], "inside, yet something says why not"


def test_every_figure_names_a_published_source_and_where_in_it() -> None:
    sources = shipped().sources
    for figure in figures():
        assert sources[figure.source].kind == "published", figure
        assert figure.at.strip() and figure.what.strip(), figure
        assert figure.value > 0.0, figure


def test_no_figure_stands_twice() -> None:
    places = [(one.of, one.pieces, one.source, one.at, one.which) for one in figures() if one.pieces]
    assert sorted({place for place in places if places.count(place) > 1}) == []


def places_of(found: list[Figure]) -> set[tuple[str, str, float]]:
    """What was read, once each: the mean of a class may serve several kinds."""
    return {(one.source, one.at, one.value) for one in found}


def test_enough_was_read_in_the_sources_themselves() -> None:
    read = [one for one in figures() if one.source not in READ_BY_OTHERS]
    assert len(places_of(read)) >= LEAST_READ


def test_enough_of_it_is_inside() -> None:
    found = [one for one in figures() if verdict(one, shipped()) == "in"]
    assert len(places_of(found)) >= LEAST_INSIDE
