"""How long `partway --help` takes against the bare interpreter: medians of fifteen starts each, by turns."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

STARTS = 15
COMMANDS = {
    "interpreter": [sys.executable, "-c", "pass"],
    "partway --help": [str(Path(sys.executable).with_name("partway")), "--help"],
}


def started(command: list[str]) -> float:
    """Seconds on the wall from start to end."""
    began = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


def main() -> None:
    """Start both by turns and print the ratio."""
    for command in COMMANDS.values():
        started(command)  # once for the disk cache
    times: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(STARTS):
        for name, command in COMMANDS.items():
            times[name].append(started(command))
    medians = {name: statistics.median(taken) for name, taken in times.items()}
    for name, median in medians.items():
        print(f"{name:15} {1000 * median:7.1f} ms")
    print(f"ratio {medians['partway --help'] / medians['interpreter']:.2f}")


if __name__ == "__main__":
    main()
