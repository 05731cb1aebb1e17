"""The months as bars, in the form the chart library reads. Colours are names of the stylesheet's tokens."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from partway.reports.books.per_hour import MonthLine


def months_chart(months: Sequence[MonthLine], currency: str) -> dict[str, Any]:
    """Money for an hour by month; a month without hours leaves a gap, the one that is not over is hatched."""
    bars = {
        "type": "bar",
        "x": [f"{line.first:%b %Y}" for line in months],
        "y": [None if line.per_hour is None else round(line.per_hour, 2) for line in months],
        "marker": {
            "color": "--copper",
            "pattern": {"shape": ["" if line.whole else "/" for line in months], "size": 8},
        },
        "hovertemplate": "%{x}: %{y:.2f} an hour<extra></extra>",
    }
    layout = {
        "height": 260,
        "showlegend": False,
        "bargap": 0.35,
        "xaxis": {"type": "category", "fixedrange": True, "tickangle": -45, "nticks": 7},
        "yaxis": {"title": {"text": f"{currency} an hour"}, "fixedrange": True, "nticks": 5},
    }
    return {"data": [bars], "layout": layout}
