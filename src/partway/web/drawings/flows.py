"""The flows as ribbons from left to right, in the form the chart library reads.

What came into the kinds is left out of the picture (not of the table): it is the kinds themselves, once more.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from partway.quantities import MG_PER_KG, kg_per
from partway.valuing.flows import Flows, Link

COLOURS = {"kind": "--iron", "grade": "--copper", "buyer": "--verdigris", "tip": "--lead", "rim": "--brass"}
LOST = ("residue", "loss", "less")
INTO_KINDS = ("collected", "whole-before")
LEAST, EACH = 320, 34  # pixels: of all, and of each place in the fullest column
NAME_MOST = 22  # characters of a name that fit beside a ribbon


def flows_chart(flows: Flows, unit: str) -> dict[str, Any]:
    """Places and ribbons, masses in `unit`."""
    links = [link for link in flows.links if link.source not in INTO_KINDS]
    ids = list(dict.fromkeys(place for link in links for place in (link.source, link.target)))
    at = {place: n for n, place in enumerate(ids)}
    ribbons = {
        "type": "sankey",
        "arrangement": "snap",
        "valueformat": ",.1f",
        "valuesuffix": f" {unit}",
        "textfont": {"size": 13},
        "node": {
            "label": [_short(flows.places[place].name) for place in ids],
            "color": ["--lead" if place in LOST else COLOURS[flows.places[place].sort] for place in ids],
            "customdata": [flows.places[place].name for place in ids],
            "hovertemplate": "%{customdata}: %{value}<extra></extra>",
            "pad": 14,
            "thickness": 14,
            "line": {"width": 0},
        },
        "link": {
            "source": [at[link.source] for link in links],
            "target": [at[link.target] for link in links],
            "value": [_in(unit, link.mg) for link in links],
            "color": "--line",
            "hovertemplate": "%{source.customdata} to %{target.customdata}: %{value}<extra></extra>",
        },
    }
    return {"data": [ribbons], "layout": {"height": max(LEAST, EACH * _fullest(flows, links))}}


def _in(unit: str, mg: int) -> float:
    return float(round(Decimal(mg) / MG_PER_KG / kg_per(unit), 3))


def _short(name: str) -> str:
    return name if len(name) <= NAME_MOST else f"{name[: NAME_MOST - 1].rstrip()}…"


def _fullest(flows: Flows, links: list[Link]) -> int:
    """The most places that stand above one another: kinds, grades, or ends."""
    kinds = {link.source for link in links if flows.places[link.source].sort != "grade"}
    grades = {link.target for link in links if flows.places[link.target].sort == "grade"}
    ends = {link.target for link in links} - grades
    return max(len(kinds), len(grades), len(ends))
