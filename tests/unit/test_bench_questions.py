"""A question at the bench: from page and command to the event and the bin; notes wherever a thing is shown.

The microwave's transformer is asked about, as the catalogue has it; what it says is read from there.
"""

from __future__ import annotations

import html
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from app_client import NOW, Visitor, visitor
from click.testing import CliRunner
from httpx2 import Response
from test_bench_web import OVEN, WEIGHED, opening, rows, town, undone
from winding import WHOLE, scenario
from workspaces import new_workspace

from partway.actions.bench import finds
from partway.actions.bench.benching import left_of
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven, piece_given
from partway.actions.bench.selling import sell
from partway.actions.bins.bins import add_bin
from partway.actions.buyers.quoting import quote
from partway.actions.curb.curb import curb as curb_of
from partway.actions.recording.context import Context
from partway.catalogue import shipped
from partway.cli.app import cli
from partway.errors import Refused
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Opened
from partway.ledger.fold import standing
from partway.reports.bench.depth import Depth
from partway.things.anatomy import Operation
from partway.valuing.left import before

MICROWAVE = shipped().anatomy("microwave")
COPPER, ALUMINIUM = MICROWAVE.answers_to("transformer")
ASK = next(op for op in MICROWAVE.operations if op.id == "transformer.tell")
INTO = "open-into.transformer"
ON_ONE_PAGE = f"{OVEN}/whole"


def grade_of(answer: Any) -> str:
    return str(answer.sells[0].grade)


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        town(there)
        for grade, price in ((grade_of(COPPER), "1.50"), (grade_of(ALUMINIUM), "0.40")):
            quote(there.book, there.context(), "harbour", grade, f"{price} /kg")
        finds.find(there.book, there.context(), "microwave", mass="13 kg", works="no")
        yield there


def inside(operation: Operation) -> bool:
    return operation.id.startswith(("transformer.copper", "transformer.aluminium"))


def opened_down_to_the_transformer(there: Visitor, **fields: str) -> Response:
    form = undone(opening(there), *(op.id for op in MICROWAVE.operations if inside(op)))
    return there.send(form, **{**rows(**WEIGHED), "open-into.ring": "residue", **fields})


def last_opened(there: Visitor) -> Opened:
    found = [e.what for e in there.book.events(("opened",), "find:microwave-1") if isinstance(e.what, Opened)]
    return found[-1]


def transformer_in(opened: Opened) -> tuple[str, str]:
    (piece,) = [p for p in opened.pieces if p.piece.startswith("transformer")]
    return piece.piece, piece.grade


def as_text(page: str) -> str:
    return " ".join(html.unescape(page).split())


# --- the question, from the page to the bin ---


def test_the_page_asks_where_the_piece_is_weighed_and_says_what_the_answer_is_worth(there: Visitor) -> None:
    page, data = there.open(ON_ONE_PAGE), there.client.get("/api/finds/microwave-1/bench").json()
    (step,) = [step for step in data["steps"] if step["question"]]
    question = step["question"]
    weighing = as_text(page[page.index('id="open"') :])
    row = weighing[
        weighing.index('name="open-mass.transformer"') - 1500 : weighing.index('name="open-mass.transformer"')
    ]
    assert ASK.name[1:] in row and f"Worth CA${question['worth']:.2f}" in row
    assert f'name="{INTO}"' in weighing and f"{COPPER.answer}: " in weighing and f"{ALUMINIUM.answer}: " in weighing
    assert 'name="open-mass.transformer.copper"' not in page and 'name="open-done.transformer.tell"' not in page


@pytest.mark.parametrize("answer", [COPPER, ALUMINIUM], ids=["copper", "aluminium"])
def test_the_answer_chooses_the_bin_and_the_event_keeps_piece_and_bin(there: Visitor, answer: Any) -> None:
    done = opened_down_to_the_transformer(there, **{INTO: grade_of(answer)})
    assert done.status_code == 200, as_text(done.text)[:3000]
    opened = last_opened(there)
    assert transformer_in(opened) == ("transformer", grade_of(answer))
    assert ASK.id not in {run.operation for run in opened.runs}
    bin_id = grade_of(answer)
    assert there.book.balances(f"bin:{bin_id}")[f"bin:{bin_id}", bin_id] == 3_000_000
    assert standing.find(there.book, "microwave-1").closed
    assert "nobody looked at" not in done.text


