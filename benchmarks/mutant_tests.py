"""Which tests look at a small break, and in which order they are asked: for benchmarks/mutants.py.

A test file is measured when it is first asked: seconds of each test, and which tests run which line of the three
packages. That is kept in a cache folder, and holds until the file, or a module of which it runs a line, is not as it
was.
"""

from __future__ import annotations

import functools
import hashlib
import heapq
import json
import re
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from mutant_breaks import HOME, PACKAGES, SOURCES, Break, modules, path_of, source
from mutant_runs import measured

FOLDERS = {"references", "golden", "properties", "unit"}
ALSO = {"test_book_memory.py", "test_frozen.py"}  # what a book in memory answers, and what holds for every module
NOT_THESE = {"web", "cli", "page", "demo", "docs"}  # words in the names of tests of pages, commands and texts
QUICK = 0.5  # seconds of a test that is asked together with others of its file
MEASURING = 10.0  # seconds that a file not measured yet is taken to cost
OWN = 10.0  # breaks that a file is taken to have noticed in a module for which it is there alone
MORE, TIMES = 10.0, 4.0  # a test may take these seconds of the processor and so many times what it took before

ROOTS = [HOME / "src", *(HOME / "tests" / name for name in ("", "contracts", "journeys", "unit"))]
BY_NAME = re.compile(r"\b(import_module|pkgutil|__import__|exec)\b")
IMPORT = re.compile(r"^ *(?:from +([\w.]+) +import +(\([^)]*\)|[^\n(#]+)|import +([\w., ]+))", re.MULTILINE)

Turn = list[tuple[str, dict[str, float]]]  # test files, each with its tests and the seconds these may take


@dataclass
class Part:
    """What was measured of one test file: seconds of each test, which tests run a line, those that do not pass."""

    seconds: dict[str, float] = field(default_factory=dict)
    lines: dict[str, dict[int, list[str]]] = field(default_factory=dict)
    bad: list[str] = field(default_factory=list)

    @functools.cached_property
    def runs(self) -> Counter[str]:
        """How many lines of each module its tests run."""
        return Counter({name: sum(map(bool, lines.values())) for name, lines in self.lines.items()})

    def running(self, it: Break, near: bool) -> set[str]:
        """The tests that run a break's statement; those of the module and its users too where the import runs it.

        A file that imports the module, or what imports that, may read a table of it for its tests and run no line of
        it: then all its tests.
        """
        if it.once and near:
            return set(self.seconds)
        there = self.lines.get(it.module, {})
        found = {test for n in it.lines for test in there.get(n, ())}
        if it.once:
            named = [self.lines.get(m, {}) for m in [it.module, *users(it.module)]]
            found |= {test for lines in named for tests in lines.values() for test in tests}
        return found & set(self.seconds)

    def groups(self, it: Break, near: bool) -> list[list[str]]:
        """The tests that run a break's statement: the quick ones together, shortest first, and each slower one."""
        tests = sorted(self.running(it, near), key=lambda t: (self.seconds[t], t))
        quick = [t for t in tests if self.seconds[t] <= QUICK]
        return [group for group in (quick, *([t] for t in tests if self.seconds[t] > QUICK)) if group]


class Known:
    """The test files that concern a package, with what the cache says of them."""

    def __init__(self, cache: Path, package: str) -> None:
        self.cache = cache
        self.files = [str(path.relative_to(HOME)) for path in concerned(package)]
        self.parts = {file: part for file in self.files if (part := self.kept(file)) is not None}

    def place(self, file: str) -> Path:
        """Where the cache has a test file."""
        return self.cache / file.replace("/", "-").replace(".py", ".json")

    def kept(self, file: str) -> Part | None:
        """What the cache says of a test file; None where it says nothing that still holds."""
        if not self.place(file).exists():
            return None
        kept = json.loads(self.place(file).read_text(encoding="utf-8"))
        part = part_of(kept)
        return part if kept["as it was"] == state(file, part) else None

    def of(self, file: str) -> Part:
        """What is known of a test file, measured now where it was not."""
        if file not in self.parts:
            began = time.monotonic()
            part = part_of(measured(file) or {"seconds": {}, "lines": {}, "bad": ["all"]})
            bad = f"; left out, for they do not pass as it stands: {', '.join(part.bad)}" if part.bad else ""
            print(f"  {file}: {len(part.seconds)} tests, {time.monotonic() - began:.0f} s{bad}", flush=True)
            text = json.dumps({"as it was": state(file, part), **asdict(part)})
            self.place(file).write_text(text, encoding="utf-8")
            self.parts[file] = part
        return self.parts[file]

    def share(self, file: str, module: str) -> float:
        """Of the lines that a test file runs, how many are a module's own: who runs little else looks at it.

        Not measured yet, of the modules of the three packages that it imports by name; of all that it reaches where it
        does not name this one.
        """
        if file in self.parts:
            runs = self.parts[file].runs
            return runs[module] / max(1, runs.total())
        looks = named(HOME / file) if path_of(module) in named(HOME / file) else reached(HOME / file)
        return 1.0 / sum(path_of(m) in looks for p in PACKAGES for m in modules(p))

    def turns(self, it: Break, kills: Mapping[str, int], most: float) -> Iterator[Turn]:
        """Test files with tests to ask of a break, in turn, up to what all their tests may take together.

        First what costs least for what is to be hoped of its file: quick tests of a file together, each slower one, and
        measuring a file of which nothing is known. What comes before such a file is asked before that is measured.
        """
        hope = {
            file: 1.0 + kills.get(file, 0) + OWN * self.share(file, it.module)
            for file in self.files
            if path_of(it.module) in reached(HOME / file)
        }
        waiting: list[tuple[float, str, list[str]]] = []

        def waits(file: str) -> None:
            for tests in self.parts[file].groups(it, imports(file, it.module)):
                took = sum(self.parts[file].seconds[t] for t in tests)
                heapq.heappush(waiting, ((1.0 + took) / hope[file], file, tests))

        for file, hoped in hope.items():
            if file in self.parts:
                waits(file)
            else:
                heapq.heappush(waiting, ((1.0 + MEASURING) / hoped, file, []))
        turn: Turn = []
        while waiting:
            _, file, tests = heapq.heappop(waiting)
            if tests:
                seconds = self.parts[file].seconds
                within = {t: allowed(seconds[t]) for t in tests if (most := most - seconds[t]) >= 0.0}
                turn += [(file, within)] if within else []
                continue
            if turn:
                yield turn
            turn = []
            self.of(file)
            waits(file)
        yield turn


