"""The test key as a phone carries it: worked out anew only where an answer could be another one."""

from __future__ import annotations

from partway import __version__
from partway.actions.pocket.key import MASSES, Trees
from partway.actions.what.found_out import confirmed
from partway.actions.what.identifying import grades_in
from partway.catalogue import shipped
from partway.ledger.workspaces import workspace_id
from partway.reports.pocket.key import PocketTree
from partway.reports.pocket.shape import SCHEMA
from partway.web.pocket.carried.all import Carrying, day_words
from partway.web.pocket.state import digest


def trees_of(carrying: Carrying) -> Trees:
    """What the trees are made from: as the page of the key asks it."""
    known = {where: confirmed(carrying.book, where) for where in shipped().key.contexts}
    return Trees(carrying.prices, known, carrying.show.kg)


def key_state(trees: Trees) -> str:
    """A text that is another one where any answer could be: it follows from all that a case is made of."""
    cases = [trees.case(where, kg) for where in shipped().key.contexts.values() for kg in MASSES.values()]
    told = [(case.prior, case.bins.grades, case.bins.money.tolist(), case.copper, case.wage) for case in cases]
    names = [(grade.name, grade.hazards) for grade in grades_in(trees.scenario).values()]
    return digest(told, names, [trees.mass_words(kg) for kg in MASSES.values()], SCHEMA, __version__)


def pocket_tree(carrying: Carrying, trees: Trees) -> PocketTree:
    """The whole key."""
    whence, nodes = trees.all()
    return PocketTree(
        schema=SCHEMA,
        workspace=workspace_id(carrying.book),
        state=key_state(trees),
        on=carrying.day.isoformat(),
        day=day_words(carrying.day),
        never=tuple(f"{one.what}: {one.why}" for one in shipped().key.never),
        whence=whence,
        nodes=tuple(nodes.all),
    )
