"""Keys of many names are refused before the parser, which takes seconds for them, sees the text."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partway.catalogue.reading.long_keys import long_key
from partway.errors import BadScenario
from partway.storage.scenario.opening import DEPTH_MOST, read_tables, read_text

MANY = ".".join(["a"] * (DEPTH_MOST + 1))
FEW = ".".join(["a"] * DEPTH_MOST)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (f"{MANY} = 1\n", 1),
        (f"x = 1\n[{MANY}]\n", 2),
        (f"x = 1\n\n[[{MANY}]]\n", 3),
        (f"x = {{ {MANY} = 1 }}\n", 1),
        (f"x = [\n1, {{ {MANY} = 1 }}]\n", 2),
        (" . ".join(["a"] * (DEPTH_MOST + 1)) + " = 1", 1),
        ("\t.\t".join(["a"] * (DEPTH_MOST + 1)) + " = 1", 1),
        (".".join(['"a"', "'b'", "c-1"] * 5) + " = 1", 1),
        (".".join(['"a.\\"b"'] * (DEPTH_MOST + 1)) + " = 1", 1),
        (f'x = """a"""""\n{MANY} = 1', 2),
        (f'x = {{ y = """a""""", {MANY} = 1 }}', 1),
        (f"x = '''a'''''\n{MANY} = 1", 2),
        (f"x = {{ y = 'a', {MANY} = 1 }}", 1),
        (f'x = ""\n{MANY} = 1', 2),
        (f"x = ''\n{MANY} = 1", 2),
        (f'x = "#" # "\n{MANY} = 1', 2),
        (f'"""a""".{MANY} = 1', 1),  # broken besides
    ],
)
def test_it_is_refused_with_its_line_and_never_parsed(text: str, line: int, monkeypatch: pytest.MonkeyPatch) -> None:
    def parsed(_: str) -> dict[str, object]:
        raise AssertionError("the parser saw it")

    monkeypatch.setattr("partway.storage.scenario.opening.tomllib.loads", parsed)
    with pytest.raises(BadScenario) as caught:
        read_tables(text, "f.toml")
    assert caught.value.where == f"f.toml, line {line}"
    assert f"more than {DEPTH_MOST} names" in caught.value.given


@pytest.mark.parametrize(
    "text",
    [
        f"{FEW} = 1",
        f'x = "{MANY}"',
        f"x = '{MANY}'",
        f"# {MANY} = 1\nx = 1",
        f'x = """\n{MANY} = 1\n"""',
        f"x = '''\n{MANY} = 1\n'''",
        f'x = """a" ""{MANY} = 1"""',
        f"x = '''a' ''{MANY} = 1'''",
        f'x = """a\\"""{MANY} = 1"""',
        f'x = """a""""\ny = "{MANY}"',
        f'x = "\\"{MANY}"',
        f'x = "\\\\"\ny = "{MANY}"',
        "x = [1.5, 2.5, 1979-05-27T07:32:00.999]",
        f'"{MANY}" = 1',
        "x = '" + ". " * 50 + "'",
    ],
)
def test_dots_elsewhere_are_no_key(text: str) -> None:
    assert tomllib.loads(text)  # the judge of what the text is: Python's parser
    assert long_key(text, DEPTH_MOST) is None


@given(st.text(alphabet="ab.\"'\\#\n =[]{},1", max_size=60))
def test_what_it_refuses_is_deep_or_broken(text: str) -> None:
    """Held against Python's parser, with two names as the most: a text that is whole has a key of three."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    if long_key(text, 2) is not None:
        assert _depth(tables) > 2


@given(
    st.lists(st.sampled_from(["a", "b-1", '"c.d"', "'e\\'", '"\\""']), min_size=3, max_size=6),
    st.sampled_from(["", 'x = """a""""\n', "y = '#'\n", "# 'q\n", 'z = ["a.b.c.d", 1.5]\n', "v = '''\n''''\n"]),
    st.sampled_from(["{} = 1", "[{}]", "[[{}]]", "w = {{ {} = 1 }}"]),
)
def test_no_whole_text_with_a_long_key_passes(names: list[str], before: str, form: str) -> None:
    text = before + form.format(" . ".join(names))
    tomllib.loads(text)
    assert long_key(text, 2) == before.count("\n") + 1


def _depth(value: object) -> int:
    if isinstance(value, list):
        return max(map(_depth, value), default=0)
    return 1 + max(map(_depth, value.values()), default=0) if isinstance(value, dict) else 0


def test_the_shipped_scenarios_are_looked_through_to_their_end() -> None:
    files = sorted(Path("tests").rglob("*.toml"))
    assert files
    assert [file for file in files if long_key(read_text(file), DEPTH_MOST)] == []
