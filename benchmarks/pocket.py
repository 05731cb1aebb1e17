"""What a phone carries: sizes, seconds, and every node of the test key held against the engine.

    python benchmarks/pocket.py [WORKSPACE]

Without a workspace the invented months are made up in a temporary folder. Seconds are of processor time.
"""

from __future__ import annotations

import gzip
import sys
import tempfile
import time
from collections import Counter

from partway.actions.demo import demo_months
from partway.actions.pocket.key import MASSES, Trees
from partway.actions.pocket.tree import RARE, UNSURE, Given, answers_of
from partway.actions.recording.zones import now_of
from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.identify import Case
from partway.identify.spoken import answer_text
from partway.reports.pocket.key import KeyQuestion
from partway.storage.workspace import open_workspace
from partway.web.pocket.carried.all import Carrying
from partway.web.pocket.carried.key import trees_of
from partway.web.pocket.child import files_of


def main() -> None:
    """Measure, and print."""
    with tempfile.TemporaryDirectory() as folder, open_workspace(sys.argv[1] if len(sys.argv) > 1 else folder) as book:
        if not book.state()[0]:
            demo_months(book, now_of(None))
        carrying = Carrying(book, now_of(book))
        began = time.process_time()
        carrying.pocket()
        data = time.process_time() - began
        files = files_of(carrying).files
        for name, (_, content) in files.items():
            print(f"{name}: {len(content):,} bytes, {len(gzip.compress(content, 9)):,} packed")
        print(f"all but the key: {data:.1f} s")
        held_against_the_engine(trees_of(carrying))


def held_against_the_engine(trees: Trees) -> None:
    """Every set of answers that the tree has a node for, and how many pieces come to what was not worked out."""
    worked: list[tuple[Case, Given, int]] = []
    heard = Trees(trees.scenario, trees.confirmed, trees.mass_words, lambda *one: worked.append(one))
    began = time.process_time()
    whence, nodes = heard.all()
    print(f"key: {time.process_time() - began:.1f} s, {len(worked):,} nodes worked out, {len(nodes.all):,} kept")
    masses = {start.node: kg for one in whence for start, kg in zip(one.masses, MASSES.values(), strict=True)}
    wrong, kg, reached = 0, 0.0, Counter[str]()
    ends = [at for at, (_, given, _) in enumerate(worked) if not given]  # each tree ends with its first node
    for at, (case, given, number) in enumerate(worked):
        kg = masses[worked[next(end for end in ends if end >= at)][2]]
        node = nodes.all[number]
        answers = {test: answer_text(answer) for test, answer in given.items()}
        said = identify(trees.scenario, case.context.id, answers, kg, trees.confirmed.get(case.context.id))
        asked = said.tests[0].ask if not said.stop else ""
        right = (
            node.ask == asked if isinstance(node, KeyQuestion) else bool(said.stop) and _same(node.end, said.bin_name)
        )
        wrong += not right
    print(f"held against the engine: {len(worked):,} nodes, {wrong} differ")
    for one in shipped().key.contexts.values():
        case = heard.case(one, MASSES["usual"])
        reached[one.name] = round(10_000 * rare(case, {}, 1.0))
    print("of 10,000 pieces of a usual mass that come to what was not worked out (no answer unsure):")
    print("\n".join(f"  {name}: {count}" for name, count in reached.items()))


def _same(end: str, name: str) -> bool:
    return end.casefold() == name.casefold()


def rare(case: Case, given: Given, chance: float) -> float:
    """The share of pieces that end in a branch that is not worked out, where every test is answered."""
    if chance * (1.0 - UNSURE) ** len(given) < RARE:
        return chance
    asked = case.next_test(given)
    if asked is None:
        return 0.0
    test = case.tests[asked.test]
    pairs = zip(answers_of(test, asked), asked.leads, strict=True)
    return sum(rare(case, {**given, test.id: answer}, chance * share) for (_, answer), (_, share, _) in pairs)


if __name__ == "__main__":
    main()
