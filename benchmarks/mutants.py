"""How many small breaks in the core its tests notice: formulas, ledger, planning.

    .venv/bin/pip install -e ".[mutants]"    # make setup has done so
    .venv/bin/python benchmarks/mutants.py [formulas ledger planning] [--sample 150] [--seed 1]
    .venv/bin/python benchmarks/mutants.py --module planning.verify --all
    .venv/bin/python benchmarks/mutants.py planning --alive     # what lived in the last run, once more

Each break is one change by one operator of cosmic-ray (mutant_breaks.py) in one module. Its tests are those of
tests/unit, references, properties and golden that run the changed statement (none of pages and commands: they are slow
and say little of a figure), quick ones first, up to the first that fails (mutant_runs.py). Which tests those are is
measured once for each test file and kept in the user's cache folder. Kept too is which file noticed a break: it is
asked first next time, and a run that was stopped goes on where it was. A test that never ends has noticed. What no test
can notice stands in mutants_equal.toml, with the reason.

Prints what was not noticed, and a line a package: breaks made, noticed, of these by never ending, equal, alive. Exit
status 1 where something is alive. A sample of 150 takes from 5 minutes (formulas) to an hour (planning).
"""

from __future__ import annotations

import argparse
import functools
import hashlib
import json
import random
import re
import sys
import time
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import platformdirs
from mutant_breaks import HOME, PACKAGES, Break, breaks, modules, path_of, source
from mutant_runs import ALIVE, LATE, NOTICED, measured, tried, warm

FOLDERS = {"references", "golden", "properties", "unit"}
ALSO = {"test_book_memory.py", "test_frozen.py"}  # what a book in memory answers, and what holds for every module
NOT_THESE = {"web", "cli", "page", "demo", "docs"}  # words in the names of tests of pages, commands and texts
EQUAL = Path(__file__).with_name("mutants_equal.toml")
QUICK = 0.5  # seconds of a test that runs before the slower ones
OWN = 10.0  # breaks that a file is taken to have noticed in a module for which it is there alone
MORE, TIMES = 10.0, 4.0  # a test may take these seconds of the processor and so many times what it took before


@dataclass
class Known:
    """What was measured of the tests: seconds of each, and which run a line of a module."""

    seconds: dict[str, float] = field(default_factory=dict)
    lines: dict[str, dict[int, set[str]]] = field(default_factory=lambda: defaultdict(lambda: defaultdict(set)))
    runs: Counter[tuple[str, str]] = field(default_factory=Counter)  # lines that a test file runs of a module

    def take(self, part: dict[str, Any]) -> None:
        """Take over what was measured of one test file."""
        self.seconds |= part["seconds"]
        for module, lines in part["lines"].items():
            for line, tests in lines.items():
                self.lines[module][int(line)].update(tests)

    def share(self, module: str) -> dict[str, float]:
        """Of the lines that each test file runs, how many are a module's own: who runs little else looks at it."""
        if not self.runs:
            for name, lines in self.lines.items():
                for tests in lines.values():
                    self.runs.update((test.split("::")[0], name) for test in tests)
        all_ = Counter[str]()
        for (file, _), n in self.runs.items():
            all_[file] += n
        return {file: n / all_[file] for (file, name), n in self.runs.items() if name == module}

    def running(self, it: Break) -> set[str]:
        """The tests that run a break's statement; those of the module and its users too where the import runs it."""
        there = self.lines[it.module]
        found: set[str] = set().union(*(there[n] for n in it.lines if n in there))
        if it.once:
            found = found.union(*(t for m in [it.module, *users(it.module)] for t in self.lines[m].values()))
        return found


def users(module: str) -> list[str]:
    """The modules of the three packages that import a module."""
    package, _, name = module.rpartition(".")
    words = f"from partway.{module} import", f"import partway.{module}\n", f"from partway.{package} import {name}\n"
    return [m for p in PACKAGES for m in modules(p) if any(w in source(m) for w in words)]


def concerned(package: str) -> list[Path]:
    """The test files that name a package, or import what tests share that names it."""
    texts = {path: path.read_text(encoding="utf-8") for path in sorted((HOME / "tests").rglob("*.py"))}
    word = re.compile(rf"\bpartway\.{package}\b")
    shared = [path.stem for path, text in texts.items() if word.search(text) and not path.name.startswith("test_")]
    helped = re.compile(rf"^(from|import) (ledgers\.)?({'|'.join(shared or ['no such'])})\b", re.MULTILINE)
    named = {path for path, text in texts.items() if word.search(text) or helped.search(text)}
    return [path for path in texts if path.name in ALSO or (path in named and _says_much(path))]


