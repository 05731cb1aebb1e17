"""A user's way: weigh what comes out of some fans, and read what was learned where the estimate stood.

By the command, by page and by JSON; then a slip, which each of them asks about.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor

from partway.actions.home.settings import set_
from partway.cli import main
from partway.web.forms import ANSWER


def test_seven_cords_weighed_by_the_command_stand_with_the_kind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def run(*arguments: str, status: int = 0) -> str:
        monkeypatch.setattr(sys, "argv", ["partway", *arguments, "--workspace", str(tmp_path / "w")])
        with pytest.raises(SystemExit) as left:
            sys.exit(main())  # type: ignore[func-returns-value]
        said = capsys.readouterr()
        assert (left.value.code or 0) == status, said
        return said.out + said.err

    run("set", "currency", "CAD")
    for n in range(1, 8):
        run("find", "fan", "--mass", "3.5 kg")
        run("open", f"fan-{n}", "cord=0.31 kg", "--op", "cord", "--gap", "left")
    page = " ".join(run("kinds", "fan").split())
    assert re.search(r"Cord with plug 0\.\d+ / 0\.29\d* / 0\.\d+ kg \(7 weighed by you; we thought 0\.2\)", page), page
    assert "(7 weighed by you; we thought 3.5)" in page
    (cord,) = (one for one in json.loads(run("kinds", "fan", "--json"))["learned"] if one["of"] == "cord")
    assert (cord["what"], cord["count"], cord["was"]["likely"]) == ("mass", 7, 0.2)
    assert abs(cord["now"]["likely"] - 0.295) < 0.015
    run("find", "fan", "--mass", "3.5 kg")
    said = run("open", "fan-8", "cord=3.1 kg", "--op", "cord", "--gap", "left", status=2)
    assert "3.1 kg for one cord with plug" in said and "a digit too many?" in said and "or --sure" in said
    run("open", "fan-8", "cord=3.1 kg", "--op", "cord", "--gap", "left", "--sure")


def sent(v: Visitor, address: str, status: int = 200, **body: Any) -> Any:
    answer = v.client.post(f"/api/{address}", json=body)
    assert answer.status_code == status, answer.text
    return answer.json()


def test_the_pages_and_the_json_say_it_too_and_ask_about_a_slip(tmp_path: Path) -> None:
    with visitor(tmp_path / "w") as v:
        set_(v.book, v.context(), "currency", "CAD")
        set_(v.book, v.context(), "unit", "lb")
        for n in range(1, 6):
            sent(v, "find", kind="fan", mass="3.5 kg")
            pieces = [{"piece": "cord", "mass": "0.31 kg"}]
            sent(v, "open", find=f"fan-{n}", operations=["cord"], gap="left", pieces=pieces)
        said = " ".join(v.open("/curb/fan").split())
        assert "What you have weighed and timed" in said
        assert re.search(r"Cord with plug: 5 weighed by you: 0\.6\d+ lb, we thought 0\.441 lb", said), said
        shown = v.client.get("/api/curb/fan").json()["learned"]
        assert {one["of"]: one["count"] for one in shown} == {"whole": 5, "cord": 5}
        sent(v, "find", kind="fan", mass="3.5 kg")
        assert "one: 5 weighed by you: 0.6" in v.open("/bench/fan-6/whole")
        before = v.count()
        slip = [{"piece": "cord", "mass": "3.1 kg"}]
        asked = sent(v, "open", 409, find="fan-6", operations=["cord"], gap="left", pieces=slip)
        assert asked["option"] == "sure" and v.count() == before
        page = v.open("/bench/fan-6/whole")
        form = v.form(page, "/bench/fan-6/open#open")
        again = v.send(form, **{"open-mass.cord": "3.1 kg", f"{ANSWER}gap": "left"})
        assert "it is right, record it" in again.text and v.count() == before
        sent(v, "open", find="fan-6", operations=["cord"], gap="left", pieces=slip, sure="yes")
        assert v.count() == before + 1


def test_what_motors_turned_out_to_be_is_recorded_and_shown_by_command_by_page_and_by_json(tmp_path: Path) -> None:
    """Each way to say it: the answer alone, a piece by the name of its answer, and the place chosen on the page."""
    with visitor(tmp_path / "w") as v:
        set_(v.book, v.context(), "currency", "CAD")
        for n in range(1, 4):
            sent(v, "find", kind="fan")
            seen = [{"piece": "motor", "answer": "copper"}]
            told = sent(v, "open", find=f"fan-{n}", operations=["motor-out"], gap="left", answers=seen)
            assert told["told"]["answers"] == [["motor", "copper", 1]]
        sent(v, "find", kind="fan")
        pieces = [{"piece": "motor.copper", "mass": "1.4 kg"}]
        sent(v, "open", find="fan-4", operations=["motor-out"], gap="left", pieces=pieces)
        sent(v, "find", kind="fan")
        form = v.form(v.open("/bench/fan-5/whole"), "/bench/fan-5/open#open")
        page = v.send(form, **{"open-mass.motor": "1.4 kg", "open-into.motor": "motors@motors", f"{ANSWER}gap": "left"})
        assert page.status_code == 200
        said = " ".join(v.open("/curb/fan").split())
        assert re.search(r"wound with copper: 5 looked at by you: 63 of 100, we thought 4 of 10", said), said
        shown = {one["of"]: one for one in v.client.get("/api/curb/fan").json()["learned"]}
        assert (shown["motor.copper"]["what"], shown["motor.copper"]["count"]) == ("share", 5)
        assert shown["motor.copper"]["now"] == pytest.approx((8 * 0.4 + 5) / 13)
        before = v.count()
        wrong = sent(v, "open", 422, find="fan-5", operations=["cord"], answers=[{"piece": "cord", "answer": "copper"}])
        assert "a piece that is asked about: motor" in wrong["detail"] and v.count() == before


def test_the_command_takes_answers_and_says_what_was_learned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def run(*arguments: str) -> str:
        monkeypatch.setattr(sys, "argv", ["partway", *arguments, "--workspace", str(tmp_path / "w")])
        with pytest.raises(SystemExit) as left:
            sys.exit(main())  # type: ignore[func-returns-value]
        said = capsys.readouterr()
        assert not left.value.code, said
        return said.out + said.err

    run("set", "currency", "CAD")
    run("find", "fan", "--count", "2")
    said = run("open", "fan-1", "--op", "motor-out", "--gap", "left", "--count", "2", "--answer", "2x motor=aluminium")
    assert "seen: 2 × motor aluminium" in said
    assert "if wound with aluminium (68 of 100) (2 looked at by you; we thought 6 of 10)" in " ".join(
        run("kinds", "fan").split()
    )
