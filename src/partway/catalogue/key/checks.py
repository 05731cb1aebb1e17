"""What the test key is held to: rows of 100 percent, names that exist, nothing that could hurt."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from partway.catalogue.checks.graph import Flaw, repeated
from partway.catalogue.reading.messages import suggestion
from partway.quantities import shown
from partway.things.material import Caution, Grade, Source
from partway.things.testkey import Guide, KeyContext, KeyTest, Material, MaterialKey

# What no question may tell anybody to do to a piece that nobody knows yet.
HURTS = re.compile(r"\b(acid|vinegar|bleach|burn|flame|torch|lighter|melt|spark|grind|grinder|drill|break|snap)\w*\b")
WHOLE = 1e-9
COLD_WORK = frozenset({"file", "scratch", "tap"})  # what a brittle ceramic must be spared


def key_flaws(
    key: MaterialKey, grades: Mapping[str, Grade], cautions: Mapping[str, Caution], sources: Mapping[str, Source]
) -> Iterator[Flaw]:
    """Everything wrong with the test key, in the order of its files."""
    for test in key.tests.values():
        yield from _test_flaws(test, key, cautions)
    for material in key.materials.values():
        yield from _material_flaws(material, key, grades, cautions, sources)
    for context in key.contexts.values():
        yield from _context_flaws(context, key, grades, sources)
    for guide in key.guides.values():
        yield from _guide_flaws(guide, grades, sources)


def _test_flaws(test: KeyTest, key: MaterialKey, cautions: Collection[str]) -> Iterator[Flaw]:
    place = f"test[{test.id}]"
    yield from _unknown(test.cautions, cautions, "caution", f"{place}.cautions")
    yield from _unknown([*test.bars, *test.danger], key.materials, "material", place)
    if found := HURTS.search(" ".join([test.id, test.name, test.ask]).casefold()):
        yield Flaw(
            shown(found.group()), "a test that cannot hurt: no acid, flame, sparks or breaking", f"{place}.ask", ""
        )
    if test.does in COLD_WORK and "ceramic" in key.materials and "ceramic" not in test.bars:
        yield Flaw(shown(test.does), 'bars = ["ceramic"]: ceramic is never filed or struck', f"{place}.bars", "ceramic")
    if twice := repeated(answer for answer, _ in test.answers):
        yield Flaw(f"{shown(twice)} twice", "each answer once", f"{place}.answers", "")
    if test.edges and (len(test.edges) != len(test.answers) - 1 or list(test.edges) != sorted(set(test.edges))):
        yield Flaw(shown(list(test.edges)), "one edge fewer than answers, rising", f"{place}.edges", "")
    if (test.edges or test.measures) and test.spread <= 0.0:
        yield Flaw("no spread", "how far a hand or a measurement is off, above 0", f"{place}.spread", "")
    yield from _need_flaws(test, key, place)


def _need_flaws(test: KeyTest, key: MaterialKey, place: str) -> Iterator[Flaw]:
    """What must be known first stands earlier in the order, so that needs never go in a circle."""
    order = list(key.tests)
    for needed, answer in test.needs.items():
        yield from _unknown([needed], key.tests, "test", f"{place}.needs")
        if needed in key.tests and order.index(needed) >= order.index(test.id):
            yield Flaw(shown(needed), "a test that stands before this one", f"{place}.needs", "")
        if needed in key.tests:
            yield from _unknown([answer], [a for a, _ in key.tests[needed].answers], "answer", f"{place}.needs")


def _material_flaws(
    material: Material,
    key: MaterialKey,
    grades: Collection[str],
    cautions: Collection[str],
    sources: Collection[str],
) -> Iterator[Flaw]:
    place = f"material[{material.id}]"
    yield from _unknown(material.grades, grades, "grade", f"{place}.grades")
    yield from _unknown(material.cautions, cautions, "caution", f"{place}.cautions")
    yield from _unknown([material.source], sources, "source", f"{place}.source")
    if not material.grades and not material.aside:
        yield Flaw("no grade", "a grade, or `aside` to say what to do with it", f"{place}.grades", material.id)
    for name, row in material.rows.items():
        yield from _unknown([name], key.tests, "test", f"{place}.rows")
        if name in key.tests:
            yield from _row_flaws(key.tests[name], row, f"{place}.rows.{name}", material.id)


def _row_flaws(test: KeyTest, row: Sequence[float], place: str, material: str) -> Iterator[Flaw]:
    if test.edges or test.measures:
        yield Flaw("a row", "no row: this test follows from the density", place, material)
    elif len(row) != len(test.answers):
        yield Flaw(f"{len(row)} numbers", f"{len(test.answers)}, one for each answer of {test.id}", place, material)
    elif abs(sum(row) - 1.0) > WHOLE:
        yield Flaw(f"a row of {sum(row) * 100.0:.6g} %", "a row of 100 %", place, material)


def _context_flaws(
    context: KeyContext, key: MaterialKey, grades: Collection[str], sources: Collection[str]
) -> Iterator[Flaw]:
    place = f"context[{context.id}]"
    yield from _unknown(context.tests, key.tests, "test", f"{place}.tests")
    yield from _unknown([*context.shares, *context.grades], key.materials, "material", place)
    yield from _unknown([g for named in context.grades.values() for g in named], grades, "grade", f"{place}.grades")
    yield from _unknown([context.source], sources, "source", f"{place}.source")
    if abs(sum(context.shares.values()) - 1.0) > WHOLE:
        given = f"shares of {sum(context.shares.values()) * 100.0:.6g} %"
        yield Flaw(given, "shares of 100 %", f"{place}.shares", "")
    if [test for test in key.tests if test in context.tests] != list(context.tests):
        yield Flaw(shown(list(context.tests)), "tests in the order of tests.toml, each once", f"{place}.tests", "")
    for name in context.shares:
        if name in key.materials and key.materials[name].group != context.group:
            yield Flaw(shown(name), f"a material of {context.group}", f"{place}.shares", name)
    for name in context.tests:
        for needed in key.tests[name].needs if name in key.tests else ():
            if needed not in context.tests:
                yield Flaw(shown(name), f"also {needed}, which it needs", f"{place}.tests", "")


def _guide_flaws(guide: Guide, grades: Collection[str], sources: Collection[str]) -> Iterator[Flaw]:
    place = f"guide[{guide.id}]"
    known = [feature.id for feature in guide.features]
    yield from _unknown([guide.source], sources, "source", f"{place}.source")
    if twice := repeated(known):
        yield Flaw(f"{shown(twice)} twice", "each feature once", f"{place}.feature", "")
    for row in guide.rows:
        where = f"{place}.row[{row.grade}]"
        yield from _unknown([row.grade], grades, "grade", where)
        yield from _unknown([*row.shows, *row.lacks], known, "feature", where)
        if both := set(row.shows) & set(row.lacks):
            yield Flaw(shown(min(both)), "a feature it shows or lacks, not both", where, "")


def _unknown(names: Iterable[str], known: Collection[str], what: str, place: str) -> Iterator[Flaw]:
    for name in names:
        if name not in known:
            yield Flaw(shown(name), f"a known {what}{suggestion(name, known)}", place, "")
