"""From finds that were opened and weighed to a kind: masses, ranges, hazards, and an anatomy that check calls sound."""

from __future__ import annotations

import math
import statistics

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_day import Day

from partway.actions.bench import finds, opening
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bench.selling import discard
from partway.actions.books.corrections import correct
from partway.actions.what import own_kinds
from partway.catalogue import check_anatomy, hazards_in, hiding_sales, shipped
from partway.catalogue.plain import PlainKind, anatomy_of, plain_of
from partway.catalogue.seen import MINUTES_SPREAD, PRIOR, SPREAD, SeenOpening, SeenPiece, kind_seen, pooled
from partway.ledger.fold import standing
from partway.things.anatomy import Anatomy, SaleAs
from partway.valuing.finds.seen import is_new_kind, opening_of, openings_of
from partway.valuing.known import catalogue_of

CAT = shipped()


def anatomy(plain: PlainKind) -> Anatomy:
    found = anatomy_of(plain, CAT.grades, CAT.cautions)
    check_anatomy(found, CAT.grades, CAT.cautions, "seen")
    return found


def seen(*pieces: SeenPiece, n: int = 1, minutes: float = 9.0, lost: float = 0.0) -> SeenOpening:
    return SeenOpening(pieces, n, minutes, lost)


PUMP, TUB = SeenPiece("pump", "Pump", 1, 0.4, "motors"), SeenPiece("tub", "Tub", 2, 0.6, "residue")


def test_one_weighing_is_the_likely_mass_and_the_usual_spread_lies_around_it() -> None:
    """By hand: 0.6 kg of two tubs are 0.3 kg each; 0.3 / 1.3 and 0.3 x 1.3; 9 minutes / 1.6 and x 1.6."""
    found = anatomy(kind_seen("spa", "Spa", [seen(PUMP, TUB)], ["mains"]))
    tub = found.piece("tub").mass
    assert (tub.low, tub.likely, tub.high) == pytest.approx((0.2308, 0.3, 0.39), rel=1e-3)
    assert found.whole.mass.likely == pytest.approx(1.0)
    (one,) = found.operations
    assert (one.minutes.low, one.minutes.likely, one.minutes.high) == pytest.approx((5.625, 9.0, 14.4))
    assert [(g.piece, g.count) for g in one.gives] == [("pump", 1), ("tub", 2)]
    assert (found.cautions, one.cautions, found.works, found.source) == (("mains",), ("mains",), None, "measured")


@settings(deadline=None)
@given(st.lists(st.floats(0.1, 10.0), min_size=1, max_size=12), st.floats(1.05, 3.0))
def test_several_are_pooled_as_a_normal_of_logarithms_with_a_prior_for_its_variance(
    values: list[float], spread: float
) -> None:
    """By the statistics module: geometric mean, and the prior's variance for 4 openings beside the sample's."""
    found, n = pooled(values, spread), len(values)
    logs = [math.log(value) for value in values]
    prior = (math.log(spread) / (2 * math.sqrt(2))) ** 2
    variance = (PRIOR * prior + (statistics.variance(logs) * (n - 1) if n > 1 else 0.0)) / (PRIOR + n - 1)
    off = 2 * math.sqrt(variance) * math.sqrt(1 + 1 / n)
    likely = statistics.geometric_mean(values)
    assert found.likely == pytest.approx(likely, rel=1e-3)
    assert (found.low, found.high) == pytest.approx((likely * math.exp(-off), likely * math.exp(off)), rel=1e-3)


def test_openings_that_agree_close_the_range_and_those_that_do_not_open_it() -> None:
    def ratio(*values: float) -> float:
        found = pooled(values, SPREAD)
        return found.high / found.low

    assert ratio(1.0) == pytest.approx(SPREAD**2, rel=1e-3)
    assert ratio(1.0, 1.0) < ratio(1.0) and ratio(*[1.0] * 10) < ratio(1.0, 1.0)
    assert ratio(1.0, 3.0) > ratio(1.0)


def test_a_piece_that_was_in_one_of_two_is_as_heavy_as_it_is_on_average() -> None:
    found = kind_seen("spa", "Spa", [seen(PUMP, TUB), seen(PUMP)])
    assert next(p for p in found.pieces if p.id == "tub").mass.likely * 2 == pytest.approx(0.3, rel=1e-3)
    assert anatomy(found).whole.mass.likely == pytest.approx(0.7, rel=1e-3)


def test_what_may_not_travel_hidden_comes_out_first() -> None:
    """A lithium pack among the pieces: opening is required, so the whole is sold by no grade that hides it."""
    pack = SeenPiece("pack", "Pack", 1, 0.3, "li-ion")
    found = anatomy(kind_seen("saw", "Saw", [seen(PUMP, pack)], [], [], [SaleAs("light-iron")]))
    (one,) = found.operations
    assert one.required
    carried = hazards_in(found, CAT.grades, CAT.cautions)
    assert "li-ion" in carried["whole"]
    assert not list(hiding_sales(found, found.whole, carried["whole"], CAT.grades))
    assert not anatomy(kind_seen("spa", "Spa", [seen(PUMP)])).operations[0].required


