"""Instances that others published: what they found, what the search finds and proves, and what other solvers do.

.venv/bin/python benchmarks/published.py [FILE or FOLDER ...] [--seconds 60] [--only ours,highs,cp-sat,pyvrp] [--most 5]

Without a file those of tests/references/trips. The others are not ours to hand on: fetch them (README.md says what and
where) and name the folder. Each file is read by `published_sets`, best values are in published_best.toml. Every solver
has a process of its own, one thread and the same limit; that and the seconds shown are of the processor
(`published_clock`).
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from published_sets import Published, Unread, every

HERE = Path(__file__).parent
CARRIED = HERE.parent / "tests" / "references" / "trips"
RUNNER = HERE / "published_run.py"
ENDINGS = {".tpp", ".oplib", ".vrp", ".txt", ".csv"}
SOLVERS = ("ours", "highs", "cp-sat", "pyvrp")
OVERRUN = 60.0  # times the limit on the wall, after which a solver that does not stop is stopped
SAME = 0.01  # published figures are whole numbers
HEAD = f"{'instance':34} {'best':>8} {'solver':7} {'found':>10} {'bound':>10} {'gap':>8} {'seconds':>8}"
Report = dict[str, Any]


def run(solver: str, path: Path, number: int, seconds: float) -> Report:
    """One solver on one instance; empty where it failed or had to be stopped."""
    command = [sys.executable, str(RUNNER), solver, str(path), str(number), str(seconds)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60.0 + OVERRUN * seconds)
    except subprocess.CalledProcessError as problem:
        print(f"{solver} on {path.name}: {problem.stderr.strip().splitlines()[-1:]}", file=sys.stderr)
        return {}
    except subprocess.TimeoutExpired:
        print(f"{solver} on {path.name}: stopped", file=sys.stderr)
        return {}
    report: Report = json.loads(done.stdout.splitlines()[-1])
    return report


def line(one: Published, best: float | None, solver: str, report: Report) -> str:
    """One row of the table. The gap is to the solver's own bound; a figure better than the best one is marked."""
    known = "-" if best is None else f"{best:g}"
    start = f"{one.name:34} {known:>8} {solver:7}"
    if "found" not in report:
        return f"{start} {report.get('not', 'failed')}"
    found, bound = report["found"], report["bound"]
    shown = ["none" if found is None else f"{found:.2f}", "-" if bound is None else f"{bound:.2f}"]
    gap = "-" if found is None or bound is None else f"{abs(bound - found) / max(1.0, abs(found)):.1e}"
    text = f"{start} {shown[0]:>10} {shown[1]:>10} {'proven' if report['proven'] else gap:>8} {report['seconds']:8.2f}"
    if "first" in report:
        text += f"  first {report['first']:g} after {report['first_seconds']:.2f}"
    doubts = report.get("doubts") or []
    return "  ".join([text, *_beside(one, best, found), *doubts])


def _beside(one: Published, best: float | None, found: float | None) -> Iterator[str]:
    """How a figure compares with the best one that was published."""
    if best is not None and found is not None and abs(found - best) > SAME:
        yield "better" if (found > best) == one.most else f"off by {abs(found - best) / max(1.0, abs(best)):.1e}"


def best_values() -> dict[str, float]:
    """The best published value of each instance."""
    tables = tomllib.loads((HERE / "published_best.toml").read_text(encoding="utf-8"))["from"]
    return {name: float(value) for table in tables for name, value in table["values"].items()}


def files(given: list[Path]) -> Iterator[Path]:
    """The files named, and those in the folders named."""
    for path in given or [CARRIED]:
        yield from sorted(p for p in path.rglob("*") if p.suffix in ENDINGS) if path.is_dir() else [path]


def instances(given: list[Path], most: int) -> Iterator[tuple[Path, int, Published]]:
    """Up to so many instances of each file, with their numbers; what cannot be read is printed."""
    for path in files(given):
        try:
            for number, one in enumerate(islice(every(path), most)):
                if isinstance(one, Unread):
                    print(one)
                else:
                    yield path, number, one
        except (Unread, OSError, KeyError, ValueError) as error:
            print(f"{path.name:34} not read: {error}")


def summary(solver: str, reports: list[Report], mine: list[Report]) -> str:
    """How many a solver proved, and its seconds to ours where both did."""
    ran = [report for report in reports if "found" in report]
    both = [(r["seconds"], m["seconds"]) for r, m in zip(reports, mine, strict=True) if _proven(r) and _proven(m)]
    text = f"{solver:7} proved {sum(map(_proven, ran))} of {len(ran)}, {sum(r['seconds'] for r in ran):.1f} s in all"
    if both and solver != "ours":
        ratios = [theirs / ours for theirs, ours in both]
        text += f"; to ours where both did: median {statistics.median(ratios):.2f}, most {max(ratios):.1f}"
    return text


def _proven(report: Report) -> bool:
    return bool(report.get("proven"))


def main() -> None:
    """Read the arguments and print the table."""
    parser = argparse.ArgumentParser(description="the search on instances that others published, beside other solvers")
    parser.add_argument("paths", nargs="*", type=Path, help="files or folders; README.md says of which sets")
    parser.add_argument(
        "--seconds", type=float, default=60.0, help="of the processor, for each solver on each instance"
    )
    parser.add_argument("--only", default=",".join(SOLVERS), help="solvers: " + ", ".join(SOLVERS))
    parser.add_argument("--most", type=int, default=5, help="instances of one file")
    asked = parser.parse_args()
    solvers, best = asked.only.split(","), best_values()
    reports: dict[str, list[Report]] = {solver: [] for solver in solvers}
    print(HEAD)
    for path, number, one in instances(asked.paths, asked.most):
        for solver in solvers:
            report = run(solver, path, number, asked.seconds)
            reports[solver].append(report)
            print(line(one, best.get(one.name), solver, report), flush=True)
    print()
    for solver in solvers:
        print(summary(solver, reports[solver], reports.get("ours", [{}] * len(reports[solver]))))


if __name__ == "__main__":
    main()
