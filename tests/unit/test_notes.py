"""Notes of the catalogue: needed wherever something is decided, nowhere else, and never hidden in a comment."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from partway.catalogue import shipped
from partway.catalogue.checks.findings import findings
from partway.catalogue.checks.notes import NEEDED, NOT_NEEDED, grade_note_flaws, note_flaws
from partway.catalogue.shipped import DATA, catalogue_in
from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate

ONE = Estimate.exact(1.0)
STRING = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'")
ORIGIN = re.compile(r"(published|from memory|practice|measured|no [a-z ]+):", re.IGNORECASE)
KEEPERS = ("grades", "components", "kinds")


def anatomies() -> Iterator[tuple[Anatomy, bool]]:
    """All kinds and components, each with whether it is a component."""
    catalogue = shipped()
    yield from ((anatomy, False) for anatomy in catalogue.all_anatomies())
    yield from ((catalogue.component(name), True) for name in catalogue.component.names)


def unnoted(anatomy: Anatomy) -> Iterator[tuple[str, Anatomy]]:
    """An anatomy with one of its notes taken away, for each note that it has."""
    if anatomy.note:
        yield anatomy.whole.id, replace(anatomy, note="")
    for i, piece in enumerate(anatomy.pieces):
        if piece.note:
            pieces = (*anatomy.pieces[:i], replace(piece, note=""), *anatomy.pieces[i + 1 :])
            yield piece.id, replace(anatomy, pieces=pieces)
    for i, operation in enumerate(anatomy.operations):
        if operation.note:
            work = (*anatomy.operations[:i], replace(operation, note=""), *anatomy.operations[i + 1 :])
            yield operation.on, replace(anatomy, operations=work)


def test_no_note_of_a_kind_can_go_without_a_finding() -> None:
    taken = 0
    for anatomy, component in anatomies():
        for piece, without in unnoted(anatomy):
            taken += 1
            found = [flaw for flaw in note_flaws(without, component=component) if flaw.expected == NEEDED]
            assert piece in {flaw.piece for flaw in found}, f"{anatomy.kind}: {piece}"
    assert taken


def test_no_note_of_a_grade_can_go_without_a_finding() -> None:
    for grade in shipped().grades.values():
        (flaw,) = grade_note_flaws({grade.id: replace(grade, note="")})
        assert (flaw.piece, flaw.expected) == (grade.id, NEEDED)


def fan(**pieces: object) -> Anatomy:
    """A fan that is opened in one way; `pieces` changes its motor."""
    motor = Piece("motor", "Motor", ONE, (SaleAs("motors"),))
    whole = Piece("whole", "Fan", Estimate.exact(2.0), (SaleAs("light-iron"),))
    opened = Operation("open", "open it", "whole", ONE, (Gives("motor"), Gives("shell")))
    shell = Piece("shell", "Shell", ONE, (SaleAs("light-iron"), SaleAs("residue")))
    return Anatomy("fan", "Fan", (whole, replace(motor, **pieces), shell), (opened,), note="Mind the blades.")  # type: ignore[arg-type]


def flaws(anatomy: Anatomy) -> list[tuple[str, str]]:
    return [(flaw.piece, flaw.expected) for flaw in note_flaws(anatomy)]


def test_where_nothing_is_decided_no_note_is_needed_and_none_may_stand() -> None:
    assert flaws(fan()) == []
    assert flaws(fan(note="A motor.")) == [("motor", NOT_NEEDED)]


@pytest.mark.parametrize(
    "decided",
    [{"stop": "springs"}, {"sells": (SaleAs("motors"), SaleAs("copper-2"))}],
    ids=["stays shut", "one of two grades"],
)
def test_a_piece_that_something_is_decided_about_needs_one(decided: dict[str, object]) -> None:
    assert flaws(fan(**decided)) == [("motor", NEEDED)]
    assert flaws(fan(**decided, note="Copper shows through the slots.")) == []


def test_a_piece_that_is_asked_about_needs_one() -> None:
    it = fan()
    answers = [Piece(f"motor.{a}", a, ONE, (SaleAs("motors"),), answer_to="motor", share=0.5) for a in ("red", "grey")]
    ask = Operation("motor.tell", "red or grey?", "motor", ONE, tuple(Gives(a.id) for a in answers), asks=True)
    asked = replace(it, pieces=(*it.pieces, *answers), operations=(*it.operations, ask))
    assert flaws(asked) == [("motor", NEEDED)]


@pytest.mark.parametrize("required", [True, False])
def test_an_operation_that_comes_first_or_is_one_of_several_needs_one(required: bool) -> None:
    it = fan()
    (opened,) = it.operations
    work = (replace(opened, required=True),) if required else (opened, replace(opened, id="break"))
    assert flaws(replace(it, operations=work)) == [("whole", NEEDED)] * len(work)


def test_a_kind_needs_a_note_and_of_a_component_none_would_be_seen() -> None:
    assert flaws(replace(fan(), note="")) == [("whole", NEEDED)]
    assert [flaw.expected for flaw in note_flaws(fan(), component=True)] == [NOT_NEEDED]


def test_findings_tell_what_notes_are_missing(tmp_path: Path) -> None:
    """The shipped catalogue with one note struck out of one file."""
    folder = tmp_path / "data"
    shutil.copytree(DATA, folder)
    before = {finding.message for finding in findings(catalogue_in(folder))}
    kind = folder / "kinds" / "microwave.toml"
    kind.write_text(re.sub(r"(?m)^note .*$", "", kind.read_text("utf-8"), count=1), encoding="utf-8")
    new = [finding for finding in findings(catalogue_in(folder)) if finding.message not in before]
    assert [(finding.file, finding.piece) for finding in new] == [("kinds/microwave.toml", "whole")]
    assert NEEDED in new[0].message


# --- comments ---


def comments(path: Path) -> Iterator[tuple[int, str, bool]]:
    """Each comment that begins a run of comments: its line, its text, and whether it stands on a line of its own.

    The heading of a file of grades, before its first table, is left out.
    """
    heading, running = path.parent.name == "grades", False
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        heading = heading and not line.startswith("[")
        code, sharp, text = STRING.sub("", line).partition("#")
        alone = not code.strip()
        if sharp and not heading and not (running and alone):
            yield number, text.strip(), alone
        running = bool(sharp) and alone


def addressed_to_somebody() -> list[str]:
    return [
        f"{path.parent.name}/{path.name}:{number}: {text}"
        for folder in KEEPERS
        for path in sorted((DATA / folder).glob("*.toml"))
        for number, text, alone in comments(path)
        if not alone or ORIGIN.match(text) is None
    ]


def test_no_comment_is_addressed_to_the_person() -> None:
    """The rule of docs/catalogue-format.md: what the person needs is a note, a caution or a tool, not a comment."""
    assert addressed_to_somebody() == []


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[[anatomy]]\nkind = "x"  # magnet first\n', [2]),
        ("[[anatomy]]\n# magnet first, it sticks on most tubs\n", [2]),
        ("# scratch the winding\n[[anatomy]]\n", [1]),
        ("[[anatomy]]\n# from memory: 6 to 18 %\n# of the mass\n", []),
        ('[[anatomy]]\nname = "no. 2 # copper"\n# published: 3.27\n', []),
        ("[[anatomy]]\n# no ratio: nobody pays\n\n# saw it\n", [4]),
    ],
)
def test_what_the_rule_takes_for_advice(tmp_path: Path, text: str, told: list[int]) -> None:
    path = tmp_path / "kinds" / "x.toml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    assert [n for n, said, alone in comments(path) if not alone or ORIGIN.match(said) is None] == told
