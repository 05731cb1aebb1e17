"""The catalogue's masses and ratios against published figures: in, out, not covered; and how wide its ranges are.

.venv/bin/python benchmarks/masses.py [kind ...]

"Not covered" are kinds that nobody published a figure of, and of the others the pieces above a twentieth of the kind's
mass or of its value that no figure is of. Values are metal at the best prices of the demo's week, without labour.
What only holds other pieces until it is opened (a carcass) and what a component says of its own inside are not counted.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path
from statistics import geometric_mean

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from published import FILE, Figure, Verdict, figures, ours, verdict

from partway.catalogue import shipped
from partway.planning.instance.market import Market
from partway.storage.scenario.scenario import read_scenario
from partway.things.anatomy import Anatomy, Piece
from partway.things.estimate import Estimate

WEEK = Path(__file__).parents[1] / "src" / "partway" / "catalogue" / "demo" / "harbour-week.toml"
COUNTS = 0.05  # of the kind's mass or value
VERDICTS: tuple[Verdict, ...] = ("in", "out", "explained", "lacking")


class Worth:
    """What the pieces of one kind are worth as metal, each at its best: as it is or opened."""

    def __init__(self, anatomy: Anatomy, market: Market) -> None:
        self.anatomy = anatomy
        self.market = market
        self.pieces = {piece.id: piece for piece in anatomy.pieces}

    def sold(self, piece: Piece) -> float:
        """As it is, at the best quote for any grade it may go as; nothing where it costs to be rid of."""
        offers = [(sale, self.market.best(sale.grade)) for sale in piece.sells]
        return max([0.0, *(piece.mass.mean * sale.share * offer.price for sale, offer in offers if offer)])

    def best(self, name: str) -> float:
        """As it is or opened, whichever brings more."""
        opened = [
            sum(self.best(one.piece) * one.count * (self._share(one.piece) if way.asks else 1.0) for one in way.gives)
            for way in self.anatomy.operations
            if way.on == name
        ]
        return max([self.sold(self.pieces[name]), *opened])

    def _share(self, answer: str) -> float:
        return self.pieces[answer].share / self.pieces[self.pieces[answer].answer_to or answer].share


def main(kinds: list[str]) -> None:
    """Everything, or what concerns some kinds."""
    chosen = [one for one in figures() if not kinds or one.of in kinds]
    by_verdict(chosen)
    market = Market.of(read_scenario(WEEK))
    not_covered(kinds or list(shipped().kinds), market)
    widths(kinds or list(shipped().kinds))


def by_verdict(chosen: list[Figure]) -> None:
    """A line for each kind and piece, then every figure that is out or of something we lack."""
    said = {one: verdict(one, shipped()) for one in chosen}
    rows: dict[tuple[str, str], Counter[Verdict]] = defaultdict(Counter)
    for one, word in said.items():
        rows[one.of, " + ".join(one.pieces) or "price"][word] += 1
    print(f"{'kind or grade':24} {'piece':32} " + " ".join(f"{word:>9}" for word in VERDICTS))
    for (name, piece), counts in sorted(rows.items()):
        print(f"{name:24} {piece:32} " + " ".join(f"{counts[word] or '':>9}" for word in VERDICTS))
    totals = Counter(said.values())
    print(f"{'all':24} {len(chosen):<32} " + " ".join(f"{totals[word]:>9}" for word in VERDICTS))
    for one, word in said.items():
        if word in ("out", "explained"):
            low, high = ours(one, shipped())
            print(f"{word}: {one}; ours {low:.4g} to {high:.4g}" + f"; {one.why}" * bool(one.why))
        elif word == "lacking":
            print(f"lacking: {one}")


def not_covered(kinds: list[str], market: Market) -> None:
    """Kinds without any figure, and what counts in the others without one of its own."""
    known: dict[str, set[str]] = defaultdict(set)
    for one in figures():
        known[one.of].update(one.pieces)
    bare = [kind for kind in kinds if kind not in known and not shipped().anatomy(kind).published]
    print(f"\nno published figure of {len(bare)} of {len(kinds)} kinds: {', '.join(bare)}")
    print(f"\nnot covered, above {COUNTS:.0%}:      piece                    of the mass  of the value")
    count = 0
    for kind in kinds:
        for piece, mass, value in weighty(shipped().anatomy(kind), market):
            if kind not in bare and piece not in known[kind]:
                count += 1
                print(f"{kind:28} {piece:26} {mass:10.0%} {value:13.0%}")
    print(f"{count} pieces")


def weighty(anatomy: Anatomy, market: Market) -> Iterator[tuple[str, float, float]]:
    """Pieces above a twentieth of the kind's mass or value, with both shares, as many as come out of one find."""
    worth = Worth(anatomy, market)
    whole_kg, whole_value = anatomy.whole.mass.mean, worth.best(anatomy.whole.id)
    counts = Counter({one.piece: one.count for way in anatomy.operations for one in way.gives})
    holds = {way.on for way in anatomy.operations if any("." not in one.piece for one in way.gives)}
    for piece in anatomy.pieces[1:]:
        if "." in piece.id or piece.id in holds:
            continue
        mass = piece.mass.mean * counts[piece.id] / whole_kg
        value = worth.best(piece.id) * counts[piece.id] / whole_value if whole_value > 0.0 else 0.0
        if max(mass, value) > COUNTS:
            yield piece.id, mass, value


def widths(kinds: list[str]) -> None:
    """High over low, the geometric mean over kinds, their pieces and grades."""
    anatomies = [shipped().anatomy(kind) for kind in kinds]
    wholes = [one.whole.mass for one in anatomies]
    pieces = [piece.mass for one in anatomies for piece in one.pieces[1:] if "." not in piece.id]
    ratios = [grade.ratio for grade in shipped().grades.values() if grade.ratio is not None]
    print("\nhigh over low, geometric mean:")
    for name, ranges in (("finds", wholes), ("pieces", pieces), ("price ratios", ratios)):
        wide = [high_over_low(one) for one in ranges if one.low > 0.0]
        print(f"{name:14} {len(wide):5} {geometric_mean(wide):6.3f}")


def high_over_low(estimate: Estimate) -> float:
    return estimate.high / estimate.low


if __name__ == "__main__":
    if not FILE.exists():
        raise SystemExit(f"no {FILE}")
    main(sys.argv[1:])
