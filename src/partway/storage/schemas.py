"""JSON Schema of the reports, straight from their dataclasses."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from partway.reports.bench.depth import Depth
from partway.reports.calculators.battery import Battery
from partway.reports.calculators.capacitor import Capacitor
from partway.reports.calculators.density import Density
from partway.reports.calculators.motor import Motor
from partway.reports.calculators.scale import Scale
from partway.reports.calculators.stainless import Stainless
from partway.reports.calculators.wire import Wire
from partway.reports.haul.plan import Plan
from partway.reports.what.identify import Identify

REPORTS: dict[str, type] = {
    "plan": Plan,
    "depth": Depth,
    "identify": Identify,
    "wire": Wire,
    "density": Density,
    "battery": Battery,
    "capacitor": Capacitor,
    "scale": Scale,
    "motor": Motor,
    "stainless": Stainless,
}


def report_schema(name: str) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of what a command of that name writes with `--json`; KeyError for any other name."""
    schema = TypeAdapter(REPORTS[name]).json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