def _says_much(path: Path) -> bool:
    """Whether a file has tests of figures, rather than of pages, commands and texts."""
    return path.name.startswith("test_") and path.parent.name in FOLDERS and not NOT_THESE & set(path.stem.split("_"))


def known(cache: Path, package: str) -> Known:
    """What the cache says of the test files of a package, measured anew where one, or a source, is not as it was."""
    found = Known()
    sources = all_sources()
    for path in concerned(package):
        file = str(path.relative_to(HOME))
        kept = cache / f"{path.stem}-{digest([sources, path.read_text(encoding='utf-8')])}.json"
        if not kept.exists():
            began = time.monotonic()
            part = measured(file) or {"seconds": {}, "lines": {}, "bad": ["all"]}
            bad = f"; left out, for they do not pass as it stands: {', '.join(part['bad'])}" if part["bad"] else ""
            print(f"  {file}: {len(part['seconds'])} tests, {time.monotonic() - began:.0f} s{bad}", flush=True)
            for old in cache.glob(f"{path.stem}-*.json"):
                old.unlink()
            kept.write_text(json.dumps(part), encoding="utf-8")
        found.take(json.loads(kept.read_text(encoding="utf-8")))
    return found


@functools.cache
def all_sources() -> str:
    """A short name for the sources of the three packages as they are."""
    return digest(source(m) for p in PACKAGES for m in modules(p))


def digest(texts: Iterable[str]) -> str:
    """A short name for texts."""
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:16]


def in_turn(tests: dict[str, float], hope: Mapping[str, float], most: float) -> list[tuple[str, dict[str, float]]]:
    """Test files with their tests and the seconds each may take, up to what all may take together.

    All quick ones before the slower; first what costs least and is most likely to notice (`hope`, 1 for any file).
    """
    groups: dict[tuple[bool, str], dict[str, float]] = defaultdict(dict)
    for name in sorted(tests, key=lambda t: tests[t]):
        groups[tests[name] > QUICK, name.split("::")[0]][name] = MORE + TIMES * tests[name]
    cost = {key: (1.0 + sum(tests[t] for t in names)) / hope.get(key[1], 1.0) for key, names in groups.items()}
    turn: list[tuple[str, dict[str, float]]] = []
    for key in sorted(groups, key=lambda k: (k[0], cost[k])):
        within = {name: limit for name, limit in groups[key].items() if (most := most - tests[name]) >= 0.0}
        turn += [(key[1], within)] if within else []
    return turn


def equal(module: str, was: str, now: str) -> bool:
    """Whether a break is listed among those that change nothing that can be seen."""
    listed = [(it["line"], it["becomes"]) for it in known_equal() if it["module"] in {module, "*"}]
    places = ((n, part, new) for part, new in listed for n in range(len(was)) if was.startswith(part, n))
    return any(now == was[:n] + new + was[n + len(part) :] for n, part, new in places)


@functools.cache
def known_equal() -> list[dict[str, str]]:
    """The list: module ("*" for any), line or part of it, what it becomes, why."""
    listed: list[dict[str, str]] = tomllib.loads(EQUAL.read_text(encoding="utf-8"))["equal"]
    for it in listed:
        if it["module"] != "*" and not (path_of(it["module"]).exists() and it["line"] in source(it["module"])):
            print(f"  {EQUAL.name} lists for {it['module']} what is not in it any more: {it['line']}")
    return listed


def sampled(names: list[str], count: int, seed: str) -> list[Break]:
    """So many breaks of these modules that compile, drawn by the seed; all for a count of 0."""
    drawn = [it for name in names for it in breaks(name)]
    random.Random(seed).shuffle(drawn)
    chosen: list[Break] = []
    for it in drawn:
        if count and len(chosen) == count:
            break
        if it.broken:
            chosen.append(it)
    return chosen


def again(names: list[str], last: Path) -> list[Break]:
    """The breaks that lived in the last run of a package."""
    kept = {tuple(key) for key in json.loads(last.read_text(encoding="utf-8"))}
    drawn = [it for name in {key[0] for key in kept} & set(names) for it in breaks(name)]
    by_operator = [it for it in drawn if any(key[:2] == (it.module, it.operator) for key in kept)]
    return [it for it in by_operator if it.broken and (it.module, it.operator, *it.change) in kept]


