"""What `compare.py` keeps of each solver's answer, and what all of them come to: worst, median, and who failed."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

Report = dict[str, Any]
Reports = Mapping[str, Report]
CBC = ("cbc", "cbc-plain")


@cache
def commit() -> str:
    """The commit whose search this is, with a mark where files of the package differ from it."""
    here = Path(__file__).parent.parent
    said = ["git", "-C", str(here), "describe", "--always", "--abbrev=8", "--exclude=*"]
    name = subprocess.run(said, capture_output=True, text=True, check=True).stdout.strip()
    changed = ["git", "-C", str(here), "status", "--porcelain", "src"]
    return name + ("+" if subprocess.run(changed, capture_output=True, text=True, check=True).stdout else "")


def key(solver: str, size: str, seed: int, seconds: float, asked: float) -> Report:
    """What makes two runs the same; the commit only where it is our own search."""
    own = {"commit": commit()} if solver == "ours" else {}
    return {"solver": solver, "size": size, "seed": seed, "limit": seconds, "asked": asked, **own}


def kept(path: Path | None, wanted: Report) -> Report | None:
    """The report of that run, if the file has it."""
    if path is None or not path.exists():
        return None
    for text in path.read_text().splitlines():
        one = json.loads(text)
        if all(one.get(name) == value for name, value in wanted.items()):
            return dict(one["report"])
    return None


def keep(path: Path | None, what: Report, report: Report) -> None:
    """Add a line to the file; how busy the machine was stands with it."""
    if path is None:
        return
    with path.open("a") as file:
        file.write(json.dumps({**what, "commit": commit(), "load": os.getloadavg()[0], "report": report}) + "\n")


def gap(report: Report) -> float | None:
    """How far the best plan may be from the best there is, relative to the plan."""
    if report.get("objective") is None or report.get("bound") is None:
        return None
    return float(max(0.0, report["bound"] - report["objective"]) / max(1.0, abs(report["objective"])))


def closed(report: Report, asked: float) -> bool:
    """Whether the gap asked for was reached (a hair more is the same gap relative to the bound)."""
    reached = gap(report)
    return reached is not None and reached <= asked * 1.001


def best_cbc(reports: Reports, asked: float) -> Report | None:
    """The quicker of its two ways among those that reached the gap."""
    ended = [r for s in CBC if (r := reports.get(s)) and closed(r, asked)]
    return min(ended, key=lambda r: float(r["seconds"]), default=None)


def summary(size: str, found: Mapping[str, Reports], asked: float) -> list[str]:
    """Worst and median of each ratio, and the instances on which ours did not reach the gap."""
    ours = {name: reports["ours"] for name, reports in found.items() if reports.get("ours")}
    rivals = {
        "plain / ours": lambda n: found[n].get("plain"),
        "better CBC / ours": lambda n: best_cbc(found[n], asked),
    }
    lines = [_against(what, ours, rival) for what, rival in rivals.items()]
    lines.append("search / relaxation " + _high({n: r["seconds"] / r["relaxation"] for n, r in ours.items()}, ""))
    lines.append("first plan " + _high({n: r["first_seconds"] for n, r in ours.items()}, " s"))
    lines.append("first plan on the wall " + _high({n: r["first_wall"] for n, r in ours.items()}, " s"))
    lines.append("memory " + _high({n: r["memory"] for n, r in ours.items()}, " MB"))
    lines.append(f"{asked:g} not reached by ours: {_names(n for n, r in ours.items() if not closed(r, asked))}")
    lines.append(f"ours failed: {_names(n for n in found if n not in ours)}")
    open_plain = (n for n, rs in found.items() if rs.get("plain") and not closed(rs["plain"], asked))
    lines.append(f"plain unfinished, so a lower bound: {_names(open_plain)}")
    return [f"{size}: {one}" for one in lines]


def _against(what: str, ours: Reports, rival: Callable[[str], Report | None]) -> str:
    """How often as long as ours another took; the worst is the least."""
    ratios = {n: r["seconds"] / mine["seconds"] for n, mine in ours.items() if (r := rival(n))}
    if not ratios:
        return f"{what} not measured"
    worst = min(ratios, key=lambda n: ratios[n])
    middle = statistics.median(ratios.values())
    low = ", ".join(f"{n} {ratios[n]:.1f}" for n in sorted(ratios, key=lambda n: ratios[n])[1:4])
    return f"{what} median {middle:.1f}, worst {ratios[worst]:.1f} ({worst}), then {low or 'none'}; of {len(ratios)}"


def _high(values: Mapping[str, float], unit: str) -> str:
    if not values:
        return "not measured"
    worst = max(values, key=lambda n: values[n])
    return f"median {statistics.median(values.values()):.3g}{unit}, worst {values[worst]:.3g}{unit} ({worst})"


def _names(names: Iterable[str]) -> str:
    return ", ".join(names) or "none"
