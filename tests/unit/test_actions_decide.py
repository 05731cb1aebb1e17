"""Every action that writes is one transaction: what it reads and decides, too."""

from __future__ import annotations

import ast
import datetime as dt
import importlib.util
import pkgutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from api_day import DAY
from app_client import NOW
from ledger_day import trading_day

from partway import actions
from partway.actions.bins.bins import add_bin, move
from partway.actions.demo import demo_months
from partway.actions.recording.context import Context
from partway.actions.recording.questions import Asked
from partway.ledger.book import Book
from partway.ledger.events.ids import new_id
from partway.ledger.fold.fold import State
from partway.ledger.memory import MemoryBook

RECORDS = "partway.actions.recording.context.record"  # what actions are made of: it is for them to decide
APPENDS = "partway.actions.recording.permitted.append"  # what `record` appends by
READS_BACK = "partway.actions.saying.say.read_said"  # tries what is said within a transaction that is undone at its end


@dataclass
class Function:
    """What the source says of a function: its decorators, and what it calls by name."""

    name: str
    decided: bool
    calls: set[str] = field(default_factory=set)
    appends: bool = False


def functions() -> dict[str, Function]:
    """Every function of the actions by its whole name. A class counts with all its methods, as one function."""
    found: dict[str, Function] = {}
    for module in pkgutil.walk_packages(actions.__path__, f"{actions.__name__}."):
        spec = importlib.util.find_spec(module.name)
        assert spec is not None and spec.origin is not None
        tree = ast.parse(Path(spec.origin).read_text(encoding="utf-8"))
        known = _names(tree, module.name)
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                found[f"{module.name}.{node.name}"] = _read(node, f"{module.name}.{node.name}", known)
    return found


def _names(tree: ast.Module, module: str) -> dict[str, str]:
    """What a name at the top of a module stands for."""
    known = {
        node.name: f"{module}.{node.name}" for node in tree.body if isinstance(node, ast.FunctionDef | ast.ClassDef)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            known |= {name.asname or name.name: f"{node.module}.{name.name}" for name in node.names}
    return known


def _read(node: ast.FunctionDef | ast.ClassDef, name: str, known: dict[str, str]) -> Function:
    decorators = [ast.unparse(one).partition("(")[0] for one in node.decorator_list]
    read = Function(name, "decides" in decorators)
    for inner in ast.walk(node):
        if isinstance(inner, ast.Name | ast.Attribute):
            of, _, rest = ast.unparse(inner).partition(".")
            read.calls.add(".".join(filter(None, (known.get(of, ""), rest))))
        if isinstance(inner, ast.Call) and ast.unparse(inner.func).endswith("book.append"):
            read.appends = True
    return read


def undecided(found: dict[str, Function]) -> list[str]:
    """Public functions from which a way leads to an append, or to `record`, past no transaction."""

    def writes(name: str, seen: frozenset[str]) -> bool:
        one = found.get(name)
        if one is None or one.decided or name in seen:
            return False
        return one.appends or any(call == RECORDS or writes(call, seen | {name}) for call in one.calls)

    return [name for name in found if not name.rpartition(".")[2].startswith("_") and writes(name, frozenset())]


def reaches(found: dict[str, Function], name: str) -> bool:
    """Whether a function calls one that is a transaction, or one that calls one."""
    known = [callee for callee in found[name].calls if callee in found and callee != name]
    return any(found[callee].decided or reaches(found, callee) for callee in known)


def test_every_action_that_writes_is_one_transaction() -> None:
    found = functions()
    assert undecided(found) == [RECORDS, APPENDS, READS_BACK]
    decided = {".".join(name.split(".")[-2:]) for name, one in found.items() if one.decided}
    assert {"finds.find", "tickets.ticket", "bins.recount", "hauls.start", "settings.set_many"} <= decided
    assert len(decided) > 25


def test_the_walk_finds_one_that_is_not_wrapped() -> None:
    """Whichever decorator is taken away, the walk says so; also one that only calls another module's action."""
    found = functions()
    for name in [name for name, one in found.items() if one.decided]:
        was, found[name].decided = found[name].decided, False
        left = set(undecided(found)) - {RECORDS, READS_BACK}
        found[name].decided = was
        assert left or (reaches(found, name) and not found[name].appends), name


READS = frozenset(name for name in vars(Book) if not name.startswith("_")) - {"deciding"}


class Watched(MemoryBook):
    """A book that notes what it is asked, and asked to add, outside a transaction."""

    def __init__(self, state: State) -> None:
        self.inside, self.begun = 0, 0
        self.outside: set[str] = set()
        super().__init__(state)

    @contextmanager
    def deciding(self) -> Iterator[None]:
        with super().deciding():
            self.begun += not self.inside
            self.inside += 1
            try:
                yield
            finally:
                self.inside -= 1

    def __getattribute__(self, name: str) -> Any:
        if name in READS and not self.inside:
            self.outside.add(name)
        return super().__getattribute__(name)


def test_a_day_of_actions_reads_and_appends_inside_alone() -> None:
    """Each write of the JSON interface's day, on the demo's months. To correct, an event is looked for among years of
    them before others have to wait; a price list was read before somebody agreed to it.
    """
    demo = MemoryBook()
    demo_months(demo, NOW - dt.timedelta(hours=2))
    state = demo.state
    before = {"/api/correct": {"event", "events", "voided"}, "/api/quotes": {"facts"}}
    for written in DAY:
        watched = Watched(state)
        written.act(watched, Context("tester", lambda: NOW, new_id))
        assert watched.outside <= before.get(written.path, set()), written.path
        assert watched.begun == 1, written.path
        state = watched.state


def test_asked_or_refused_nothing_is_written() -> None:
    day = trading_day()
    for kg in (1, 2):
        day.do(add_bin, "copper-2" if kg == 1 else "copper-light", holds=kg * 1_000_000)
    asked = day.refuses(move, "copper-2", "copper-light", 500_000)
    assert isinstance(asked, Asked) and asked.option == "regrade"
    assert "5 kg" in day.refuses(move, "copper-2", "copper-light", 5_000_000).given
