"""Demo days at the bench: finds come in, are tested, opened with scattered masses, sold whole or in parts."""

from __future__ import annotations

from dataclasses import replace

from partway.actions.bench import finds, listing, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.demo.town import KINDS, STREETS, Town
from partway.actions.what import found_out as identifying
from partway.catalogue import shipped
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.things.anatomy import Anatomy, Gives, Operation, Piece

SCATTER = 0.08  # of the logarithm of a piece's mass


def collect(town: Town, count: int) -> None:
    """Some finds from around the town."""
    for _ in range(count):
        kind = town.one_of({k: float(w) for k, w in KINDS.items()})
        mass = shipped().anatomy(kind).whole.mass
        many = int(town.rng.integers(2, 5)) if kind in ("fan", "adapter", "router") and town.chance(0.3) else 1
        each = town.around(mass.low, mass.likely, mass.high)
        finds.find(
            town.book,
            town.context(),
            kind,
            many,
            town.scale(each * many) if town.chance(0.75) else None,
            town.one_of({"unknown": 0.6, "no": 0.3, "yes": 0.1}),
            source=town.one_of(STREETS),
            note="demo: invented",
            sure=True,
        )


def work(town: Town, most: int) -> None:
    """Up to so many finds off the queue, the oldest first: tested, sold, given up or opened."""
    waiting = sorted(standing.finds(town.book).values(), key=lambda now: (now.found, now.id))
    for find in waiting[:most]:
        if find.works == "unknown" and town.chance(0.6):
            finds.test(town.book, town.context(), find.id, town.one_of({"yes": 0.45, "no": 0.55}))
        if not find.mg and town.chance(0.4):
            whole = shipped().anatomy(find.kind).whole.mass
            each = town.around(whole.low, whole.likely, whole.high)
            finds.weigh(town.book, town.context(), find.id, town.scale(each * find.count), sure=True)
        now = standing.find(town.book, find.id)
        anatomy = shipped().anatomy(now.kind)
        if now.works == "yes" and anatomy.whole.parts and town.chance(0.85):
            _sell_whole(town, now, anatomy)
        elif town.chance(0.03):
            mass = None if now.mg else town.scale(anatomy.whole.mass.likely * now.count)
            selling.discard(town.book, town.context(), now.id, mass)
        else:
            with town.apart():
                open_one(town, now, anatomy)


def _sell_whole(town: Town, now: FindNow, anatomy: Anatomy) -> None:
    price = round(town.around(12, 28, 60))
    fee = f"{price * now.count * 0.13:.2f}"
    selling.sell(town.book, town.context(), now.id, f"{price}", count=now.count, fee=fee, minutes=18)


def open_one(town: Town, now: FindNow, anatomy: Anatomy) -> None:
    """A find opened as far as fits the day, its pieces weighed; the masses add up to the find less a little."""
    operations = _operations(town, anatomy)
    pieces = _ends(anatomy, operations)
    weights = [p.mass.likely * n * float(town.rng.lognormal(0.0, SCATTER)) for p, n in pieces]
    of = now.mg / 1e6 if now.mg else anatomy.whole.mass.likely * now.count
    share = of * (1.0 - float(town.rng.uniform(0.0, 0.012))) / sum(weights)
    masses = _fitting(now, [town.scale(w * share, 5) for w in weights])
    given = [_given(piece, n * now.count, mg) for (piece, n), mg in zip(pieces, masses, strict=True)]
    minutes = max(1, round(sum(town.around(op.minutes.low, op.minutes.likely, op.minutes.high) for op in operations)))
    ids = [op.id for op in operations]
    gap = _gap(town, now, masses, operations)
    opening.open_up(
        town.book, town.context(), now.id, given, ids, minutes * now.count, gap=gap, count=now.count, sure=True
    )


def _fitting(now: FindNow, masses: list[int]) -> list[int]:
    """No more out than was in: the heaviest piece takes up the rounding of the scale."""
    over = sum(masses) - now.mg
    if now.mg and over > 0:
        heaviest = max(range(len(masses)), key=masses.__getitem__)
        masses[heaviest] -= over
    return masses


def _gap(town: Town, now: FindNow, masses: list[int], operations: list[Operation]) -> str | None:
    """What is said of a gap that neither the operations nor the scale explain."""
    gap = now.mg - sum(masses)
    allowed = max((op.loss for op in operations), default=0.0) * now.mg + (len(masses) + 1) * 5_000
    return town.one_of(("loss", "residue")) if now.mg and gap > allowed else None


