"""Metal that a grade promises.

Source: (36) the trade's specification of No. 2 copper: nominal 96 %, at least 94 %; lead-acid batteries
50 to 60 % lead.
"""

from __future__ import annotations

from partway.catalogue import shipped


def test_check_36_no_2_copper() -> None:
    said = shipped().grades["copper-2"].qualifies
    assert "96 % copper" in said and "94 % at least" in said


def test_check_36_lead_acid() -> None:
    assert "50 to 60 % lead by mass" in shipped().grades["lead-acid"].qualifies
