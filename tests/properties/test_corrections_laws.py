"""What a correction says before it is taken is exactly what the ledger has afterwards; nothing else changes.

The ledger itself is the judge: its balances, accounts and facts, folded anew.
"""

from __future__ import annotations

import contextlib
import random
import sys
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.append(str(Path(__file__).parents[1] / "unit"))

from ledger_day import Day, found, trading_day

from partway.actions.bench import finds, selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.books.consequences import Consequences
from partway.actions.books.corrections import correct
from partway.actions.books.said_anew import fields_of
from partway.actions.haul.tickets import LineGiven, ticket
from partway.errors import Refused
from partway.ledger.balance.sheet import sheet
from partway.ledger.events.event import Event
from partway.ledger.fold.fold import fold

Key = tuple[str, str]
MASSES = ("1 kg", "2.5 kg", "0.4 kg", "0 kg")


def attempt(day: Day, action: Any, *args: Any, **options: Any) -> None:
    with contextlib.suppress(Refused):
        day.do(action, *args, **options)


def some_days(draw: random.Random) -> Day:
    """Finds opened, weighed, sold, given up; bins recounted; tickets and their money."""
    day = trading_day()
    for _ in range(draw.randint(1, 3)):
        mass = draw.choice(["10 kg", "12 kg", None])
        find = found(day, "microwave", **({"mass": mass} if mass else {}))
        pieces = [PieceGiven("cover", f"{draw.randint(3, 6)} kg"), PieceGiven("tray", "3 kg")]
        attempt(day, open_up, find, pieces, residue="1 kg", gap=draw.choice(["loss", "left", "residue"]))
        attempt(day, finds.weigh, find, "0.5 kg") if draw.random() < 0.3 else None
        attempt(day, selling.discard, find) if draw.random() < 0.3 else None
    fans = found(day, "fan", count=3, mass="9 kg")
    attempt(day, selling.sell, fans, "12", count=1, mass="3 kg")
    attempt(day, bins.recount, "glass", "2.9 kg") if draw.random() < 0.5 else None
    lines = [
        LineGiven("light-iron", "2 kg", "0.2 /kg", own="2.1 kg"),
        LineGiven("glass", "1 kg", "0.1 /kg", own="yard"),
    ]
    attempt(day, ticket, "harbour", lines[: draw.randint(1, 2)])
    attempt(day, money.paid, "harbour", "0.40") if draw.random() < 0.5 else None
    return day


def changes_for(draw: random.Random, event: Event) -> dict[str, str] | None:
    names = list(fields_of(event, event.happened.tzinfo, "mi"))
    if draw.random() < 0.25 or not names:
        return None
    values = {"buyer": ["ridge"], "line+": ["glass 1 kg at 0.1 /kg ~yard"], "count": ["1", "2"], "minutes": ["20"]}
    name = draw.choice(
        [n for n in names if n.startswith(("line", "piece", "mass", "count", "buyer", "residue", "loss", "min"))]
        or names
    )
    part = name.rpartition(".")[2]
    values |= {"price": ["0.3 /kg"], "amount": ["0.50"], "bin": ["glass"], "day": ["2026-03-14 09:30"]}
    return {name: draw.choice(values.get(name, values.get(part, list(MASSES))))}


def state(day: Day) -> tuple[dict[Key, int], dict[str, Any], dict[Key, str]]:
    """Balances, accounts and facts, of all events folded anew."""
    made = fold(day.book.state.events.values())
    assert made == day.book.state
    facts = {key: word.value for key, word in made.facts.items()}
    return dict(made.balances), dict(made.accounts), facts


def with_changes(before: tuple[Any, Any, Any], said: Consequences | None) -> tuple[Any, Any, Any]:
    """What the preview says the ledger will be: what it was but for the changes named."""
    assert said is not None
    balances, accounts, facts = (dict(part) for part in before)
    for mass in said.masses:
        assert balances.get((mass.place, mass.grade), 0) == mass.before
        balances[mass.place, mass.grade] = mass.after
    for sum_ in said.sums:
        assert accounts.get(sum_.account, 0) == sum_.before
        accounts[sum_.account] = sum_.after
    for word in said.words:
        assert facts.get((word.subject, word.name)) == word.before
        facts[word.subject, word.name] = word.after
    return (
        {key: mg for key, mg in balances.items() if mg},
        {name: amount for name, amount in accounts.items() if amount},
        {key: value for key, value in facts.items() if value is not None},
    )


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32))
def test_what_a_preview_says_is_what_the_ledger_has_afterwards(seed: int) -> None:
    draw = random.Random(seed)
    day = some_days(draw)
    for _ in range(6):
        event = draw.choice([e for e in day.book.events() if e.id not in day.book.voided() and e.kind != "set"])
        changes = changes_for(draw, event)
        options: dict[str, Any] = {
            "changes": changes,
            "gap": draw.choice([None, "loss", "left"]),
            "as_printed": draw.random() < 0.8,
        }
        before, context = state(day), day.context()
        kept = day.book.state
        try:
            told = correct(day.book, context, str(event.id), **options, preview=True).result
        except Refused as refused:
            assert refused.given and refused.expected and refused.where and day.book.state is kept
            continue
        assert day.book.state is kept
        taken = correct(day.book, context, str(event.id), **options).result
        assert taken.follows == told.follows
        assert with_changes(before, told.follows) == state(day)
        assert sheet(day.book.balances()).apart_mg == 0
        short = {key for key, mg in day.book.balances().items() if mg < 0 and key[0].startswith(("find:", "bin:"))}
        assert not {key for key in short if before[0].get(key, 0) >= 0}


def test_the_draws_correct_something() -> None:
    """Most seeds reach corrections of tickets and openings, so that the law above is about them."""
    kinds = set()
    for seed in range(30):
        draw = random.Random(seed)
        day = some_days(draw)
        for event in list(day.book.events()):
            changes = changes_for(draw, event)
            try:
                day.do(correct, str(event.id), changes=changes, gap="loss", as_printed=True)
            except Refused:
                continue
            kinds.add((event.kind, changes is not None))
    assert {("ticketed", True), ("opened", True), ("found", True), ("ticketed", False), ("opened", False)} <= kinds