def test_unanswered_it_goes_as_the_catalogue_says_and_the_question_stays_open(there: Visitor) -> None:
    form = opening(there)
    assert dict(form.values)[INTO] == "", "nothing is answered before somebody looked"
    done = opened_down_to_the_transformer(there)
    assert done.status_code == 200
    own = MICROWAVE.piece("transformer").sells[0].grade
    assert transformer_in(last_opened(there)) == ("transformer", own)
    assert "went as one nobody looked at" in done.text and COPPER.id in done.text


def test_what_only_one_answer_needs_is_not_ticked_before_somebody_says_so(there: Visitor) -> None:
    quote(there.book, there.context(), "harbour", "copper-light", "12 /kg")
    form, page = opening(there), as_text(there.open(ON_ONE_PAGE))
    chosen = there.client.get("/api/finds/microwave-1/bench").json()["steps"]
    conditional = [step for step in chosen if step["only_if"]]
    assert conditional and all(step["only_if"]["answer"] == COPPER.answer for step in conditional)
    ticked = {name.removeprefix("open-done.") for name, _ in form.values if name.startswith("open-done.")}
    assert not ticked & {step["operation"] for step in conditional}
    assert f"If {COPPER.answer} (6 of 10)" in page


def test_who_weighs_what_comes_out_of_an_answer_has_done_its_step(there: Visitor) -> None:
    quote(there.book, there.context(), "harbour", "copper-light", "12 /kg")
    steps = there.client.get("/api/finds/microwave-1/bench").json()["steps"]
    deep = next(step for step in steps if step["only_if"])
    inner = deep["gives"][0]["piece"]
    masses = {name: mass for name, mass in WEIGHED.items() if name != "transformer"} | {inner: "0.8 kg"}
    fields = {f"open-mass.{piece}": mass for piece, mass in masses.items()}
    form = opening(there)
    done = there.send(form, **{**fields, "open-into.ring": "residue", "answer-gap": "left"})
    assert done.status_code == 200, as_text(done.text)[:2000]
    opened = last_opened(there)
    assert deep["operation"] in {run.operation for run in opened.runs}
    assert inner in {piece.piece for piece in opened.pieces}


# --- the same by the command ---


@pytest.mark.parametrize("written", ["transformer.copper=3 kg", f"transformer=3 kg:{grade_of(COPPER)}"])
def test_the_command_takes_the_answer_as_a_name_of_the_piece(there: Visitor, written: str) -> None:
    given = [piece_given(written)]
    operations = ["cord-and-tray", "discharge", "transformer-out", ASK.id]
    told = open_up(there.book, there.context(), "microwave-1", given, operations, gap="left").result
    assert transformer_in(last_opened(there)) == ("transformer", grade_of(COPPER))
    assert told.unasked == ()
    now = standing.find(there.book, "microwave-1")
    assert "transformer" not in dict(left_of(MICROWAVE, before(there.book, now)))


def test_what_is_done_to_an_answer_is_done_to_the_piece(there: Visitor) -> None:
    deep = next(op for op in MICROWAVE.operations if op.on == COPPER.id)
    operations = ["cord-and-tray", "discharge", "transformer-out", deep.id]
    open_up(there.book, there.context(), "microwave-1", [], operations, gap="left")
    assert [run.piece for run in last_opened(there).runs][-1] == "transformer"
    now = standing.find(there.book, "microwave-1")
    left = dict(left_of(MICROWAVE, before(there.book, now)))
    assert "transformer" not in left and {give.piece for give in deep.gives} <= set(left)
    assert there.client.get(OVEN).status_code == 200
    data = there.client.get("/api/finds/microwave-1/bench").json()
    inside_now = {one["piece"]: one for one in data["left"]} | {s["piece"]: s for s in data["steps"]}
    assert any(name.startswith("transformer.copper.") for name in inside_now)
    assert not [step for step in data["steps"] if step["only_if"] and step["only_if"]["answer"] == COPPER.answer]


def test_an_answer_that_was_sold_is_gone_as_the_piece(there: Visitor) -> None:
    open_up(
        there.book, there.context(), "microwave-1", [], ["cord-and-tray", "discharge", "transformer-out"], gap="left"
    )
    sell(there.book, there.context(), "microwave-1", "20", COPPER.id, mass="3 kg")
    now = standing.find(there.book, "microwave-1")
    assert "transformer" not in dict(left_of(MICROWAVE, before(there.book, now)))


