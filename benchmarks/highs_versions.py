"""Which versions of HiGHS get the small programmes right that some version got wrong (tests/solver_models.py).

.venv/bin/python benchmarks/highs_versions.py [VERSION ...]

Each version is put into a folder of its own, which is removed afterwards; the environment it runs in is left alone.
Prints one line a version: what it answered wrongly, with presolve as it comes and with presolve off.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

TESTS = Path(__file__).parent.parent / "tests"
VERSIONS = ("1.16.0", "1.15.1", "1.15.0", "1.14.0", "1.13.1", "1.13.0", "1.12.0", "1.11.0", "1.10.0")
LIMIT = 180.0  # seconds for each step of each version
TRY = """
import sys
import highspy, numpy as np
from solver_models import SMALL

def answer(it, presolve):
    highs = highspy.Highs()
    for name, value in (("output_flag", False), ("threads", 1), ("mip_rel_gap", 0.0), ("presolve", presolve)):
        highs.setOptionValue(name, value)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(it.columns), len(it.rows)
    lp.sense_ = highspy.ObjSense.kMaximize
    cost, low, high, whole = zip(*it.columns)
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = (np.array(v, dtype=float) for v in (cost, low, high))
    lp.row_lower_, lp.row_upper_ = (np.array([row[i] for row in it.rows], dtype=float) for i in (1, 2))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *(len(row[0]) for row in it.rows)]).astype(np.int32)
    lp.a_matrix_.index_ = np.array([c for row in it.rows for c in row[0]], dtype=np.int32)
    lp.a_matrix_.value_ = np.array([v for row in it.rows for v in row[0].values()], dtype=float)
    kinds = highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger
    lp.integrality_ = [kinds[w] for w in whole]
    highs.passModel(lp)
    highs.run()
    value = highs.getInfo().objective_function_value
    solved = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return value if solved else None

wrong = []
for it in SMALL:
    for presolve in ("choose", "off"):
        value = answer(it, presolve)
        if value is None or abs(value - it.optimum) > 1e-6:
            wrong.append(f"{it.name}, presolve {presolve}: {value}, not {it.optimum}")
print("RESULT", "; ".join(wrong) or f"all {len(SMALL)} right")
"""


def tried(version: str, folder: Path) -> str:
    """What a version answers wrongly, in words."""
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", str(folder)]
    try:
        subprocess.run([*install, f"highspy=={version}"], check=True, capture_output=True, timeout=LIMIT)
        path = os.pathsep.join((str(folder), str(TESTS)))
        done = subprocess.run(
            [sys.executable, "-c", TRY],
            env={**os.environ, "PYTHONPATH": path},
            check=True,
            capture_output=True,
            text=True,
            timeout=LIMIT,
        )
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired) as problem:
        return f"not tried: {problem}"
    return next(line for line in done.stdout.splitlines() if line.startswith("RESULT")).removeprefix("RESULT ")


def main() -> None:
    """One line a version."""
    parser = argparse.ArgumentParser(description="which versions of HiGHS get known small programmes right")
    parser.add_argument("versions", nargs="*", default=VERSIONS)
    for version in parser.parse_args().versions:
        with tempfile.TemporaryDirectory() as folder:
            print(f"{version:8} {tried(version, Path(folder))}", flush=True)


if __name__ == "__main__":
    main()
