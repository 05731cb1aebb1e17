"""Labels for bins as a sheet to cut: what is in each, what can hurt, a code that opens the bin on a phone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from partway.errors import Refused
from partway.paper.say import PaperWords, day_with_year
from partway.paper.typeset import Typeset, typeset
from partway.quantities import shown
from partway.reports.bins.labels import SIZES as SIZES_NAMED
from partway.reports.bins.labels import BinLabel, Code

SIZES = tuple(size for size, _ in SIZES_NAMED)
OVERLAP = 1.04  # how wide a row of modules is drawn: exactly 1 leaves hairlines between rows in some viewers
MAGNET = {"strong": "a magnet sticks", "none": "no magnet sticks"}


def labels_paper(
    labels: Sequence[tuple[BinLabel, Code | None]],
    words: PaperWords,
    paper: str,
    size: str,
    on: dt.date,
    *,
    pictures: bool = False,
) -> Typeset:
    """A label for each bin; None in place of a code for none. Raises Refused for another size or paper, or no label."""
    if size not in SIZES:
        raise Refused(shown(size), f"one of {', '.join(SIZES)}", "size")
    if not labels:
        raise Refused("no bin", "a bin to label", "bin")
    data = {
        "title": "Labels for bins",
        "day": day_with_year(on),
        "size": size,
        "labels": [_label(label, code, words) for label, code in labels],
    }
    return typeset("labels", data, paper, on, pictures=pictures)


def _label(label: BinLabel, code: Code | None, words: PaperWords) -> dict[str, Any]:
    return {
        "name": label.name or label.grade_name,
        "grade": label.grade_name if label.name and label.name != label.grade_name else "",
        "hazards": [{"name": one.name, "first": words.sentence(one.first)} for one in label.hazards],
        "fits": "; ".join(part for part in (label.qualifies, MAGNET.get(label.magnet, "")) if part),
        "code": _drawn(code) if code else "",
    }


def _drawn(code: Code) -> str:
    """The code as an image of lines, as pages draw it."""
    box = f"0 -.5 {code.size} {code.size}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}">'
        f'<path d="{code.path}" fill="none" stroke="#000" stroke-width="{OVERLAP}"/></svg>'
    )