class Trial:
    """Tries breaks on the tests that run them, and remembers, for the next run too, which test files noticed.

    A break that was noticed is so again as long as no source and nothing in that test file is other than it was.
    """

    def __init__(self, tests: Known, most: float, memory: Path) -> None:
        self.tests, self.most, self.memory = tests, most, memory
        kept = json.loads(memory.read_text(encoding="utf-8")) if memory.exists() else {"kills": {}, "noticed": {}}
        self.kills = defaultdict[str, Counter[str]](Counter, {m: Counter(n) for m, n in kept["kills"].items()})
        self.noticed: dict[str, tuple[str, str, str]] = kept["noticed"]  # answer, test file, digest of that
        self.sound: dict[str, bool] = {}

    def of(self, it: Break) -> str:
        """ALIVE, LATE or NOTICED, and remember it."""
        key = digest([all_sources(), it.broken])
        before, file, text = self.noticed.get(key, ("", "", ""))
        if before and (HOME / file).exists() and text == digest([(HOME / file).read_text(encoding="utf-8")]):
            return before
        answer, file = self.asked(it)
        if file:
            self.kills[it.module][file] += 1
            self.noticed[key] = answer, file, digest([(HOME / file).read_text(encoding="utf-8")])
            kept = {"kills": self.kills, "noticed": self.noticed}
            self.memory.write_text(json.dumps(kept), encoding="utf-8")
        return answer

    def asked(self, it: Break) -> tuple[str, str]:
        """What the tests say of a break, and in which file.

        A file that fails on the source as it stands, run like this, is left out.
        """
        while True:
            running = {name: self.tests.seconds[name] for name in self.tests.running(it)}
            sound = {name: s for name, s in running.items() if self.sound.get(name.split("::")[0], True)}
            turn = in_turn(sound, self.hope(it.module), self.most)
            answer, file = tried(it.module, it.broken, turn)
            if file and file not in self.sound:
                as_it_is = tried(it.module, source(it.module), [part for part in turn if part[0] == file])
                self.sound[file] = as_it_is[0] == ALIVE
            if self.sound.get(file, True):
                return answer, file
            print(f"  {file} is left out: so run it fails where nothing is broken", flush=True)

    def hope(self, module: str) -> dict[str, float]:
        """How much is to be hoped for of each test file: what it noticed in the module, and how much it looks at it."""
        share, kills = self.tests.share(module), self.kills[module]
        return {file: 1.0 + kills[file] + OWN * share.get(file, 0.0) for file in {*share, *kills}}


def tell(chosen: list[Break], trial: Trial) -> list[Break]:
    """Try breaks, print what becomes of them, and answer with those that are alive."""
    counts: Counter[str] = Counter()
    alive: list[Break] = []
    for n, it in enumerate(chosen):
        print(f"  {n} of {len(chosen)}", end="\r", file=sys.stderr, flush=True)
        if equal(it.module, *it.change):
            counts["equal"] += 1
            continue
        answer = trial.of(it)
        counts[answer] += 1
        if answer == ALIVE:
            alive.append(it)
            print(f"  alive: {it.module} {it.lines[0]} {it.operator.removeprefix('core/')} {it.place}", flush=True)
            print("    {}\n    {}".format(*it.change), flush=True)
    noticed = counts[NOTICED] + counts[LATE]
    print(
        f"{', '.join(sorted({it.module.split('.')[0] for it in chosen}))}: {len(chosen)} breaks made, {noticed} noticed"
        f" ({counts[LATE]} by never ending), {counts['equal']} equal, {len(alive)} alive;"
        f" {100 * noticed / max(1, noticed + len(alive)):.1f} % of those that are not equal noticed",
        flush=True,
    )
    return alive


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("packages", nargs="*", default=PACKAGES, help="formulas, ledger, planning; all")
    parser.add_argument("--module", action="append", default=[], help="only this module, as planning.verify")
    parser.add_argument("--sample", type=int, default=150, help="breaks to draw for each package")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--all", action="store_true", help="every break, instead of a sample")
    parser.add_argument("--most", type=float, default=60.0, help="seconds of tests for each break (60)")
    parser.add_argument("--alive", action="store_true", help="only those that the last run of the package left alive")
    it = parser.parse_args()
    cache = platformdirs.user_cache_path("partway-mutants", ensure_exists=True)
    warm()
    wanted = [name for package in it.packages for name in modules(package)]
    bad = sorted(set(it.packages) - set(PACKAGES)) + sorted(set(it.module) - set(wanted))
    if bad:
        parser.error(f"{', '.join(bad)}: expected packages of {', '.join(PACKAGES)}, or modules of them")
    left = False
    for package in it.packages:
        names = [n for n in modules(package) if not it.module or n in it.module]
        last = cache / f"alive-{package}.json"
        chosen = again(names, last) if it.alive else sampled(names, 0 if it.all else it.sample, f"{it.seed} {package}")
        if chosen:
            alive = tell(chosen, Trial(known(cache, package), it.most, cache / f"noticed-{package}.json"))
            last.write_text(json.dumps([(one.module, one.operator, *one.change) for one in alive]), encoding="utf-8")
            left = left or bool(alive)
    return int(left)


if __name__ == "__main__":
    sys.exit(main())
