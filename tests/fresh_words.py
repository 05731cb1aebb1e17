"""What a stranger wrote down beside a sentence, and what was recorded of it, in words that can be compared.

The writer knew no program: "gone fan-1 gave away" is a sale at nothing here or a thing given up, "moved X to Y" a note
about it, since the ledger knows no places. The names of what money was spent on are left out, except fuel; masses are
compared to a tenth of a gram, prices by the kilogram.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from partway.quantities import kg_per

STATES = {"works": "yes", "no": "no", "unknown": "unknown"}
MILE = 1.609344  # km: international yard and pound agreement, 1959
GONE = frozenset({"gone", "given", "kept", "dumped"})  # a sale at nothing, or a thing given up
FUELS = frozenset({"fuel", "gas", "diesel", "petrol"})
BY_THE_PIECE = "each"


def same(recorded: Sequence[str], right: Sequence[str]) -> bool:
    """Whether all that was meant was recorded, and nothing else; a bin put right for a ticket is of that ticket."""
    ticket = any(one.startswith(("ticket ", "ticketed ")) for one in right)
    if any(one.startswith("drove ") for one in right):
        recorded = _driven(recorded)
    found = sorted(_plain(one) for one in recorded if not (ticket and one.startswith("recounted ")))
    labels = (right, _without_old_news(right), _with_postage(right))
    return any(found == sorted(ways) for label in labels for ways in itertools.product(*_meant(label)))


def _without_old_news(right: Sequence[str]) -> Sequence[str]:
    """What a buyer takes is nothing new on this bench; told beside what it refuses, nothing is recorded of it."""
    refused = any(one.startswith(("refuses ", "refused ")) for one in right)
    return [one for one in right if not (refused and one.startswith("takes "))]


def _with_postage(right: Sequence[str]) -> Sequence[str]:
    """Postage told as money that was spent stands with the sale here."""
    sent = [one.split()[1] for one in right if one.startswith("spent ") and one.endswith(" postage")]
    sold = [one for one in right if one.startswith("sold ")]
    if len(sent) != 1 or len(sold) != 1:
        return right
    rest = [one for one in right if one not in sold and not one.endswith(" postage")]
    return [*rest, f"{sold[0]} postage {sent[0]}"]


def _driven(recorded: Sequence[str]) -> list[str]:
    """A haul that is over by the time it is told of, as the way it was."""
    over = [one for one in recorded if one.startswith("hauled ")]
    rest = [one for one in recorded if not one.startswith("hauled")]
    return [*rest, *(f"drove {one.split()[1]} km" for one in over)]


def _meant(right: Sequence[str]) -> list[tuple[str, ...]]:
    tickets: dict[str, list[str]] = {}
    ways: list[tuple[str, ...]] = []
    for one in right:
        verb, what, *rest = one.split() if " " in one else (one, "")
        if verb in ("ticket", "ticketed"):
            tickets.setdefault(what, []).append(f"{rest[0]}={int(rest[1]) // 100}")
        elif verb in GONE:
            ways.append((f"discarded {what}", f"sold {what} 0.00"))
        else:
            ways.append((_as_here(verb, what, rest),))
    return [*ways, *((" ".join(["ticketed", buyer, *sorted(lines)]),) for buyer, lines in tickets.items())]


def _as_here(verb: str, what: str, rest: Sequence[str]) -> str:
    if verb in ("note", "moved"):
        return "noted"
    if verb == "undo":
        return "corrected"
    if verb in ("refuses", "refused"):
        return " ".join(["traded", what, *sorted(rest)])
    if verb == "hauled":
        return "hauled"
    if verb in ("found", "tested"):
        words = [STATES.get(word, word) for word in rest]
        return _plain(" ".join([verb, what, *words]))
    return _plain(" ".join([{"binned": "recounted"}.get(verb, verb), what, *rest]))


def _plain(one: str) -> str:  # noqa: PLR0911, C901  one for each verb
    """A record with its figures rounded alike."""
    verb, *words = one.replace(" mg", "").split()
    if verb == "ticketed":
        lines = (word.partition("=") for word in words[1:] if "=" in word)
        return " ".join([verb, words[0], *sorted(f"{grade}={int(mg) // 100}" for grade, _, mg in lines)])
    if verb == "drove":
        return f"drove {float(words[0]) * (MILE if words[1] == 'mi' else 1.0):.1f}"
    if verb in ("recounted", "weighed"):
        return f"{verb} {words[0]} {int(words[1]) // 100}"
    if verb == "found" and len(words) > 3:
        return " ".join([verb, *words[:3], str(int(words[3]) // 100)])
    if verb == "opened":
        return f"opened {words[0]} {words[1] if len(words) > 1 else 0}"
    if verb == "worked":
        return f"worked {next(word for word in words if word.isdecimal())}"
    if verb in ("sold", "listed"):
        return " ".join([verb, words[0], f"{float(words[1]):.2f}", *(_amount(word) for word in words[2:])])
    if verb == "spent":
        return f"spent {float(words[0]):.2f}{' fuel' if FUELS & {*words[1:2]} else ''}"
    if verb == "quoted":
        return " ".join([verb, *words[:2], _by_kg(" ".join(words[2:]))])
    if verb == "traded":
        return " ".join([verb, words[0], *sorted(words[1:])])
    return verb if verb in ("noted", "hauled") else " ".join([verb, *words])


def _amount(word: str) -> str:
    return f"{float(word):.2f}" if word[0].isdecimal() else word


def _by_kg(price: str) -> str:
    amount, _, unit = price.partition("/")
    if amount == "None" or unit == BY_THE_PIECE:
        return price
    one = kg_per("lb") * 100 if unit == "cwt" else kg_per(unit.replace("-", " "))  # NIST Handbook 44, app. C: 100 lb
    kg = float(one)
    return f"{float(amount) / kg:.4f}"
