"""Text in photographs: lines by where words stand, what is marked as unread, and what is said where nothing reads.

Where the extra `reading` is installed, three drawn sheets are read by its engine with the network cut.
"""

from __future__ import annotations

import math
import socket
import sys
from collections.abc import Callable
from importlib.util import find_spec, module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any, NoReturn

import pytest
from ledgers.anybody import Shell
from photographs import saved, scene

from partway.catalogue import shipped
from partway.errors import Refused
from partway.photographs import reading
from partway.photographs.reading import ENGINE, can_read, text_in
from partway.photographs.written import Point, WrittenWord, lines_of
from partway.pricelist import read_price_list

SENT = saved(scene())
BOARD = (
    ("HARBOUR YARD", 40, 20),
    ("No. 2 copper", 40, 90),
    ("4.10 /lb", 500, 90),
    ("Motors", 40, 160),
    ("38c", 500, 160),
)


def word(
    text: str, left: float, top: float, *, askew: float = 0.0, high: float = 40.0, sure: float = 1.0
) -> WrittenWord:
    """Words as high as 40 pixels, on a sheet that is turned about its corner by some degrees."""
    wide, turn = 18.0 * len(text), math.radians(askew)

    def at(x: float, y: float) -> Point:
        return x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)

    right, bottom = left + wide, top + high
    return WrittenWord(text, (at(left, top), at(right, top), at(right, bottom), at(left, bottom)), sure)


@pytest.mark.parametrize("askew", [-3.0, -1.0, 0.0, 2.0, 3.0])
def test_lines_and_columns_however_it_lies(askew: float) -> None:
    words = [word(*one, askew=askew) for one in reversed(BOARD)]
    assert lines_of(words) == ["HARBOUR YARD", "No. 2 copper  4.10 /lb", "Motors  38c"]


def test_words_close_together_are_one_column() -> None:
    assert lines_of([word("No. 2", 0, 0), word("copper", 100, 4), word("4.10", 400, 2)]) == ["No. 2 copper  4.10"]


def test_one_under_another_is_no_line_even_where_they_touch() -> None:
    assert lines_of([word("copper", 0, 0), word("brass", 0, 22)]) == ["copper", "brass"]
    assert lines_of([]) == []


# --- the engine in between, as it would answer ---


@pytest.fixture
def shell(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(str(tmp_path / "w"), monkeypatch, capsys)


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    def answers(*words: WrittenWord) -> None:
        monkeypatch.setattr(reading, "can_read", lambda: True)
        monkeypatch.setattr(reading, "_words", lambda content: list(words))

    return answers


def test_a_figure_it_is_not_sure_of_is_no_price(engine: Callable[..., None]) -> None:
    engine(word("No. 2 copper", 0, 0), word("4.10 /lb", 400, 0, sure=0.6))
    text = text_in(SENT)
    assert text == "No. 2 copper  ????"
    (line,) = read_price_list(text, shipped().grades, "CAD", "lb", {})
    assert line.grade == "copper-2" and line.price is None and line.question
    engine(word("No. 2 copper", 0, 0, sure=0.6), word("4.10 /lb", 400, 0))
    (line,) = read_price_list(text_in(SENT), shipped().grades, "CAD", "lb", {})
    assert line.grade is None and line.question


@pytest.mark.parametrize("unit", ["/1b", "/lb", "/Ib", "/b", "#1b"])
def test_a_pound_that_was_misread_is_a_pound_where_others_weigh_in_kilograms(
    unit: str, engine: Callable[..., None]
) -> None:
    engine(word("No. 2 copper", 0, 0), word(f"4.10{unit}", 400, 0))
    (line,) = read_price_list(text_in(SENT), shipped().grades, "CAD", "kg", {})
    assert (line.grade, str(line.price), line.unit) == ("copper-2", "4.10", "lb")


def test_what_is_no_photograph_never_reaches_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(content: bytes) -> NoReturn:
        raise AssertionError("asked")

    monkeypatch.setattr(reading, "can_read", lambda: True)
    monkeypatch.setattr(reading, "_words", never)
    for content in (b"", b"<svg onload=alert(1)>", SENT[:200]):
        with pytest.raises(Refused):
            text_in(content)


def test_one_without_a_word_is_refused(engine: Callable[..., None]) -> None:
    engine()
    with pytest.raises(Refused, match="without a word"):
        text_in(SENT)


def test_where_nothing_reads_it_is_said_in_words(shell: Shell, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(reading, "find_spec", lambda name: None)
    assert not can_read()
    file = tmp_path / "board.jpg"
    file.write_bytes(SENT)
    status, out, err = shell("read", str(file))
    assert status == 2 and out == ""
    assert len(err.splitlines()) == 1 and 'pip install "partway[reading]"' in err


def test_the_command_prints_the_lines(engine: Callable[..., None], shell: Shell, tmp_path: Path) -> None:
    engine(*(word(*one) for one in BOARD))
    file = tmp_path / "board.jpg"
    file.write_bytes(SENT)
    assert shell.done("read", str(file)).splitlines()[1] == "No. 2 copper  4.10 /lb"
    assert "no such file" in shell.message(2, "read", str(tmp_path / "none.jpg"))
    assert not (tmp_path / "w").exists()


def test_nothing_loads_it_that_does_not_read() -> None:
    import partway.web.app

    assert partway.web.app and ENGINE not in sys.modules


# --- the engine itself ---


def drawn_sheets() -> ModuleType:
    """benchmarks/read_photographs.py, which draws boards and tickets with a seed."""
    spec = spec_from_file_location("drawn_sheets", Path(__file__).parents[2] / "benchmarks" / "read_photographs.py")
    assert spec and spec.loader
    module = module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.skipif(find_spec(ENGINE) is None, reason="the extra `reading` is not installed")
def test_three_sheets_with_the_network_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a few lines each at least nine in ten are right or asked about, and none but a few are read wrongly."""

    def cut(*_: Any, **__: Any) -> NoReturn:
        raise OSError("no network")

    for name in ("socket", "create_connection", "getaddrinfo"):
        monkeypatch.setattr(socket, name, cut)
    drawn = drawn_sheets()
    fates = [
        fate
        for one, _ in zip(drawn.sheets("open"), range(3), strict=False)
        for fate in drawn.judged(one, text_in(one.content)).values()
    ]
    assert len(fates) >= 12
    assert sum(fate in ("right", "asked") for fate in fates) >= 0.9 * len(fates)
    assert "right" in fates
