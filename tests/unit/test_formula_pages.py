"""What each formula says of itself: units in and out, where it holds, its source, and an example that runs."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
from types import FunctionType, ModuleType

import pytest

from partway import formulas

MODULES = [
    importlib.import_module(found.name) for found in pkgutil.walk_packages(formulas.__path__, "partway.formulas.")
]
# Helpers that check numbers; they hold no knowledge of their own.
HELPERS = {"partway.formulas.checked"}
SAYS = ("Takes", "Gives", "Valid", "Source")


def _formulas(module: ModuleType) -> list[FunctionType]:
    return [
        one
        for name, one in inspect.getmembers(module, inspect.isfunction)
        if one.__module__ == module.__name__ and not name.startswith("_")
    ]


FORMULAS = [one for module in MODULES if module.__name__ not in HELPERS for one in _formulas(module)]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_the_examples_of_a_module_run(module: ModuleType) -> None:
    ran = doctest.testmod(module)
    assert ran.failed == 0
    assert ran.attempted >= len([one for one in FORMULAS if one.__module__ == module.__name__])


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda one: f"{one.__module__[17:]}.{one.__name__}")
def test_a_formula_says_what_it_takes_gives_where_it_holds_and_whence(formula: FunctionType) -> None:
    page = inspect.getdoc(formula) or ""
    said = dict(re.findall(rf"^({'|'.join(SAYS)}): (.+?)(?=^\w+: |^>>>|\Z)", page, re.MULTILINE | re.DOTALL))
    assert tuple(said) == SAYS
    takes = said["Takes"]
    named = list(inspect.signature(formula).parameters)
    assert [name for name in named if not re.search(rf"\b{name}\b", takes)] == []
    assert page.count(">>>") >= 1


def test_there_is_something_to_hold_to_it() -> None:
    assert len(MODULES) > 10 and len(FORMULAS) > 40
