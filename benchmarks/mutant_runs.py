"""Runs tests in forks of one warm process, with the source of one module replaced, and measures which tests run a line.

The process that forks has imported pytest and the libraries, nothing of partway: a fork imports partway anew, the
changed module through a finder of its own, and runs pytest in itself. What is on disk is never changed.
"""

from __future__ import annotations

import contextlib
import gc
import importlib.abc
import importlib.util
import json
import math
import os
import resource
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import CodeType
from typing import Any

import platformdirs
import pytest
from mutant_breaks import HOME, PACKAGES, SOURCES, path_of

# Loaded once, here, so that no fork has to. None of them starts a thread.
LIBRARIES = (
    "_pytest.assertion.rewrite", "alembic.command", "babel.numbers", "click", "coverage", "fastapi.testclient",
    "highspy", "hypothesis.stateful", "jinja2", "jsonschema", "networkx", "numpy", "periodictable", "pint",
    "rich.table", "schemathesis", "scipy.optimize", "segno", "sqlalchemy", "tzlocal", "uuid6", "uvicorn", "wtforms",
)  # fmt: skip
MEMORY = 6 << 30  # bytes a fork may take
ALIVE, LATE, NOTICED = "alive", "late", "noticed"
WATCHED, GUESS = 4.0, 40.0  # processor seconds each test is watched for, and is taken to last where that is not enough
BUSY = 30.0  # a machine that gives less than such a part of a processor makes searches fail
FILE, SLACK = 900.0, 60.0  # processor seconds that a file may take to be measured, and tests beside their own


def warm() -> None:
    """Import what is not ours, and let what is compiled be kept, apart from the sources: a quarter of a fork's time."""
    sys.dont_write_bytecode = False
    sys.pycache_prefix = str(platformdirs.user_cache_path("partway-mutants") / "compiled")
    os.environ.update(OPENBLAS_NUM_THREADS="1", PYTEST_DISABLE_PLUGIN_AUTOLOAD="1")
    for name in LIBRARIES:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
    if "partway" in sys.modules:
        raise RuntimeError("a library has imported partway, so that a break in it would not be seen")
    gc.collect()
    gc.freeze()  # what is warm stays shared between the forks


class Replaced(importlib.abc.MetaPathFinder, importlib.abc.InspectLoader):
    """Finds one module of partway and gives it other source."""

    def __init__(self, module: str, code: str) -> None:
        self.name, self.code, self.path = f"partway.{module}", code, str(path_of(module))

    def find_spec(self, fullname: str, path: Any = None, target: Any = None) -> ModuleSpec | None:
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self)

    def get_source(self, fullname: str) -> str:
        return self.code

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.code, self.path, "exec", dont_inherit=True)


class OutOfTimeError(BaseException):
    """A test has taken more of the processor than it may. No Exception, so that nothing on the way catches it."""


def stopped(*_: object) -> None:
    """What the clock of a test does when it has run out."""
    raise OutOfTimeError


class Only:
    """A pytest plugin: these tests in this order (None: all), each with the processor seconds it may take."""

    def __init__(self, wanted: dict[str, float] | None = None, switch: Callable[[str], None] | None = None) -> None:
        self.wanted = wanted
        self.switch = switch
        self.seconds: dict[str, float] = {}
        self.bad: set[str] = set()
        self.late: set[str] = set()
        self.skipped: set[str] = set()
        self.until = math.inf
        self.spent: Counter[str] = Counter()  # processor seconds of each test function

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        if self.wanted is not None:
            place = {name: n for n, name in enumerate(self.wanted)}
            items[:] = sorted((it for it in items if it.nodeid in place), key=lambda it: place[it.nodeid])

    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        if self.wanted is None and self.spent[function_of(item.nodeid)] > WATCHED:
            pytest.skip("the same function has been watched for long enough")

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Any:
        if self.switch is not None:
            self.switch(item.nodeid)
        began = time.process_time()
        limit = WATCHED if self.wanted is None else self.wanted[item.nodeid]
        self.until = began + limit
        signal.setitimer(signal.ITIMER_PROF, limit)
        try:
            answer = yield
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0.0)
        self.seconds[item.nodeid] = time.process_time() - began
        self.spent[function_of(item.nodeid)] += self.seconds[item.nodeid]
        if self.switch is not None:
            self.switch("")
        return answer

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self, item: pytest.Item, call: pytest.CallInfo[None]) -> Any:
        report = yield
        if call.excinfo is not None:
            # Some of what is on the way answers to being stopped with an error of its own.
            late = call.excinfo.errisinstance(OutOfTimeError) or time.process_time() >= self.until
            (self.late if late else self.bad).add(item.nodeid)
            self.skipped |= {item.nodeid} if call.excinfo.errisinstance(pytest.skip.Exception) else set()
        return report


def function_of(name: str) -> str:
    """A test's name without its parameters."""
    return name.partition("[")[0]


def run(file: str, plugin: Only) -> int:
    """One test file, up to its first failure where only some of it is wanted; pytest's exit status."""
    signal.signal(signal.SIGPROF, stopped)
    stop = [] if plugin.wanted is None else ["-x"]
    plugins = ["-p", "no:cacheprovider", "-p", "_hypothesis_pytestplugin"]
    return int(pytest.main([file, *stop, "--tb=no", *plugins], [plugin]))


