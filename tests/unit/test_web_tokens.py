"""Form tokens: once, by the browser the form was shown to, and for a day."""

from __future__ import annotations

import itertools

import pytest

from partway.web.serving import tokens
from partway.web.serving.tokens import Tokens, TokenStanding, content_of


def test_a_new_token_is_fresh_until_something_is_saved_under_it() -> None:
    known = Tokens()
    token = known.new("session")
    verdict = known.judge(token, "session", "one")
    assert verdict.standing is TokenStanding.FRESH
    known.saved(verdict.name, "one", "/bins")
    assert known.judge(token, "session", "one").standing is TokenStanding.SAVED
    assert known.judge(token, "session", "one").went == "/bins"
    assert known.judge(token, "session", "two").standing is TokenStanding.OTHER


@pytest.mark.parametrize("given", ["", "x", "a.b.c", "\x00", "é" * 50, "[1]", None])
def test_what_is_no_token_is_stale(given: str | None) -> None:
    known = Tokens()
    assert known.judge(given or "", "session", "").standing is TokenStanding.STALE


def test_another_session_another_start_and_no_session_are_stale() -> None:
    known = Tokens()
    token = known.new("session")
    assert known.judge(token, "other", "").standing is TokenStanding.STALE
    assert known.judge(known.new(""), "", "").standing is TokenStanding.STALE
    assert Tokens().judge(token, "session", "").standing is TokenStanding.STALE


def test_a_token_goes_stale(monkeypatch: pytest.MonkeyPatch) -> None:
    known = Tokens()
    token = known.new("session")
    monkeypatch.setattr(tokens, "AGE_MOST", -1)
    assert known.judge(token, "session", "").standing is TokenStanding.STALE


def test_only_so_many_are_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tokens, "KEPT_MOST", 3)
    known = Tokens()
    for n in range(5):
        known.saved(str(n), "", "/")
    assert len(known._saved) == 3


def test_content_depends_on_every_name_value_and_place() -> None:
    forms = [
        ("/a", [("x", "1"), ("y", "2")]),
        ("/b", [("x", "1"), ("y", "2")]),
        ("/a", [("x", "12"), ("y", "")]),
        ("/a", [("x", "1")]),
        ("/a", [("x1", ""), ("y", "2")]),
        ("/a", []),
    ]
    assert all(content_of(*one) != content_of(*other) for one, other in itertools.combinations(forms, 2))
    assert content_of("/a", [("x", "1"), ("y", "2")]) == content_of("/a", [("y", "2"), ("x", "1")])
    assert content_of("/a", [("x", "\ud800")])
