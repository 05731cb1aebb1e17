"""One word for each thing: every word of the design has an entry, and nobody reads another word for it.

The words are those of the project's brief; the list is typed here so that an entry cannot quietly go missing.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import click
import pytest

import partway.web
from partway.catalogue import shipped
from partway.cli.app import cli
from partway.storage.scenario.scenario import scenario_schema
from partway.storage.schemas import report_schema

DOCS = Path(__file__).parents[2] / "docs"
TEMPLATES = Path(partway.web.__file__).parent / "templates"
MARKS = re.compile(r"\{[%{#].*?[%}#]\}|<[^>]*>", re.DOTALL)  # what is not read by people
ENTRY = re.compile(r"^- \*\*([^*]+)\*\*: (.+)$", re.MULTILINE)

WORDS = (
    *("find", "kind", "piece", "anatomy", "operation", "depth", "grade", "bin", "buyer", "yard", "mail-in"),
    *("drop-off", "tip", "quote", "ticket", "haul", "ledger", "residue", "recovery", "hold", "minimum lot"),
    *("tier", "deduction", "downgrade", "gross", "tare", "net", "division", "diverted"),
    *("short ton", "long ton", "tonne"),
)
# Fields of the plan's contract (docs/model.md) that are words of their own.
PLAN_WORDS = ("objective", "bound", "gap", "next hour", "keep value", "flip price", "runner-up", "cash")

# What a page, a message or a file may not call a thing that has a word.
SYNONYMS = {
    r"nodes?|vertex|vertices": "piece",
    r"merchants?|vendors?|purchasers?": "buyer",
    r"scrapyards?|junkyards?|salvage yards?": "yard",
    r"receipts?|weighbills?": "ticket",
    r"disassembl\w+|dismantl\w+": "open, operation or anatomy",
    r"(?<!short )(?<!long )(?<!\")tons?": "short ton, long ton or tonne",
}


def entries() -> dict[str, str]:
    return dict(ENTRY.findall((DOCS / "glossary.md").read_text(encoding="utf-8")))


def pages() -> dict[str, str]:
    """All that people read which no computation writes: help, schemas, documents, the catalogue's texts."""
    found = {"help": cli.get_help(click.Context(cli, info_name="partway"))}
    for name in cli.list_commands(click.Context(cli)):
        command = cli.get_command(click.Context(cli), name)
        assert command is not None
        found[f"help of {name}"] = command.get_help(click.Context(command, info_name=name))
    found["scenario schema"] = "\n".join(descriptions(scenario_schema()))
    for report in ("plan", "depth", "identify"):
        found[f"{report} schema"] = json.dumps(report_schema(report))
    for path in sorted([DOCS.parent / "README.md", *DOCS.glob("*.md")]):
        found[path.name] = path.read_text(encoding="utf-8")
    found["catalogue"] = "\n".join(catalogue_texts())
    for template in sorted(TEMPLATES.rglob("*.html")):
        found[f"page {template.name}"] = MARKS.sub(" ", template.read_text(encoding="utf-8"))
    return found


def descriptions(schema: object) -> list[str]:
    if isinstance(schema, dict):
        own = [schema[key] for key in ("title", "description") if isinstance(schema.get(key), str)]
        return own + [text for value in schema.values() for text in descriptions(value)]
    return [text for value in schema for text in descriptions(value)] if isinstance(schema, list) else []


def catalogue_texts() -> list[str]:
    catalogue = shipped()
    texts = [text for grade in catalogue.grades.values() for text in (grade.name, grade.qualifies)]
    for card in catalogue.cautions.values():
        texts += [card.name, card.hurts, card.first, card.licensed, card.never]
    for test in catalogue.key.tests.values():
        texts += [test.name, test.ask, *(means for _, means in test.answers)]
    texts += [material.name for material in catalogue.key.materials.values()]
    texts += [context.name for context in catalogue.key.contexts.values()]
    for guide in catalogue.key.guides.values():
        texts += [feature.name for feature in guide.features]
        texts += [text for row in guide.rows for text in row.spoils]
    for anatomy in catalogue.all_anatomies():
        texts += [anatomy.name, *(p.name for p in anatomy.pieces), *(op.name for op in anatomy.operations)]
    return texts


@pytest.mark.parametrize("word", [*WORDS, *PLAN_WORDS])
def test_every_word_of_the_design_has_an_entry(word: str) -> None:
    assert word in entries()


def test_entries_are_one_or_two_plain_sentences_and_come_once() -> None:
    text = (DOCS / "glossary.md").read_text(encoding="utf-8")
    names = [name for name, _ in ENTRY.findall(text)]
    assert len(names) == len(set(names))
    assert text.count("\n- ") == len(names)
    for name, meaning in entries().items():
        assert meaning.endswith("."), name
        assert 1 <= len(re.findall(r"\.(?= |$)", meaning.replace("No. 2", "No 2"))) <= 2, name


def test_money_words_of_the_plan_are_fields_of_the_plan() -> None:
    fields = report_schema("plan")["properties"]
    assert {"objective", "bound", "gap", "next_hour", "cash"} <= set(fields)


@pytest.mark.parametrize("synonym", SYNONYMS)
def test_nobody_reads_another_word_for_a_thing_that_has_one(synonym: str) -> None:
    pattern = re.compile(rf"\b(?:{synonym})\b", re.IGNORECASE)
    found = {page: match.group() for page, text in pages().items() if (match := pattern.search(text))}
    assert found == {}, f"the word is {SYNONYMS[synonym]}"


def test_the_search_for_synonyms_finds_them() -> None:
    ton = next(pattern for pattern, word in SYNONYMS.items() if "tonne" in word)
    assert re.search(rf"\b(?:{ton})\b", "200 a ton")
    assert not re.search(rf"\b(?:{ton})\b", "200 a short ton, 196 a tonne")