def settled() -> None:
    """What makes tests answer the same each time: seeded draws, no examples kept from another break, no deadlines."""
    from hypothesis import HealthCheck, settings

    settings.register_profile(
        "mutants", database=None, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
    )
    settings.load_profile("mutants")


def unhurried() -> None:
    """Searches end by the processor's clock, so that a busy machine ends none before its time.

    HiGHS looks at the wall itself: it is given that much more.
    """
    import highspy

    wall, option = time.monotonic, highspy.Highs.setOptionValue

    def clock() -> float:
        planning = sys._getframe(1).f_globals.get("__name__", "").startswith("partway.planning")
        return time.process_time() if planning else wall()

    def patient(solver: Any, name: str, value: Any) -> Any:
        return option(solver, name, BUSY * value if name == "time_limit" else value)

    time.monotonic, highspy.Highs.setOptionValue = clock, patient


def forked(work: Callable[[], Any], limit: float) -> Any:
    """What the work answers in a fork of this process, LATE past the limit, None where the fork died.

    The limit is of processor seconds, so that a busy machine makes nothing late; ten times as long it may wait for
    something else than the processor.
    """
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        told = Path(folder) / "told.json"
        child = os.fork()
        if child == 0:
            in_fork(work, Path(folder), told, int(limit) + 1)
        status = waited(child, 10.0 * limit)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)  # it leads a group of its own: what it started goes with it
        if status is None:
            os.waitpid(child, 0)
        if status is None or (os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGXCPU):
            return LATE
        return json.loads(told.read_text(encoding="utf-8")) if told.exists() else None


def waited(child: int, most: float) -> int | None:
    """How a child ended; None where it slept for so many seconds: one that the machine has no time for does not."""
    slept, before, pause = 0.0, time.monotonic(), 0.005
    while slept < most:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return status
        time.sleep(pause)
        now, pause = time.monotonic(), min(0.1, 1.2 * pause)
        slept, before = slept + (asleep(child) and min(1.0, now - before)), now
    return None


def asleep(process: int) -> bool:
    """Whether a process asks for no processor just now: its state in Linux' table of processes, after its name."""
    about = Path(f"/proc/{process}/stat")
    return not about.exists() or about.read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "R"


def in_fork(work: Callable[[], Any], folder: Path, told: Path, seconds: int) -> None:
    """Do the work in the forked process, write what it answers, and end without what the parent does at its end."""
    try:
        os.setsid()
        os.chdir(HOME)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5))
        os.environ["TMPDIR"] = tempfile.tempdir = str(folder)
        quiet = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(quiet, stream)
        settled()
        unhurried()
        answer = json.dumps(work())
        (part := told.with_suffix(".part")).write_text(answer, encoding="utf-8")
        part.rename(told)
    finally:
        os._exit(0)


def tried(module: str, code: str, turn: list[tuple[str, dict[str, float]]]) -> tuple[str, str]:
    """How a break fared, run on the tests of each file in turn: NOTICED, LATE or ALIVE, and in which file.

    Each test has its own limit, which Python keeps; for what Python does not see there is one for all together.
    """

    def work() -> tuple[str, str]:
        sys.meta_path.insert(0, Replaced(module, code))
        for file, names in turn:
            plugin = Only(names)
            if run(file, plugin) != 0:
                return LATE if plugin.late else NOTICED, file
        return ALIVE, ""

    limit = SLACK + sum(seconds for _, names in turn for seconds in names.values())

    answer = forked(work, limit)
    return (LATE if answer == LATE else NOTICED, "") if answer is None or answer == LATE else tuple(answer)


def measured(file: str) -> dict[str, Any] | None:
    """For one test file: seconds of each test that passes, and the tests that run each line of the three packages.

    Each test function is watched for some seconds only, what takes longer repeats itself: the test that is running then
    gets a guess for its seconds, those that come after it with other parameters are left out.
    """

    def work() -> dict[str, Any]:
        import coverage

        cov = coverage.Coverage(data_file=None, config_file=False, source=[str(SOURCES / name) for name in PACKAGES])
        cov.start()
        plugin = Only(switch=cov.switch_context)
        run(file, plugin)
        cov.stop()
        return {
            "seconds": {
                name: GUESS if name in plugin.late else seconds
                for name, seconds in plugin.seconds.items()
                if name not in plugin.bad
            },
            "lines": contexts(cov, plugin),
            "bad": sorted(plugin.bad - plugin.skipped),
        }

    answer = forked(work, FILE)
    return answer if answer != LATE else None


def contexts(cov: Any, plugin: Only) -> dict[str, dict[str, list[str]]]:
    """Module, line, tests; a line that only an import runs has no tests."""
    data = cov.get_data()
    lines: dict[str, dict[str, list[str]]] = {}
    for path in data.measured_files():
        module = ".".join(Path(path).relative_to(SOURCES).with_suffix("").parts)
        by_line = data.contexts_by_lineno(path)
        lines[module] = {str(n): sorted(set(names) - plugin.bad - {""}) for n, names in by_line.items()}
    return lines
