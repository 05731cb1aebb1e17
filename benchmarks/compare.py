"""The search against other ways to solve the same instances, all in one run.

.venv/bin/python benchmarks/compare.py [--sizes day,week,month,depot] [--seeds 3] [--seeds-from 100] [--seconds 60]
    [--gap 1e-4] [--only ours,plain] [--results FILE]

Every solver has a process of its own, one thread and the same limit; they run one after another, so that a
busy machine slows all of them about alike. Seconds are of the processor. What each column means: README.md.
With `--results` every answer is written to a file as it comes, a line each, with the commit; the same command again
goes on where it was stopped.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import results
from results import Report, closed, gap

RUNNER = Path(__file__).with_name("solvers.py")
SOLVERS = ("ours", "plain", "cbc", "cbc-plain", "cp-sat")
OVERRUN = 20.0  # times the limit on the wall, after which a solver that does not stop is stopped
# More than twelve places: no formulation lists the tours, so driving would be free for every other solver.
ONLY = {"depot": ("ours",)}
HEAD = f"{'instance':10} {'solver':10} {'seconds':>8} {'to plain':>8} {'gap':>8} {'objective':>14} {'MB':>6}"


@dataclass(frozen=True)
class Terms:
    """On what terms all solvers run: processor seconds each, the gap asked for, who takes part, where it is kept."""

    seconds: float
    gap: float
    solvers: tuple[str, ...]
    kept: Path | None


def run(solver: str, size: str, seed: int, terms: Terms) -> Report:
    """One solver on one instance; empty where it failed or had to be stopped. What is kept already is not run again."""
    key = results.key(solver, size, seed, terms.seconds, terms.gap)
    known = results.kept(terms.kept, key)
    if known is not None:
        return known
    command = [sys.executable, str(RUNNER), solver, size, str(seed), str(terms.seconds), str(terms.gap)]
    try:
        most = 60.0 + OVERRUN * terms.seconds
        done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=most)
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired) as problem:
        print(f"{solver} on {size}-{seed}: {problem}", file=sys.stderr)
        return {}
    report: Report = json.loads(done.stdout.splitlines()[-1])
    results.keep(terms.kept, key, report)
    return report


def line(name: str, solver: str, report: Report, plain: Report, asked: float) -> str:
    """One row of the table."""
    if not report:
        return f"{name:10} {solver:10} {'failed':>8}"
    reached = gap(report)
    ratio = f"{report['seconds'] / plain['seconds']:.3f}" if plain else "-"
    took = f"{'' if closed(report, asked) else '>'}{report['seconds']:.2f}"
    shown = "-" if reached is None else f"{reached:.1e}"
    objective = "none" if report["objective"] is None else f"{report['objective']:.3f}"
    return f"{name:10} {solver:10} {took:>8} {ratio:>8} {shown:>8} {objective:>14} {report['memory']:6.0f}"


def _times(report: Report) -> float:
    return float(report["seconds"] / report["relaxation"])


def details(report: Report) -> str:
    """What only our search reports."""
    return (
        f"{'':10} {report['columns']} columns, {report['rows']} rows; build {report['build']:.3f} s,"
        f" model {report['formulate']:.3f} s, relaxation {report['relaxation']:.3f} s,"
        f" {100 * report['relaxation_above']:.2f} % above, search {_times(report):.1f} times it;"
        f" first plan {report['first_seconds']:.2f} s, {report['first_wall']:.2f} s on the wall,"
        f" gap {report['first_gap']:.1e}; second opinion {report['second_opinion']:.3f} s"
    )


def compare(size: str, seed: int, terms: Terms) -> dict[str, Report]:
    """All solvers on one instance, printed as they end."""
    name = f"{size}-{seed}"
    chosen = [s for s in terms.solvers if s in ONLY.get(size, SOLVERS)]
    reports: dict[str, Report] = {}
    for solver in sorted(chosen, key=lambda s: s != "plain"):  # the others are measured by it
        reports[solver] = run(solver, size, seed, terms)
        print(line(name, solver, reports[solver], reports.get("plain", {}), terms.gap), flush=True)
        if solver == "ours" and reports[solver]:
            print(details(reports[solver]), flush=True)
    return reports


def main() -> None:
    """Parse the arguments and print the table."""
    parser = argparse.ArgumentParser(description="the search against other solvers, in one run")
    parser.add_argument("--sizes", default="day,week,month")
    parser.add_argument("--seeds", type=int, default=1, help="how many instances of each size")
    parser.add_argument("--seeds-from", type=int, default=0, help="the first of them")
    parser.add_argument("--seconds", type=float, default=60.0, help="limit for each solver on each instance")
    parser.add_argument("--gap", type=float, default=1e-4, help="(bound - plan) / plan that is asked for")
    parser.add_argument("--only", default=",".join(SOLVERS), help="solvers: " + ", ".join(SOLVERS))
    parser.add_argument("--results", type=Path, help="a file that keeps each answer as it comes")
    given = parser.parse_args()
    terms = Terms(given.seconds, given.gap, tuple(given.only.split(",")), given.results)
    print(f"commit {results.commit()}, gap {given.gap:g}, limit {given.seconds:g} s of the processor\n{HEAD}")
    ends = []
    for size in given.sizes.split(","):
        seeds = range(given.seeds_from, given.seeds_from + given.seeds)
        found = {f"{size}-{seed}": compare(size, seed, terms) for seed in seeds}
        ends += results.summary(size, found, given.gap)
    print("\n".join(["", *ends]))


if __name__ == "__main__":
    main()
