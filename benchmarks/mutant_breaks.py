"""The small breaks that benchmarks/mutants.py makes: what cosmic-ray's operators can change in a module.

Left out, because nothing that runs would differ: type annotations (modules have `from __future__ import annotations`)
and `is` in the place of `==` and back (CPython keeps small numbers and short texts once, so both answer the same).
Left out, because any test at all notices: bit operators in the place of arithmetic, which no float has, and orders in
the place of `is`, which None has not. Left out too: operators that want names somebody chooses, what does not compile.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

HOME = Path(__file__).parent.parent
SOURCES = HOME / "src" / "partway"
PACKAGES = ("formulas", "ledger", "planning")
CHOSEN_NAMES = {"VariableInserter", "VariableReplacer"}
IDENTITY = {"Is", "IsNot"}
BITS = {"BitAnd", "BitOr", "BitXor", "LShift", "RShift"}


@dataclass(frozen=True)
class Break:
    """One small change: the n-th place in a module where an operator applies, and the lines of its statement.

    `once`: it is no part of a function's body, so that the import runs it.
    """

    module: str  # "planning.verify"
    operator: str
    place: int
    lines: tuple[int, ...]
    once: bool

    @functools.cached_property
    def broken(self) -> str:
        """The module's source with the break; empty where it does not compile or is the same as before."""
        code = source(self.module)
        broken = mutate_code(code, get_operator(self.operator)(), self.place)
        try:
            compile(broken, self.module, "exec", dont_inherit=True)
        except SyntaxError:
            return ""
        return "" if broken == code else broken

    @property
    def change(self) -> tuple[str, str]:
        """The first line that differs, as it was and as it is."""
        pairs = zip(source(self.module).splitlines(), self.broken.splitlines(), strict=False)
        return next(((was.strip(), now.strip()) for was, now in pairs if was != now), ("", ""))


@functools.cache
def source(module: str) -> str:
    """A module's text."""
    return path_of(module).read_text(encoding="utf-8")


def path_of(module: str) -> Path:
    """Where "planning.verify" lies."""
    return SOURCES.joinpath(*module.split(".")).with_suffix(".py")


def modules(package: str) -> list[str]:
    """Every module of a package, folders in it too."""
    found = sorted((SOURCES / package).rglob("*.py"))
    names = [".".join(path.relative_to(SOURCES).with_suffix("").parts) for path in found]
    return [name for name in names if not name.endswith("__init__")]


def breaks(module: str) -> list[Break]:
    """All breaks of a module, in the order of operators and places."""
    nodes = list(ast_nodes(get_ast(source(module))))
    made: list[Break] = []
    for name in operators():
        places = enumerate(placed(get_operator(name)(), nodes))
        made += [
            Break(module, name, n, lines_of(node, *span), once=not in_body(node))
            for n, (node, span) in places
            if not annotates(node)
        ]
    return made


@functools.cache
def operators() -> list[str]:
    """The names of cosmic-ray's operators that are used."""
    return sorted(name for name in operator_names() if used(*name.removeprefix("core/").split("_")))


def used(what: str, was: str = "", becomes: str = "") -> bool:
    """Whether an operator makes breaks worth trying."""
    if what == "ReplaceComparisonOperator":
        return (was in IDENTITY) == (becomes in IDENTITY)
    if what == "ReplaceBinaryOperator":
        return (was in BITS) == (becomes in BITS)
    return what not in CHOSEN_NAMES


def placed(operator: Any, nodes: list[Any]) -> Iterator[tuple[Any, Any]]:
    """Where an operator applies, in the order in which cosmic-ray counts."""
    for node in nodes:
        for span in operator.mutation_positions(node):
            yield node, span


def annotates(node: Any) -> bool:
    """Whether a node stands in the type of a name, a parameter or what a function returns."""
    while node.parent is not None:
        above = node.parent
        if above.type == "annassign" and node is above.children[1]:
            return True
        if above.type == "tfpdef" and node is above.children[-1]:
            return True
        if above.type == "funcdef" and node is above.annotation:
            return True
        node = above
    return False


def in_body(node: Any) -> bool:
    """Whether a node stands in what a function does."""
    while node.parent is not None:
        if node.parent.type == "lambdef" or (node.parent.type == "funcdef" and node is node.parent.children[-1]):
            return True
        node = node.parent
    return False


def lines_of(node: Any, start: tuple[int, int], stop: tuple[int, int]) -> tuple[int, ...]:
    """The lines of the simple statement around a node; in the head of a longer one only the node's own."""
    while node is not None and node.type != "simple_stmt":
        node = node.parent if node.parent is not None and node.parent.type != "suite" else None
    if node is None:
        return tuple(range(start[0], stop[0] + 1))
    return tuple(range(node.start_pos[0], node.end_pos[0]))
