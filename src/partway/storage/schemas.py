"""JSON Schema of the reports, straight from their dataclasses."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from partway.reports.depth import Depth
from partway.reports.identify import Identify
from partway.reports.plan import Plan

REPORTS: dict[str, type] = {"plan": Plan, "depth": Depth, "identify": Identify}


def report_schema(name: str) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of `partway plan --json`, `depth` or `identify`; KeyError for any other name."""
    schema = TypeAdapter(REPORTS[name]).json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
