"""The same facts in pounds and in kilograms give the same plan."""

from __future__ import annotations

import re
from decimal import Decimal
from importlib import resources

import pytest

from partway.actions.plans.plan import plan
from partway.reports.haul.plan import Plan
from partway.storage.scenario.scenario import read_scenario_text

LB = Decimal("0.45359237")  # kg, exactly: international yard and pound agreement of 1959
SHORT_TON = 2000 * LB


def in_kilograms(text: str) -> str:
    """A scenario's text with every pound and short ton written out in kilograms, digit by digit."""
    text = re.sub(r'"(-?[\d.]+) /lb"', lambda m: f'"{Decimal(m[1]) / LB} /kg"', text)
    text = re.sub(r'"(-?[\d.]+) /short ton"', lambda m: f'"{Decimal(m[1]) / SHORT_TON} /kg"', text)
    return re.sub(r'"([\d.]+) lb"', lambda m: f'"{Decimal(m[1]) * LB} kg"', text)


def decided(report: Plan) -> tuple[object, ...]:
    """What a plan does, without its numbers."""
    opened = sorted((line.kind, line.works, line.piece, line.operation, line.times) for line in report.open)
    sales = sorted((line.trip or 0, line.buyer, line.grade, round(line.mass_kg, 4)) for line in report.sales)
    return opened, sales, report.routes, [(line.kind, line.piece, line.units) for line in report.parts]


def test_pounds_and_kilograms_give_the_same_plan() -> None:
    file = resources.files("partway.catalogue") / "demo" / "harbour-week.toml"
    pounds = file.read_text(encoding="utf-8")
    metric = in_kilograms(pounds)
    assert '/lb"' not in metric
    assert ' lb"' not in metric
    first, second = (plan(read_scenario_text(text, "demo")) for text in (pounds, metric))
    assert second.objective == pytest.approx(first.objective, rel=1e-9)
    assert decided(first) == decided(second)