masses = st.floats(0.001, 200.0)
drawn_pieces = st.lists(
    st.builds(
        SeenPiece,
        st.sampled_from(["a", "b", "c", "d"]),
        st.just("Piece"),
        st.integers(1, 30),
        masses,
        st.sampled_from(["motors", "light-iron", "li-ion", "residue", "lead-acid", ""]),
    ),
    min_size=1,
    max_size=4,
    unique_by=lambda piece: piece.id,
)
drawn = st.lists(
    st.builds(SeenOpening, drawn_pieces.map(tuple), st.integers(1, 5), st.floats(0, 500), st.floats(0, 20)),
    min_size=1,
    max_size=5,
)


@settings(max_examples=150, deadline=None)
@given(drawn, st.sampled_from([(), ("mains",), ("sharp-edges", "glass")]))
def test_whatever_came_out_the_anatomy_is_sound_and_the_form_drops_nothing(
    several: list[SeenOpening], hazards: tuple[str, ...]
) -> None:
    plain = kind_seen("spa", "Spa", several, hazards)
    found = anatomy(plain)
    again = plain_of(found)
    assert again is not None and anatomy_of(again, CAT.grades, CAT.cautions) == found


# --- from the ledger ---------------------------------------------------------------------------------

OUT = [PieceGiven("pump", "0.4 kg", 1, "motors"), PieceGiven("power cord", "0.3 kg", 1, "wire-cord-plugs")]


def spa(day: Day, mass: str = "1.2 kg") -> str:
    said = {"mostly": "plastic-motor", "cord": "yes", "battery": "no"}
    name: str = day.do(finds.find, "foot spa", 1, mass, own=True, **said).result.find
    return name


def test_an_unknown_find_that_was_opened_is_offered_and_then_known() -> None:
    day = Day()
    find = spa(day)
    assert not is_new_kind(day.book, standing.find(day.book, find))
    told = day.do(opening.open_up, find, OUT, (), 9, "0.5 kg").result
    assert told.new_kind and is_new_kind(day.book, standing.find(day.book, find))
    assert day.refuses(own_kinds.kind_from, find).where == "hazards"
    day.do(own_kinds.kind_from, find, "mains, sharp-edges", names="foot bath, tub for feet")
    found = catalogue_of(day.book).anatomy("foot-spa")
    assert found.names == ("foot bath", "tub for feet") and found.cautions == ("mains", "sharp-edges")
    assert [(p.id, round(p.mass.likely, 6)) for p in found.pieces[1:]] == [
        ("pump", 0.4), ("power-cord", 0.3), ("waste", 0.5),
    ]  # fmt: skip
    assert found.operations[0].minutes.likely == 9
    assert not is_new_kind(day.book, standing.find(day.book, find))
    assert day.do(finds.find, "foot bath").result.name == "Foot spa"


def test_all_that_was_called_so_is_pooled_and_what_was_taken_back_is_not() -> None:
    day = Day()
    first, second = spa(day), spa(day, "3.6 kg")
    day.do(opening.open_up, first, OUT, (), 9, "0.5 kg")
    other = [PieceGiven("pump", "1.6 kg", 1, "motors"), PieceGiven("power cord", "0.3 kg", 1, "wire-cord-plugs")]
    back = day.do(opening.open_up, second, other, (), 16, "1.7 kg")
    assert len(openings_of(day.book, standing.find(day.book, first).kind)) == 2
    plain = own_kinds.seen_kind(day.book, first)
    assert plain.pieces[0].mass.likely == pytest.approx(math.sqrt(0.4 * 1.6), rel=1e-3)
    assert plain.minutes.likely == pytest.approx(12.0, rel=1e-3)
    day.do(correct, str(back.undo[0]))
    assert own_kinds.seen_kind(day.book, second if opening_of(day.book, second) else first).minutes.likely == 9


def test_what_was_put_away_or_given_up_whole_says_nothing_of_what_is_inside() -> None:
    day = Day()
    find = spa(day)
    day.do(discard, find)
    assert opening_of(day.book, find) is None
    assert day.refuses(own_kinds.kind_from, find, "none").where == "find"


def test_minutes_nobody_took_are_a_guess_of_ten() -> None:
    found = kind_seen("spa", "Spa", [seen(PUMP, minutes=0.0)])
    assert found.minutes.likely == pytest.approx(10.0)
    assert found.minutes.high == pytest.approx(10.0 * MINUTES_SPREAD)
