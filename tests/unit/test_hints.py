"""A hint shows only what the keyboard of its field can type: a field of digits has no hint such as "1 h 05"."""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import partway.web

HERE = Path(partway.web.__file__).parent
UNITS = {"lb", "kg", "g", "cm", "mm", "m", "L", "V", "Ah", "Wh", "km", "min", "h"}
JOINS = {"or", "to", "and", "h", "is"}  # "3 or 2.5", "0 to 9"
BETWEEN = re.compile(r"[0-9] ?([A-Za-z:+/-]+) ?(?=[0-9])")  # what stands between two digits
FIELDS = ("LineField", "DistanceField")
AFTER = re.compile(r"[0-9] ?([A-Za-z]{1,3})\b")  # a unit; longer words explain


def fields() -> Iterator[tuple[str, str, str]]:
    """Every field of a form in the source that opens a keyboard of digits: where, its mode and its hint."""
    for path in sorted(HERE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for call in ast.walk(tree):
            if not (isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in FIELDS):
                continue
            named = {word.arg: word.value for word in call.keywords if word.arg}
            mode = named.get("mode")
            if isinstance(mode, ast.Constant) and mode.value in ("numeric", "decimal"):
                hint = call.args[1] if len(call.args) > 1 else named.get("hint")
                yield f"{path.relative_to(HERE)}:{call.lineno}", str(mode.value), _text(path, hint)


def _text(path: Path, hint: ast.expr | None) -> str:
    """A hint as it reads: names in it are those of its module, and what a function adds is left out."""
    if hint is None:
        return ""
    dotted = ".".join(("partway", "web", *path.relative_to(HERE).with_suffix("").parts))
    known: dict[str, Any] = vars(importlib.import_module(dotted))
    try:
        return str(eval(compile(ast.Expression(hint), str(path), "eval"), known))  # noqa: S307 (our own source)
    except NameError:
        return " ".join(str(part.value) for part in ast.walk(hint) if isinstance(part, ast.Constant))


def cannot_be_typed(mode: str, hint: str) -> list[str]:
    """What a hint shows that a keyboard of digits does not have."""
    wrong = [found for found in BETWEEN.findall(hint) if found not in JOINS - {"h"}]
    wrong += [found for found in AFTER.findall(hint) if found not in UNITS | JOINS]
    return wrong + (re.findall(r"[0-9][.,][0-9]", hint) if mode == "numeric" else [])


@pytest.mark.parametrize(("where", "mode", "hint"), list(fields()))
def test_a_hint_fits_the_keyboard_of_its_field(where: str, mode: str, hint: str) -> None:
    assert cannot_be_typed(mode, hint) == [], where


def test_a_hint_that_does_not_fit_is_found() -> None:
    assert len(list(fields())) > 30
    for mode, hint in [
        ("numeric", "such as 12 or 1 h 05"),
        ("decimal", "such as 18:10"),
        ("decimal", "8.4+-0.2"),
        ("numeric", "such as 2.5"),
        ("decimal", "such as 38c"),
    ]:
        assert cannot_be_typed(mode, hint), hint
    assert cannot_be_typed("decimal", "such as 28.5 lb; may be left empty") == []