def allowed(took: float) -> float:
    """The processor seconds that a test may take."""
    return MORE + TIMES * took


def part_of(told: Mapping[str, Any]) -> Part:
    """What was measured, as JSON has it."""
    lines = {module: {int(n): tests for n, tests in by.items()} for module, by in told["lines"].items()}
    return Part(told["seconds"], lines, told["bad"])


def state(file: str, part: Part) -> str:
    """A short name for a test file and the modules of which it runs lines, as they are."""
    ran = sorted(module for module, lines in part.lines.items() if lines)
    return digest([text(HOME / file), *(source(m) if path_of(m).exists() else "" for m in ran)])


def imports(file: str, module: str) -> bool:
    """Whether a test file imports a module by name, or what imports it by name, such as the folder it is in."""
    return any(path_of(module) in {path, *named(path)} for path in named(HOME / file))


def users(module: str) -> list[str]:
    """The modules of the three packages that import a module."""
    package, _, name = module.rpartition(".")
    words = f"from partway.{module} import", f"import partway.{module}\n", f"from partway.{package} import {name}\n"
    return [m for p in PACKAGES for m in modules(p) if any(w in source(m) for w in words)]


@functools.cache
def reached(path: Path) -> frozenset[Path]:
    """The files of partway and of the tests that a file imports, at last; all, where one imports by made up names."""
    found, waiting = {path}, [path]
    while waiting:
        new = named(waiting.pop()) - found
        found |= new
        waiting += new
    return all_files() if any(BY_NAME.search(text(file)) for file in found) else frozenset(found)


@functools.cache
def named(path: Path) -> frozenset[Path]:
    """The files of partway and of the tests that a file imports by name."""
    names = set[str]()
    for module, parts, several in IMPORT.findall(text(path)):
        names |= {name.split(" as ")[0].strip() for name in several.split(",") if name.strip()}
        names |= {module, *(f"{module}.{part.split(' as ')[0].strip()}" for part in parts.strip("()").split(","))}
    starts = {
        ".".join(parts[:n]) for name in names if name for parts in [name.split(".")] for n in range(len(parts) + 1)
    }
    places = [root.joinpath(*name.split(".")) for name in starts if name for root in ROOTS]
    return frozenset(
        p for place in places for p in (place.with_suffix(".py"), place / "__init__.py") if p in all_files()
    )


@functools.cache
def all_files() -> frozenset[Path]:
    """Every file of partway and of the tests."""
    return frozenset([*SOURCES.rglob("*.py"), *(HOME / "tests").rglob("*.py")])


def concerned(package: str) -> list[Path]:
    """The test files that name a package, or import what tests share that names it."""
    texts = {path: text(path) for path in sorted((HOME / "tests").rglob("*.py"))}
    word = re.compile(rf"\bpartway\.{package}\b")
    shared = [path.stem for path, text in texts.items() if word.search(text) and not path.name.startswith("test_")]
    helped = re.compile(rf"^(from|import) (ledgers\.)?({'|'.join(shared or ['no such'])})\b", re.MULTILINE)
    named = {path for path, text in texts.items() if word.search(text) or helped.search(text)}
    return [path for path in texts if path.name in ALSO or (path in named and _says_much(path))]


def _says_much(path: Path) -> bool:
    """Whether a file has tests of figures, rather than of pages, commands and texts."""
    return path.name.startswith("test_") and path.parent.name in FOLDERS and not NOT_THESE & set(path.stem.split("_"))


@functools.cache
def text(path: Path) -> str:
    """What a test file says."""
    return path.read_text(encoding="utf-8")


def digest(texts: Iterable[str]) -> str:
    """A short name for texts."""
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:16]