def test_where_it_would_be_dangerous_nothing_goes_before_somebody_looked(there: Visitor) -> None:
    """A piece that sells as nothing by itself is refused with the question and the names of its answers."""
    found = [
        (kind, piece)
        for kind in shipped().all_anatomies()
        for piece in kind.pieces
        if kind.answers_to(piece.id) and not piece.sells
    ]
    if not found:
        pytest.fail("no kind has a piece that has to be looked at")
    anatomy, piece = found[0]
    finds.find(there.book, there.context(), anatomy.kind, works="no")
    with pytest.raises(Refused, match="an answer to") as refused:
        open_up(there.book, there.context(), f"{anatomy.kind}-1", [PieceGiven(piece.id, "0.4 kg")], gap="left")
    assert all(answer.id in str(refused.value) for answer in anatomy.answers_to(piece.id))


ANSWERS = [
    pytest.param(anatomy.kind, answer.id, id=f"{anatomy.kind} {answer.id}")
    for anatomy in shipped().all_anatomies()
    for answer in anatomy.pieces
    if answer.answer_to and answer.sells and not any(op.required for op in anatomy.operations_on(answer.id))
]


@pytest.mark.parametrize(("kind", "answer"), ANSWERS)
def test_every_answer_of_the_catalogue_can_be_given(tmp_path: Path, kind: str, answer: str) -> None:
    """It goes into the bin of the first grade it sells as, whatever hides inside the other answers."""
    with new_workspace(tmp_path) as book:
        context = Context("tester", lambda: NOW, new_id)
        finds.find(book, context, kind, works="no")
        open_up(book, context, f"{kind}-1", [PieceGiven(answer, "0.1 kg")], gap="left")
        (event,) = book.events(("opened",))
        assert isinstance(event.what, Opened)
        anatomy = shipped().anatomy(kind)
        (out,) = event.what.pieces
        assert (out.piece, out.grade) == (anatomy.in_hand(answer).id, anatomy.piece(answer).sells[0].grade)


# --- the words of a plan, of depth and of the curb ---


def run(*words: str) -> str:
    done = CliRunner().invoke(cli, list(words))
    assert done.exit_code == 0, done.output
    return done.output


def test_plan_and_depth_say_the_question_and_what_hangs_on_it(tmp_path: Path) -> None:
    scenario(tmp_path)
    file = str(tmp_path / "oven.toml")
    plan = json.loads(run("plan", "--scenario", file, "--json"))
    asked = [line for line in plan["open"] if line["asks"]]
    assert [line["name"] for line in asked] == ["scratch the winding: red or silver?"]
    below = [line for line in plan["open"] if line["only_if"]]
    assert below and {line["only_if"]["answer"] for line in below} == {"wound with copper"}
    ends = [end for find in plan["finds"] for end in find["ends"] if end["only_if"]]
    assert {end["only_if"]["share"] for end in ends} == {0.6, 0.4}
    aluminium = next(end for end in ends if end["only_if"]["share"] == 0.4)
    assert aluminium["mass_kg"] == pytest.approx(10 * 0.4 * 3.0)
    for words in (run("plan", "--scenario", file), run("depth", "--scenario", file, "--kind", "oven")):
        said = " ".join(words.split())
        assert "cratch the winding: red or silver?" in said
        assert "f wound with copper (6 of 10): " in said and "4 of 10" in said


def test_plan_and_depth_say_what_the_catalogue_says_about_an_operation(tmp_path: Path) -> None:
    scenario(tmp_path, ('id = "out"', 'id = "out"\n  note = "Four bolts from below."'), ("count = 10", "count = 1"))
    file = str(tmp_path / "oven.toml")
    (line,) = [n for n in json.loads(run("plan", "--scenario", file, "--json"))["open"] if n["operation"] == "out"]
    steps = json.loads(run("depth", "--scenario", file, "--kind", "oven", "--json"))["steps"]
    assert line["advice"] == "Four bolts from below." and line["advice"] in {step["note"] for step in steps}
    for words in (run("plan", "--scenario", file), run("depth", "--scenario", file, "--kind", "oven")):
        assert "Four bolts from below." in words


def test_depth_writes_the_same_question_as_the_curb_names(tmp_path: Path) -> None:
    it = scenario(tmp_path, WHOLE)
    depth = json.loads(run("depth", "--scenario", str(tmp_path / "oven.toml"), "--kind", "oven", "--json"))
    (step,) = [step for step in depth["steps"] if step["question"]]
    (named,) = curb_of(it, "oven", "no").questions
    assert (step["question"]["ask"], step["question"]["worth"]) == (named.ask, pytest.approx(named.worth))
    assert set(step) >= {"note", "question", "only_if"} and "note" in Depth.__dataclass_fields__


