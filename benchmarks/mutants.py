"""How many small breaks in the core its tests notice: formulas, ledger, planning.

    .venv/bin/pip install -e ".[mutants]"    # make setup has done so
    .venv/bin/python benchmarks/mutants.py [formulas ledger planning] [--sample 150] [--seed 1]
    .venv/bin/python benchmarks/mutants.py --module planning.verify --all
    .venv/bin/python benchmarks/mutants.py planning --alive     # what lived in the last run, once more

Each break is one change by one operator of cosmic-ray (mutant_breaks.py) in one module. Its tests are those of
tests/unit, references, properties and golden that run the changed statement (none of pages and commands: they are slow
and say little of a figure), up to the first that fails (mutant_runs.py). Which tests those are is measured for each
test file when it is first asked, and kept in the user's cache folder (mutant_tests.py). Kept too is which file noticed
a break: it is asked first next time, and a run that was stopped goes on where it was. A test that never ends has
noticed. What no test can notice stands in mutants_equal.toml, with the reason.

Prints what was not noticed, and a line a package: breaks made, noticed, of these by never ending, equal, alive. Exit
status 1 where something is alive. A sample of 150 takes from 5 minutes (formulas) to an hour (planning).
"""

from __future__ import annotations

import argparse
import functools
import json
import random
import sys
import tomllib
from collections import Counter, defaultdict
from pathlib import Path

import platformdirs
from mutant_breaks import PACKAGES, Break, breaks, modules, path_of, source
from mutant_runs import ALIVE, LATE, NOTICED, tried, warm
from mutant_tests import Known, Turn, digest, state

EQUAL = Path(__file__).with_name("mutants_equal.toml")


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

    A break that was noticed is so again as long as its module, that test file and all it runs are what they were.
    """

    def __init__(self, tests: Known, most: float, memory: Path) -> None:
        self.tests, self.most, self.memory = tests, most, memory
        kept = json.loads(memory.read_text(encoding="utf-8")) if memory.exists() else {"kills": {}, "noticed": {}}
        self.kills = defaultdict[str, Counter[str]](Counter, {m: Counter(n) for m, n in kept["kills"].items()})
        self.noticed: dict[str, tuple[str, str, str]] = kept["noticed"]  # answer, test file, state of that
        self.sound: dict[str, bool] = {}

    def of(self, it: Break) -> str:
        """ALIVE, LATE or NOTICED, and remember it."""
        key = digest([it.module, it.broken])
        before, file, as_it_was = self.noticed.get(key, ("", "", ""))
        if before and file in self.tests.parts and as_it_was == state(file, self.tests.parts[file]):
            return before
        answer, file = self.asked(it)
        if file:
            self.kills[it.module][file] += 1
            self.noticed[key] = answer, file, state(file, self.tests.of(file))
            kept = {"kills": self.kills, "noticed": self.noticed}
            self.memory.write_text(json.dumps(kept), encoding="utf-8")
        return answer

    def asked(self, it: Break) -> tuple[str, str]:
        """What the tests say of a break, and in which file."""
        for turn in self.tests.turns(it, self.kills[it.module], self.most):
            answer, file = self.noticing(it, turn)
            if answer != ALIVE:
                return answer, file
        return ALIVE, ""

    def noticing(self, it: Break, turn: Turn) -> tuple[str, str]:
        """What some test files say of a break, without one that, run like this, fails on the source as it stands."""
        while turn := [part for part in turn if self.sound.get(part[0], True)]:
            answer, file = tried(it.module, it.broken, turn)
            if file and file not in self.sound:
                as_it_is = tried(it.module, source(it.module), [part for part in turn if part[0] == file])
                self.sound[file] = as_it_is[0] == ALIVE
            if self.sound.get(file, True):
                return answer, file
            print(f"  {file} is left out: so run it fails where nothing is broken", flush=True)
        return ALIVE, ""


def tell(chosen: list[Break], trial: Trial) -> list[Break]:
    """Try breaks, print what becomes of them, and answer with those that are alive."""
    counts: Counter[str] = Counter()
    alive: list[Break] = []
    for n, it in enumerate(chosen):
        print(f"  {n} of {len(chosen)}, {len(alive)} alive", end="\r", file=sys.stderr, flush=True)
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
    cache = platformdirs.user_cache_path("partway-mutants") / "tests"
    cache.mkdir(parents=True, exist_ok=True)
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
            alive = tell(chosen, Trial(Known(cache, package), it.most, cache / f"noticed-{package}.json"))
            last.write_text(json.dumps([(one.module, one.operator, *one.change) for one in alive]), encoding="utf-8")
            left = left or bool(alive)
    return int(left)


if __name__ == "__main__":
    sys.exit(main())
