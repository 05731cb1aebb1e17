"""The documents against the code: examples load, fields are explained, commands and tests exist."""

from __future__ import annotations

import re
import shlex
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import click
import pytest
from click.testing import CliRunner
from pydantic import BaseModel

from partway.catalogue import shipped
from partway.catalogue.key import forms as key_forms
from partway.catalogue.reading import forms as catalogue_forms
from partway.cli.app import cli
from partway.ledger.events.kinds import Opened
from partway.ledger.fold import standing
from partway.storage.scenario import forms
from partway.storage.scenario.scenario import read_scenario_text
from partway.storage.workspace import open_workspace

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
WITH_TOML = [DOCS / "scenario.md", DOCS / "catalogue-format.md", ROOT / "README.md"]
FENCE = re.compile(r"^```(\w*)\n(.*?)^```", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\]\(([^)#:]+)\)")
TEST = re.compile(r"`(tests/[\w/]+\.py)(?:::(\w+))?`")


def blocks(path: Path, language: str) -> list[str]:
    return [text for name, text in FENCE.findall(path.read_text(encoding="utf-8")) if name == language]


def toml_blocks() -> Iterator[tuple[str, str]]:
    for path in WITH_TOML:
        for number, text in enumerate(blocks(path, "toml"), 1):
            yield f"{path.name} {number}", text


def fields_in(form: type[BaseModel]) -> dict[str, set[str]]:
    """Names of a form's fields, as a file spells them, and of all forms inside it."""
    found = {form.__name__: {info.alias or name for name, info in form.model_fields.items()}}
    for info in form.model_fields.values():
        for inner in forms_inside(info.annotation):
            found |= fields_in(inner)
    return found


def forms_inside(annotation: object) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from forms_inside(inner)


def code_in(text: str) -> set[str]:
    """Words that stand as code or in a heading."""
    code = [*re.findall(r"`([^`\n]+)`", FENCE.sub("", text)), *(block for _, block in FENCE.findall(text))]
    headings = [line for line in text.splitlines() if line.startswith("#")]
    return set(re.findall(r"\w+", " ".join([*code, *headings])))


def section(path: Path, heading: str) -> str:
    """The text under one heading."""
    sections = re.split(r"^## ", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return next(text for text in sections if text.startswith(heading))


@pytest.mark.parametrize(("name", "text"), [pytest.param(n, t, id=n) for n, t in toml_blocks()])
def test_every_toml_block_parses_and_every_whole_scenario_loads(name: str, text: str) -> None:
    tables = tomllib.loads(text)
    if "scenario" in tables:
        assert read_scenario_text(text, name).name == tables["scenario"]["name"]


def test_overlays_of_the_scenario_page_load_on_top_of_its_smallest_scenario() -> None:
    smallest, *others = blocks(DOCS / "scenario.md", "toml")
    overlays = [text for text in others if "scenario" not in tomllib.loads(text)]
    assert overlays
    for text in overlays:
        find = f'\n[[find]]\nkind = "{tomllib.loads(text)["anatomy"][0]["kind"]}"\n'
        assert len(read_scenario_text(smallest + text + find, "scenario.md").finds) == 2


def test_the_example_kind_of_the_catalogue_page_loads() -> None:
    smallest = blocks(DOCS / "scenario.md", "toml")[0]
    anatomies = [text for text in blocks(DOCS / "catalogue-format.md", "toml") if "[[anatomy]]" in text]
    assert anatomies
    for text in anatomies:
        assert read_scenario_text(smallest + text, "catalogue-format.md").anatomies["bread-machine"].operations


# Which part of docs/scenario.md explains each table.
SECTIONS = {
    "ScenarioTable": "[scenario]",
    "HoursTable": "[hours]",
    "VehicleTable": "[vehicle]",
    "HomeTable": "[home]",
    "EndTable": "[end]",
    "BuyerTable": "[[buyer]]",
    "StepTable": "[[buyer]]",
    "PriceTable": "[[buyer.price]]",
    "RoadTable": "[[road]]",
    "FindTable": "[[find]]",
    "ListedTable": "[[listed]]",
}


@pytest.mark.parametrize(("form", "fields"), fields_in(forms.ScenarioFile).items())
def test_every_field_of_a_scenario_is_explained(form: str, fields: set[str]) -> None:
    page = DOCS / "scenario.md"
    where = page.read_text(encoding="utf-8") if form == "ScenarioFile" else section(page, SECTIONS[form])
    assert fields - code_in(where) == set()


@pytest.mark.parametrize("form", ["GradeForm", "AnatomyForm", "CautionForm", "PlaceCardForm"])
def test_every_field_of_the_catalogue_is_shown(form: str) -> None:
    shown = code_in((DOCS / "catalogue-format.md").read_text(encoding="utf-8"))
    fields = fields_in(getattr(catalogue_forms, form))
    assert {name: inside - shown for name, inside in fields.items() if inside - shown} == {}


@pytest.mark.parametrize("form", ["KeyTestsFile", "MaterialsFile", "ContextsFile", "GuidesFile"])
def test_every_field_of_the_test_key_is_shown(form: str) -> None:
    shown = code_in(section(DOCS / "catalogue-format.md", "identify/"))
    fields = fields_in(getattr(key_forms, form))
    assert {name: inside - shown for name, inside in fields.items() if inside - shown} == {}


def command_lines() -> list[str]:
    found = []
    for path in (ROOT / "README.md", *sorted(DOCS.glob("*.md"))):
        text = path.read_text(encoding="utf-8")
        found += re.findall(r"`(partway [^`\n]+)`", FENCE.sub("", text))
        found += [line for _, block in FENCE.findall(text) for line in block.replace("\\\n", " ").splitlines()]
    return [line for line in found if line.startswith("partway ")]


def command(line: str) -> tuple[click.Command, list[str]]:
    """The command that a line names, and the words after it."""
    words = shlex.split(line.partition("|")[0], comments=True)[1:]
    assert words[0] in cli.list_commands(click.Context(cli)), line
    found = cli.get_command(click.Context(cli), words[0])
    assert found is not None
    return found, words[1:]


def test_there_are_command_lines_to_check() -> None:
    named = {line.split()[1] for line in command_lines()}
    assert {"plan", "depth", "kinds", "grades", "schema", "check", "demo"} <= named


@pytest.mark.parametrize("line", sorted(set(command_lines())))
def test_every_command_line_is_one_that_partway_takes(line: str) -> None:
    """Parsed by the command itself, which refuses an unknown option, a missing one and a wrong choice."""
    found, words = command(line)
    if not words and any(param.required for param in found.params):
        return  # the command's name in running text
    with found.make_context(found.name, list(words)) as context:
        assert context.command is found


def test_the_days_of_the_readme_can_be_lived_and_leave_no_capacitor_in_the_iron(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "w"))
    for block in blocks_under("Your own days"):
        for line in block.replace("\\\n", " ").splitlines():
            done = CliRunner().invoke(cli, shlex.split(line, comments=True)[1:])
            assert done.exit_code == 0, f"{line}: {done.output}{done.exception}"
    with open_workspace(str(tmp_path / "w")) as book:
        bins = {now.grade: now.mg for now in standing.bins(book).values() if now.mg}
        opened = [event.what for event in book.events(["opened"])]
    assert {"capacitors", "light-iron"} <= set(bins)
    assert opened
    for what in opened:
        assert isinstance(what, Opened)
        into_iron = {piece.piece for piece in what.pieces if piece.grade == "light-iron"}
        assert into_iron.isdisjoint({"whole", "body"})  # the pieces that have the capacitor in them


def blocks_under(heading: str) -> list[str]:
    return [text for _, text in FENCE.findall(section(ROOT / "README.md", heading))]


def test_names_of_the_catalogue_in_command_lines_exist() -> None:
    for line in command_lines():
        found, words = command(line)
        if found.name == "kinds" and words and not words[0].startswith("-") and "--toml" not in words:
            assert words[0] in shipped().kinds
        if found.name == "depth" and "--kind" in words:
            assert words[words.index("--kind") + 1] in shipped().kinds
        if found.name == "grades" and words and not words[0].startswith("-"):
            assert words[0] in shipped().grades


@pytest.mark.parametrize(
    "path", [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted(DOCS.rglob("*.md"))], ids=lambda path: path.name
)
def test_every_link_leads_somewhere(path: Path) -> None:
    missing = [link for link in LINK.findall(path.read_text(encoding="utf-8")) if not (path.parent / link).exists()]
    assert missing == []


@pytest.mark.parametrize("page", ["never.md", "sources.md"])
def test_every_test_a_page_names_exists(page: str) -> None:
    named = TEST.findall((DOCS / page).read_text(encoding="utf-8"))
    assert named
    for file, test in named:
        assert (ROOT / file).is_file(), file
        assert not test or f"def {test}(" in (ROOT / file).read_text(encoding="utf-8"), f"{file}::{test}"


def test_every_module_the_sources_name_exists() -> None:
    text = (DOCS / "sources.md").read_text(encoding="utf-8")
    modules = {name for name in re.findall(r"`([\w/]+\.py)`", text) if not name.startswith("tests/")}
    assert modules
    places = {name: ROOT if name.startswith("benchmarks/") else ROOT / "src" / "partway" for name in modules}
    assert [name for name in sorted(modules) if not (places[name] / name).is_file()] == []


def test_every_source_of_the_catalogue_is_on_the_page_of_sources() -> None:
    text = (DOCS / "sources.md").read_text(encoding="utf-8")
    named = {anatomy.source for anatomy in shipped().all_anatomies()}
    named |= {grade.source for grade in shipped().grades.values()}
    named |= {stated.source for anatomy in shipped().all_anatomies() for stated in anatomy.published}
    assert [source for source in sorted(named) if f"`{source}`" not in text] == []


def test_every_prevention_names_a_test() -> None:
    """Each point of docs/never.md ends with the tests that hold it."""
    points = re.split(r"^- \*\*", (DOCS / "never.md").read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]
    assert len(points) >= 10
    assert [point.splitlines()[0] for point in points if not TEST.search(point)] == []


def test_no_file_of_ours_is_too_long_to_read() -> None:
    assert len((ROOT / "README.md").read_text(encoding="utf-8").splitlines()) < 120
