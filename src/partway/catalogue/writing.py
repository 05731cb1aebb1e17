"""Writes an anatomy as the TOML that `partway check` reads: reading what was written gives the same anatomy.

What is `like` a component is written out, piece by piece, so that the text stands by itself wherever it is taken.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from partway.things.anatomy import LOSS, Anatomy, Operation, Part, Piece, PublishedMass, SaleAs
from partway.things.estimate import Estimate
from partway.things.traits import shown_name

WIDTH = 118  # characters of a line, as in the files that are shipped
DIGITS = 17  # that tell any two binary numbers apart


def anatomies_text(anatomies: Iterable[Anatomy]) -> str:
    """A file of anatomies."""
    return "\n".join(anatomy_text(anatomy) for anatomy in anatomies)


def anatomy_text(anatomy: Anatomy) -> str:
    """One [[anatomy]]."""
    lines = ["[[anatomy]]", *_fields(_kind(anatomy))]
    for piece in anatomy.pieces:
        if piece.answer_to is None:
            lines += ["", "  [[anatomy.piece]]", *_fields(_piece(anatomy, piece), "  ")]
    for operation in anatomy.operations:
        if not operation.asks:
            lines += ["", "  [[anatomy.operation]]", *_fields(_operation(operation), "  ")]
    return "\n".join(lines) + "\n"


def _kind(anatomy: Anatomy) -> dict[str, Any]:
    return {
        "kind": anatomy.kind,
        "name": _unless(anatomy.name, shown_name(anatomy.kind)),
        "names": list(anatomy.names) or None,
        "became": list(anatomy.became) or None,
        "family": anatomy.family or None,
        "source": anatomy.source,
        "on": anatomy.on,
        "works": anatomy.works,
        "test_minutes": anatomy.test_minutes,
        "cautions": list(anatomy.cautions) or None,
        "parts_in": "copper" if _in_copper(anatomy) else None,
        "note": anatomy.note or None,
        "published": [_published(row) for row in anatomy.published] or None,
    }


def _published(row: PublishedMass) -> dict[str, Any]:
    return {"source": row.source, "mean_kg": row.mean_kg, "of": row.of or None, "why": row.why or None}


def _in_copper(anatomy: Anatomy) -> bool:
    """Whether the first part has its price in copper; a part of the other sort says so itself."""
    return next((part.in_copper for piece in anatomy.pieces for part in piece.parts), False)


def _piece(anatomy: Anatomy, piece: Piece) -> dict[str, Any]:
    answers = anatomy.answers_to(piece.id)
    tell = next((op for op in anatomy.operations_on(piece.id) if op.asks), None)
    return {
        "id": piece.id,
        "name": _unless(piece.name, shown_name(piece.id)),
        "mass_kg": piece.mass,
        **_goes_as(anatomy, piece),
        "ask": tell.name if tell else None,
        "ask_minutes": tell.minutes if tell else None,
        "ask_cautions": list(tell.cautions) or None if tell else None,
        "either": [_answer(anatomy, piece, answer) for answer in answers] or None,
    }


def _answer(anatomy: Anatomy, asked: Piece, answer: Piece) -> dict[str, Any]:
    return {
        "answer": answer.id.removeprefix(f"{asked.id}."),
        "name": answer.answer,
        "chance": _chance(asked.share, answer.share),
        **_goes_as(anatomy, answer),
    }


def _chance(asked: float, share: float) -> float:
    """The shortest number that makes the share of the piece asked about that of the answer again."""
    for digits in range(1, DIGITS + 1):
        chance = float(f"{share / asked:.{digits}g}")
        if asked * chance == share:
            return chance
    return share / asked


def _goes_as(anatomy: Anatomy, piece: Piece) -> dict[str, Any]:
    in_copper = _in_copper(anatomy)
    return {
        "stop": piece.stop,
        "note": piece.note or None,
        "sells": [_sale(sale) for sale in piece.sells] or None,
        "parts": [_part(part, in_copper) for part in piece.parts] or None,
    }


def _sale(sale: SaleAs) -> dict[str, Any]:
    before = True if sale.before_required else None
    share = sale.spread or _unless(sale.share, 1.0)
    return {"grade": sale.grade, "share": share, "before_required": before}


def _part(part: Part, in_copper: bool) -> dict[str, Any]:
    other = None if part.in_copper == in_copper else "copper" if part.in_copper else "money"
    return {
        "name": part.name or None,
        "price": part.price,
        "price_in": other,
        "chance": part.chance,
        "days": _unless(part.days, 30.0),
        "minutes": part.minutes,
        "fee": part.fee or None,
        "postage": part.postage or None,
        "needs": part.needs,
        "most": part.most,
    }


def _operation(operation: Operation) -> dict[str, Any]:
    gives = [{"piece": one.piece, "count": _unless(one.count, 1)} for one in operation.gives]
    return {
        "id": operation.id,
        "name": _unless(operation.name, operation.id.replace("-", " ")),
        "on": operation.on,
        "minutes": operation.minutes,
        "tools": list(operation.tools) or None,
        "gives": gives,
        "cautions": list(operation.cautions) or None,
        "required": True if operation.required else None,
        "loss": _unless(operation.loss, LOSS),
        "cost": operation.cost or None,
        "note": operation.note or None,
    }


def _unless(value: Any, default: Any) -> Any:
    """None for what is so anyhow."""
    return None if value == default else value


def _fields(fields: Mapping[str, Any], indent: str = "") -> Iterator[str]:
    for name, value in fields.items():
        if value is not None:
            yield from _field(name, value, indent)


def _field(name: str, value: Any, indent: str) -> Iterator[str]:
    """On one line, or a list of tables with a line for each where that is too long."""
    line = f"{indent}{name} = {_value(value)}"
    if len(line) <= WIDTH or not (isinstance(value, list) and isinstance(value[0], dict)):
        yield line
        return
    yield f"{indent}{name} = ["
    yield from (f"{indent}  {_value(row)}," for row in value)
    yield f"{indent}]"


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{name} = {_value(one)}' for name, one in value.items() if one is not None)} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, Estimate):
        return _value(value.likely if value.is_exact else [value.low, value.likely, value.high])
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else str(value)
