"""The verdict at the curb in words: the same on the page, in the pocket and on the command's page."""

from __future__ import annotations

from collections.abc import Mapping

from partway.things.scenario import Works
from partway.valuing.finds.verdict import Verdict

VERDICTS: Mapping[Verdict, str] = {
    "take": "Take it",
    "if-works": "Take it only if it works",
    "leave": "Leave it",
    "depot": "Whole to the depot, or leave it",
    "unknown": "Unknown: nobody quotes what is in it",
}
CONDITIONS: Mapping[Works, str] = {"yes": "Works", "no": "Does not work", "unknown": "Not known if it works"}
