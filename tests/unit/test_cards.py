"""The one caution card: each hazard once, with all that name it, and nothing hidden for want of a card."""

from __future__ import annotations

from partway.catalogue import shipped
from partway.catalogue.cards import CODE, card, cards_by_hazard, cards_of_grades, shipped_cards

KNOWN = shipped().cautions


def test_each_hazard_is_one_card_with_all_that_name_it_once() -> None:
    """Two grades of a guide that go by one name were once named twice."""
    named = [("fan", ("mains", "springs")), ("oven", ("mains",)), ("fan", ("mains",))]
    assert [(one.id, one.kinds) for one in cards_by_hazard(KNOWN, named)] == [
        ("mains", ("fan", "oven")),
        ("springs", ("fan",)),
    ]


def test_a_hazard_without_a_card_still_shows() -> None:
    shown = card(KNOWN, "own-hazard", ("fan",))
    assert (shown.id, shown.name, shown.first, shown.kinds) == ("own-hazard", "own-hazard", CODE, ("fan",))
    assert shown.line == f"own-hazard: {CODE}."
    assert dict(shown.full) == {"first": "Check your local code.", "rule": "Check your local code."}


def test_every_shipped_card_is_the_catalogues_and_reads_as_sentences() -> None:
    for one in shipped_cards(KNOWN):
        known = KNOWN[one.id]
        assert (one.name, one.hurts, one.never) == (known.name, known.hurts, known.never)
        assert [title for title, _ in one.full] == ["what can hurt", "first", "never", "licensed", "rule"]
        assert all(
            text.endswith(".") and not text.endswith("..") and text[0] == text[0].upper() for _, text in one.full
        )
        assert one.first_and_never.startswith(f"{known.first}. ")


def test_cards_of_grades_pass_over_what_the_catalogue_does_not_know() -> None:
    grade = next(grade for grade in shipped().grades.values() if grade.hazards)
    assert [one.id for one in cards_of_grades(["no-such-grade", grade.id])] == list(dict.fromkeys(grade.hazards))
