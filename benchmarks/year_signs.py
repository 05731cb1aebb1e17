"""What shows of a thing at the curb: hidden truth, of which the app's table is a guess, and what the app asks."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

from year_things import Thing
from year_truth import drawn, shifted

from partway.catalogue import shipped

if TYPE_CHECKING:
    from year_shed import Shed

SIGN_SD = 0.5  # of the logit of how often a sign shows
MOST = 3  # questions about one thing


@cache
def _module(name: str) -> Any:
    try:
        return importlib.import_module(f"partway.{name}")
    except ModuleNotFoundError:
        return None


def has_signs() -> bool:
    """Whether this checkout of the app knows signs."""
    return _module("valuing.learned.looked") is not None


def odds_of(shed: Shed, *, learns: bool) -> Any:
    """The app's odds, with one's own tests in them or without."""
    odds = _module("valuing.learned.odds")
    tests = [odds.TriedFind(t.kind, odds.CURB, dict(t.seen), t.works) for t in shed.seen.tested] if learns else []
    return odds.learn(shipped(), shipped().signs, tests)


def shows(thing: Thing, sign: Any) -> bool:
    """Whether a thing shows a sign: as often as it really does on those that work, or on those that do not."""
    off = SIGN_SD * drawn(thing.seed, "sign", sign.id, thing.works).standard_normal()
    return thing.chance("sign", sign.id) < shifted(sign.works if thing.works else sign.broken, float(off))


def look(thing: Thing, odds: Any, test: Any, carrying: float, wage: float) -> float:
    """Look for what the app asks about, one sign after another while it asks; the seconds that takes."""
    looked, anatomy, seconds = _module("valuing.learned.looked"), shipped().anatomy(thing.kind), 0.0
    for _ in range(MOST):
        known = odds.at_curb(anatomy, text_of(thing.seen))
        if known.chance is None:
            break
        asked = looked.worth_a_look(replace(test, chance_works=known.chance.value), known.unseen, wage, carrying)
        if asked is None:
            break
        sign = odds.signs.signs[asked.sign]
        thing.seen = {**thing.seen, asked.sign: shows(thing, sign)}
        seconds += asked.seconds
    known = odds.at_curb(anatomy, text_of(thing.seen))
    thing.odds = None if known.chance is None else known.chance.value
    return seconds


def text_of(seen: Mapping[str, bool]) -> str:
    """Signs as an event has them."""
    return str(_module("things.signs").as_text(seen))
