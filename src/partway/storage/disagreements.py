"""Scenarios on which two methods disagreed, kept as files in the user's own folder until somebody looks at them.

A file holds the whole scenario with all that it names, what each method said and the versions at work. Its name follows
from the scenario, so that the same one is kept once. Nothing is sent anywhere.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, fields, make_dataclass, replace
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any, get_type_hints

from pydantic import TypeAdapter

from partway.errors import Refused
from partway.reports.haul.doubts import kept_in, not_kept
from partway.reports.haul.plan import Plan
from partway.storage.exchange.atomic_files import new_file
from partway.storage.refusals import BadLedger, in_words
from partway.storage.workspace import data_folder
from partway.things.scenario import Scenario

FOLDER = "disagreements"
MOST_KEPT = 50  # files; one that disagrees again and again would fill the disk otherwise
DISAGREE = "two-methods-disagree"


def with_kept(scenario: Scenario, plan: Plan, where: str | Path | None = None) -> Plan:
    """Returns the plan. If two methods disagreed, its scenario is kept in `where` and a note is added."""
    if DISAGREE not in plan.doubts:
        return plan
    try:
        note = kept_in(str(keep(scenario, plan, data_folder(where) / FOLDER)))
    except Refused as refused:
        note = not_kept(f"{refused.where}: {refused.given}")
    return replace(plan, notes=(*plan.notes, note))


def keep(scenario: Scenario, plan: Plan, folder: Path) -> Path:
    """Write the file if it is not there yet; its path. Raises BadLedger (a Refused)."""
    told = _adapter().dump_python(_to_keep(scenario), mode="json")
    name = hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:16]
    path = folder / f"{name}.json"
    if path.exists():
        return path
    with in_words(str(folder)):
        folder.mkdir(parents=True, exist_ok=True)
        if sum(1 for _ in folder.glob("*.json")) >= MOST_KEPT:
            raise BadLedger(f"{MOST_KEPT} files already", "fewer than that", str(folder))
    text = json.dumps({"scenario": told, **_about(plan)}, indent=1, ensure_ascii=False)
    with new_file(path) as part:
        part.write_text(text + "\n", encoding="utf-8")
    return path


def _about(plan: Plan) -> dict[str, Any]:
    second = None if plan.second_opinion is None else asdict(plan.second_opinion)
    return {
        "doubts": list(plan.doubts),
        "objective": plan.objective,
        "bound": plan.bound,
        "second_opinion": second,
        "versions": {name: version(name) for name in ("partway", "highspy", "numpy")},
    }


def read_kept(path: Path) -> Scenario:
    """The scenario in such a file, to the last bit."""
    kept = _adapter().validate_python(json.loads(path.read_text(encoding="utf-8"))["scenario"])
    values = {field.name: getattr(kept, field.name) for field in fields(kept)}
    return Scenario(**values | {"listed": dict(values["listed"])})


def _to_keep(scenario: Scenario) -> Any:
    """All that a plan is made from: without the kinds that no find is of, and rows for what JSON has no keys for."""
    form = _form()
    values = {field.name: getattr(scenario, field.name) for field in fields(form)}
    return form(**values | {"listed": tuple(scenario.listed.items())})


@cache
def _form() -> Any:
    hints = get_type_hints(Scenario)
    hints["listed"] = tuple[tuple[tuple[str, str, str], int], ...]
    return make_dataclass("KeptScenario", [(f.name, hints[f.name]) for f in fields(Scenario) if f.name != "known"])


@cache
def _adapter() -> TypeAdapter[Any]:
    return TypeAdapter(_form())