# --- notes: page, command and JSON from one answer ---


def test_a_kinds_note_is_said_at_the_curb_at_the_bench_and_by_the_commands(there: Visitor) -> None:
    note = MICROWAVE.note
    assert note
    for page in ("/curb/microwave", ON_ONE_PAGE):
        text = as_text(there.open(page))
        assert note in text and text.index(note) > text.index("Careful")
    assert there.client.get("/api/curb/microwave").json()["note"] == note
    assert there.client.get("/api/finds/microwave-1/bench").json()["note"] == note
    assert there.client.get("/api/depth?kind=microwave").json()["note"] == note
    assert note in " ".join(run("kinds", "microwave").split())
    assert json.loads(run("kinds", "microwave", "--json"))["note"] == note


def test_a_kinds_note_is_said_before_there_is_a_currency(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        finds.find(there.book, there.context(), "microwave")
        assert MICROWAVE.note in as_text(there.open(ON_ONE_PAGE))


def test_notes_of_operations_and_pieces_stand_with_the_step_the_row_and_the_list(there: Visitor) -> None:
    page = there.open(ON_ONE_PAGE)
    data = there.client.get("/api/finds/microwave-1/bench").json()
    steps, rest = (
        as_text(page[page.index('id="steps"') : page.index('id="open"')]),
        as_text(page[page.index('id="open"') :]),
    )
    drawn = as_text(page[page.index('class="as-list"') : page.index('id="steps"')])
    noted = [step["note"] for step in data["steps"] if step["note"]]
    assert noted and all(note in steps for note in noted)
    pieces = {c["piece"]: c["note"] for step in data["steps"] for c in step["gives"] if c["note"]}
    assert pieces["transformer"] == MICROWAVE.piece("transformer").note
    assert pieces["transformer"] in steps and pieces["transformer"] in rest and pieces["transformer"] in drawn
    tree = " ".join(run("kinds", "microwave").replace("│", " ").split())
    assert MICROWAVE.piece("transformer").note in tree and noted[0] in tree


def test_a_note_is_told_once_in_a_list(there: Visitor) -> None:
    page = there.open(ON_ONE_PAGE)
    form = page[page.index('id="open"') :]
    for note in {line.note for line in MICROWAVE.pieces if line.note}:
        assert as_text(form).count(note) <= 1


def test_the_queue_says_the_note_of_the_first_operation(there: Visitor) -> None:
    finds.find(there.book, there.context(), "microwave", mass="13 kg", works="no")
    open_up(there.book, there.context(), "microwave-2", [PieceGiven("cord", "0.3 kg")], ["cord-and-tray"], gap="left")
    (line,) = [line for line in there.client.get("/api/queue").json()["lines"] if line["partly"]]
    first = next(op for op in MICROWAVE.operations if op.id == "discharge")
    assert line["note"] == first.note and first.note in as_text(there.open("/bench"))


def test_a_grades_note_is_said_at_its_bin_and_its_prices(there: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    grades = dict(shipped().grades)
    said = "Cut the ends off: they are No. 2."
    monkeypatch.setitem(shipped().grades, "copper-2", replace(grades["copper-2"], note=said))
    add_bin(there.book, there.context(), "copper-2", holds="5 kg")
    for page in ("/bins/copper-2", "/prices/copper-2"):
        assert said in as_text(there.open(page))
    assert there.client.get("/api/bins/copper-2/offers").json()["note"] == said
    assert there.client.get("/api/prices/copper-2").json()["note"] == said
    rows_of = [row for family in there.client.get("/api/prices").json()["families"] for row in family["rows"]]
    assert next(row["note"] for row in rows_of if row["grade"] == "copper-2") == said
    assert said in " ".join(run("grades", "copper-2").split())
    assert json.loads(run("grades", "copper-2", "--json"))["note"] == said


def test_a_piece_without_a_note_is_told_that_of_the_grade_it_goes_as(
    there: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not MICROWAVE.piece("cover").note
    said = "The magnet sticks: it is iron."
    monkeypatch.setitem(shipped().grades, "light-iron", replace(shipped().grades["light-iron"], note=said))
    steps = there.client.get("/api/finds/microwave-1/bench").json()["steps"]
    cover = next(c for step in steps for c in step["gives"] if c["piece"] == "cover")
    assert cover["note"] == said
    page = there.open(ON_ONE_PAGE)
    assert as_text(page[page.index('id="open"') :]).count(said) == 1, "once, though several pieces are light iron"