def _operations(town: Town, anatomy: Anatomy) -> list[Operation]:
    """From the whole inwards: what is required always, inside a component seldom."""
    chosen: list[Operation] = []
    there = [anatomy.whole.id]
    while there:
        piece = there.pop(0)
        ways = anatomy.operations_on(piece)
        if asked := [op for op in ways if op.asks]:
            chosen.append(_answered(town, anatomy, asked[0]))
            there.append(chosen[-1].gives[0].piece)
            continue
        required = [op for op in ways if op.required]
        deep = "." in piece or "." in (ways[0].id if ways else "")
        must = required or not anatomy.piece(piece).sells
        if ways and (must or town.chance(0.15 if deep else 0.9)):
            operation = required[0] if required else town.one_of(list(ways))
            chosen.append(operation)
            there += [give.piece for give in operation.gives]
    return chosen


def _answered(town: Town, anatomy: Anatomy, asked: Operation) -> Operation:
    """A question with the answer that it turned out to have."""
    answer = town.one_of({give.piece: anatomy.piece(give.piece).share for give in asked.gives})
    return replace(asked, gives=(Gives(answer),))


def _ends(anatomy: Anatomy, operations: list[Operation]) -> list[tuple[Piece, int]]:
    """The pieces that are left of one find, and how many of each."""
    counts = {anatomy.whole.id: 1}
    for operation in operations:
        times = counts.pop(operation.on, 0)
        for give in operation.gives:
            counts[give.piece] = counts.get(give.piece, 0) + give.count * times
    return [(anatomy.piece(piece), count) for piece, count in counts.items() if count]


def _given(piece: Piece, count: int, mg: int) -> PieceGiven:
    grades = [sale.grade for sale in piece.sells]
    best = next((grade for grade in grades if grade != "residue"), "residue")
    return PieceGiven(piece.id, mg, count, best)


def partly(town: Town) -> None:
    """One find left half open at the end of the day: the cord is off, the rest waits."""
    for now in standing.finds(town.book).values():
        anatomy = shipped().anatomy(now.kind)
        first = [op for op in anatomy.operations_on(anatomy.whole.id) if any(g.piece == "cord" for g in op.gives)]
        if now.mg and first and now.count == 1:
            cord = PieceGiven("cord", town.scale(anatomy.piece("cord").mass.likely, 5), 1, "wire-cord-plugs")
            opening.open_up(town.book, town.context(), now.id, [cord], [first[0].id], 2, gap="left", sure=True)
            return


def mistakes(town: Town) -> None:
    """A find typed twice and a mass typed wrong, both corrected."""
    from partway.actions.books.corrections import correct

    twice = finds.find(town.book, town.context(), "toaster", source=town.one_of(STREETS), note="demo: typed twice")
    correct(town.book, town.context(), str(twice.events[0].id), "typed twice")
    wrong = finds.find(
        town.book, town.context(), "kettle", mass="12 kg", works="no", note="demo: a point forgotten", sure=True
    )
    correct(town.book, town.context(), str(wrong.events[0].id), "a point forgotten", {"mass": "1.2 kg"})


def identified(town: Town) -> None:
    """Pieces whose material was found out for sure."""
    for material, where, count, said in (
        ("brass-yellow", "loose", 2, {"look": "yellow", "magnet": "none"}),
        ("chrome-zinc", "taps", 1, {"look": "bright", "magnet": "none", "colour": "grey"}),
        ("stainless-304", "screws", 14, {"look": "bright", "magnet": "none"}),
    ):
        identifying.confirm(town.book, town.context(), material, where, count, said, note="demo: invented")


def offers(town: Town) -> None:
    """Things that work are put on offer: one waits at a lower price, one was sold and came back, one is taken down."""
    named = [
        finds.find(town.book, town.context(), kind, works="yes", source=STREETS[0], note="demo: invented").result.find
        for kind in ("stand-mixer", "sewing-machine", "stereo-receiver")
    ]
    for find, asking in zip(named, ("60", "45", "40"), strict=True):
        listing.put_on_offer(town.book, town.context(), find, asking, where="notice board", note="demo: invented")
    listing.reprice(town.book, town.context(), named[0], "52")
    sold = selling.sell(town.book, town.context(), named[1], "40")
    listing.take_back(town.book, town.context(), str(sold.events[0].id), again=True)
    listing.take_down(town.book, town.context(), named[2], note="demo: nobody asked")
