"""The search against other ways to solve the same instances, all in one run.

.venv/bin/python benchmarks/compare.py [--sizes day,week,month,depot] [--seeds 3] [--seconds 60] [--only ours,plain]

Every solver has a process of its own, one thread and the same limit; they run one after another, so that a
busy machine slows all of them about alike. Seconds are of the processor. What each column means: README.md.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
from pathlib import Path
from typing import Any

RUNNER = Path(__file__).with_name("solvers.py")
SOLVERS = ("ours", "plain", "cbc", "cbc-plain", "cp-sat")
GAP = 1e-4
OVERRUN = 4.0  # times the limit, after which a solver that does not stop is stopped
# More than twelve places: no formulation lists the tours, so driving would be free for every other solver.
ONLY = {"depot": ("ours",)}
HEAD = f"{'instance':10} {'solver':10} {'seconds':>8} {'to plain':>8} {'gap':>8} {'objective':>14} {'MB':>6}"
Report = dict[str, Any]


def run(solver: str, size: str, seed: int, seconds: float) -> Report:
    """One solver on one instance; empty where it failed or had to be stopped."""
    command = [sys.executable, str(RUNNER), solver, size, str(seed), str(seconds)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60.0 + OVERRUN * seconds)
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired) as problem:
        print(f"{solver} on {size}-{seed}: {problem}", file=sys.stderr)
        return {}
    report: Report = json.loads(done.stdout.splitlines()[-1])
    return report


def gap(report: Report) -> float | None:
    """How far the best plan may be from the best there is, relative to the plan."""
    if report.get("objective") is None or report.get("bound") is None:
        return None
    return float(max(0.0, report["bound"] - report["objective"]) / max(1.0, abs(report["objective"])))


def closed(report: Report) -> bool:
    """Whether the gap asked for was reached (a hair more is the same gap relative to the bound)."""
    reached = gap(report)
    return reached is not None and reached <= GAP * 1.001


def line(name: str, solver: str, report: Report, plain: Report) -> str:
    """One row of the table."""
    if not report:
        return f"{name:10} {solver:10} {'failed':>8}"
    reached = gap(report)
    ratio = f"{report['seconds'] / plain['seconds']:.3f}" if plain else "-"
    took = f"{'' if closed(report) else '>'}{report['seconds']:.2f}"
    shown = "-" if reached is None else f"{reached:.1e}"
    objective = "none" if report["objective"] is None else f"{report['objective']:.3f}"
    return f"{name:10} {solver:10} {took:>8} {ratio:>8} {shown:>8} {objective:>14} {report['memory']:6.0f}"


def details(report: Report) -> str:
    """What only our search reports."""
    above = report["relaxation_above"]
    relaxed = "" if above is None else f", relaxation {report['relaxation']:.3f} s, {100 * above:.2f} % above"
    return (
        f"{'':10} {report['columns']} columns, {report['rows']} rows; build {report['build']:.3f} s,"
        f" model {report['formulate']:.3f} s{relaxed};"
        f" first plan {report['first_wall']:.2f} s on the wall, gap {report['first_gap']:.1e};"
        f" second opinion {report['second_opinion']:.3f} s"
    )


def compare(size: str, seed: int, seconds: float, solvers: list[str]) -> dict[str, Report]:
    """All solvers on one instance, printed as they end."""
    name = f"{size}-{seed}"
    chosen = [s for s in solvers if s in ONLY.get(size, SOLVERS)]
    reports: dict[str, Report] = {}
    for solver in sorted(chosen, key=lambda s: s != "plain"):  # the others are measured by it
        reports[solver] = run(solver, size, seed, seconds)
        print(line(name, solver, reports[solver], reports.get("plain", {})), flush=True)
        if solver == "ours" and reports[solver]:
            print(details(reports[solver]), flush=True)
    return reports


def summary(size: str, results: list[dict[str, Report]]) -> str:
    """Medians over the seeds of plain / ours and CBC (the better of its two) / ours."""
    against_plain, against_cbc = [], []
    for reports in results:
        mine = reports.get("ours")
        if not mine:
            continue
        if reports.get("plain"):
            against_plain.append(reports["plain"]["seconds"] / mine["seconds"])
        rivals = [r["seconds"] for s in ("cbc", "cbc-plain") if (r := reports.get(s)) and closed(r)]
        if rivals:
            against_cbc.append(min(rivals) / mine["seconds"])
    return f"{size}: plain / ours {_median(against_plain)}, better CBC / ours {_median(against_cbc)}"


def _median(ratios: list[float]) -> str:
    if not ratios:
        return "not measured"
    return f"{statistics.median(ratios):.1f} (least {min(ratios):.1f}, most {max(ratios):.1f}, of {len(ratios)})"


def main() -> None:
    """Parse the arguments and print the table."""
    parser = argparse.ArgumentParser(description="the search against other solvers, in one run")
    parser.add_argument("--sizes", default="day,week,month")
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=60.0, help="limit for each solver on each instance")
    parser.add_argument("--only", default=",".join(SOLVERS), help="solvers: " + ", ".join(SOLVERS))
    given = parser.parse_args()
    print(HEAD)
    ends = []
    for size in given.sizes.split(","):
        results = [compare(size, seed, given.seconds, given.only.split(",")) for seed in range(given.seeds)]
        ends.append(summary(size, results))
    print("\n".join(["", *ends]))


if __name__ == "__main__":
    main()
