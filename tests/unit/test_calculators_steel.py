"""Motors and magnets: what is answered, against sums done by hand and what the magnet's shares say."""

from __future__ import annotations

import pytest

from partway.actions.calculators.motor import MotorAsked, ask_motor
from partway.actions.calculators.stainless import ask_stainless
from partway.formulas.stainless import PULLS
from partway.quantities import kg_per

POUND = float(kg_per("lb"))


def motor(**changes: object) -> MotorAsked:
    asked = {"mass": "10 kg", "sealed": "1 /kg", "copper": "8 /kg", "minutes": "30", "share": "20 %", **changes}
    return MotorAsked(**asked)  # type: ignore[arg-type]


def test_a_motor_by_hand() -> None:
    """2 kg of copper at 8 and 8 kg of iron at 0.25 are 18, as it is 10; half an hour at 12 is 6: 2 to the good."""
    report = ask_motor(motor(iron="0.25 /kg", wage=12.0))
    assert report.gain == pytest.approx(2.0)
    assert report.answer == "open" and report.verdict.startswith("Open it: 2.00 more")
    assert report.per_hour == pytest.approx(16.0)
    assert report.break_even_copper == pytest.approx(7.0)  # 1 less on each of 2 kg
    assert report.break_even_sealed == pytest.approx(1.2)  # 0.20 more on each of 10 kg
    assert report.break_even_minutes == pytest.approx(40.0)


@pytest.mark.parametrize(
    ("wage", "answer"), [(10.0, "open"), (15.9, "open"), (16.1, "leave"), (60.0, "leave"), (None, "by-the-hour")]
)
def test_the_wage_turns_it_over(wage: float | None, answer: str) -> None:
    assert ask_motor(motor(iron="0.25 /kg", wage=wage)).answer == answer


def test_a_share_that_is_not_known_may_leave_it_open() -> None:
    """6 to 18 %: what is likely loses, the best gains; the shares taken are named."""
    report = ask_motor(motor(share=None, sealed="0.9 /kg", minutes="4", wage=12.0))
    assert report.share == (0.06, 0.10, 0.18)
    assert report.gain_low < 0.0 < report.gain_high and report.answer == "close"
    assert any("6 to 18 %" in note and "from memory" in note for note in report.notes)
    assert ask_motor(motor(what="transformer", share=None)).share == (0.18, 0.25, 0.35)


def test_what_was_taken_for_granted_is_named() -> None:
    notes = " ".join(ask_motor(motor()).notes)
    for part in ("counted as iron", "No price of iron", "No wage given", "aluminium", "stays shut"):
        assert part in notes
    assert "No wage given" not in " ".join(ask_motor(motor(wage=5.0)).notes)


def test_nothing_inside_is_never_worth_an_hour() -> None:
    report = ask_motor(motor(sealed="5 /kg"))
    assert report.answer == "by-the-hour" and report.verdict.startswith("Leave it shut")


def test_pounds_and_kilograms_of_a_motor_agree() -> None:
    metric = ask_motor(motor(wage=12.0))
    pounds = ask_motor(
        motor(mass=f"{10 / POUND:.12f} lb", sealed=f"{POUND:.12f} /lb", copper=f"{8 * POUND:.12f} /lb", wage=12.0)
    )
    assert pounds.gain == pytest.approx(metric.gain, abs=1e-6)


def test_the_magnet_leaves_more_than_one_family_and_says_so() -> None:
    for pull in PULLS:
        report = ask_stainless(pull)
        assert len(report.left) > 1 and "does not say which" in report.verdict
        assert len(report.left) + len(report.seldom) == 6
        assert any("does not rule 304 out" in note for note in report.notes)
    assert [family.id for family in ask_stainless("strong").left][:2] == ["steel", "stainless-430"]
    assert {family.id for family in ask_stainless("none").left} >= {"stainless-304", "stainless-316"}


def test_a_density_tells_apart_what_lies_further_than_twice_its_uncertainty() -> None:
    """Mild steel 7.85 and stainless 430 7.70 lie 0.15 apart: ± 0.07 tells them apart, ± 0.08 does not."""
    pair = ("steel", "stainless-430")
    assert pair in ask_stainless("strong", "0.07").apart
    assert pair not in ask_stainless("strong", "0.08").apart
    assert ask_stainless("strong", "1").apart == ()
    assert ask_stainless("strong").apart == ()
